"""Running the airplane and the club as formulas, one function for each row of the cash flow.

The engine's equations are in engine/cash_flow: hourly_prices, running_costs, recurring, membership.

Each function returns the formula of one month. Costs are positive numbers. Operations run from
month 1; month 0 has only flows with a date of their own. Docstrings use the engine's symbols:
e and ef are the price factors of a year, f is the month of the finish, m the month.
"""

from typing import NamedTuple

from panelworth.engine.results.failing_units import FailingUnit
from panelworth.model.option import AfterKeys
from panelworth.model.scenario import Aircraft, FixedCost, Job, Recurring
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.month_table import MonthRow
from panelworth.publishing.workbook.names import SharedStep


def hours(context: FormulaContext, row: MonthRow) -> str:
    """max(0, hours_per_year + change - hours_lost·k)·s(month)·(1 - down·k)."""
    aircraft, k = context.aircraft_in(row), context.shared(SharedStep.LOST_SHARE)
    change = context.option_cells.after.hours_per_year_change
    wanted = f"{aircraft.hours_per_year}+{change}*{row('after')}"
    lost = f"{aircraft.hours_lost_per_year}*{k}"
    flown = f"MAX(0,{wanted}-{lost})*{_season(context, row)}*(1-{row('down')}*{k})"
    flown += f"*(1-{row('grounded')}*{k})" if context.series.failing_units else ""
    return flown + _same_miles(context, row)


def _same_miles(context: FormulaContext, row: MonthRow, *, inverse: bool = False) -> str:
    """Return the factor of today's speed over the later one, or its inverse; "" without one."""
    today, later = context.aircraft.cruise_speed, context.aircraft_after.cruise_speed
    if not context.option.same_miles or today is None or later is None or later is today:
        return ""
    share = f"{later}/{today}" if inverse else f"{today}/{later}"
    return f"*IF({row('after')},{share},1)"


def _season(context: FormulaContext, row: MonthRow) -> str:
    """s(month): the month's weight over the sum of the twelve."""
    before, later = context.aircraft.season, context.aircraft_after.season
    today = _share_of_year(before, row)
    return today if later is before else f"IF({row('after')},{_share_of_year(later, row)},{today})"


def _share_of_year(weights: object, row: MonthRow) -> str:
    """Return a month's weight over the sum; `weights` is the cell of a list, as text."""
    return f"INDEX({weights},MONTH({row('begins')}))/SUM({weights})"


def charges(context: FormulaContext, row: MonthRow) -> str:
    """hours·hourly_rate·e."""
    return f"{row('hours')}*{context.aircraft_in(row).hourly_rate}*{row('prices')}"


def worth(context: FormulaContext, row: MonthRow) -> str:
    """hours·w·e, w as given, else a club's rate of today; an owner's is today's hourly cost."""
    given = context.aircraft.worth_per_hour
    hour = _hourly_cost(context.aircraft, row) if given is None else f"{given}*{row('prices')}"
    return f"{row('hours')}*{hour}{_same_miles(context, row, inverse=True)}"


def newcomers(context: FormulaContext, row: MonthRow) -> str:
    """(members(m) - members)·dues_per_month·e + fees."""
    more = f"({row('members')}-{context.club.members})"
    return f"{more}*{context.club.dues_per_month}*{row('prices')}+{row('fees')}"


def variable(context: FormulaContext, row: MonthRow) -> str:
    """hours·hourly cost."""
    return f"{row('hours')}*{_hourly_cost(context.aircraft_in(row), row)}"


def _hourly_cost(aircraft: Aircraft, row: MonthRow) -> str:
    """fuel_per_hour·fuel_price·ef + (the costs besides fuel)·e."""
    fuel = f"{aircraft.fuel_per_hour}*{aircraft.fuel_price}*{row('fuel')}"
    others = "+".join(map(str, aircraft.hourly_besides_fuel))  # names of cells here
    return f"({fuel}+({others})*{row('prices')})"


def fixed(context: FormulaContext, row: MonthRow) -> str:
    """Sum of per_year/12·e: today's list up to the finish, then the option's.

    A cost with for_months ends so many months after month 0, or after the finish. Costs without
    an end are added up in two steps, before and after the finish, to keep the formula short.
    """
    after = context.option_cells.after
    today, kept, new = fixed_costs(context.aircraft, context.aircraft_after, after)
    month, since = row("month"), f"({row('month')}-{context.cell('finish_month')})"
    parts = [f"IF({row('after')},{context.cell('fixed_after')},{context.cell('fixed_before')})"]
    for cost in today:
        if cost.for_months is not None:
            paid = f"({month}<={cost.for_months})"
            paid += "" if cost in kept else f"*(1-{row('after')})"
            parts.append(f"{cost.per_year}*{paid}")
    parts += [
        f"{cost.per_year}*{row('after')}*({since}<={cost.for_months})"
        for cost in new
        if cost.for_months is not None
    ]
    return f"({'+'.join(parts)})/12*{row('prices')}"


