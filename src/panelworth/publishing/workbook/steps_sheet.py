"""The Steps sheet: dates, sums and first due months, from which the months are calculated.

The engine keeps few of these numbers, since it works with whole rows of months: no first due month,
no fixed cost a year, no part of a day. Their values are worked out here with the model's own dates
and inputs. A test recalculates every formula and compares it with the value beside it.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks, month_index, month_start
from panelworth.model.scenario import MONTHS, Recurring
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Book, Cell, Sheet, serial
from panelworth.publishing.workbook.formula_context import (
    FormulaContext,
    month_begins,
    months_to,
)
from panelworth.publishing.workbook.incremental import last_project_month
from panelworth.publishing.workbook.input_rows import solves
from panelworth.publishing.workbook.names import Raise, SharedStep, with_changes
from panelworth.publishing.workbook.operations import fixed_costs, new_recurring
from panelworth.publishing.workbook.project_sheet import ProjectTotals
from panelworth.publishing.workbook.rates_sheet import monthly_rate
from panelworth.publishing.workbook.reserve_columns import raise_months
from panelworth.publishing.workbook.words import KINDS, MOMENTS, Kind

SUMS: dict[Kind, str] = {
    "project": N_("Project"),
    "purchase": N_("Purchase"),
    "credits": N_("Money in"),
    "sale": N_("Sale of today's airplane"),
}
DUE_AT = {
    "order": N_("{sum}, at the order"),
    "start": N_("{sum}, at the start"),
    "finish": N_("{sum}, at the finish"),
}
WIDTHS = (58, 18, 58)


@dataclass(frozen=True, kw_only=True)
class Step:
    """A row of the sheet: the path that its cell is named after, its label, content and style."""

    path: str
    label: str
    content: Cell | float
    style: str = "whole"


def write_steps(
    sheet: Sheet, contexts: Mapping[str, FormulaContext], totals: Mapping[str, ProjectTotals]
) -> None:
    """Write the shared steps, then each option's steps, and give every cell a name."""
    sheet.write(0, 0, _("Dates and sums that the months rest on"), "title")
    note = _("Nothing to change here. Month 0 is that of “As of”; a month is a number.")
    sheet.write(1, 0, note)
    sheet.worksheet.set_portrait()
    for column, width in enumerate(WIDTHS):
        sheet.worksheet.set_column(column, column, width)
    baseline = contexts[sheet.book.view.figures.baseline]
    row = _write_steps(sheet, 3, _("All options"), shared_steps(sheet.book, baseline))
    for option_id, context in contexts.items():
        row = _write_steps(sheet, row, context.title, option_steps(context, totals[option_id]))


def _write_steps(sheet: Sheet, row: int, heading: str, steps: Iterator[Step]) -> int:
    """Write steps under their heading and return the next free row.

    `steps` is read one by one, since the formula of a step may need the names of those before it.
    """
    sheet.write_section(row, heading, len(WIDTHS))
    for step in steps:
        row += 1
        name = sheet.book.define(step.path, sheet.at(row, 1))
        sheet.write(row, 0, step.label)
        sheet.write(row, 1, step.content, step.style)
        sheet.write(row, 2, name, "small")
    return row + 2


def shared_steps(book: Book, context: FormulaContext) -> Iterator[Step]:
    """Yield the steps that are the same for all options; `context` is that of any option.

    These are the fixed horizon, the share of lost flying, and the discount rate a month.
    """
    view, scenario, discount = book.view, context.scenario, context.scenario_cells.rates.discount
    years, rate = view.figures.years, monthly_rate(scenario.rates.discount.likely)
    yield Step(path=SharedStep.YEARS, label=_("Years counted (fixed)"), content=float(years))
    months = Cell(formula=f"12*{context.shared(SharedStep.YEARS)}", value=float(MONTHS * years))
    yield Step(path=SharedStep.MONTHS, label=_("Months counted"), content=months)
    lost: Cell | float = 1.0
    if scenario.club:
        moved = scenario.club.moved_share.likely
        lost = Cell(formula=f"1-{context.club.moved_share}", value=1.0 - moved)
    label = _("Lost flying that nobody flies")
    yield Step(path=SharedStep.LOST_SHARE, label=label, content=lost, style="rate")
    if scenario.club and solves(view):
        last = context.shared(SharedStep.MONTHS)
        floor_months = Cell(
            formula=f"MIN({last},12*{context.club.floor_years})",
            value=float(MONTHS * scenario.floor_years),
        )
        label = _("Months in which a raise must hold the floor")
        yield Step(path=SharedStep.FLOOR_MONTHS, label=label, content=floor_months)
    monthly = Cell(formula=f"(1+{discount})^(1/12)-1", value=rate)
    label = _("Discount rate a month")
    yield Step(path=SharedStep.MONTHLY_DISCOUNT, label=label, content=monthly, style="rate")


