"""The club's reserve as formulas: cash of the loan, raises, the raise needed, the loan's cover."""

import math
from collections.abc import Iterator, Mapping
from itertools import accumulate
from typing import Protocol

from panelworth.engine.results.figures import LoanSchedule, Series
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import _
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.month_table import MonthColumn, MonthRow
from panelworth.publishing.workbook.names import Raise, SharedStep
from panelworth.publishing.workbook.words import NO_RAISE, word

HALF_A_CENT = "0.005"  # a balance is below the floor only where it is further below
SAME = 1e-12  # of the reserve's size: lows nearer to one another than this are equal
MONTHLY_RAISES: tuple[Raise, ...] = ("dues", "hourly_rate")


class Raises(Protocol):
    """The three raises of an option's funding: as values, as cells, or as the engine has them."""

    @property
    def dues_increase(self) -> float | None: ...  # noqa: D102
    @property
    def hourly_rate_increase(self) -> float | None: ...  # noqa: D102
    @property
    def assessment_per_member(self) -> float | None: ...  # noqa: D102


def raise_of(raises: Raises, solve: Raise) -> float | None:
    """Return one of the raises, by what `solve` calls it."""
    by_kind = {
        "dues": raises.dues_increase,
        "hourly_rate": raises.hourly_rate_increase,
        "assessment": raises.assessment_per_member,
    }
    return by_kind[solve]


def raise_formula(context: FormulaContext, solve: Raise) -> str:
    """Return a raise's cell as a number: 0 where it says that no raise is enough."""
    return f"N({raise_of(context.option_cells.funding, solve)})"


def raise_value(context: FormulaContext, solve: Raise) -> float:
    """Return a raise from the engine; 0 where it was to be solved and none is enough."""
    funded = context.figures.funded
    return (raise_of(funded, solve) if funded else None) or 0.0


def raise_months(context: FormulaContext, solve: Raise) -> int:
    """Return the last month of a raise of dues or of the hourly rate."""
    return MONTHS * context.option.funding.years_of(solve, context.scenario)


def _paid_for(series: Series, solve: Raise) -> tuple[float, ...]:
    """Return what a monthly raise is paid for: members, or hours, month by month."""
    return series.members if solve == "dues" else series.hours


def _paid_for_cell(row: MonthRow, solve: Raise) -> str:
    return row("members" if solve == "dues" else "hours")


def loan_column(context: FormulaContext, loan: LoanSchedule, months: int) -> MonthColumn:
    """Return the loan's cash to the borrower: what is drawn, then payments from the next month."""

    def cash(row: MonthRow) -> str:
        month, drawn = row("month"), context.cell("loan_drawn")
        payment = after_drawing(context, "loan_paid", month)
        later = f"IF({month}>{drawn},-{payment},0)"
        return f"IF({month}={drawn},{context.cell('loan_principal')},{later})"

    return MonthColumn(key="loan", heading=_("Loan"), formula=cash, values=loan_cash(loan, months))


def after_drawing(context: FormulaContext, key: str, month: str) -> str:
    """Return what a column of the Loans sheet has in a month after the drawing."""
    return f"INDEX({context.cell(key)},{month}-{context.cell('loan_drawn')})"


def loan_cash(loan: LoanSchedule | None, months: int) -> list[float]:
    """Return the loan's cash month by month, 0 without one."""
    cash = [0.0] * (months + 1)
    if loan:
        flows = [loan.principal, *(-payment for payment in loan.payments)]
        for since, flow in enumerate(flows[: months + 1 - loan.drawn_month]):
            cash[loan.drawn_month + since] = flow
    return cash


