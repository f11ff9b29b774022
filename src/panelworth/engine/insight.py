"""What decides between the options: for pages that explain, beyond the figures themselves."""

from panelworth.engine.cash_flow.price_groups import priced_by_group
from panelworth.engine.funding.own_bill import own_bills
from panelworth.engine.results.figures import Figures, Insight
from panelworth.engine.returns.breakeven_search import break_even_of, rank_reversals
from panelworth.engine.returns.scale import scale_of_case
from panelworth.engine.returns.what_if import whatif_grid
from panelworth.model.case import Case

WIDEST = 4  # as many as a page draws


def insight_of(case: Case, figures: Figures) -> Insight:
    """Work out rank reversals, the break-evens of each option's widest ranges, and the box."""
    scale = scale_of_case(case)
    swings = {option_id: option.swings for option_id, option in figures.options.items()}
    return Insight(
        turnings=rank_reversals(case, swings, scale=scale),
        even_points={
            option_id: tuple(
                break_even_of(case, option_id, swing.input, scale=scale)
                for swing in option_swings[:WIDEST]
            )
            for option_id, option_swings in swings.items()
        },
        whatif=whatif_grid(case),
        own_bills=own_bills(case, figures),
        priced=priced_by_group(case),
    )
