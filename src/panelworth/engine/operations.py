"""Running the airplane month by month: hours, charges, what hours are worth, each kind of cost.

Money is given in the narrowest form it has (engine/rows.py), escalated to its month; operations
run in months 1..H. Costs are positive numbers here.
Source of every equation: the project's method, section 3.
"""

import math
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.calendar import (
    Counts,
    Mask,
    Whole,
    due_after,
    due_again,
    due_from_clock,
)
from panelworth.engine.course import (
    Course,
    finally_,
    grown,
    in_force,
    initially,
)
from panelworth.engine.rows import (
    NOTHING,
    Row,
    Yearly,
    added,
    by_month,
    changing,
    spread,
    unchanged,
)
from panelworth.engine.valuation import airplane_value
from panelworth.engine.worlds import Array, Worlds
from panelworth.model.scenario import MONTHS, FixedCost, Job, Recurring, Scenario

Due = list[tuple[int, NDArray[Any]]]  # months, and how often something falls due, (W or 1,)
FUEL = ("fuel_per_hour", "fuel_price")
HOURLY = ("oil_per_hour", "engine_reserve_per_hour", "other_per_hour")


def lost_share(course: Course) -> Array:
    """Return k = 1 - moved_share, the part of lost flying that nobody flies; 1 for an owner."""
    if course.scenario.club is None:
        return np.ones((1, 1))
    return 1.0 - course.worlds.column("club.moved_share")


def lost_hours(course: Course) -> Yearly:
    """Return the hours a year that nobody flies because of groundings: hours_lost_per_year·k."""
    return in_force(course, "hours_lost_per_year") * lost_share(course)


def wanted_hours(course: Course) -> Yearly:
    """Return hours a year if no day were down: max(0, hours_per_year + change - lost·k).

    The change counts from the month after the finish; lost·k is lost_hours.
    """
    change = course.worlds.values[f"{course.prefix}after.hours_per_year_change"]
    flown = in_force(course, "hours_per_year") - lost_hours(course)
    before, later = flown.before[:, 0], flown.later[:, 0]
    return changing(np.maximum(before, 0.0), np.maximum(later + change, 0.0))


def hours(course: Course) -> Array:
    """Return members' hours, on whichever aircraft they were flown, shape (W or 1, H+1).

    hours(m) = wanted_hours·s(month)·(1 - down(m)·k), s the season weights over their sum.
    """
    dates, k = course.dates, lost_share(course)
    wanted, season = wanted_hours(course), _season(course)
    flown = spread(dates, wanted, season)
    flown[:, 0] = wanted.before[:, 0] * season[:, 0]
    if len(flown) < max(len(dates.down), len(k)):
        flown = np.repeat(flown, max(len(dates.down), len(k)), axis=0)
    months = slice(dates.start, int(dates.finish.max()) + 1)
    flown[:, months] *= 1.0 - dates.down[:, months] * k
    return flown


def _season(course: Course) -> Array:
    """Return each month's share of a year's hours, shape (W or 1, H+1)."""
    today = _weights(course.scenario.aircraft.season)[course.months.of_year]
    changed = course.option.after.new("season")
    if changed is None:
        return today[np.newaxis]
    return np.where(course.dates.after, _weights(changed)[course.months.of_year], today)


def _weights(season: tuple[float, ...]) -> Array:
    return np.array(season) / math.fsum(season)


def charges(course: Course) -> Yearly:
    """Return what members pay for an hour: hourly_rate·e."""
    return in_force(course, "hourly_rate") * course.costs


def worth(course: Course) -> Yearly:
    """Return what an hour is worth to those who fly it: w·e.

    w is worth_per_hour, else a club's hourly rate of today. An owner's default, in place of w·e,
    is today's airplane's hourly cost, whatever the option burns: the least an hour can be worth
    to whoever flies it. An option cannot change w: a rate is a price between members and their
    club, no gain.
    """
    path = "aircraft.worth_per_hour"
    if not course.worlds.has(path):
        if course.scenario.club is None:
            return unchanged(_hourly_cost_today(course))
        path = "aircraft.hourly_rate"
    return unchanged(course.worlds.column(path) * course.costs)


