"""Months, the dates of a schedule as month indices, and the due dates of recurring items."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.trials import Array, Trials
from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks, month_index, month_start
from panelworth.model.option import When
from panelworth.model.scenario import MONTHS, Recurring, Scenario
from panelworth.model.schedule import Schedule

Mask = NDArray[np.bool_]
Counts = NDArray[np.int8]  # how often an item falls due in a month: at most 31 times
Integers = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True)
class Months:
    """The months 0..H of a scenario, arrays of shape (H+1,).

    `year` is y(m) = (m-1)//12 for m >= 1 and 0 for month 0. `of_year` is 0 for January.
    `first_day` has the ordinal day number of each month's first day, and one more entry for the day
    after month H.
    """

    last: int
    index: Integers
    year: Integers
    of_year: Integers
    first_day: Integers


@dataclass(frozen=True, kw_only=True)
class MoreWeeks:
    """Weeks on top of weeks_down: in each trial, shape (T or 1,), and at likely values."""

    drawn: Array
    likely: float


@dataclass(frozen=True, kw_only=True)
class Dates:
    """When a phase of an option happens, as month indices.

    `start` and `finish` have shape (T,), or (1,) where all trials agree; `down` is the share of
    each month's days in [start, finish), shape (T or 1, H+1). `likely_finish` is the month and
    `likely_back` the ordinal number of the day of the finish at likely values. `weeks` are the
    weeks from start to finish, shape (T or 1,).
    """

    order: int
    start: Integers
    likely_finish: int
    likely_back: int
    finish: Integers
    down: Array
    weeks: Array

    @cached_property
    def after(self) -> Mask:
        """Which months are past the finish, from month finish+1 on, shape (T or 1, H+1)."""
        return self.past(np.arange(self.down.shape[1]))

    def past(self, months: Integers) -> Mask:
        """Say which of these months are past the finish, shape (T or 1, M)."""
        return (months[:, np.newaxis] > self.finish).T

    def month_of(self, when: When) -> Integers:
        """Return the month of the order, the start or the finish, shape (T or 1,)."""
        if when == "finish":
            return self.finish
        return np.array([self.order]) if when == "order" else self.start

    @cached_property
    def mixed(self) -> slice:
        """The years, counted from 0, in which some trial's finish falls.

        In the years before them every trial is before its finish, in the years after them every
        trial is past it. So only the years in between must be worked out month by month.
        """
        finish = self.finish
        return slice(int(finish.min()) // MONTHS, -(-int(finish.max()) // MONTHS))

    @cached_property
    def past_in_mixed(self) -> Mask:
        """Which months of the mixed years are past the finish, shape (years, 12, T or 1)."""
        months = np.arange(MONTHS * self.mixed.start + 1, MONTHS * self.mixed.stop + 1)
        return self.past(months).T.reshape(-1, MONTHS, len(self.finish))


def months_of(scenario: Scenario) -> Months:
    """Return the months of a scenario's horizon, H = 12·years."""
    return _months(scenario.as_of, scenario.years)


# Every evaluation of an option asks for the months, and they depend on these two values only.
@lru_cache(maxsize=64)
def _months(as_of: date, years: int) -> Months:
    last = MONTHS * years
    index = np.arange(last + 1)
    days = [month_start(as_of, month).toordinal() for month in range(last + 2)]
    return Months(
        last=last,
        index=index,
        year=np.maximum(index - 1, 0) // MONTHS,
        of_year=(as_of.month - 1 + index) % MONTHS,
        first_day=np.array(days),
    )


def dates_of(
    schedule: Schedule | None,
    scenario: Scenario,
    *,
    trials: Trials,
    months: Months,
    more_weeks: MoreWeeks,
) -> Dates:
    """Return the months of a schedule's order, start and finish in every trial.

    finish = start + 7·weeks days, a real number of days, weeks = weeks_down and what `more_weeks`
    adds. Its month is that of the day in which it falls, at most H. Without a schedule, all three
    are on as_of, so that [after] applies from month 1. The project's method, section 2.
    """
    if schedule is None:
        as_of = np.zeros(1, dtype=np.int64)
        return Dates(
            order=0,
            start=as_of,
            likely_finish=0,
            likely_back=scenario.as_of.toordinal(),
            finish=as_of,
            down=np.zeros((1, months.last + 1)),
            weeks=np.zeros(1),
        )
    start = schedule.start.toordinal()
    weeks = trials.of(schedule.weeks_down) + more_weeks.drawn
    end = start + DAYS_IN_A_WEEK * weeks
    # A finish within a day belongs to that day, so fractions of a day are cut off first.
    finish = np.searchsorted(months.first_day, np.floor(end), side="right") - 1
    finish = np.minimum(finish, months.last)
    likely = day_after_weeks(schedule.start, schedule.weeks_down.likely + more_weeks.likely)
    return Dates(
        order=month_index(scenario.as_of, schedule.order or scenario.as_of),
        start=np.array([month_index(scenario.as_of, schedule.start)]),
        likely_finish=min(month_index(scenario.as_of, likely), months.last),
        likely_back=likely.toordinal(),
        finish=finish,
        down=_share_down(start, end, months),
        weeks=weeks,
    )


