"""What decides between the options: results for pages that are not part of figures.json."""

from panelworth.engine.cash_flow.price_groups import prices_by_group
from panelworth.engine.funding.member_bills import member_bills
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.engine.results.insight import (
    Insight,
)
from panelworth.engine.returns.breakeven_search import break_even_of, rank_reversals
from panelworth.engine.returns.scale import scale_of_case
from panelworth.engine.returns.what_if import whatif_grid
from panelworth.model.case import Case

WIDEST = 4  # swings whose break-evens are searched: a page names no more inputs than these


def insight_of(case: Case, figures: Figures) -> Insight:
    """Return rank reversals, break-evens of each option's widest swings, the what-if grid, bills.

    They take many evaluations. Therefore commands that only need figures.json do not call this.
    """
    scale = scale_of_case(case)
    swings = {option_id: option.swings for option_id, option in figures.options.items()}
    return Insight(
        rank_reversals=rank_reversals(case, swings, scale=scale),
        break_even_points={
            option_id: tuple(
                break_even_of(case, option_id, swing.input, scale=scale)
                for swing in option_swings[:WIDEST]
            )
            for option_id, option_swings in swings.items()
        },
        whatif=whatif_grid(case),
        member_bills=member_bills(case, figures),
        priced=prices_by_group(case),
    )
