"""Running the airplane month by month: hours, charges, what hours are worth, each kind of cost.

Money is given in the narrowest form it has (cash_flow/rows.py), escalated to its month; operations
run in months 1..H. Costs are positive numbers here.
Source of every equation: the project's method, section 3.
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.cash_flow.calendar import (
    Counts,
    Mask,
    Whole,
    due_after,
    due_again,
    due_from_clock,
)
from panelworth.engine.cash_flow.option_context import (
    OptionContext,
    final_value,
    grown,
    in_force,
    initial_value,
)
from panelworth.engine.cash_flow.rows import (
    NOTHING,
    Row,
    Yearly,
    added,
    by_month,
    changing,
    spread,
    unchanged,
)
from panelworth.engine.cash_flow.valuation import airplane_value
from panelworth.engine.trials import Array, Trials
from panelworth.model.scenario import MONTHS, FixedCost, Job, Recurring, Scenario

Due = list[tuple[int, NDArray[Any]]]  # months, and how often something falls due, (T or 1,)
FUEL = ("fuel_per_hour", "fuel_price")
HOURLY = ("oil_per_hour", "engine_reserve_per_hour", "other_per_hour")


def lost_share(context: OptionContext) -> Array:
    """Return k = 1 - moved_share, the part of lost flying that nobody flies; 1 for an owner."""
    club = context.scenario.club
    return np.ones((1, 1)) if club is None else 1.0 - context.trials.column(club.moved_share)


def lost_hours(context: OptionContext) -> Yearly:
    """Return the hours a year that nobody flies because of groundings: hours_lost_per_year·k."""
    return in_force(context, "hours_lost_per_year") * lost_share(context)


def wanted_hours(context: OptionContext) -> Yearly:
    """Return hours a year if no day were down: max(0, hours_per_year + change - lost·k).

    The change counts from the month after the finish; lost·k is lost_hours.
    """
    change = context.trials.values[f"{context.prefix}after.hours_per_year_change"]
    flown = in_force(context, "hours_per_year") - lost_hours(context)
    before, later = flown.before[:, 0], flown.later[:, 0]
    return changing(np.maximum(before, 0.0), np.maximum(later + change, 0.0))


def hours(context: OptionContext) -> Array:
    """Return members' hours, on whichever aircraft they were flown, shape (T or 1, H+1).

    hours(m) = wanted_hours·s(month)·(1 - down(m)·k), s the season weights over their sum.
    """
    dates, k = context.dates, lost_share(context)
    wanted, season = wanted_hours(context), _season(context)
    flown = spread(dates, wanted, season)
    flown[:, 0] = wanted.before[:, 0] * season[:, 0]
    if len(flown) < max(len(dates.down), len(k)):
        flown = np.repeat(flown, max(len(dates.down), len(k)), axis=0)
    months = slice(dates.start, int(dates.finish.max()) + 1)
    flown[:, months] *= 1.0 - dates.down[:, months] * k
    return flown


def _season(context: OptionContext) -> Array:
    """Return each month's share of a year's hours, shape (T or 1, H+1)."""
    today = _weights(context.scenario.aircraft.season)[context.months.of_year]
    changed = context.option.after.new("season")
    if changed is None:
        return today[np.newaxis]
    return np.where(context.dates.after, _weights(changed)[context.months.of_year], today)


def _weights(season: tuple[float, ...]) -> Array:
    return np.array(season) / math.fsum(season)


def charges(context: OptionContext) -> Yearly:
    """Return what members pay for an hour: hourly_rate·e."""
    return in_force(context, "hourly_rate") * context.costs


def worth(context: OptionContext) -> Yearly:
    """Return what an hour is worth to those who fly it: w·e.

    w is worth_per_hour, else a club's hourly rate of today. An owner's default, in place of w·e,
    is today's airplane's hourly cost, whatever the option burns: the least an hour can be worth
    to whoever flies it. An option cannot change w: a rate is a price between members and their
    club, no gain.
    """
    path = "aircraft.worth_per_hour"
    if not context.trials.has(path):
        if context.scenario.club is None:
            return unchanged(_hourly_cost_today(context))
        path = "aircraft.hourly_rate"
    return unchanged(context.trials.values[path][:, np.newaxis] * context.costs)


def todays_worth(scenario: Scenario, trials: Trials) -> Array:
    """Return what an hour is worth at today's prices, shape (T or 1,)."""
    if trials.has("aircraft.worth_per_hour"):
        return trials.values["aircraft.worth_per_hour"]
    if scenario.club is not None:
        return trials.values["aircraft.hourly_rate"]
    fuel = trials.values["aircraft.fuel_per_hour"] * trials.values["aircraft.fuel_price"]
    return fuel + sum((trials.values[f"aircraft.{key}"] for key in HOURLY), np.zeros(1))