class FixedCosts(NamedTuple):
    """Today's fixed costs, those of them that stay, and those that begin after the finish."""

    today: tuple[FixedCost, ...]
    kept: list[FixedCost]
    new: list[FixedCost]


def fixed_costs(today: Aircraft, later: Aircraft, after: AfterKeys) -> FixedCosts:
    """Divide the fixed costs, either records of values or records of cells.

    `later` is [aircraft] with the changes of [after]: a new list replaces all of today's.
    """
    in_force = [cost for cost in later.fixed if cost.name not in after.dropped_fixed]
    if later.fixed is today.fixed:
        return FixedCosts(today.fixed, in_force, list(after.added_fixed))
    return FixedCosts(today.fixed, [], [*in_force, *after.added_fixed])


def insurance(context: FormulaContext, row: MonthRow) -> str:
    """agreed_value·hull_rate/12 + liability/12·e; the hull for days with an airplane only."""
    policy = context.aircraft_in(row).insurance
    hull = while_owned(context, f"{policy.agreed_value}*{policy.hull_rate}", row)
    return f"({hull}+{policy.liability_per_year}*{row('prices')})/12"


def repairs(context: FormulaContext, row: MonthRow) -> str:
    """per_year/12·(1+growth)^g·e, g the years gone, from the finish where [after] has repairs."""
    before, later = context.aircraft.repairs, context.aircraft_after.repairs
    yearly = f"{before.per_year}*(1+{before.growth})^{row('year')}"
    if later is not before:
        years = f"INT(({row('month')}-{context.cell('finish_month')}-1)/12)"
        yearly = f"IF({row('after')},{later.per_year}*(1+{later.growth})^{years},{yearly})"
    return while_owned(context, f"{yearly}/12*{row('prices')}", row)


def failures(context: FormulaContext, row: MonthRow) -> str:
    """Sum of rate/12·cost·e over the units that fail."""
    parts = [
        f"{_failure_rate(context, unit, row)}*{context.book.names[unit.cost.path]}"
        for unit in context.series.failing_units
        if unit.cost is not None
    ]
    return f"({'+'.join(parts)})/12*{row('prices')}" if parts else "0"


def grounded(context: FormulaContext, row: MonthRow) -> str:
    """min(1, sum of rate·days/365) over the units that fail; 0 in month 0."""
    parts = [
        f"{_failure_rate(context, unit, row)}*{context.book.names[unit.days.path]}"
        for unit in context.series.failing_units
        if unit.days is not None
    ]
    return f"({row('month')}>0)*MIN(1,({'+'.join(parts)})/365)" if parts else "0"


def _failure_rate(context: FormulaContext, unit: FailingUnit, row: MonthRow) -> str:
    """per_year·(1+growth)^g·(1 - down) while the unit is there, g the years gone since it is."""
    names, since = context.book.names, f"({row('month')}-{context.cell('finish_month')})"
    years = row("year") if unit.installed_in is None else f"INT(MAX({since}-1,0)/12)"
    rate = f"{names[unit.per_year.path]}*(1+{names[unit.growth.path]})^{years}*(1-{row('down')})"
    if unit.installed_in is not None:
        return f"{rate}*{row('after')}"
    if unit.removed_in is None:
        return rate
    last = context.cell("start_month" if unit.leaves_at_start else "finish_month")
    return f"{rate}*({row('month')}<={last})"


def recurring(context: FormulaContext, row: MonthRow) -> str:
    """Sum of cost·e over what falls due in the month."""
    bills = [_todays_bill(context, item, row) for item in context.aircraft.recurring]
    bills += [_new_bill(context, item, row) for item in new_recurring(context)]
    return f"({'+'.join(bills)})*{row('prices')}" if bills else "0"


def new_recurring(context: FormulaContext) -> tuple[Recurring, ...]:
    """Return the cells of the list that replaces today's after the finish, if there is one."""
    later = context.aircraft_after.recurring
    return () if later is context.aircraft.recurring else later


def _todays_bill(context: FormulaContext, item: Recurring, row: MonthRow) -> str:
    """cost·times due, by today's list.

    Its clock restarts at the finish where the option does it, and stops between two airplanes.
    """
    due = _times_due(context, item, f"due[{item.name}]", row)
    month, start = row("month"), context.cell("start_month")
    replaced = context.aircraft_after.recurring is not context.aircraft.recurring
    if item.name in context.option.after.recurring_done:
        again = _times_due(context, item, f"due_again[{item.name}]", row)
        due = f"{due}*({month}<{start})" if replaced else f"({due}*({month}<{start})+{again})"
    elif context.option.no_airplane_while_down:
        due = f"{due}*OR({month}<={start},{row('after')})"
    if replaced:
        due = f"{due}*(1-{row('after')})"
    return f"{item.cost}*{due}"


