"""The rules for when the airplane may be down, for the planner and for the check of files.

A day is its ordinal number (date.toordinal). A stretch is a first and a last day, both included.
Nothing here imports numpy, because the check of a folder must be quick.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import count

from panelworth.engine.results.start import Refusal, Why
from panelworth.model.case import Case
from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks, days_away, month_index
from panelworth.model.fleet import Fleet, Window
from panelworth.model.scenario import MONTHS
from panelworth.model.schedule import Schedule

Stretch = tuple[int, int]


def refusals(case: Case, schedule: Schedule, start: date) -> Iterator[Refusal]:
    """Yield the reasons why a start is refused at the likely weeks down; none if it is allowed.

    The reasons: the start is before the order, or before the likely arrival of the equipment; more
    than max_down aircraft are down on a day (one reason for each window of another aircraft on such
    a day); a blackout; a finish past the horizon. The project's method, section 6.
    """
    yield from _refusals(case, schedule, start, too_many_down(case.fleet or Fleet()))


def days_to_allowed(case: Case, schedule: Schedule) -> int | None:
    """Return the days by which the start must move to be allowed: 0 as planned, None if never.

    Every seventh day is tried, so that the weekday stays the same, at the likely weeks down, as
    long as the finish is within the horizon. The order moves by as many days as the start.
    Therefore a start before the arrival of the equipment stays too early. The project's method,
    section 9.
    """
    busy, last = too_many_down(case.fleet or Fleet()), MONTHS * case.scenario.years
    for days in count(0, DAYS_IN_A_WEEK):
        later = moved_by(case, schedule, days)
        finish = later.likely_finish
        if month_index(case.scenario.as_of, finish) > last:
            return None
        if next(_refusals(case, later, later.start, busy), None) is None:
            return days
    return None


def moved_by(case: Case, schedule: Schedule, days: int) -> Schedule:
    """Return a schedule with start and order `days` later; a default order is as_of."""
    step = timedelta(days=days)
    order = (schedule.order or case.scenario.as_of) + step
    return schedule.model_copy(update={"start": schedule.start + step, "order": order})


def too_many_down(fleet: Fleet) -> list[Stretch]:
    """Return the stretches, in order, in which at least max_down other aircraft are down.

    One more aircraft, the airplane of the question, would then be too many. An aircraft with two
    windows on a day counts once. The sweep visits only days on which a window begins or ends, so
    its time does not grow with the lengths of windows.
    """
    changes: Counter[int] = Counter()
    for aircraft in fleet.aircraft:
        for first, last in united(aircraft.down):
            changes[first] += 1
            # The last day is included, so the aircraft is back on the day after it.
            changes[last + 1] -= 1
    stretches: list[Stretch] = []
    down, since = 0, None
    for day in sorted(changes):
        down += changes[day]
        if since is None and down >= fleet.max_down:
            since = day
        elif since is not None and down < fleet.max_down:
            stretches.append((since, day - 1))
            since = None
    return stretches


def united(windows: Iterable[Window]) -> list[Stretch]:
    """Return the union of windows as stretches in order, with at least one day between two."""
    stretches: list[Stretch] = []
    for first, last in sorted(_stretch(window) for window in windows):
        # Windows without a day between them are one stretch.
        if stretches and first <= stretches[-1][1] + 1:
            stretches[-1] = (stretches[-1][0], max(stretches[-1][1], last))
        else:
            stretches.append((first, last))
    return stretches


def _refusals(
    case: Case, schedule: Schedule, start: date, busy: Sequence[Stretch]
) -> Iterator[Refusal]:
    scenario, weeks = case.scenario, schedule.weeks_down.likely
    order = schedule.order or scenario.as_of
    if start < order:
        yield _refusal("order", "", order, order)
    # Not reported beside a start before the order, of which it is only a consequence.
    elif start < (arrives := day_after_weeks(order, schedule.lead_weeks.likely)):
        yield _refusal("arrival", "", arrives, arrives)
    # A downtime that ends within a day takes the whole day from the other aircraft.
    stay = (start.toordinal(), start.toordinal() + days_away(weeks) - 1)
    fleet, met = (
        case.fleet or Fleet(),
        [_shared(stretch, stay) for stretch in busy if _meet(stretch, stay)],
    )
    for aircraft in fleet.aircraft:
        for window in aircraft.down:
            if any(_meet(_stretch(window), stretch) for stretch in met):
                what = f"{aircraft.name}: {window.reason}" if window.reason else aircraft.name
                yield _refusal("fleet", what, window.first, window.last)
    for window in fleet.blackout:
        if _meet(_stretch(window), stay):
            yield _refusal("blackout", window.reason, window.first, window.last)
    finish = day_after_weeks(start, weeks)
    if month_index(scenario.as_of, finish) > MONTHS * scenario.years:
        yield _refusal("horizon", "", finish, finish)


def _refusal(why: Why, what: str, first: date, last: date) -> Refusal:
    return Refusal(why=why, what=what, first=first.isoformat(), last=last.isoformat())


def _stretch(window: Window) -> Stretch:
    return window.first.toordinal(), window.last.toordinal()


def _shared(one: Stretch, other: Stretch) -> Stretch:
    """Return the days that two stretches share; if there are none, the first is after the last."""
    return max(one[0], other[0]), min(one[1], other[1])


def _meet(one: Stretch, other: Stretch) -> bool:
    first, last = _shared(one, other)
    return first <= last
