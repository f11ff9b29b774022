"""Running the airplane and the club as formulas: one function a row, as in cash_flow/operations.py.

Each returns the formula of one month; costs are positive numbers. Month 0 holds dated flows only.
"""

from collections.abc import Callable

from panelworth.model.scenario import FixedCost, Job, Recurring
from panelworth.publishing.workbook.terms import Line, Terms


def hours(context: Terms, line: Line) -> str:
    """max(0, hours_per_year + change - hours_lost·k)·s(month)·(1 - down·k)."""
    k = context.given("lost_share")
    change = context.own("after.hours_per_year_change")
    wanted = f"{context.in_force('hours_per_year', line)}+{change}*{line('after')}"
    lost = f"{context.in_force('hours_lost_per_year', line)}*{k}"
    return f"MAX(0,{wanted}-{lost})*{_season(context, line)}*(1-{line('down')}*{k})"


def _season(context: Terms, line: Line) -> str:
    today = _share_of_year(context.initial_value("season"), line)
    if not context.changed("season"):
        return today
    return f"IF({line('after')},{_share_of_year(context.final_value('season'), line)},{today})"


def _share_of_year(weights: str, line: Line) -> str:
    return f"INDEX({weights},MONTH({line('begins')}))/SUM({weights})"


def charges(context: Terms, line: Line) -> str:
    """hours·hourly_rate·e."""
    return f"{line('hours')}*{context.in_force('hourly_rate', line)}*{line('prices')}"


def worth(context: Terms, line: Line) -> str:
    """hours·w·e, w as given, else a club's rate of today; else, an owner's, today's hourly cost."""
    if "aircraft.worth_per_hour" not in context.book.names:
        return f"{line('hours')}*{_hourly_cost(line, context.initial_value)}"
    return f"{line('hours')}*{context.given('aircraft.worth_per_hour')}*{line('prices')}"


def newcomers(context: Terms, line: Line) -> str:
    """(members(m) - members)·dues_per_month·e + fees."""
    more = f"({line('members')}-{context.given('club.members')})"
    dues_a_month = f"{context.given('club.dues_per_month')}*{line('prices')}"
    return f"{more}*{dues_a_month}+{line('fees')}"


def variable(context: Terms, line: Line) -> str:
    """hours·(fuel_per_hour·fuel_price·ef + (oil + engine_reserve + other)·e)."""
    return f"{line('hours')}*{_hourly_cost(line, lambda key: context.in_force(key, line))}"


def _hourly_cost(line: Line, value: Callable[[str], str]) -> str:
    burn, price = value("fuel_per_hour"), value("fuel_price")
    keys = ("oil_per_hour", "engine_reserve_per_hour", "other_per_hour")
    others = "+".join(map(value, keys))
    return f"({burn}*{price}*{line('fuel')}+({others})*{line('prices')})"


def fixed(context: Terms, line: Line) -> str:
    """Sum of per_year/12·e: today's list up to the finish, then the option's.

    A line with for_months ends so many months after month 0, or after the finish.
    """
    old, stay, begin = fixed_lists(context)
    month, since = line("month"), f"({line('month')}-{context.own('finish_month')})"
    parts = [f"IF({line('after')},{context.own('fixed_after')},{context.own('fixed_before')})"]
    for path, cost in old:
        if cost.for_months is not None:
            paid = f"({month}<={context.given(f'{path}.for_months')})"
            paid += "" if (path, cost) in stay else f"*(1-{line('after')})"
            parts.append(f"{context.given(f'{path}.per_year')}*{paid}")
    for path, cost in begin:
        if cost.for_months is not None:
            paid = f"{line('after')}*({since}<={context.given(f'{path}.for_months')})"
            parts.append(f"{context.given(f'{path}.per_year')}*{paid}")
    return f"({'+'.join(parts)})/12*{line('prices')}"


Listed = list[tuple[str, FixedCost]]