def reserve_columns(context: FormulaContext) -> Iterator[MonthColumn]:
    """Yield what raises bring in, the reserve with them, and what its figures are read from."""
    balance = context.series.balance or ()
    surcharges = _surcharges(context)
    yield MonthColumn(
        key="surcharges",
        heading=_("Raises of dues and rate"),
        formula=lambda row: _surcharges_formula(context, row),
        values=surcharges,
        first=1,
    )
    yield MonthColumn(
        key="reserve",
        heading=_("Reserve"),
        formula=lambda row: _reserve(context, row),
        values=balance,
    )
    yield from _lows(context, balance)
    if context.option.funding.solve is not None:
        yield from _needed_columns(context, context.option.funding.solve)
    if context.series.loan:
        yield from _cover_columns(context, surcharges)


def _surcharges(context: FormulaContext) -> list[float]:
    row = [0.0] * len(context.series.net)
    for solve in MONTHLY_RAISES:
        paid_for = _paid_for(context.series, solve)
        for month in range(1, min(raise_months(context, solve), len(row) - 1) + 1):
            row[month] += raise_value(context, solve) * paid_for[month]
    return row


def _surcharges_formula(context: FormulaContext, row: MonthRow) -> str:
    """raise·members + raise·hours, each through the last month of its raise."""
    return "+".join(
        f"{raise_formula(context, solve)}*{_paid_for_cell(row, solve)}*{_runs(context, solve, row)}"
        for solve in MONTHLY_RAISES
    )


def _runs(context: FormulaContext, solve: Raise, row: MonthRow) -> str:
    """Return 1 while a monthly raise runs, else 0."""
    return f"({row('month')}<={context.cell(f'{solve}_until')})"


def _reserve(context: FormulaContext, row: MonthRow) -> str:
    """Last month's reserve + net + loan + raises; month 0 starts it, with the assessment."""
    flows = f"{row('net')}{'+' + row('loan') if context.series.loan else ''}"
    if row.month == 0:
        once = f"{raise_formula(context, 'assessment')}*{row('members')}"
        return f"{context.club.reserve}+{flows}+{once}"
    return f"{row.previous('reserve')}+{flows}+{row('surcharges')}"


def _lows(context: FormulaContext, balance: tuple[float, ...]) -> Iterator[MonthColumn]:
    """Yield the months below the floor, and those in which the reserve is at its lowest."""
    floor = context.view.club.reserve_floor if context.view.club else 0.0
    limit = floor - float(HALF_A_CENT)
    lowest = min(balance) + SAME * max(map(abs, balance))
    yield MonthColumn(
        key="below",
        heading=_("Below the floor"),
        style="whole",
        formula=lambda row: (
            f'IF({row("reserve")}<{context.club.reserve_floor}-{HALF_A_CENT},{row("month")},"")'
        ),
        values=[month if money < limit else "" for month, money in enumerate(balance)],
    )
    yield MonthColumn(
        key="lowest",
        heading=_("At its lowest"),
        style="whole",
        formula=lambda row: (
            f'IF({row("reserve")}<={_lowest(row.all_months("reserve"))},{row("month")},"")'
        ),
        values=[month if money <= lowest else "" for month, money in enumerate(balance)],
    )


def _lowest(reserve: str) -> str:
    """Return the reserve's low with what floating point may add to it."""
    return f"MIN({reserve})+{SAME:.12f}*MAX(MAX({reserve}),-MIN({reserve}))"


def _needed_columns(context: FormulaContext, solve: Raise) -> Iterator[MonthColumn]:
    """Yield the income of one unit of the raise, the reserve before it, and the raise needed."""
    floor = context.view.club.reserve_floor if context.view.club else 0.0
    basis, amount = _basis_values(context, solve), raise_value(context, solve)
    balance = context.series.balance or ()
    before = [money - amount * unit for money, unit in zip(balance, basis, strict=True)]
    last = MONTHS * context.scenario.floor_years
    yield MonthColumn(
        key="basis",
        heading=_("One unit of the raise brings in"),
        formula=lambda row: _basis(context, solve, row),
        values=basis,
    )
    yield MonthColumn(
        key="before",
        heading=_("Reserve before the raise"),
        formula=lambda row: f"{row('reserve')}-{raise_formula(context, solve)}*{row('basis')}",
        values=before,
    )
    yield MonthColumn(
        key="needed",
        heading=_("Raise needed by now, at likely values"),
        style="number",
        formula=lambda row: _needed(context, row),
        values=[
            _needed_value(floor - money, unit) if month <= last else ""
            for month, (money, unit) in enumerate(zip(before, basis, strict=True))
        ],
    )