def todays_worth(scenario: Scenario, worlds: Worlds) -> Array:
    """Return what an hour is worth at today's prices, shape (W or 1,)."""
    if worlds.has("aircraft.worth_per_hour"):
        return worlds.values["aircraft.worth_per_hour"]
    if scenario.club is not None:
        return worlds.values["aircraft.hourly_rate"]
    fuel = worlds.values["aircraft.fuel_per_hour"] * worlds.values["aircraft.fuel_price"]
    return fuel + sum((worlds.values[f"aircraft.{key}"] for key in HOURLY), np.zeros(1))


def hourly_cost(course: Course) -> Yearly:
    """Return what an hour costs: fuel_per_hour·fuel_price·ef + (oil + engine_reserve + other)·e."""
    today = _hourly_cost_today(course)
    if all(course.option.after.new(key) is None for key in (*FUEL, *HOURLY)):
        return unchanged(today)
    return Yearly(before=today, later=_hourly_cost(course, finally_))


def _hourly_cost_today(course: Course) -> Array:
    years = course.scenario.years
    return course.worlds.once(f"hourly cost {years}", lambda: _hourly_cost(course, initially))


def _hourly_cost(course: Course, value: Callable[[Course, str], Array]) -> Array:
    """Return one side of the finish of an hour's cost by the year, shape (W or 1, years)."""
    fuel = value(course, "fuel_per_hour") * value(course, "fuel_price")
    others = sum((value(course, key) for key in HOURLY), np.zeros(1))
    return fuel[:, np.newaxis] * course.fuel + others[:, np.newaxis] * course.costs


def fixed(course: Course) -> Row:
    """Return the sum of per_year/12·e: today's list, then the new, added and dropped ones.

    A line with for_months ends: today's after that many months from month 1, an added one or one
    of a new list after that many from the month after the finish.
    """
    after = course.option.after
    today, replaced = course.scenario.aircraft.fixed, after.new("fixed")
    listed_after = today if replaced is None else replaced
    kept = [cost for cost in listed_after if cost.name not in after.dropped_fixed]
    new = [(f"{course.prefix}after.added_fixed", cost) for cost in after.added_fixed]
    if replaced is None:
        stay, begin = kept, new
    else:
        stay, begin = [], [(f"{course.prefix}after.fixed", cost) for cost in kept] + new
    old = [("aircraft.fixed", cost) for cost in today]
    then = [("aircraft.fixed", cost) for cost in stay] + begin
    endless = changing(_endless(course, old), _endless(course, then)) * course.costs
    total: Array = np.zeros((1, 1))
    for where, cost in old:
        if cost.for_months is not None:
            paid = course.months.index[np.newaxis, :] <= cost.for_months
            paid = paid if cost in stay else paid & ~course.dates.after
            total = total + _a_month(course, where, cost)[:, np.newaxis] * paid
    for where, cost in begin:
        if cost.for_months is not None:
            total = total + _a_month(course, where, cost)[:, np.newaxis] * _begun(
                course, cost.for_months
            )
    return Row(level=endless, monthly=_escalated(course, total) if total.any() else None)


def _escalated(course: Course, today: Array) -> Array:
    """Escalate money by month, shape (W or 1, H+1), from today's prices; none in month 0."""
    money: Array = today * by_month(course.months, course.costs)
    money[:, 0] = 0.0
    return money


def _endless(course: Course, lines: list[tuple[str, FixedCost]]) -> Array:
    """Add up what a month costs over the lines that have no end, shape (W or 1,)."""
    paid = [_a_month(course, where, cost) for where, cost in lines if cost.for_months is None]
    return sum(paid, np.zeros(1))


def _a_month(course: Course, where: str, cost: FixedCost) -> Array:
    return course.worlds.values[f"{where}[{cost.name}].per_year"] / MONTHS