def _new_bill(context: FormulaContext, item: Recurring, row: MonthRow) -> str:
    return f"{item.cost}*{_times_due(context, item, f'new_due[{item.name}]', row)}"


def _times_due(context: FormulaContext, item: Recurring, step: str, row: MonthRow) -> str:
    """Count how often first + n·every, n = 0, 1, 2 and so on, falls in a month.

    By months once or not at all. By days as often as in cash_flow/calendar.py, which counts
    max(0, ⌈(d-first)/every⌉) times before a day d. `step` has the first month, or the first day.
    """
    first, month = context.cell(step), row("month")
    if item.every_days is None:
        return f"({month}>={first})*(MOD({month}-{first},{item.every_months})=0)"
    before_end = _times_before(next_month(row), first, item.every_days)
    return f"({before_end}-{_times_before(row('begins'), first, item.every_days)})"


def _times_before(day: str, first: str, every: object) -> str:
    return f"MAX(0,-INT(({first}-{day})/{every}))"


def next_month(row: MonthRow) -> str:
    """Return the first day of the month after this one."""
    return f"EDATE({row('begins')},1)"


def jobs(context: FormulaContext, row: MonthRow) -> str:
    """later·e·p·(1-p)^y/12 a month for each job that is still to come."""
    expected = [_expected(context, job, row) for job in context.scenario_cells.jobs]
    if not expected:
        return "0"
    formula = f"({'+'.join(expected)})/12*{row('prices')}"
    if context.option.drops_jobs:
        till_start = f"({row('month')}<={context.cell('start_month')})"
        return while_owned(context, f"{formula}*{till_start}", row)
    return formula


def _expected(context: FormulaContext, job: Job, row: MonthRow) -> str:
    """later·p·(1-p)^y; an option that includes the job bears it through the finish."""
    chance, year = job.chance_per_year, row("year")
    # A spreadsheet has no 0^0: a job that is certain must be done in the first year.
    not_yet = f"IF({year}=0,1,(1-{chance})^{year})"
    done = f"*(1-{row('after')})" if job.name in context.option.jobs else ""
    return f"{job.later}*{chance}*{not_yet}{done}"


def value_tax(context: FormulaContext, row: MonthRow) -> str:
    """value_tax/12·v(m), v the airplane's value at month m without equipment; not escalated."""
    return f"{context.aircraft_in(row).value_tax}/12*{_airplane_value(context, row)}"


def _airplane_value(context: FormulaContext, row: MonthRow) -> str:
    """Return the airplane's value, after a replacement the new one's, as valuation.py does."""
    month, finish = row("month"), context.cell("finish_month")
    since = f"(MAX({month}-{finish},0)/12)"
    later = f"(1+{context.aircraft_after.value_change})^{since}"
    before = f"(1+{context.aircraft.value_change})^(MIN({month},{finish})/12)"
    kept = f"{context.aircraft.value}*{before}"
    if not context.option.replaces_airplane:
        return f"{kept}*{later}"
    bought = f"{context.cell('purchase_price')}*{later}" if context.option.buy else "0"
    return f"IF({row('after')},{bought},{kept}*(1-{row('down')}))"


def while_owned(context: FormulaContext, formula: str, row: MonthRow) -> str:
    """Count a row for the share of a month in which there is an airplane, in a replacement."""
    return f"{formula}*(1-{row('down')})" if context.option.no_airplane_while_down else formula


def members(context: FormulaContext, row: MonthRow) -> str:
    """max(0, members + joined·min(1, max(0, (m-f)/over_months)))."""
    since = f"{row('month')}-{context.cell('finish_month')}"
    change = context.option_cells.members
    over = change.over_months
    arrived = f"IF({over}=0,1*({since}>0),MIN(1,MAX(0,({since})/{over})))"
    return f"MAX(0,{context.club.members}+{change.joined}*{arrived})"


def dues(context: FormulaContext, row: MonthRow) -> str:
    """members·dues_per_month·e."""
    return f"{row('members')}*{context.club.dues_per_month}*{row('prices')}"


def fees(context: FormulaContext, row: MonthRow) -> str:
    """max(0, members(m) - members(m-1))·joining_fee·e."""
    joined = f"MAX(0,{row('members')}-{row.previous('members')})"
    return f"{joined}*{context.club.joining_fee}*{row('prices')}"


def other(context: FormulaContext, row: MonthRow) -> str:
    """other_net_per_year/12·e."""
    return f"{context.club.other_net_per_year}/12*{row('prices')}"


def down(context: FormulaContext, row: MonthRow) -> str:
    """Share of a month's days in [start, finish)."""
    begins = row("begins")
    first = f"MAX({context.cell('start_day')},{begins})"
    last = f"MIN({context.cell('finish_day')},{next_month(row)})"
    return f"MAX(0,{last}-{first})/({next_month(row)}-{begins})"