def _basis_values(context: FormulaContext, solve: Raise) -> list[float]:
    """Return what one unit of a raise has brought in by each month."""
    if solve == "assessment":
        return [context.series.members[0]] * len(context.series.members)
    last, paid_for = raise_months(context, solve), _paid_for(context.series, solve)
    return list(
        accumulate(count if 1 <= month <= last else 0.0 for month, count in enumerate(paid_for))
    )


def _basis(context: FormulaContext, solve: Raise, row: MonthRow) -> str:
    if solve == "assessment":
        return row("members") if row.month == 0 else row.previous("basis")
    if row.month == 0:
        return "0"
    more = f"{_paid_for_cell(row, solve)}*{_runs(context, solve, row)}"
    return f"{row.previous('basis')}+{more}"


def _needed(context: FormulaContext, row: MonthRow) -> str:
    """(floor - balance)/basis in the months in which the floor must hold, 0 where it holds."""
    short = f"ROUND({context.club.reserve_floor}-{row('before')},8)"
    needed = f'IF({row("basis")}>0,{short}/{row("basis")},"{word(NO_RAISE)}")'
    over = f"{row('month')}>{context.shared(SharedStep.FLOOR_MONTHS)}"
    return f'IF({over},"",IF({short}<=0,0,{needed}))'


def _needed_value(short: float, basis: float) -> float | str:
    if round(short, 8) <= 0.0:
        return 0.0
    return short / basis if basis > 0.0 else word(NO_RAISE)


def _cover_columns(context: FormulaContext, surcharges: list[float]) -> Iterator[MonthColumn]:
    """Yield what is left for the loan each month, what it takes, and the year's debt cover.

    Net without project flows and with raises, over the payments; both over the months of a year
    that have a payment. The year's figure stands in its last month.
    """
    series = context.series
    months = len(series.net) - 1
    paid = [max(-cash, 0.0) for cash in loan_cash(series.loan, months)]
    rows = zip(series.net, project_net(series.rows), surcharges, strict=True)
    left = [net + spent + raised for net, spent, raised in rows]
    yield MonthColumn(
        key="left",
        heading=_("Left for the loan"),
        formula=lambda row: f"{row('net')}+{row('project_net')}+{row('surcharges')}",
        values=left,
        first=1,
    )
    yield MonthColumn(
        key="paid",
        heading=_("Paid on the loan"),
        formula=lambda row: f"MAX(0,-{row('loan')})",
        values=paid,
    )
    yield MonthColumn(
        key="cover",
        heading=_("Cover of the loan in the year"),
        style="factor",
        formula=_cover,
        values=[_cover_value(left, paid, month) for month in range(months + 1)],
    )


def project_net(rows: Mapping[str, tuple[float, ...]]) -> list[float]:
    """Return outlays less money in and sale, month by month."""
    flows = zip(rows["project"], rows["purchase"], rows["credits"], rows["sale"], strict=True)
    return [project + purchase - money_in - sale for project, purchase, money_in, sale in flows]


def _cover(row: MonthRow) -> str:
    if row.month == 0 or row.month % MONTHS:
        return '""'
    paid, left = (row.latest(key, MONTHS) for key in ("paid", "left"))
    return f'IF(SUM({paid})>0,SUMPRODUCT(({paid}>0)*{left})/SUM({paid}),"")'


def _cover_value(left: list[float], paid: list[float], month: int) -> float | str:
    year = range(month - MONTHS + 1, month + 1)
    if month == 0 or month % MONTHS or not any(paid[at] > 0.0 for at in year):
        return ""
    earned = math.fsum(left[at] for at in year if paid[at] > 0.0)
    return earned / math.fsum(paid[at] for at in year)