def _begun(course: Course, months: int) -> Mask:
    """Return the months after the finish in which a line of so many months is paid."""
    return by_finish(course, lambda since: (since >= 1) & (since <= months))


def insurance(course: Course) -> Row:
    """Return agreed_value·hull_rate/12 + liability/12·e.

    The hull premium is not escalated, and not paid for days without an airplane in a replacement.
    """
    before, later = (
        value(course, "insurance.agreed_value") * value(course, "insurance.hull_rate") / MONTHS
        for value in (initially, finally_)
    )
    liability = in_force(course, "insurance.liability_per_year") * (course.costs / MONTHS)
    return added(when_owned(course, changing(before, later)), Row(level=liability))


def value_tax(course: Course) -> Row:
    """Return value_tax/12·v(m), v the airplane's value at month m without equipment; not escalated.

    A replacement owes it on today's airplane up to the finish, for the share 1 - down(m), and on
    the new one from the month after.
    """
    rate = in_force(course, "value_tax") * (1.0 / MONTHS)
    if not (rate.before.any() or rate.later.any()):
        return NOTHING
    return Row(monthly=spread(course.dates, rate, airplane_value(course)))


def repairs(course: Course) -> Row:
    """Return per_year/12·(1+growth)^g·e, g = y(m), or (m-f-1)//12 after a change of repairs."""
    before = course.worlds.once(
        f"repairs {course.scenario.years}",
        lambda: _grown_repairs(course, initially) * course.costs,
    )
    if course.option.after.new("repairs") is None:
        return when_owned(course, unchanged(before))
    since = _since_finish(course, _grown_repairs(course, finally_))
    ending = when_owned(course, Yearly(before=before, later=np.zeros((1, 1))))
    return added(ending, Row(monthly=since))


def _grown_repairs(course: Course, value: Callable[[Course, str], Array]) -> Array:
    """Return a month's repairs in each year of their clock, today's prices, (W or 1, years)."""
    monthly = value(course, "repairs.per_year")[:, np.newaxis] / MONTHS
    return monthly * grown(value(course, "repairs.growth"), course.scenario.years)


def _since_finish(course: Course, yearly: Array) -> Array:
    """Return amounts by full years since the finish in the months after it, escalated.

    From shape (W or 1, years), at today's prices, to (W or 1, H+1).
    """
    finish, last, costs = course.dates.finish, course.months.last, course.costs
    first, final = int(finish.min()), int(finish.max())
    row = np.zeros((last + 1, max(len(finish), len(yearly), len(costs)))).T
    for month in range(first + 1, last + 1):
        here, risen = row[:, month], costs[:, course.months.year[month]]
        fewest, most = (month - 1 - final) // MONTHS, (month - 1 - first) // MONTHS
        if fewest >= 0:
            np.multiply(yearly[:, fewest], risen, out=here)
        for years in range(max(fewest + 1, 0), most + 1):
            begun = finish < month - MONTHS * years
            np.multiply(yearly[:, years], risen, out=here, where=begun)
    return row


def by_finish(course: Course, rule: Callable[[Whole], NDArray[Any]]) -> NDArray[Any]:
    """Apply a rule to the months since the finish, m - f, shape (W or 1, H+1).

    Worlds share few finishes: the rule is applied once to each and its rows are handed out.
    """
    finish = course.dates.finish
    first = int(finish.min())
    finishes = np.arange(first, int(finish.max()) + 1)
    rows: NDArray[Any] = rule(course.months.index - finishes[:, np.newaxis])
    return rows.T.take(finish - first, axis=1).T


def recurring(course: Course) -> Row:
    """Return what falls due by the calendar, escalated; nothing is due in month 0."""
    replaced, values = course.option.after.new("recurring"), course.worlds.values
    bills = []
    for item in course.scenario.aircraft.recurring:
        due = _due_today(course, item)
        if replaced is not None:
            due = _counted(due, lambda month: ~_past(course, month))
        bills.append((values[f"aircraft.recurring[{item.name}].cost"], due))
    for item in replaced or ():
        if item.name in course.option.after.recurring_done:
            due = _restarted(course, item)
        else:
            finish = course.dates.finish
            due = _by_months(due_after(item, course.scenario, finish, course.months))
        bills.append((values[f"{course.prefix}after.recurring[{item.name}].cost"], due))
    total: dict[int, Array] = {}
    for cost, due in bills:
        for month, times in due:
            money = cost * times * course.costs[:, course.months.year[month]]
            total[month] = total.get(month, 0.0) + money
    return Row(dated=total)


