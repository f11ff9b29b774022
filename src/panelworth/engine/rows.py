"""Rows of a cash flow in the narrowest form they have, so that many trials add up quickly.

Most money changes once a year and at the finish alone. It is added up by the year, and spread
over the months only when the sum is known: the same figures, in a fraction of the work.
"""

import functools
import operator
from dataclasses import dataclass, fields

import numpy as np

from panelworth.engine.calendar import Dates, Months
from panelworth.engine.worlds import Array


@dataclass(frozen=True, kw_only=True)
class Yearly:
    """An amount by the year, shape (W or 1, years or 1): `before` in force up to the finish.

    `later` is in force from the month after it; the same array where nothing changes.
    """

    before: Array
    later: Array

    @property
    def same(self) -> bool:
        """True where nothing changes at the finish."""
        return self.later is self.before

    def __add__(self, other: "Yearly") -> "Yearly":
        """Add another amount, year by year."""
        before = self.before + other.before
        return Yearly(
            before=before, later=before if self.same and other.same else self.later + other.later
        )

    def __sub__(self, other: "Yearly") -> "Yearly":
        """Take another amount off, year by year."""
        return self + other * -1.0

    def __mul__(self, factor: Array | float) -> "Yearly":
        """Multiply by a number, or by a factor of shape (W or 1, years or 1)."""
        before = self.before * factor
        return Yearly(before=before, later=before if self.same else self.later * factor)


@dataclass(frozen=True, kw_only=True)
class Row:
    """Money as the sum of its parts; one that is left out is 0.

    `hourly`: for each hour flown; `member`: for each member; `level`: each month; `owned`: each
    month, for the share of it in which there is an airplane; `dated`: by month, (W or 1, H+1).
    All but the last begin in month 1.
    """

    hourly: Yearly | None = None
    member: Yearly | None = None
    level: Yearly | None = None
    owned: Yearly | None = None
    dated: Array | None = None


PARTS = tuple(each.name for each in fields(Row))
NOTHING = Row()


def added(*rows: Row) -> Row:
    """Add up rows, part by part."""
    parts = {}
    for name in PARTS:
        there = [part for row in rows if (part := getattr(row, name)) is not None]
        parts[name] = functools.reduce(operator.add, there) if there else None
    return Row(**parts)


def changing(before: Array, later: Array) -> Yearly:
    """Put one number a world, shape (W or 1,), in force up to the finish and another after it."""
    column = before[:, np.newaxis]
    return Yearly(before=column, later=column if later is before else later[:, np.newaxis])


def by_month(months: Months, yearly: Array) -> Array:
    """Repeat what is the same all year in each of its months; month 0 has what month 1 has.

    From shape (W or 1, years or 1) to (W or 1, H+1).
    """
    if yearly.shape[1] == 1:
        return np.repeat(yearly.T, months.last + 1, axis=0).T
    return np.repeat(yearly.T, np.bincount(months.year), axis=0).T


def spread(months: Months, dates: Dates, each: Yearly) -> Array:
    """Return what is in force in each month, (W or 1, H+1): by world where finishes differ."""
    if each.same:
        return by_month(months, each.before)
    years = int(months.year[-1]) + 1
    last = int(dates.finish.max()) + 1  # from here on all worlds have what comes later
    year = int(months.year[last]) if last <= months.last else years
    height = max(len(each.before), len(each.later), len(dates.after))
    mixed = np.empty((years, height)).T
    mixed[:, :year], mixed[:, year:] = _of(each.before, 0, year), _of(each.later, year, years)
    row = by_month(months, mixed)
    first = min(int(dates.finish.min()) + 1, int(np.searchsorted(months.year, year)))
    if first < last:
        here = months.year[first:last]
        before, later = (
            part if part.shape[1] == 1 else part[:, here] for part in (each.before, each.later)
        )
        row[:, first:last] = np.where(dates.after[:, first:last], later, before)
    return row


def _of(yearly: Array, first: int, last: int) -> Array:
    return yearly if yearly.shape[1] == 1 else yearly[:, first:last]


def monthly(months: Months, dates: Dates, row: Row, *, hours: Array, members: Array) -> Array:
    """Return a row's money in each month, shape (W or 1, H+1)."""
    total = np.zeros((1, months.last + 1)) if row.dated is None else row.dated
    counts = ((row.hourly, hours), (row.member, members), (row.owned, 1.0 - dates.down))
    found = [
        _into(np.multiply, spread(months, dates, each), count)
        for each, count in counts
        if each is not None
    ]
    if row.level is not None:
        found.append(spread(months, dates, row.level))
    for each in found:
        each[:, 0] = 0.0
        total = _into(np.add, each, total)
    return total


def _into(change: np.ufunc, fresh: Array, other: Array) -> Array:
    """Work on an array of our own in its place, where the other is no taller."""
    out = fresh if len(fresh) >= len(other) else None
    changed: Array = change(fresh, other, out=out)
    return changed
