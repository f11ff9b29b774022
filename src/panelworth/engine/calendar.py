"""Months, the days of a schedule in them, and when recurring items fall due."""

from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.worlds import Array, Worlds
from panelworth.model.dates import day_after_weeks, month_index, month_start
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Recurring, Scenario

Mask = NDArray[np.bool_]
Whole = NDArray[np.int64]
DAYS_IN_A_WEEK = 7


@dataclass(frozen=True, kw_only=True)
class Months:
    """The months 0..H of a scenario, arrays of shape (H+1,).

    `year` is y(m) = (m-1)//12 for m >= 1 and 0 for month 0; `first_day` is an ordinal day number
    and has one entry more, the day after month H; `of_year` is 0 for January.
    """

    last: int
    index: Whole
    year: Whole
    of_year: Whole
    first_day: Whole


@dataclass(frozen=True, kw_only=True)
class Dates:
    """When an option happens, as month indices.

    `finish` has shape (W,), or (1,) where weeks_down is certain; `down` is the share of each
    month's days in [start, finish), shape (W or 1, H+1); `after` is true from month finish+1.
    """

    order: int
    start: int
    likely_finish: int
    finish: Whole
    down: Array
    after: Mask


def months_of(scenario: Scenario) -> Months:
    """Lay out the months of a scenario's horizon, H = 12·years."""
    return _months(scenario.as_of, scenario.years)


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
    option: Option, scenario: Scenario, *, weeks_down: Array | None, months: Months
) -> Dates:
    """Place an option's order, start and finish; `weeks_down` has shape (W,) or (1,).

    finish = start + 7·weeks_down days, a real number of days; its month is that of the day it
    falls in, at most H. An option without a schedule starts and finishes on as_of.
    """
    schedule = option.schedule
    if schedule is None or weeks_down is None:
        nothing = np.zeros((1, months.last + 1))
        after = months.index[np.newaxis, :] > 0
        finish = np.zeros(1, dtype=np.int64)
        return Dates(order=0, start=0, likely_finish=0, finish=finish, down=nothing, after=after)
    start = schedule.start.toordinal()
    end = start + DAYS_IN_A_WEEK * weeks_down
    finish = np.searchsorted(months.first_day, np.floor(end), side="right") - 1
    finish = np.minimum(finish, months.last)
    likely = day_after_weeks(schedule.start, schedule.weeks_down.likely)
    return Dates(
        order=month_index(scenario.as_of, schedule.order or scenario.as_of),
        start=month_index(scenario.as_of, schedule.start),
        likely_finish=min(month_index(scenario.as_of, likely), months.last),
        finish=finish,
        down=_share_down(start, end, months),
        after=months.index > finish[:, np.newaxis],
    )


def _share_down(start: int, end: Array, months: Months) -> Array:
    opens, closes = months.first_day[:-1], months.first_day[1:]
    share = np.zeros((len(end), months.last + 1))
    touched = np.flatnonzero((closes > start) & (opens < end.max()))
    opens, closes = opens[touched], closes[touched]
    overlap = np.minimum(end[:, np.newaxis], closes) - np.maximum(start, opens)
    share[:, touched] = np.maximum(overlap, 0.0) / (closes - opens)
    return share


def due_from_clock(item: Recurring, scenario: Scenario, months: Months) -> Mask:
    """Return the months in which an item falls due by its clock, shape (H+1,).

    Due in the month of last_done + n·every_months, n = 1, 2, …; where the first of these is
    month 0 or before, in month 1, and the clock runs on from there.
    """
    first = month_index(scenario.as_of, item.last_done) + item.every_months
    return due_every(max(first, 1), item.every_months, months.index)


def due_after(item: Recurring, scenario: Scenario, finish: Whole, months: Months) -> Mask:
    """Return when an item of a new list falls due, shape (W or 1, H+1): never up to the finish.

    What is due by then falls in the month after the finish and runs on from there.
    """
    first = month_index(scenario.as_of, item.last_done) + item.every_months
    if (finish < first).all():
        return due_every(first, item.every_months, months.index)[np.newaxis, :]
    first_month = np.maximum(first, finish + 1)[:, np.newaxis]
    return due_every(first_month, item.every_months, months.index)


def due_every(first: int | Whole, every: int, index: Whole) -> Mask:
    """Return the months first + n·every, n = 0, 1, 2 and so on.

    >>> import numpy as np
    >>> np.flatnonzero(due_every(3, 4, np.arange(12))).tolist()
    [3, 7, 11]
    """
    due: Mask = (index >= first) & ((index - first) % every == 0)
    return due


def weeks_down_of(option: Option, prefix: str, worlds: Worlds) -> Array | None:
    """Return the weeks an option keeps the airplane down in each world, None without schedule."""
    return worlds.values[f"{prefix}schedule.weeks_down"] if option.schedule else None
