"""The club's reserve as formulas: loan cash, raises, and the raise that holds the floor."""

from collections.abc import Callable, Iterator
from itertools import accumulate

from panelworth.engine.results import Funded, LoanCourse
from panelworth.publishing.language import say
from panelworth.publishing.workbook.terms import Column, Line, Table, Terms
from panelworth.publishing.workbook.words import NO_RAISE, word

NOTHING = "0.005"  # half a cent: less money than this is none
SAME = 1e-12  # of the reserve's size: lows nearer to one another than this are equal
SOLVED = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}


def loan_column(terms: Terms, loan: LoanCourse, months: int) -> Column:
    """Return the loan's cash to the borrower: drawn in, paid out from the month after."""

    def cash(line: Line) -> str:
        month, drawn = line("month"), terms.own("loan_drawn")
        paid = f"INDEX({terms.own('loan_paid')},{month}-{drawn})"
        return f"IF({month}={drawn},{terms.own('loan_principal')},IF({month}>{drawn},-{paid},0))"

    return Column(key="loan", heading=say("Loan"), formula=cash, values=loan_cash(loan, months))


def loan_cash(loan: LoanCourse | None, months: int) -> list[float]:
    """Return the loan's cash month by month, 0 without one."""
    row = [0.0] * (months + 1)
    if loan:
        stream = [loan.principal, *(-paid for paid in loan.payments)]
        for month, cash in enumerate(stream[: months + 1 - loan.drawn_month]):
            row[loan.drawn_month + month] = cash
    return row


def reserve_columns(terms: Terms, funded: Funded) -> Iterator[Column]:
    """Yield the reserve, before and with a solved raise, and what its figures are read from."""
    balance, solve = terms.series.balance or (), terms.option.funding.solve
    if solve is None:
        yield Column(
            key="reserve",
            heading=say("Reserve"),
            formula=_before(terms, "reserve"),
            values=balance,
        )
    else:
        yield from _solved(terms, solve, getattr(funded, SOLVED[solve]) or 0.0)
    floor = terms.view.club.reserve_floor if terms.view.club else 0.0
    short = floor - float(NOTHING)
    lowest = min(balance) + SAME * max(map(abs, balance))
    yield Column(
        key="below",
        heading=say("Below the floor"),
        style="whole",
        formula=lambda line: (
            f"IF({line('reserve')}<{terms.given('club.reserve_floor')}-{NOTHING},"
            f'{line("month")},"")'
        ),
        values=[month if each < short else "" for month, each in enumerate(balance)],
    )
    yield Column(
        key="lowest",
        heading=say("At its lowest"),
        style="whole",
        formula=lambda line: (
            f'IF({line("reserve")}<={_lowest(line.whole("reserve"))},{line("month")},"")'
        ),
        values=[month if each <= lowest else "" for month, each in enumerate(balance)],
    )


def _lowest(reserve: str) -> str:
    """Return the reserve's low with what floating point may add to it."""
    return f"MIN({reserve})+{SAME:.12f}*MAX(MAX({reserve}),-MIN({reserve}))"


def _before(terms: Terms, key: str) -> Callable[[Line], str]:
    """Return the reserve with the raises that are given: last month's, net, loan, raises."""

    def formula(line: Line) -> str:
        loan = f"+{line('loan')}" if terms.series.loan else ""
        if line.month == 0:
            once = f"{terms.own('funding.assessment_per_member')}*{line('members')}"
            return f"{terms.given('club.reserve')}+{line('net')}{loan}+{once}"
        dues = f"{terms.own('funding.dues_increase')}*{line('members')}"
        rate = f"{terms.own('funding.hourly_rate_increase')}*{line('hours')}"
        return f"{line.before(key)}+{line('net')}{loan}+{dues}+{rate}"

    return formula


def _solved(terms: Terms, solve: str, raised: float) -> Iterator[Column]:
    """Yield the reserve without the raise, what a unit of it brings in, what is needed, with it."""
    series, club = terms.series, terms.view.club
    floor = club.reserve_floor if club else 0.0
    paid = series.members if solve == "dues" else series.hours
    basis = list(accumulate([0.0, *paid[1:]]))
    if solve == "assessment":
        basis = [series.members[0]] * len(series.members)
    before = [each - raised * b for each, b in zip(series.balance or (), basis, strict=True)]
    yield Column(
        key="before",
        heading=say("Reserve before the raise"),
        formula=_before(terms, "before"),
        values=before,
    )
    yield Column(
        key="basis",
        heading=say("One unit of the raise brings in"),
        formula=lambda line: _basis(solve, line),
        values=basis,
    )
    yield Column(
        key="needed",
        heading=say("Raise needed by now"),
        style="number",
        formula=lambda line: _needed(terms, line),
        values=[_need(floor - each, b) for each, b in zip(before, basis, strict=True)],
    )
    yield Column(
        key="reserve",
        heading=say("Reserve"),
        formula=lambda line: f"{line('before')}+N({terms.own('raise')})*{line('basis')}",
        values=series.balance or (),
    )


def _basis(solve: str, line: Line) -> str:
    if solve == "assessment":
        return line("members") if line.month == 0 else line.before("basis")
    if line.month == 0:
        return "0"
    return f"{line.before('basis')}+{line('members' if solve == 'dues' else 'hours')}"


def _needed(terms: Terms, line: Line) -> str:
    short = f"{terms.given('club.reserve_floor')}-{line('before')}"
    needed = f'IF({line("basis")}>0,({short})/{line("basis")},"{word(NO_RAISE)}")'
    return f"IF({short}<={NOTHING},0,{needed})"


def _need(short: float, basis: float) -> float | str:
    if short <= float(NOTHING):
        return 0.0
    return short / basis if basis > 0.0 else word(NO_RAISE)


def raise_formula(terms: Terms, table: Table) -> str:
    """Return the smallest raise >= 0, up to the cent, that holds the floor; "none" if none."""
    needed = table.whole("needed")
    up = f"MAX(0,ROUNDUP(MAX({needed})-0.00000001,2))"
    return f'IF(COUNT({needed})<={terms.given("horizon.months")},"{word(NO_RAISE)}",{up})'