def fixed_lists(context: Terms) -> tuple[Listed, Listed, Listed]:
    """Return today's fixed costs, those of them that stay, and those that begin after the finish.

    Each with the path of its inputs.
    """
    today, after = context.view.case.scenario.aircraft.fixed, context.option.after
    replaced: tuple[FixedCost, ...] | None = after.new("fixed")
    kept = [
        cost
        for cost in (today if replaced is None else replaced)
        if cost.name not in after.dropped_fixed
    ]
    new = [(context.path(f"after.added_fixed[{cost.name}]"), cost) for cost in after.added_fixed]
    old = [(f"aircraft.fixed[{cost.name}]", cost) for cost in today]
    if replaced is None:
        return old, [(f"aircraft.fixed[{cost.name}]", cost) for cost in kept], new
    return old, [], [(context.path(f"after.fixed[{cost.name}]"), cost) for cost in kept] + new


def insurance(context: Terms, line: Line) -> str:
    """agreed_value·hull_rate/12 + liability/12·e; the hull for days with an airplane only."""
    keys = ("insurance.agreed_value", "insurance.hull_rate")
    agreed, rate = (context.in_force(key, line) for key in keys)
    hull = when_owned(context, f"{agreed}*{rate}", line)
    liability = context.in_force("insurance.liability_per_year", line)
    return f"({hull}+{liability}*{line('prices')})/12"


def repairs(context: Terms, line: Line) -> str:
    """per_year/12·(1+growth)^g·e, g = y(m), or (m-f-1)//12 after a change of repairs."""
    cost, growth = (
        context.initial_value("repairs.per_year"),
        context.initial_value("repairs.growth"),
    )
    yearly = f"{cost}*(1+{growth})^{line('year')}"
    if context.changed("repairs"):
        cost, growth = (
            context.final_value("repairs.per_year"),
            context.final_value("repairs.growth"),
        )
        years = f"INT(({line('month')}-{context.own('finish_month')}-1)/12)"
        yearly = f"IF({line('after')},{cost}*(1+{growth})^{years},{yearly})"
    return when_owned(context, f"{yearly}/12*{line('prices')}", line)


def recurring(context: Terms, line: Line) -> str:
    """Return what falls due by the calendar, escalated."""
    bills = [_todays_bill(context, item, line) for item in todays_recurring(context)]
    bills += [_new_bill(context, item, line) for item in new_recurring(context)]
    return f"({'+'.join(bills)})*{line('prices')}" if bills else "0"


def todays_recurring(context: Terms) -> tuple[Recurring, ...]:
    """Return what falls due today."""
    return context.view.case.scenario.aircraft.recurring


def new_recurring(context: Terms) -> tuple[Recurring, ...]:
    """Return the list that rules after the finish, where there is a new one."""
    items: tuple[Recurring, ...] = context.option.after.new("recurring") or ()
    return items


def _todays_bill(context: Terms, item: Recurring, line: Line) -> str:
    """Today's list; its clock restarts where done, stops between two airplanes."""
    path = f"aircraft.recurring[{item.name}]"
    cost = context.given(f"{path}.cost")
    due = _due(context, item, path, f"due[{item.name}]", line)
    month, start = line("month"), context.own("start_month")
    replaced = context.option.after.new("recurring") is not None
    if item.name in context.option.after.recurring_done:
        again = _due(context, item, path, f"due_again[{item.name}]", line)
        due = f"({due}*({month}<{start})+{again})" if not replaced else f"{due}*({month}<{start})"
    elif context.option.no_airplane_while_down:
        due = f"{due}*OR({month}<={start},{line('after')})"
    if replaced:
        due = f"{due}*(1-{line('after')})"
    return f"{cost}*{due}"


def _new_bill(context: Terms, item: Recurring, line: Line) -> str:
    path = context.path(f"after.recurring[{item.name}]")
    due = _due(context, item, path, f"new_due[{item.name}]", line)
    return f"{context.given(f'{path}.cost')}*{due}"


