"""Due dates of inspections, by calendar months and by tach hours.

The rules are those of US 14 CFR Parts 43 and 91. Other states differ, and airworthiness directives
come in addition. Which inspections an airplane needs is stated in the files, and not here.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from panelworth.engine.results.airplane import (
    Due,
    DueWhen,
)
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, days_away, month_start
from panelworth.model.equipment import Equipment
from panelworth.model.scenario import MONTHS, Recurring

HUNDRED = 100.0
EN_ROUTE = 10.0  # hours over the limit to reach the place of the inspection: 14 CFR 91.409(b)
YEARS_AHEAD = 100  # ends the search for an airplane that hardly flies
SLACK = 1e-6  # hours: a decimal sum that is exactly on a limit may be just below it in binary


@dataclass(frozen=True, kw_only=True)
class TimeAway:
    """The day for which due dates are stated, and the time for which the airplane is away, if any.

    It leaves on `start` and is back `weeks` later. On the day on which it is back it can fly.
    """

    stated: date
    start: date | None = None
    weeks: float = 0.0

    @property
    def back(self) -> date:
        """The day the airplane is back; `stated` where it is not away."""
        return day_after_weeks(self.start, self.weeks) if self.start else self.stated

    def when(self, last: date) -> DueWhen:
        """Return whether a last valid day is overdue, or before, during or after the time away."""
        if last < self.stated:
            return "overdue"
        # On the day of its return the airplane can be flown to an inspection.
        if last >= self.back:
            return "after"
        return "away" if self.start and last >= self.start else "before"

    def postponed(self, day: date) -> date:
        """Return the day on which a limit is reached if the airplane does not fly while it is away.

        `day` is that day without any time away. It moves by the days away if these come before it.
        """
        if self.start is None or day < self.start:
            return day
        return day + timedelta(days=days_away(self.weeks))


@dataclass(frozen=True, kw_only=True)
class HourInspection:
    """An inspection by hours that was done: hours over the limit, violation or not, next limit."""

    over: float
    violation: bool
    next_due: float


def hourly_done(*, due_at: float, done_at: float, every: float = HUNDRED) -> HourInspection:
    """Return the next limit after an inspection by hours, in tach hours: min(done, due) + every.

    If it was done late, the next interval begins at the old limit, so that the hours over the limit
    count in it; more than 10 hours over is a violation. If it was done early, the next interval
    begins when it was done. 14 CFR 91.409(b).

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
    """Return the day on which `hours` more have been flown; None if not within 100 years.

    Counted from 0 o'clock of as_of. A month has season[month]/Σ season of the year's hours, spread
    evenly over its days. `season` has 12 weights from January on.
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
            # Not past the month's last day: a rounding error must not move the limit into the next
            # month.
            return min(day + timedelta(days=int(left / a_day)), closes - timedelta(days=1))
        left, day = left - flown, closes
    return None


def due_today(case: Case) -> tuple[Due, ...]:
    """Return every inspection with its last valid day, the earliest first."""
    as_of = case.scenario.as_of
    calendar = [
        _calendar(item, item.last_done, TimeAway(stated=as_of))
        for item in case.scenario.aircraft.recurring
    ]
    return in_order([*calendar, *_hourly(case, case.equipment, TimeAway(stated=as_of))])


def due_after(case: Case, option_id: str) -> tuple[Due, ...]:
    """Return every inspection once the option is in force, the earliest first.

    A list in [after] replaces today's. The next interval of an item in `recurring_done` begins on
    the day of the likely finish. Inspections by hours: today's airplane flies as before, except
    while it is away; another airplane flies from the finish on. Items that are overdue or fall due
    before the airplane leaves are listed too, since no file says that they will be done.
    """
    option, as_of = case.options[option_id], case.scenario.as_of
    after = option.after.new("recurring")
    items = case.scenario.aircraft.recurring if after is None else after
    done, replaced = set(option.after.recurring_done), option.replaces_airplane
    away = TimeAway(stated=as_of)
    if option.schedule:
        start, weeks = option.schedule.start, option.schedule.weeks_down.likely
        back = day_after_weeks(start, weeks)
        away = (
            TimeAway(stated=back) if replaced else TimeAway(stated=as_of, start=start, weeks=weeks)
        )
    back = away.back
    calendar = [
        _calendar(item, back if item.name in done else item.last_done, away) for item in items
    ]
    equipment = case.replacements.get(option_id) if replaced else case.equipment
    return in_order([*calendar, *_hourly(case, equipment, away)])


def _calendar(item: Recurring, done: date, away: TimeAway) -> Due:
    last = item.good_through(done)
    return Due(
        name=item.name,
        by="calendar",
        last_day=last.isoformat(),
        at_hours=None,
        when=away.when(last),
    )


def _hourly(case: Case, equipment: Equipment | None, away: TimeAway) -> Iterator[Due]:
    """Yield the inspections by hours, with the likely day on which their limit is reached.

    The airplane flies hours_per_year - hours_lost_per_year a year, at likely values, over the
    season, from `away.stated` on. All lost hours are subtracted: hours that members move to other
    aircraft are not flown in this one. A limit that is not reached in 100 years is left out.
    """
    airplane = equipment.airplane if equipment else None
    aircraft = case.scenario.aircraft
    if airplane is None or airplane.tach is None:
        return
    yearly = max(aircraft.hours_per_year.likely - aircraft.hours_lost_per_year.likely, 0.0)
    for inspection in airplane.hourly:
        # Without a stated limit the inspection was done on time.
        limit = inspection.done_at if inspection.was_due_at is None else inspection.was_due_at
        at = hourly_done(due_at=limit, done_at=inspection.done_at, every=inspection.every).next_due
        left = at - airplane.tach
        if left < -SLACK:
            yield Due(name=inspection.name, by="hours", last_day=None, at_hours=at, when="overdue")
            continue
        day = day_reached(away.stated, left, hours_per_year=yearly, season=aircraft.season)
        if day is not None:
            day = away.postponed(day)
            yield Due(
                name=inspection.name,
                by="hours",
                last_day=day.isoformat(),
                at_hours=at,
                when=away.when(day),
            )


def in_order(dues: Iterable[Due]) -> tuple[Due, ...]:
    """Return the inspections by last valid day, then name.

    Those without a day are overdue, and come first.
    """
    return tuple(sorted(dues, key=lambda due: (due.last_day or "", due.name)))