def _by_months(due: Counts) -> Due:
    """Return the months in which something falls due, from shape (W or 1, H+1)."""
    months = np.flatnonzero(due.any(axis=0)).tolist()
    return [(month, due[:, month]) for month in months if month]


def _counted(due: Due, rule: Callable[[int], Mask]) -> Due:
    """Return what falls due in the months and worlds in which a rule counts it."""
    return [(month, times * rule(month)) for month, times in due]


def _past(course: Course, month: int) -> Mask:
    """Say in which worlds a month is past the finish, shape (W or 1,)."""
    return course.dates.finish < month


def _due_today(course: Course, item: Recurring) -> Due:
    """Return how often an item of today's list falls due, with what the option does to it.

    Done at the finish: what is due before the month of start stands, nothing from there to the
    finish, then the clock runs from the likely finish. In a replacement nothing falls due after
    the month of start up to the finish: there is no airplane.
    """
    start = course.dates.start
    due = _by_months(due_from_clock(item, course.scenario, course.months)[np.newaxis, :])
    if item.name in course.option.after.recurring_done:
        return [each for each in due if each[0] < start] + _restarted(course, item)
    if course.option.kind == "replace":
        return _counted(due, lambda month: _past(course, month) | (month <= start))
    return due


def _restarted(course: Course, item: Recurring) -> Due:
    """Return how often an item falls due after the finish, done at the likely one."""
    again = _by_months(due_again(item, course.dates, course.months))
    return _counted(again, lambda month: _past(course, month))


def jobs(course: Course) -> Row:
    """Return the expected cost of the small jobs that are still to come.

    later·e·p·(1-p)^y/12 a month, until the job is done: an option that includes it bears it
    through month f, a replacement through the month of start, for the days it is owned.
    """
    if not course.scenario.jobs:
        return NOTHING
    included = [job for job in course.scenario.jobs if job.name in course.option.jobs]
    others = [job for job in course.scenario.jobs if job.name not in course.option.jobs]
    waiting = awaited(course, others) * course.costs
    if course.option.kind == "replace":
        year, owned = course.months.year, 1.0 - course.dates.down[:, : course.dates.start + 1]
        until = range(1, owned.shape[1])
        return Row(dated={month: waiting[:, year[month]] * owned[:, month] for month in until})
    if not included:
        return Row(level=unchanged(waiting))
    until_done = waiting + awaited(course, included) * course.costs
    return Row(level=Yearly(before=until_done, later=waiting))


def awaited(course: Course, jobs: list[Job]) -> Array:
    """Return later·p·(1-p)^y/12 summed over jobs, shape (W or 1, years), not escalated.

    What it is expected to cost in a month that none of them has been done yet; p is the chance a
    year, so that it is worked out by the year.
    """
    return sum((_awaited(course, job) for job in jobs), np.zeros((1, 1)))


def _awaited(course: Course, job: Job) -> Array:
    path, values, years = f"jobs[{job.name}]", course.worlds.values, course.scenario.years
    chance = values[f"{path}.chance_per_year"]

    def work() -> Array:
        yearly = values[f"{path}.later"] * chance / MONTHS
        return yearly[:, np.newaxis] * grown(-chance, years)

    return course.worlds.once(f"awaited {path} {years}", work)


def when_owned(course: Course, each: Yearly) -> Row:
    """Count an amount for the share of a month in which there is an airplane.

    That is 1 - down(m) in a replacement, all of it otherwise.
    """
    return Row(owned=each) if course.option.kind == "replace" else Row(level=each)