def _due(context: Terms, item: Recurring, path: str, step: str, line: Line) -> str:
    """Count how often first + n·every, n = 0, 1, 2 and so on, falls in a month.

    By months once or not at all; by days as often as in cash_flow/calendar.py: max(0, ⌈(d-first)/
    every⌉) times before a day d. The first month, or day, is that of a step.
    """
    first, month = context.own(step), line("month")
    if item.every_days is None:
        every = context.given(f"{path}.every_months")
        return f"({month}>={first})*(MOD({month}-{first},{every})=0)"
    begins, every = line("begins"), context.given(f"{path}.every_days")
    ends = f"EDATE({begins},1)"
    return f"(MAX(0,-INT(({first}-{ends})/{every}))-MAX(0,-INT(({first}-{begins})/{every})))"


def jobs(context: Terms, line: Line) -> str:
    """later·e·p·(1-p)^y/12 a month for each job that is still to come."""
    awaited = [_awaited(context, job, line) for job in context.view.case.scenario.jobs]
    if not awaited:
        return "0"
    row = f"({'+'.join(awaited)})/12*{line('prices')}"
    if context.option.drops_jobs:
        till_start = f"({line('month')}<={context.own('start_month')})"
        return when_owned(context, f"{row}*{till_start}", line)
    return row


def _awaited(context: Terms, job: Job, line: Line) -> str:
    """later·p·(1-p)^y; an option that includes the job bears it through the finish."""
    path, year = f"jobs[{job.name}]", line("year")
    chance, later = context.given(f"{path}.chance_per_year"), context.given(f"{path}.later")
    # A spreadsheet has no 0^0: a job that is certain must be done in the first year.
    still = f"IF({year}=0,1,(1-{chance})^{year})"
    done = f"*(1-{line('after')})" if job.name in context.option.jobs else ""
    return f"{later}*{chance}*{still}{done}"


def value_tax(context: Terms, line: Line) -> str:
    """value_tax/12·v(m), v the airplane's value at month m without equipment; not escalated."""
    return f"{context.in_force('value_tax', line)}/12*{_airplane_value(context, line)}"


def _airplane_value(context: Terms, line: Line) -> str:
    """Return the airplane's value, after a replacement the new one's, as valuation.py does."""
    month, finish = line("month"), context.own("finish_month")
    since = f"(MAX({month}-{finish},0)/12)"
    later = f"(1+{context.final_value('value_change')})^{since}"
    before = f"(1+{context.initial_value('value_change')})^(MIN({month},{finish})/12)"
    kept = f"{context.initial_value('value')}*{before}"
    if not context.option.replaces_airplane:
        return f"{kept}*{later}"
    bought = f"{context.own('purchase_price')}*{later}" if context.option.buy else "0"
    return f"IF({line('after')},{bought},{kept}*(1-{line('down')}))"


def when_owned(context: Terms, row: str, line: Line) -> str:
    """Count a row for the share of a month in which there is an airplane, in a replacement."""
    return f"{row}*(1-{line('down')})" if context.option.no_airplane_while_down else row


def members(context: Terms, line: Line) -> str:
    """max(0, members + joined·min(1, max(0, (m-f)/over_months)))."""
    since = f"{line('month')}-{context.own('finish_month')}"
    over = context.own("members.over_months")
    arrived = f"IF({over}=0,1*({since}>0),MIN(1,MAX(0,({since})/{over})))"
    return f"MAX(0,{context.given('club.members')}+{context.own('members.joined')}*{arrived})"


def dues(context: Terms, line: Line) -> str:
    """members·dues_per_month·e."""
    return f"{line('members')}*{context.given('club.dues_per_month')}*{line('prices')}"


def fees(context: Terms, line: Line) -> str:
    """max(0, members(m) - members(m-1))·joining_fee·e."""
    newcomers = f"MAX(0,{line('members')}-{line.before('members')})"
    return f"{newcomers}*{context.given('club.joining_fee')}*{line('prices')}"


def other(context: Terms, line: Line) -> str:
    """other_net_per_year/12·e."""
    return f"{context.given('club.other_net_per_year')}/12*{line('prices')}"


def down(context: Terms, line: Line) -> str:
    """Share of a month's days in [start, finish)."""
    begins, next_month = line("begins"), f"EDATE({line('begins')},1)"
    first = f"MAX({context.own('start_day')},{begins})"
    last = f"MIN({context.own('finish_day')},{next_month})"
    return f"MAX(0,{last}-{first})/({next_month}-{begins})"
