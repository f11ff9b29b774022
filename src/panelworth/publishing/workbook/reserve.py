"""The club's reserve as formulas: loan cash, raises, what is needed, the loan's coverage."""

import math
from collections.abc import Iterator, Mapping
from itertools import accumulate

from panelworth.engine.results.figures import LoanCourse
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import _
from panelworth.publishing.workbook.terms import Column, Line, Terms
from panelworth.publishing.workbook.words import NO_RAISE, word

NOTHING = "0.005"  # half a cent: a balance is below the floor only where it is further below
SAME = 1e-12  # of the reserve's size: lows nearer to one another than this are equal
SOLVED = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}
MONTHLY = {"dues": "members", "hourly_rate": "hours"}  # what a monthly raise is paid for


def loan_column(terms: Terms, loan: LoanCourse, months: int) -> Column:
    """Return the loan's cash to the borrower: drawn in, paid out from the month after."""

    def cash(line: Line) -> str:
        month, drawn = line("month"), terms.own("loan_drawn")
        paid = f"INDEX({terms.own('loan_paid')},{month}-{drawn})"
        return f"IF({month}={drawn},{terms.own('loan_principal')},IF({month}>{drawn},-{paid},0))"

    return Column(key="loan", heading=_("Loan"), formula=cash, values=loan_cash(loan, months))


def loan_cash(loan: LoanCourse | None, months: int) -> list[float]:
    """Return the loan's cash month by month, 0 without one."""
    row = [0.0] * (months + 1)
    if loan:
        stream = [loan.principal, *(-paid for paid in loan.payments)]
        for month, cash in enumerate(stream[: months + 1 - loan.drawn_month]):
            row[loan.drawn_month + month] = cash
    return row


def raise_months(terms: Terms, key: str) -> int:
    """Return the last month of a raise of dues or of the hourly rate, as reserve.py does."""
    scenario, funding = terms.view.case.scenario, terms.option.funding
    if funding.raise_years is not None:
        return MONTHS * funding.raise_years
    return MONTHS * (scenario.floor_years if funding.solve == key else scenario.years)


def raised(terms: Terms, solve: str) -> float:
    """Return a raise as the engine has it; 0 where it was to be solved and none is enough."""
    funded = terms.figures.funded
    return (getattr(funded, SOLVED[solve]) if funded else None) or 0.0


def reserve_columns(terms: Terms) -> Iterator[Column]:
    """Yield what raises bring in, the reserve with them, and what its figures are read from."""
    balance = terms.series.balance or ()
    surcharges = _surcharges(terms)
    yield Column(
        key="surcharges",
        heading=_("Raises of dues and rate"),
        formula=lambda line: _raises_paid(terms, line),
        values=surcharges,
        first=1,
    )
    yield Column(
        key="reserve",
        heading=_("Reserve"),
        formula=lambda line: _reserve(terms, line),
        values=balance,
    )
    yield from _lows(terms, balance)
    if terms.option.funding.solve is not None:
        yield from _needs(terms, terms.option.funding.solve)
    if terms.series.loan:
        yield from _coverage(terms, surcharges)


def _surcharges(terms: Terms) -> list[float]:
    series = terms.series
    row = [0.0] * len(series.net)
    for solve, key in MONTHLY.items():
        until, paid_for = raise_months(terms, solve), getattr(series, key)
        for month in range(1, min(until, len(row) - 1) + 1):
            row[month] += raised(terms, solve) * paid_for[month]
    return row


def _raises_paid(terms: Terms, line: Line) -> str:
    """raise·members, or raise·hours, through the last month of the raise."""
    return "+".join(
        f"N({terms.own(f'funding.{SOLVED[solve]}')})*{line(key)}"
        f"*({line('month')}<={terms.own(f'{solve}_until')})"
        for solve, key in MONTHLY.items()
    )


def _reserve(terms: Terms, line: Line) -> str:
    """Return last month's reserve, net, loan, raises; month 0 starts it with the assessment."""
    flows = f"{line('net')}{'+' + line('loan') if terms.series.loan else ''}"
    if line.month == 0:
        once = f"N({terms.own('funding.assessment_per_member')})*{line('members')}"
        return f"{terms.given('club.reserve')}+{flows}+{once}"
    return f"{line.before('reserve')}+{flows}+{line('surcharges')}"


def _lows(terms: Terms, balance: tuple[float, ...]) -> Iterator[Column]:
    """Yield the months below the floor, and those at which the reserve is at its lowest."""
    floor = terms.view.club.reserve_floor if terms.view.club else 0.0
    short = floor - float(NOTHING)
    lowest = min(balance) + SAME * max(map(abs, balance))
    yield Column(
        key="below",
        heading=_("Below the floor"),
        style="whole",
        formula=lambda line: (
            f"IF({line('reserve')}<{terms.given('club.reserve_floor')}-{NOTHING},"
            f'{line("month")},"")'
        ),
        values=[month if each < short else "" for month, each in enumerate(balance)],
    )
    yield Column(
        key="lowest",
        heading=_("At its lowest"),
        style="whole",
        formula=lambda line: (
            f'IF({line("reserve")}<={_lowest(line.whole("reserve"))},{line("month")},"")'
        ),
        values=[month if each <= lowest else "" for month, each in enumerate(balance)],
    )


