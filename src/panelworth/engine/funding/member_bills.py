"""A member's bill by the member's hours a year: a straight line for each option."""

from itertools import combinations

from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.funding.funding_plan import bill_a_month, tariff
from panelworth.engine.results.figures import (
    Figures,
    Funded,
    OptionFigures,
)
from panelworth.engine.results.members import BillCrossing, BillLine, MemberBills
from panelworth.engine.trials import likely_trial
from panelworth.model.bounds import HOURS_IN_A_YEAR
from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)

GRID = (0.0, float(HOURS_IN_A_YEAR))  # two points determine a straight line
SAME = 1e-12  # of the bills compared: a smaller difference is a rounding error


def member_bills(case: Case, figures: Figures) -> MemberBills | None:
    """Return the bills by hours of every option that can be funded; None for an owner."""
    club, trials = case.scenario.club, likely_trial(case)
    if club is None:
        return None
    all_lines = {
        option_id: _line(club, option_context(case, option_id, trials), funded)
        for option_id, option in figures.options.items()
        if (funded := _leading(option)) is not None
    }
    lines = {option_id: line for option_id, line in all_lines.items() if line is not None}
    pairs = combinations(lines, 2)
    crossings = tuple(crossing(a, lines[a], b, lines[b]) for a, b in pairs)
    return MemberBills(hours=GRID, lines=lines, crossings=crossings)


def _leading(option: OptionFigures) -> Funded | None:
    """Return an option's funding: from its first allowed start where its plan is refused."""
    return option.allowed_start.funded if option.allowed_start else option.funded


def _line(club: Club, context: OptionContext, funded: Funded) -> BillLine | None:
    """Return an option's bill as a line over the hours; None where no raise funds the option."""
    dues, rate = tariff(club, context, funded)
    start, end = (bill_a_month(club, context, funded, hours) for hours in GRID)
    if dues is None or rate is None or start is None or end is None:
        return None
    return BillLine(
        dues=dues,
        hourly_rate=rate,
        per_month=(start, end),
        assessment=funded.assessment_per_member or 0.0,
    )


def crossing(one: str, a: BillLine, other: str, b: BillLine) -> BillCrossing:
    """Return the hours at which two options bill the same, and which bills less on either side.

    With the difference g(h) = a(h) - b(h), a straight line from h = 0 to the hours of a year
    (last): h = last·g(0)/(g(0) - g(last)). The assessment is not in the bill: it is paid once.
    """
    start, end = a.per_month[0] - b.per_month[0], a.per_month[-1] - b.per_month[-1]
    same = SAME * max(abs(bill) for line in (a, b) for bill in line.per_month)
    ends = [gap if abs(gap) > same else 0.0 for gap in (start, end)]
    low, high = (_cheaper(gap, one, other) for gap in ends)
    low, high = low or high, high or low  # equal at one end: the other end decides for both
    hours = GRID[-1] * start / (start - end) if low != high else None
    return BillCrossing(pair=(one, other), hours=hours, below=low, above=high)


def _cheaper(gap: float, one: str, other: str) -> str:
    """Name the option that bills less where the difference is `gap`, "" where both are the same."""
    if gap == 0.0:
        return ""
    return one if gap < 0.0 else other