def _share_down(start: int, end: Array, months: Months) -> Array:
    """Return the share of each month's days in [start, end), shape (T or 1, H+1).

    Only months that the downtime of some trial reaches are worked out. The array is transposed so
    that the trials of a month are adjacent in memory.
    """
    opens, closes = months.first_day[:-1], months.first_day[1:]
    share = np.zeros((months.last + 1, len(end))).T
    touched = np.flatnonzero((closes > start) & (opens < end.max()))
    opens, closes = opens[touched], closes[touched]
    overlap = np.minimum(end[:, np.newaxis], closes) - np.maximum(start, opens)
    share[:, touched] = np.maximum(overlap, 0.0) / (closes - opens)
    return share


def due_from_clock(item: Recurring, scenario: Scenario, months: Months) -> Counts:
    """Return how often a recurring item falls due in each month, shape (H+1,).

    Due in the month of last_done + n·every_months, n = 1, 2, …, or on the days
    last_done + n·every_days. What is due before month 1 is paid once, in month 1, and the next
    interval begins with this month, or with its first day: an overdue inspection is done once, and
    not once for each interval that was missed.
    """
    due: Counts = due_after(item, scenario, np.zeros(1, dtype=np.int64), months)[0]
    return due


def due_after(item: Recurring, scenario: Scenario, finish: Integers, months: Months) -> Counts:
    """Return how often an item of a new list falls due, shape (T or 1, H+1); 0 up to the finish.

    What is due by the finish is paid in the month after it, and the next interval begins there.
    """
    first_finish = int(finish.min())
    opens = np.arange(first_finish, int(finish.max()) + 1) + 1  # all trials finish in a few months
    if item.every_days is not None:
        first = item.last_done.toordinal() + item.every_days
        rows = due_on_days(np.maximum(first, months.first_day[opens]), item.every_days, months)
    else:
        every = item.every_months or 1
        first = month_index(scenario.as_of, item.last_done) + every
        rows = due_every(np.maximum(first, opens), every, months.index)
    due: Counts = rows.take(finish - first_finish, axis=0)
    return due


def due_after_restart(item: Recurring, dates: Dates, months: Months) -> Counts:
    """Return how often an item that is done at the likely finish falls due after it, (1, H+1).

    The likely finish counts in every trial, not the trial's own finish: the project's method,
    section 3. So a longer downtime does not move the date of a later inspection.
    """
    if item.every_days is not None:
        first = np.array([dates.likely_back + item.every_days])
        return due_on_days(first, item.every_days, months)
    every = item.every_months or 1
    return due_every(np.array([dates.likely_finish + every]), every, months.index)


def due_every(first: Integers, every: int, index: Integers) -> Counts:
    """Return 1 in the months first + n·every, n = 0, 1, 2 and so on, shape (len(first), H+1).

    >>> import numpy as np
    >>> np.flatnonzero(due_every(np.array([3]), 4, np.arange(12))[0]).tolist()
    [3, 7, 11]
    """
    since = index - first[:, np.newaxis]
    due: Counts = ((since >= 0) & (since % every == 0)).astype(np.int8)
    return due


def due_on_days(first: Integers, every: int, months: Months) -> Counts:
    """Return how many of the days first + n·every, n = 0, 1, 2, …, fall in each month.

    `first` holds ordinal day numbers; shape (len(first), H+1). Before a day d there are
    max(0, ⌈(d - first)/every⌉) of them.
    """
    before = np.maximum(-((first[:, np.newaxis] - months.first_day) // every), 0)
    counts: Counts = np.diff(before, axis=1).astype(np.int8)
    return counts
