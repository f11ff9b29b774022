"""The sheets of months: one for each option, a row a month, a column for each cash flow."""

import math
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import accumulate

from panelworth.model.dates import month_start
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.workbook import operations
from panelworth.publishing.workbook.book import Cell, Sheet, serial
from panelworth.publishing.workbook.formula_context import FormulaContext, month_begins
from panelworth.publishing.workbook.incremental import incremental_columns
from panelworth.publishing.workbook.month_table import (
    FIRST_MONTH_ROW,
    MonthColumn,
    MonthRow,
    MonthTable,
)
from panelworth.publishing.workbook.reserve_columns import loan_column, reserve_columns
from panelworth.publishing.workbook.words import KINDS, MOMENTS, Kind

Rule = Callable[[FormulaContext, MonthRow], str]
INCOME: dict[str, Rule] = {
    "charges": operations.charges,
    "dues": operations.dues,
    "fees": operations.fees,
    "other": operations.other,
}
GAINS: dict[str, Rule] = {"worth": operations.worth, "newcomers": operations.newcomers}
RUNNING: dict[str, Rule] = {
    "variable": operations.variable,
    "fixed": operations.fixed,
    "insurance": operations.insurance,
    "repairs": operations.repairs,
    "failures": operations.failures,
    "recurring": operations.recurring,
    "jobs": operations.jobs,
    "value_tax": operations.value_tax,
}
HEADINGS = {
    "charges": N_("Charged for flying"),
    "dues": N_("Dues"),
    "fees": N_("Joining fees"),
    "other": N_("Other income, net"),
    "worth": N_("Worth of the hours"),
    "newcomers": N_("Newcomers' money"),
    "variable": N_("Cost of flying"),
    "fixed": N_("Fixed costs"),
    "insurance": N_("Insurance"),
    "repairs": N_("Panel repairs"),
    "failures": N_("Failures of units"),
    "recurring": N_("Recurring items"),
    "jobs": N_("Small jobs, expected"),
    "value_tax": N_("Tax on the value"),
    "running_costs": N_("Running costs"),
    "project": N_("Project"),
    "purchase": N_("Purchase"),
    "credits": N_("Money in"),
    "sale": N_("Sale"),
    "project_net": N_("Project, less money in"),
    "cost": N_("Cost"),
    "net": N_("Net"),
    "benefit": N_("Benefit"),
    "cost_so_far": N_("Cost so far"),
}
ROWS_A_PAGE = 75  # when printed two pages wide
HEADING_LETTERS = 10  # of a heading, in a line
NOTE = N_(
    "Costs are positive numbers; net is income less cost, benefit is what hours are worth and "
    "newcomers' money less cost. Month 0 holds dated flows only."
)


def month_tables(
    sheets: Mapping[str, Sheet], contexts: Mapping[str, FormulaContext]
) -> dict[str, MonthTable]:
    """Make every option's table, the baseline's first: the others are compared with it."""
    tables: dict[str, MonthTable] = {}
    for option_id, context in contexts.items():
        baseline = tables[context.baseline.option_id] if context.baseline else None
        tables[option_id] = MonthTable(
            sheet=sheets[option_id],
            columns=tuple(_columns(context, baseline)),
            months=MONTHS * context.view.figures.years,
            baseline=baseline,
        )
    return tables


def write_months(tables: Mapping[str, MonthTable], view: View) -> None:
    """Write every option's months."""
    for option_id, table in tables.items():
        sheet, worksheet = table.sheet, table.sheet.worksheet
        sheet.write(0, 0, view.tags[option_id].title, "title")
        sheet.write(1, 0, _(NOTE))
        worksheet.freeze_panes(FIRST_MONTH_ROW, 2)
        worksheet.fit_to_pages(2, math.ceil((FIRST_MONTH_ROW + table.months) / ROWS_A_PAGE))
        worksheet.repeat_columns(0, 1)  # month and date, on the second page of the width too
        worksheet.repeat_rows(FIRST_MONTH_ROW - 1)
        longest = max((column.heading for column in table.columns), key=_lines)
        sheet.fit_height(FIRST_MONTH_ROW - 1, longest, HEADING_LETTERS)
        for number, column in enumerate(table.columns):
            _write_column(table, number, column)


def _lines(heading: str) -> int:
    return len(textwrap.wrap(heading, HEADING_LETTERS))


def _write_column(table: MonthTable, number: int, column: MonthColumn) -> None:
    sheet = table.sheet
    sheet.write(FIRST_MONTH_ROW - 1, number, column.heading, "heading_right")
    sheet.worksheet.set_column(number, number, 9 if column.style == "whole" else 12)
    for month, value in enumerate(column.values):
        content: Cell | float | str = value
        if column.formula and month >= column.first:
            content = Cell(formula=column.formula(table.row(month)), value=value)
        sheet.write(FIRST_MONTH_ROW + month, number, content, column.style)


def _columns(context: FormulaContext, baseline: MonthTable | None) -> Iterator[MonthColumn]:
    """Yield all columns of an option in the order in which they are shown."""
    yield from _factors(context)
    yield from _flows(context)
    if context.series.loan:
        yield loan_column(context, context.series.loan, len(context.series.net) - 1)
    if context.series.funded:
        yield from reserve_columns(context, context.series.funded)
    if baseline:
        yield from incremental_columns(context, baseline)


