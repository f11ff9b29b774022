"""When inspections fall due, by calendar months and by hours, and which binds first.

Intervals are US 14 CFR Parts 43 and 91: other states differ, and airworthiness directives come on
top. Nothing here says which inspections an airplane needs.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from panelworth.engine.results.airplane import Due, DueWhen
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, days_away, month_start
from panelworth.model.equipment import Equipment
from panelworth.model.scenario import MONTHS, Recurring

HUNDRED = 100.0
EN_ROUTE = 10.0  # hours that 14 CFR 91.409(b) lets one fly on to where it is done
YEARS_AHEAD = 100
SLACK = 1e-6  # hours; sums of decimals in binary may miss a limit they are exactly on


@dataclass(frozen=True, kw_only=True)
class Away:
    """The day an airplane's inspections are stated for, and the days it is away, if any.

    It leaves on `start` and is back `weeks` later; the day it is back is a day to fly.
    """

    stated: date
    start: date | None = None
    weeks: float = 0.0

    @property
    def back(self) -> date:
        """The day it is back, the day stated where it is not away."""
        return day_after_weeks(self.start, self.weeks) if self.start else self.stated

    def when(self, last: date) -> DueWhen:
        """Return whether a last good day is past, in the days away, or later."""
        if last < self.stated:
            return "overdue"
        if last >= self.back:
            return "after"
        return "away" if self.start and last >= self.start else "before"

    def put_off(self, day: date) -> date:
        """Move a day of flying by the days away where they come before it."""
        if self.start is None or day < self.start:
            return day
        return day + timedelta(days=days_away(self.weeks))


@dataclass(frozen=True, kw_only=True)
class HourInspection:
    """One hourly inspection done: hours over its limit, whether too many, and the next limit."""

    over: float
    violation: bool
    next_due: float


def hourly_done(*, due_at: float, done_at: float, every: float = HUNDRED) -> HourInspection:
    """Return the next limit after an hourly inspection, in tach hours.

    Flown over on the way to the place where it is done, the excess counts in the next interval:
    the next is due `every` after the old limit; more than 10 hours over is a violation. Done
    early, it is due `every` after it was done. 14 CFR 91.409(b).

    >>> hourly_done(due_at=1334.5, done_at=1338.5).next_due
    1434.5
    """
    over = max(done_at - due_at, 0.0)
    return HourInspection(
        over=over, violation=over > EN_ROUTE, next_due=min(done_at, due_at) + every
    )


def day_reached(
    as_of: date, hours: float, *, hours_per_year: float, season: tuple[float, ...]
) -> date | None:
    """Return the day on which so many more hours will have been flown, None if not in 100 years.

    Each month's share of the year's hours is spread evenly over its days; from as_of's 0 o'clock.
    """
    if hours <= 0:
        return as_of
    left, day = hours, as_of
    for month in range(YEARS_AHEAD * MONTHS):
        closes = month_start(as_of, month + 1)
        opens = month_start(as_of, month)
        share = season[(as_of.month - 1 + month) % MONTHS] / math.fsum(season)
        a_day = hours_per_year * share / (closes - opens).days
        flown = a_day * (closes - day).days
        if a_day and flown >= left:
            return min(day + timedelta(days=int(left / a_day)), closes - timedelta(days=1))
        left, day = left - flown, closes
    return None


def due_today(case: Case) -> tuple[Due, ...]:
    """Return what recurs, by calendar and by hours, with its last good day, the earliest first."""
    as_of = case.scenario.as_of
    calendar = [
        _calendar(item, item.last_done, Away(stated=as_of))
        for item in case.scenario.aircraft.recurring
    ]
    return in_order([*calendar, *_hourly(case, case.equipment, Away(stated=as_of))])


def due_after(case: Case, option_id: str) -> tuple[Due, ...]:
    """Return the same once the option is in force.

    A list in `after` takes the place of today's; the clock of what is in `recurring_done` starts
    again on the day of the likely finish. By hours today's airplane goes on as it was, but for the
    days it is away; another one is flown from the finish. Nothing is left out: what is overdue, or
    falls due before the airplane leaves, is listed as such: no file says that it will be done.
    """
    option, as_of = case.options[option_id], case.scenario.as_of
    after = option.after.new("recurring")
    items = case.scenario.aircraft.recurring if after is None else after
    done, replaced = set(option.after.recurring_done), option.replaces_airplane
    away = Away(stated=as_of)
    if option.schedule:
        start, weeks = option.schedule.start, option.schedule.weeks_down.likely
        back = day_after_weeks(start, weeks)
        away = Away(stated=back) if replaced else Away(stated=as_of, start=start, weeks=weeks)
    back = away.back
    calendar = [
        _calendar(item, back if item.name in done else item.last_done, away) for item in items
    ]
    equipment = case.replacements.get(option_id) if replaced else case.equipment
    return in_order([*calendar, *_hourly(case, equipment, away)])


def _calendar(item: Recurring, done: date, away: Away) -> Due:
    last = item.good_through(done)
    return Due(
        name=item.name,
        by="calendar",
        last_day=last.isoformat(),
        at_hours=None,
        when=away.when(last),
    )


def _hourly(case: Case, equipment: Equipment | None, away: Away) -> Iterator[Due]:
    """Yield inspections by hours with the day their limit is reached at today's likely hours.

    Hours flown in this airplane: hours_per_year less hours_lost_per_year, over the season, from
    the day stated on. One that is not reached in 100 years is left out.
    """
    airplane = equipment.airplane if equipment else None
    aircraft = case.scenario.aircraft
    if airplane is None or airplane.tach is None:
        return
    yearly = max(aircraft.hours_per_year.likely - aircraft.hours_lost_per_year.likely, 0.0)
    for inspection in airplane.hourly:
        limit = inspection.done_at if inspection.was_due_at is None else inspection.was_due_at
        at = hourly_done(due_at=limit, done_at=inspection.done_at, every=inspection.every).next_due
        left = at - airplane.tach
        if left < -SLACK:
            yield Due(name=inspection.name, by="hours", last_day=None, at_hours=at, when="overdue")
            continue
        day = day_reached(away.stated, left, hours_per_year=yearly, season=aircraft.season)
        if day is not None:
            day = away.put_off(day)
            yield Due(
                name=inspection.name,
                by="hours",
                last_day=day.isoformat(),
                at_hours=at,
                when=away.when(day),
            )


def in_order(dues: Iterable[Due]) -> tuple[Due, ...]:
    """Sort by last good day, then name: the first one binds; what has no day is overdue."""
    return tuple(sorted(dues, key=lambda due: (due.last_day or "", due.name)))