def _lowest(reserve: str) -> str:
    """Return the reserve's low with what floating point may add to it."""
    return f"MIN({reserve})+{SAME:.12f}*MAX(MAX({reserve}),-MIN({reserve}))"


def _needs(terms: Terms, solve: str) -> Iterator[Column]:
    """Yield the reserve without the solved raise, what a unit of it brings in, what is needed."""
    series, scenario = terms.series, terms.view.case.scenario
    floor = scenario.club.reserve_floor if scenario.club else 0.0
    basis = _basis_values(terms, solve)
    amount = raised(terms, solve)
    before = [each - amount * b for each, b in zip(series.balance or (), basis, strict=True)]
    held = MONTHS * scenario.floor_years
    yield Column(
        key="basis",
        heading=_("One unit of the raise brings in"),
        formula=lambda line: _basis(terms, solve, line),
        values=basis,
    )
    yield Column(
        key="before",
        heading=_("Reserve before the raise"),
        formula=lambda line: (
            f"{line('reserve')}-N({terms.own(f'funding.{SOLVED[solve]}')})*{line('basis')}"
        ),
        values=before,
    )
    yield Column(
        key="needed",
        heading=_("Raise needed by now, at likely values"),
        style="number",
        formula=lambda line: _needed(terms, line),
        values=[
            _need(floor - each, b) if month <= held else ""
            for month, (each, b) in enumerate(zip(before, basis, strict=True))
        ],
    )


def _basis_values(terms: Terms, solve: str) -> list[float]:
    series = terms.series
    if solve == "assessment":
        return [series.members[0]] * len(series.members)
    until, paid_for = raise_months(terms, solve), getattr(series, MONTHLY[solve])
    return list(
        accumulate(each if 1 <= month <= until else 0.0 for month, each in enumerate(paid_for))
    )


def _basis(terms: Terms, solve: str, line: Line) -> str:
    if solve == "assessment":
        return line("members") if line.month == 0 else line.before("basis")
    if line.month == 0:
        return "0"
    running = f"({line('month')}<={terms.own(f'{solve}_until')})"
    return f"{line.before('basis')}+{line(MONTHLY[solve])}*{running}"


def _needed(terms: Terms, line: Line) -> str:
    """Return (floor - balance)/basis in the months in which the floor must hold."""
    short = f"ROUND({terms.given('club.reserve_floor')}-{line('before')},8)"
    needed = f'IF({line("basis")}>0,{short}/{line("basis")},"{word(NO_RAISE)}")'
    asked = f"{line('month')}>{terms.given('floor_months')}"
    return f'IF({asked},"",IF({short}<=0,0,{needed}))'


def _need(short: float, basis: float) -> float | str:
    if round(short, 8) <= 0.0:
        return 0.0
    return short / basis if basis > 0.0 else word(NO_RAISE)


def _coverage(terms: Terms, surcharges: list[float]) -> Iterator[Column]:
    """Yield what is left for the loan each month, what it takes, and how often the one covers it.

    Net without project flows and with raises over the payments, both over the months of a year
    that have a payment; the year's figure stands in its last month.
    """
    series = terms.series
    months = len(series.net) - 1
    paid = [max(-each, 0.0) for each in loan_cash(series.loan, months)]
    rows = zip(series.net, project_net(series.rows), surcharges, strict=True)
    left = [net + spent + added for net, spent, added in rows]
    yield Column(
        key="left",
        heading=_("Left for the loan"),
        formula=lambda line: f"{line('net')}+{line('project_net')}+{line('surcharges')}",
        values=left,
        first=1,
    )
    yield Column(
        key="paid",
        heading=_("Paid on the loan"),
        formula=lambda line: f"MAX(0,-{line('loan')})",
        values=paid,
    )
    yield Column(
        key="cover",
        heading=_("Cover of the loan in the year"),
        style="factor",
        formula=_cover,
        values=[_covered(left, paid, month) for month in range(months + 1)],
    )


def project_net(rows: Mapping[str, tuple[float, ...]]) -> list[float]:
    """Return outlays less money in and sale, month by month."""
    flows = zip(rows["project"], rows["purchase"], rows["credits"], rows["sale"], strict=True)
    return [project + purchase - money_in - sale for project, purchase, money_in, sale in flows]


def _cover(line: Line) -> str:
    if line.month == 0 or line.month % MONTHS:
        return '""'
    paid, left = (line.lately(key, MONTHS) for key in ("paid", "left"))
    return f'IF(SUM({paid})>0,SUMPRODUCT(({paid}>0)*{left})/SUM({paid}),"")'


def _covered(left: list[float], paid: list[float], month: int) -> float | str:
    year = range(month - MONTHS + 1, month + 1)
    if month == 0 or month % MONTHS or not any(paid[each] > 0.0 for each in year):
        return ""
    earned = math.fsum(left[each] for each in year if paid[each] > 0.0)
    return earned / math.fsum(paid[each] for each in year)