def hourly_cost(context: OptionContext) -> Yearly:
    """Return what an hour costs: fuel_per_hour·fuel_price·ef + (oil + engine_reserve + other)·e."""
    today = _hourly_cost_today(context)
    if all(context.option.after.new(key) is None for key in (*FUEL, *HOURLY)):
        return unchanged(today)
    return Yearly(before=today, later=_hourly_cost(context, final_value))


def _hourly_cost_today(context: OptionContext) -> Array:
    years = context.scenario.years
    return context.trials.once(f"hourly cost {years}", lambda: _hourly_cost(context, initial_value))


def _hourly_cost(context: OptionContext, value: Callable[[OptionContext, str], Array]) -> Array:
    """Return one side of the finish of an hour's cost by the year, shape (T or 1, years)."""
    fuel = value(context, "fuel_per_hour") * value(context, "fuel_price")
    others = sum((value(context, key) for key in HOURLY), np.zeros(1))
    return fuel[:, np.newaxis] * context.fuel + others[:, np.newaxis] * context.costs


def fixed(context: OptionContext) -> Row:
    """Return the sum of per_year/12·e: today's list, then the new, added and dropped ones.

    A line with for_months ends: today's after that many months from month 1, an added one or one
    of a new list after that many from the month after the finish.
    """
    after = context.option.after
    today, replaced = context.scenario.aircraft.fixed, after.new("fixed")
    listed_after = today if replaced is None else replaced
    kept = [cost for cost in listed_after if cost.name not in after.dropped_fixed]
    new = [(f"{context.prefix}after.added_fixed", cost) for cost in after.added_fixed]
    if replaced is None:
        stay, begin = kept, new
    else:
        stay, begin = [], [(f"{context.prefix}after.fixed", cost) for cost in kept] + new
    old = [("aircraft.fixed", cost) for cost in today]
    then = [("aircraft.fixed", cost) for cost in stay] + begin
    endless = changing(_endless(context, old), _endless(context, then)) * context.costs
    total: Array = np.zeros((1, 1))
    for where, cost in old:
        if cost.for_months is not None:
            paid = context.months.index[np.newaxis, :] <= cost.for_months
            paid = paid if cost in stay else paid & ~context.dates.after
            total = total + _a_month(context, where, cost)[:, np.newaxis] * paid
    for where, cost in begin:
        if cost.for_months is not None:
            total = total + _a_month(context, where, cost)[:, np.newaxis] * _begun(
                context, cost.for_months
            )
    return Row(level=endless, monthly=_escalated(context, total) if total.any() else None)


def _escalated(context: OptionContext, today: Array) -> Array:
    """Escalate money by month, shape (T or 1, H+1), from today's prices; none in month 0."""
    money: Array = today * by_month(context.months, context.costs)
    money[:, 0] = 0.0
    return money


def _endless(context: OptionContext, lines: list[tuple[str, FixedCost]]) -> Array:
    """Add up what a month costs over the lines that have no end, shape (T or 1,)."""
    paid = [_a_month(context, where, cost) for where, cost in lines if cost.for_months is None]
    return sum(paid, np.zeros(1))


def _a_month(context: OptionContext, where: str, cost: FixedCost) -> Array:
    return context.trials.values[f"{where}[{cost.name}].per_year"] / MONTHS