def option_steps(context: FormulaContext, totals: ProjectTotals) -> Iterator[Step]:
    """Yield an option's dates, fixed costs, first due months and project sums."""
    yield from _dates(context)
    yield from _fixed(context)
    yield from _first_due_dates(context)
    yield from _project_sums(context, totals)
    yield _last_project_flow(context)
    if context.view.club:
        yield from _raises(context)
    yield _end_value(context)


def _dates(context: FormulaContext) -> Iterator[Step]:
    """Yield days and months; without a schedule, order, start and finish are as_of."""
    as_of, as_of_cell = context.scenario.as_of, context.scenario_cells.as_of
    schedule, cells = context.option.schedule, context.option_cells.schedule
    start, order, finish = f"{as_of_cell}", f"{as_of_cell}", f"{as_of_cell}"
    start_day = order_day = as_of
    weeks = 0.0
    if schedule and cells:
        start, order = f"{cells.start}", f"{cells.order}"
        finish = f"{start}+7*{cells.weeks_down}"
        start_day, order_day = schedule.start, schedule.order or as_of
        weeks = schedule.weeks_down.likely
    first = float(serial(start_day))
    for key, label, formula, value in (
        ("start_day", _("Start"), start, first),
        ("finish_day", _("Finish: start and weeks down"), finish, first + DAYS_IN_A_WEEK * weeks),
    ):
        content = Cell(formula=formula, value=value)
        yield Step(path=context.path(key), label=label, content=content, style="day")
    whole_day = f"INT({context.cell('finish_day')})"
    last = context.shared(SharedStep.MONTHS)
    # As in the engine, a finish after the horizon counts as one at the horizon.
    finish_month = f"MIN({last},{months_to(context, whole_day)})"
    start_month, order_month = months_to(context, start), months_to(context, order)
    series, ordered = context.series, month_index(as_of, order_day)
    for key, label, formula, month in (
        ("order_month", _("Month of the order"), order_month, ordered),
        ("start_month", _("Month of the start"), start_month, series.start_month),
        ("finish_month", _("Month of the finish"), finish_month, series.finish_month),
    ):
        content = Cell(formula=formula, value=float(month))
        yield Step(path=context.path(key), label=label, content=content)


def _fixed(context: FormulaContext) -> Iterator[Step]:
    """Yield the fixed costs a year that do not end: today's, then those after the finish."""
    today, after = context.scenario.aircraft, context.option.after
    values = fixed_costs(today, with_changes(today, after), after)
    cells = fixed_costs(context.aircraft, context.aircraft_after, context.option_cells.after)
    for key, label, costs, cost_cells in (
        ("fixed_before", _("Fixed costs a year up to the finish"), values.today, cells.today),
        (
            "fixed_after",
            _("Fixed costs a year from then on"),
            [*values.kept, *values.new],
            [*cells.kept, *cells.new],
        ),
    ):
        value = math.fsum(cost.per_year.likely for cost in costs if cost.for_months is None)
        endless = [f"{cost.per_year}" for cost in cost_cells if cost.for_months is None]
        content = Cell(formula="+".join(endless) or "0", value=value)
        yield Step(path=context.path(key), label=label, content=content, style="money")


def _first_due_dates(context: FormulaContext) -> Iterator[Step]:
    """Yield the first due dates of recurring items: by their clocks, and after the finish."""
    done, today = context.option.after.recurring_done, context.scenario.aircraft
    for item, cells in zip(today.recurring, context.aircraft.recurring, strict=True):
        label = _("First due: {item}", item=item.name)
        yield _first_due(
            context, cells, f"due[{item.name}]", label, _by_clock(context, item, cells)
        )
        if item.name in done:
            yield _due_again(context, item, cells, f"due_again[{item.name}]")
    new_cells = new_recurring(context)
    new = with_changes(today, context.option.after).recurring if new_cells else ()
    for item, cells in zip(new, new_cells, strict=True):
        key = f"new_due[{item.name}]"
        if item.name in done:
            yield _due_again(context, item, cells, key)
        else:
            finish = (context.cell("finish_month"), context.series.finish_month)
            label = _("First due after the finish: {item}", item=item.name)
            yield _first_due(context, cells, key, label, _by_clock(context, item, cells, finish))


def _by_clock(
    context: FormulaContext, item: Recurring, cells: Recurring, after: tuple[str, int] = ("0", 0)
) -> Cell:
    """Return the first due month, or day: last done + interval, but after a given month.

    `after` is this month as a formula and as a value: an item due by then is paid in the next one.
    """
    as_of, due = context.scenario.as_of, item.good_through(item.last_done)
    formula, month = after
    if item.every_days is not None:
        opens = month_begins(context, f"{formula}+1")
        day = max(month_start(as_of, month + 1), due)
        due_day = f"{cells.last_done}+{cells.every_days}"
        return Cell(formula=f"MAX({opens},{due_day})", value=float(serial(day)))
    due_month = f"{months_to(context, cells.last_done)}+{cells.every_months}"
    value = float(max(month + 1, month_index(as_of, due)))
    return Cell(formula=f"MAX({formula}+1,{due_month})", value=value)


