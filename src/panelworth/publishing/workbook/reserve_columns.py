"""The club's reserve as formulas: the loan's cash, raises, the needed raise, the debt coverage."""

from collections.abc import Iterator
from typing import Protocol

from panelworth.engine.results.figures import (
    LoanSchedule,
)
from panelworth.engine.results.funded_months import CoverageMonths, FundedMonths, RaiseMonths
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import _
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.month_table import MonthColumn, MonthRow
from panelworth.publishing.workbook.names import Raise, SharedStep
from panelworth.publishing.workbook.words import NO_RAISE, word

HALF_A_CENT = "0.005"  # a balance is below the floor if it is more than this below it
SAME = 1e-12  # share of the reserve's size: lows that differ by less are equal
MONTHLY_RAISES: tuple[Raise, ...] = ("dues", "hourly_rate")


class Raises(Protocol):
    """The three raises of an option's funding, as values or as cells."""

    @property
    def dues_increase(self) -> float | None: ...  # noqa: D102
    @property
    def hourly_rate_increase(self) -> float | None: ...  # noqa: D102
    @property
    def assessment_per_member(self) -> float | None: ...  # noqa: D102


def raise_of(raises: Raises, solve: Raise) -> float | None:
    """Return one of the raises by its name in `solve`."""
    by_kind = {
        "dues": raises.dues_increase,
        "hourly_rate": raises.hourly_rate_increase,
        "assessment": raises.assessment_per_member,
    }
    return by_kind[solve]


def raise_formula(context: FormulaContext, solve: Raise) -> str:
    """Return a raise's cell as a number: 0 if the cell has the word that no raise is enough."""
    return f"N({raise_of(context.option_cells.funding, solve)})"


def raise_months(context: FormulaContext, solve: Raise) -> int:
    """Return the last month of a raise of dues or of the hourly rate."""
    return MONTHS * context.option.funding.years_of(solve, context.scenario)


def _paid_for(row: MonthRow, solve: Raise) -> str:
    """Return the cell of what a monthly raise is paid for: members, or hours."""
    return row("members" if solve == "dues" else "hours")


def loan_column(context: FormulaContext, loan: LoanSchedule, months: int) -> MonthColumn:
    """Return the loan's cash for the borrower: the principal, then payments from the next month."""

    def cash(row: MonthRow) -> str:
        month, drawn = row("month"), context.cell("loan_drawn")
        payment = after_drawing(context, "loan_paid", month)
        later = f"IF({month}>{drawn},-{payment},0)"
        return f"IF({month}={drawn},{context.cell('loan_principal')},{later})"

    return MonthColumn(key="loan", heading=_("Loan"), formula=cash, values=_loan_cash(loan, months))


def after_drawing(context: FormulaContext, key: str, month: str) -> str:
    """Return the entry of a column of the Loans sheet in a month after the drawing."""
    return f"INDEX({context.cell(key)},{month}-{context.cell('loan_drawn')})"


def _loan_cash(loan: LoanSchedule, months: int) -> list[float]:
    """Return the loan's cash month by month, up to the horizon."""
    flows = [loan.principal, *(-payment for payment in loan.payments)]
    later = [0.0] * months  # enough for any month of drawing
    return [*[0.0] * loan.drawn_month, *flows, *later][: months + 1]


def reserve_columns(context: FormulaContext, funded: FundedMonths) -> Iterator[MonthColumn]:
    """Yield the income from raises, the reserve, and the columns that its figures are read from."""
    yield MonthColumn(
        key="surcharges",
        heading=_("Raises of dues and rate"),
        formula=lambda row: _surcharges_formula(context, row),
        values=funded.surcharges,
        first=1,
    )
    yield MonthColumn(
        key="reserve",
        heading=_("Reserve"),
        formula=lambda row: _reserve(context, row),
        values=funded.balance,
    )
    yield from _lows(context, funded.balance)
    solve = context.option.funding.solve
    if solve is not None and funded.solved is not None:
        yield from _needed_columns(context, solve, funded.solved)
    if funded.coverage:
        yield from _cover_columns(funded.coverage)