def _factors(context: FormulaContext) -> Iterator[MonthColumn]:
    """Yield the months and the factors of flows: prices, discount factor, share of time down."""
    as_of, factors = context.scenario.as_of, context.series.factors
    months, finish = range(len(context.series.net)), context.series.finish_month
    days = [serial(month_start(as_of, month)) for month in months]
    in_force = [float(month > finish) for month in months]
    years = [max(month - 1, 0) // MONTHS for month in months]
    yield MonthColumn(key="month", heading=_("Month"), style="whole", values=months)
    for key, heading, style, rule, values in (
        ("begins", _("Begins"), "month", _begins, days),
        ("year", _("Years gone"), "whole", _years_gone, years),
        ("after", _("After the finish"), "whole", _after, in_force),
        ("down", _("Share down"), "rate", operations.down, factors["down"]),
        ("prices", _("Prices"), "factor", _prices, factors["prices"]),
        ("fuel", _("Fuel price"), "factor", _fuel_prices, factors["fuel"]),
        ("discount", _("Discount factor"), "factor", _discount, factors["discount"]),
    ):
        formula = partial(rule, context)
        yield MonthColumn(key=key, heading=heading, style=style, formula=formula, values=values)
    if context.series.failing_units:
        yield MonthColumn(
            key="grounded",
            heading=_("Share grounded"),
            style="rate",
            formula=partial(operations.grounded, context),
            values=factors["grounded"],
        )


def _begins(context: FormulaContext, row: MonthRow) -> str:
    return month_begins(context, row("month"))


def _years_gone(_: FormulaContext, row: MonthRow) -> str:
    """y(m) = ⌊max(m-1, 0)/12⌋: prices step up once a year."""
    return f"INT(MAX({row('month')}-1,0)/12)"


def _after(context: FormulaContext, row: MonthRow) -> str:
    """1 from the month after the finish, else 0."""
    return f"1*({row('month')}>{context.cell('finish_month')})"


def _prices(context: FormulaContext, row: MonthRow) -> str:
    """(1 + inflation)^y, the engine's e."""
    return f"(1+{context.scenario_cells.rates.inflation})^{row('year')}"


def _fuel_prices(context: FormulaContext, row: MonthRow) -> str:
    """(1 + fuel_inflation)^y, the engine's ef."""
    return f"(1+{context.scenario_cells.rates.fuel_inflation})^{row('year')}"


def _discount(context: FormulaContext, row: MonthRow) -> str:
    """d(m) = (1 + discount)^(-m/12)."""
    return f"(1+{context.scenario_cells.rates.discount})^(-{row('month')}/12)"


def _flows(context: FormulaContext) -> Iterator[MonthColumn]:
    """Yield hours, members and every row of money, then cost, net and benefit."""
    series, club = context.series, context.view.club is not None
    yield MonthColumn(
        key="hours",
        heading=_("Hours"),
        style="hours",
        formula=partial(operations.hours, context),
        values=series.hours,
        first=1,
    )
    if club:
        yield MonthColumn(
            key="members",
            heading=_("Members"),
            style="hours",
            formula=partial(operations.members, context),
            values=series.members,
        )
    income = {key: rule for key, rule in INCOME.items() if key in series.rows}
    gains = {key: rule for key, rule in GAINS.items() if club or key == "worth"}
    running = {
        key: rule for key, rule in RUNNING.items() if key != "failures" or series.failing_units
    }
    for key, rule in (income | gains | running).items():
        yield _money(key, partial(rule, context), series.rows[key], first=1)
    for kind in KINDS:
        yield _money(kind, partial(_due_in, context, kind), series.rows[kind])
    yield _money("running_costs", _sum(running), series.running)
    yield _money("project_net", _project_net, series.invested)
    yield _money("cost", _sum(("running_costs", "project_net")), series.cost)
    yield _money("net", lambda row: f"{_sum(income)(row)}-{row('cost')}", series.net)
    yield _money("benefit", lambda row: f"{_sum(gains)(row)}-{row('cost')}", series.benefit)
    yield _money("cost_so_far", _cost_so_far, list(accumulate(series.cost)))


def _sum(keys: Iterable[str]) -> Callable[[MonthRow], str]:
    return lambda row: "+".join(map(row, keys))


def _money(
    key: str, formula: Callable[[MonthRow], str], values: Sequence[float], first: int = 0
) -> MonthColumn:
    heading = _(HEADINGS[key])
    return MonthColumn(key=key, heading=heading, formula=formula, values=values, first=first)


def _due_in(context: FormulaContext, kind: Kind, row: MonthRow) -> str:
    """Return the sum of a kind that is due in a month: at the order, the start or the finish."""
    parts = [
        f"({row('month')}={context.cell(f'{when}_month')})*{due}"
        for when in MOMENTS
        if (due := context.due_at(kind, when))
    ]
    return "+".join(parts) or "0"


def _project_net(row: MonthRow) -> str:
    """Return outlays less credits and sale: money out is positive."""
    return f"{row('project')}+{row('purchase')}-{row('credits')}-{row('sale')}"


def _cost_so_far(row: MonthRow) -> str:
    return f"{row.previous('cost_so_far')}+{row('cost')}" if row.month else row("cost")