def _due_again(context: FormulaContext, item: Recurring, cells: Recurring, key: str) -> Step:
    """Return the next due date of an item that is done at the finish: one interval later."""
    label = _("Due again after the finish: {item}", item=item.name)
    if item.every_days is not None:
        schedule, done = context.option.schedule, context.scenario.as_of
        if schedule:
            done = day_after_weeks(schedule.start, schedule.weeks_down.likely)
        content = Cell(
            formula=f"INT({context.cell('finish_day')})+{cells.every_days}",
            value=float(serial(item.good_through(done))),
        )
    else:
        content = Cell(
            formula=f"{context.cell('finish_month')}+{cells.every_months}",
            value=float(context.series.finish_month + (item.every_months or 0)),
        )
    return _first_due(context, cells, key, label, content)


def _first_due(
    context: FormulaContext, item: Recurring, key: str, label: str, content: Cell
) -> Step:
    style = "whole" if item.every_days is None else "day"
    return Step(path=context.path(key), label=label, content=content, style=style)


def _project_sums(context: FormulaContext, totals: ProjectTotals) -> Iterator[Step]:
    """Yield the sums of the Project sheet: in all, and due at the order, start and finish."""

    def money(key: str, label: str, content: Cell) -> Step:
        return Step(path=context.path(key), label=label, content=content, style="money")

    for kind in KINDS:
        name = _(SUMS[kind])
        if not totals.has(kind) and kind != "project":
            continue
        yield money(f"{kind}_total", _("{sum}, in all", sum=name), totals.total(kind))
        for when in MOMENTS:
            due = totals.due_at(kind, when)
            yield money(f"{kind}_{when}", _(DUE_AT[when], sum=name), due)
    if totals.has("purchase"):
        yield money("purchase_price", _("Purchase, before tax"), totals.net("purchase"))
    yield money("resale_basis", _("Prices of which a buyer pays part back"), totals.resale())


def _last_project_flow(context: FormulaContext) -> Step:
    """Return the month of the option's last project flow, from which on paybacks are searched."""
    months = [
        f"IF({due}<>0,{context.cell(f'{when}_month')},0)"
        for kind in KINDS
        for when in MOMENTS
        if (due := context.due_at(kind, when))
    ]
    value = float(last_project_month(context.series))
    content = Cell(formula=f"MAX(0,{','.join(months)})", value=value)
    label = _("Month of the project's last flow")
    return Step(path=context.path("settled_month"), label=label, content=content)


def _raises(context: FormulaContext) -> Iterator[Step]:
    """Yield the last months of raises: as stated; else the horizon, or floor_years if solved."""
    yield _raise_until(context, "dues", _("Last month of a raise of dues"))
    yield _raise_until(context, "hourly_rate", _("Last month of a raise of the hourly rate"))


def _raise_until(context: FormulaContext, solve: Raise, label: str) -> Step:
    funding, formula = context.option.funding, context.shared(SharedStep.MONTHS)
    if funding.raise_years is not None:
        formula = f"12*{context.option_cells.funding.raise_years}"
    elif funding.solve == solve:
        formula = context.shared(SharedStep.FLOOR_MONTHS)
    content = Cell(formula=formula, value=float(raise_months(context, solve)))
    return Step(path=context.path(f"{solve}_until"), label=label, content=content)


def _end_value(context: FormulaContext) -> Step:
    """Return the airplane's value at H after selling cost, as in cash_flow/valuation.py.

    keep, retrofit: (value·(1+vc)^(f/12)·(1+vc after)^((H-f)/12)
    + resale·recovery·(1-fade)^((H-f)/12))·(1-selling_cost); replace: the price paid in its place.
    f is the month of the finish, H the last month, vc the change of value.
    """
    today, later = context.aircraft, context.aircraft_after
    finish = context.cell("finish_month")
    since = f"(({context.shared(SharedStep.MONTHS)}-{finish})/12)"
    if context.option.replaces_airplane:
        value_at_finish = context.cell("purchase_price") if context.option.buy else "0"
    else:
        value_at_finish = f"{today.value}*(1+{today.value_change})^({finish}/12)"
    airplane = f"{value_at_finish}*(1+{later.value_change})^{since}"
    resale = f"{context.cell('resale_basis')}*{later.resale_recovery}"
    equipment = f"{resale}*(1-{later.recovery_fade})^{since}"
    content = Cell(
        formula=f"({airplane}+{equipment})*(1-{later.selling_cost})",
        value=context.figures.likely.end_value,
    )
    label = _("Value at the end, after selling cost")
    return Step(path=context.path("end_value"), label=label, content=content, style="money")
