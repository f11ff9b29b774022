"""When inspections fall due, by calendar months and by hours, and which binds first.

Intervals are US 14 CFR Parts 43 and 91: other states differ, and airworthiness directives come on
top. Nothing here says which inspections an airplane needs.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from panelworth.engine.results_airplane import Due
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, last_good_day, month_index, month_start
from panelworth.model.scenario import MONTHS, Recurring

HUNDRED = 100.0
EN_ROUTE = 10.0  # hours that 14 CFR 91.409(b) lets one fly on to where it is done
YEARS_AHEAD = 100


@dataclass(frozen=True, kw_only=True)
class HourRule:
    """An inspection by tach hours: its limit, and what the tach shows today."""

    name: str
    due_at: float
    now_at: float


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
        share = season[(as_of.month - 1 + month) % MONTHS] / sum(season)
        a_day = hours_per_year * share / (closes - opens).days
        flown = a_day * (closes - day).days
        if a_day and flown >= left:
            return min(day + timedelta(days=int(left / a_day)), closes - timedelta(days=1))
        left, day = left - flown, closes
    return None


def calendar_due(case: Case) -> tuple[Due, ...]:
    """Return today's recurring items with their last good day, the earliest first.

    A day before as_of means overdue.
    """
    return in_order(_calendar(item, item.last_done) for item in case.scenario.aircraft.recurring)


def calendar_due_after(case: Case, option_id: str) -> tuple[Due, ...]:
    """Return the recurring items once the option is in force, the earliest first.

    A list in `after` takes the place of today's; the clock of what is in `recurring_done` starts
    again on the day of the likely finish.
    """
    option = case.options[option_id]
    after = option.after.new("recurring")
    items = case.scenario.aircraft.recurring if after is None else after
    done = set(option.after.recurring_done)
    back = case.scenario.as_of
    if option.schedule:
        back = day_after_weeks(option.schedule.start, option.schedule.weeks_down.likely)
    return in_order(
        _calendar(item, back if item.name in done else item.last_done) for item in items
    )


def _calendar(item: Recurring, done: date) -> Due:
    last = last_good_day(done, item.every_months)
    return Due(name=item.name, by="calendar", last_day=last.isoformat(), at_hours=None)


def hours_due(case: Case, rules: Iterable[HourRule]) -> tuple[Due, ...]:
    """Return hourly inspections with the day their limit is reached at likely hours.

    Hours flown in this airplane: hours_per_year less hours_lost_per_year, over the season. One
    that is not reached in 100 years is left out.
    """
    aircraft = case.scenario.aircraft
    yearly = max(aircraft.hours_per_year.likely - aircraft.hours_lost_per_year.likely, 0.0)
    dues = []
    for rule in rules:
        left = rule.due_at - rule.now_at
        day = day_reached(case.scenario.as_of, left, hours_per_year=yearly, season=aircraft.season)
        if day is not None:
            at = rule.due_at
            dues.append(Due(name=rule.name, by="hours", last_day=day.isoformat(), at_hours=at))
    return in_order(dues)


def in_order(dues: Iterable[Due]) -> tuple[Due, ...]:
    """Sort by last good day, then name: the first one binds."""
    return tuple(sorted(dues, key=lambda due: (due.last_day, due.name)))


def months_between(as_of: date, due: Due) -> int:
    """Return in which month index an inspection falls due; below 0 when overdue."""
    return month_index(as_of, date.fromisoformat(due.last_day))