def _begun(context: OptionContext, months: int) -> Mask:
    """Return the months after the finish in which a line of so many months is paid."""
    return by_finish(context, lambda since: (since >= 1) & (since <= months))


def insurance(context: OptionContext) -> Row:
    """Return agreed_value·hull_rate/12 + liability/12·e.

    The hull premium is not escalated, and not paid for days without an airplane in a replacement.
    """
    before, later = (
        value(context, "insurance.agreed_value") * value(context, "insurance.hull_rate") / MONTHS
        for value in (initial_value, final_value)
    )
    liability = in_force(context, "insurance.liability_per_year") * (context.costs / MONTHS)
    return added(when_owned(context, changing(before, later)), Row(level=liability))


def value_tax(context: OptionContext) -> Row:
    """Return value_tax/12·v(m), v the airplane's value at month m without equipment; not escalated.

    A replacement owes it on today's airplane up to the finish, for the share 1 - down(m), and on
    the new one from the month after.
    """
    rate = in_force(context, "value_tax") * (1.0 / MONTHS)
    if not (rate.before.any() or rate.later.any()):
        return NOTHING
    return Row(monthly=spread(context.dates, rate, airplane_value(context)))


def repairs(context: OptionContext) -> Row:
    """Return per_year/12·(1+growth)^g·e, g = y(m), or (m-f-1)//12 after a change of repairs."""
    before = context.trials.once(
        f"repairs {context.scenario.years}",
        lambda: _grown_repairs(context, initial_value) * context.costs,
    )
    if context.option.after.new("repairs") is None:
        return when_owned(context, unchanged(before))
    since = _since_finish(context, _grown_repairs(context, final_value))
    ending = when_owned(context, Yearly(before=before, later=np.zeros((1, 1))))
    return added(ending, Row(monthly=since))


def _grown_repairs(context: OptionContext, value: Callable[[OptionContext, str], Array]) -> Array:
    """Return a month's repairs in each year of their clock, today's prices, (T or 1, years)."""
    monthly = value(context, "repairs.per_year")[:, np.newaxis] / MONTHS
    return monthly * grown(value(context, "repairs.growth"), context.scenario.years)


def _since_finish(context: OptionContext, yearly: Array) -> Array:
    """Return amounts by full years since the finish in the months after it, escalated.

    From shape (T or 1, years), at today's prices, to (T or 1, H+1).
    """
    finish, last, costs = context.dates.finish, context.months.last, context.costs
    first, final = int(finish.min()), int(finish.max())
    row = np.zeros((last + 1, max(len(finish), len(yearly), len(costs)))).T
    for month in range(first + 1, last + 1):
        here, risen = row[:, month], costs[:, context.months.year[month]]
        fewest, most = (month - 1 - final) // MONTHS, (month - 1 - first) // MONTHS
        if fewest >= 0:
            np.multiply(yearly[:, fewest], risen, out=here)
        for years in range(max(fewest + 1, 0), most + 1):
            begun = finish < month - MONTHS * years
            np.multiply(yearly[:, years], risen, out=here, where=begun)
    return row


def by_finish(context: OptionContext, rule: Callable[[Whole], NDArray[Any]]) -> NDArray[Any]:
    """Apply a rule to the months since the finish, m - f, shape (T or 1, H+1).

    Trials share few finishes: the rule is applied once to each and its rows are handed out.
    """
    finish = context.dates.finish
    first = int(finish.min())
    finishes = np.arange(first, int(finish.max()) + 1)
    rows: NDArray[Any] = rule(context.months.index - finishes[:, np.newaxis])
    return rows.T.take(finish - first, axis=1).T


def recurring(context: OptionContext) -> Row:
    """Return what falls due by the calendar, escalated; nothing is due in month 0."""
    replaced, values = context.option.after.new("recurring"), context.trials.values
    bills = []
    for item in context.scenario.aircraft.recurring:
        due = _due_today(context, item)
        if replaced is not None:
            due = _counted(due, lambda month: ~_past(context, month))
        bills.append((values[f"aircraft.recurring[{item.name}].cost"], due))
    for item in replaced or ():
        if item.name in context.option.after.recurring_done:
            due = _restarted(context, item)
        else:
            finish = context.dates.finish
            due = _by_months(due_after(item, context.scenario, finish, context.months))
        bills.append((values[f"{context.prefix}after.recurring[{item.name}].cost"], due))
    total: dict[int, Array] = {}
    for cost, due in bills:
        for month, times in due:
            money = cost * times * context.costs[:, context.months.year[month]]
            total[month] = total.get(month, 0.0) + money
    return Row(dated=total)