def _surcharges_formula(context: FormulaContext, row: MonthRow) -> str:
    """raise·members + raise·hours, each through the last month of its raise."""
    return "+".join(
        f"{raise_formula(context, solve)}*{_paid_for(row, solve)}*{_runs(context, solve, row)}"
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
    """Return the lowest reserve and a tolerance for floating-point errors."""
    return f"MIN({reserve})+{SAME:.12f}*MAX(MAX({reserve}),-MIN({reserve}))"


def _needed_columns(
    context: FormulaContext, solve: Raise, solved: RaiseMonths
) -> Iterator[MonthColumn]:
    """Yield the income from one unit of the raise, the reserve without it, and the needed raise."""
    needed = [word(NO_RAISE) if amount is None else amount for amount in solved.needed]
    after = len(solved.balance) - len(needed)  # months in which the floor need not hold
    yield MonthColumn(
        key="basis",
        heading=_("One unit of the raise brings in"),
        formula=lambda row: _basis(context, solve, row),
        values=solved.unit,
    )
    yield MonthColumn(
        key="before",
        heading=_("Reserve before the raise"),
        formula=lambda row: f"{row('reserve')}-{raise_formula(context, solve)}*{row('basis')}",
        values=solved.balance,
    )
    yield MonthColumn(
        key="needed",
        heading=_("Raise needed by now, at likely values"),
        style="number",
        formula=lambda row: _needed(context, row),
        values=[*needed, *[""] * after],
    )


def _basis(context: FormulaContext, solve: Raise, row: MonthRow) -> str:
    if solve == "assessment":
        return row("members") if row.month == 0 else row.previous("basis")
    if row.month == 0:
        return "0"
    more = f"{_paid_for(row, solve)}*{_runs(context, solve, row)}"
    return f"{row.previous('basis')}+{more}"


def _needed(context: FormulaContext, row: MonthRow) -> str:
    """(floor - balance)/basis in the months in which the floor must hold, 0 where it holds."""
    short = f"ROUND({context.club.reserve_floor}-{row('before')},8)"
    needed = f'IF({row("basis")}>0,{short}/{row("basis")},"{word(NO_RAISE)}")'
    over = f"{row('month')}>{context.shared(SharedStep.FLOOR_MONTHS)}"
    return f'IF({over},"",IF({short}<=0,0,{needed}))'


def _cover_columns(coverage: CoverageMonths) -> Iterator[MonthColumn]:
    """Yield the money left for the loan, its payments, and the debt-service coverage ratio.

    The ratio of a year: net without project flows and with raises, over the payments, both in the
    months of the year with a payment. It is in the row of the year's last month.
    """
    yield MonthColumn(
        key="left",
        heading=_("Left for the loan"),
        formula=lambda row: f"{row('net')}+{row('project_net')}+{row('surcharges')}",
        values=coverage.left,
        first=1,
    )
    yield MonthColumn(
        key="paid",
        heading=_("Paid on the loan"),
        formula=lambda row: f"MAX(0,-{row('loan')})",
        values=coverage.paid,
    )
    yield MonthColumn(
        key="cover",
        heading=_("Cover of the loan in the year"),
        style="factor",
        formula=_cover,
        values=[
            "" if month % MONTHS else coverage.ratios.get(month // MONTHS, "")
            for month in range(len(coverage.paid))
        ],
    )


def _cover(row: MonthRow) -> str:
    if row.month == 0 or row.month % MONTHS:
        return '""'
    paid, left = (row.latest(key, MONTHS) for key in ("paid", "left"))
    return f'IF(SUM({paid})>0,SUMPRODUCT(({paid}>0)*{left})/SUM({paid}),"")'