def _by_months(due: Counts) -> Due:
    """Return the months in which something falls due, from shape (T or 1, H+1)."""
    months = np.flatnonzero(due.any(axis=0)).tolist()
    return [(month, due[:, month]) for month in months if month]


def _counted(due: Due, rule: Callable[[int], Mask]) -> Due:
    """Return what falls due in the months and trials in which a rule counts it."""
    return [(month, times * rule(month)) for month, times in due]


def _past(context: OptionContext, month: int) -> Mask:
    """Say in which trials a month is past the finish, shape (T or 1,)."""
    return context.dates.finish < month


def _due_today(context: OptionContext, item: Recurring) -> Due:
    """Return how often an item of today's list falls due, with what the option does to it.

    Done at the finish: what is due before the month of start stands, nothing from there to the
    finish, then the clock runs from the likely finish. In a replacement nothing falls due after
    the month of start up to the finish: there is no airplane.
    """
    start = context.dates.start
    due = _by_months(due_from_clock(item, context.scenario, context.months)[np.newaxis, :])
    if item.name in context.option.after.recurring_done:
        return [each for each in due if each[0] < start] + _restarted(context, item)
    if context.option.no_airplane_while_down:
        return _counted(due, lambda month: _past(context, month) | (month <= start))
    return due


def _restarted(context: OptionContext, item: Recurring) -> Due:
    """Return how often an item falls due after the finish, done at the likely one."""
    again = _by_months(due_again(item, context.dates, context.months))
    return _counted(again, lambda month: _past(context, month))


def jobs(context: OptionContext) -> Row:
    """Return the expected cost of the small jobs that are still to come.

    later·e·p·(1-p)^y/12 a month, until the job is done: an option that includes it bears it
    through month f, a replacement through the month of start, for the days it is owned.
    """
    if not context.scenario.jobs:
        return NOTHING
    included = [job for job in context.scenario.jobs if job.name in context.option.jobs]
    others = [job for job in context.scenario.jobs if job.name not in context.option.jobs]
    waiting = awaited(context, others) * context.costs
    if context.option.drops_jobs:
        year, owned = context.months.year, 1.0 - context.dates.down[:, : context.dates.start + 1]
        until = range(1, owned.shape[1])
        return Row(dated={month: waiting[:, year[month]] * owned[:, month] for month in until})
    if not included:
        return Row(level=unchanged(waiting))
    until_done = waiting + awaited(context, included) * context.costs
    return Row(level=Yearly(before=until_done, later=waiting))


def awaited(context: OptionContext, jobs: list[Job]) -> Array:
    """Return later·p·(1-p)^y/12 summed over jobs, shape (T or 1, years), not escalated.

    What it is expected to cost in a month that none of them has been done yet; p is the chance a
    year, so that it is worked out by the year.
    """
    return sum((_awaited(context, job) for job in jobs), np.zeros((1, 1)))


def _awaited(context: OptionContext, job: Job) -> Array:
    path, values, years = f"jobs[{job.name}]", context.trials.values, context.scenario.years
    chance = values[f"{path}.chance_per_year"]

    def work() -> Array:
        yearly = values[f"{path}.later"] * chance / MONTHS
        return yearly[:, np.newaxis] * grown(-chance, years)

    return context.trials.once(f"awaited {path} {years}", work)


def when_owned(context: OptionContext, each: Yearly) -> Row:
    """Count an amount for the share of a month in which there is an airplane.

    That is 1 - down(m) in a replacement, all of it otherwise.
    """
    return Row(owned=each) if context.option.no_airplane_while_down else Row(level=each)
