"""Rows of a cash flow in the smallest shape that holds them, so that many trials add up quickly.

Most amounts change only once a year and at a finish. Such rows are added up by the year, with a
twelfth of the operations. Their sum is expanded to months only in a present value
(present_value.py), or where the balance of each month is needed (`monthly`).
"""

import functools
import operator
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates, Months
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

NO_MONEY = np.zeros(1)


@dataclass(frozen=True)
class Yearly:
    """An amount by the year in each stretch of time, arrays of shape (T or 1, years or 1).

    A stretch is the time between two finishes: `stretches[0]` is in force up to the first phase's
    finish, `stretches[1]` from the month after it to the next phase's finish, and so on. If no
    finish changes the amount, there is only one stretch.
    """

    stretches: tuple[Array, ...]

    @property
    def first(self) -> Array:
        """The amount up to the first finish."""
        return self.stretches[0]

    def over(self, count: int) -> tuple[Array, ...]:
        """Return the amounts of `count` stretches; an unchanged amount is repeated."""
        return self.stretches if len(self.stretches) == count else self.stretches * count

    def __add__(self, other: "Yearly") -> "Yearly":
        """Add another amount, stretch by stretch and year by year."""
        return self._combined(other, operator.add)

    def __sub__(self, other: "Yearly") -> "Yearly":
        """Subtract another amount."""
        return self._combined(other, operator.sub)

    def __neg__(self) -> "Yearly":
        """Change the sign."""
        return self * -1.0

    def __mul__(self, factor: "Yearly | Array | float") -> "Yearly":
        """Multiply by a number, by an array of shape (T or 1, years or 1), or by another amount."""
        if isinstance(factor, Yearly):
            return self._combined(factor, operator.mul)
        return Yearly(tuple(amount * factor for amount in self.stretches))

    def __truediv__(self, divisor: float) -> "Yearly":
        """Divide by a number."""
        return Yearly(tuple(amount / divisor for amount in self.stretches))

    def _combined(self, other: "Yearly", operation: Callable[[Array, Array], Array]) -> "Yearly":
        count = max(len(self.stretches), len(other.stretches))
        pairs = zip(self.over(count), other.over(count), strict=True)
        return Yearly(tuple(operation(one, two) for one, two in pairs))


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row of money as a sum of parts; a part that is left out is 0.

    `hourly`: an amount for each hour flown. `newcomer`: an amount a month for each member more than
    today. `level`: an amount a month. `owned`: an amount a month, times the share of the month with
    an airplane. These four begin in month 1. `monthly`: amounts by month, (T or 1, H+1). `dated`:
    amounts in single months, (T or 1,) each.
    """

    hourly: Yearly | None = None
    newcomer: Yearly | None = None
    level: Yearly | None = None
    owned: Yearly | None = None
    monthly: Array | None = None
    dated: Mapping[int, Array] = field(default_factory=dict)

    def __sub__(self, other: "Row") -> "Row":
        """Subtract another row, part by part."""
        parts = {name: _less(getattr(self, name), getattr(other, name)) for name in PARTS}
        dated = dict(self.dated)
        for month, money in other.dated.items():
            dated[month] = dated.get(month, 0.0) - money
        return Row(**parts, dated=dated)


YEARLY = ("hourly", "newcomer", "level", "owned")
PARTS = (*YEARLY, "monthly")
NOTHING = Row()


@dataclass(frozen=True, kw_only=True)
class Multiples:
    """The quantities by which parts of rows are multiplied in each month, shape (T or 1, H+1) each.

    `hourly`: hours flown. `newcomer`: members more than today. `down`: the share of the month
    without an airplane.
    """

    hourly: Array
    newcomer: Array
    down: Array

    @cached_property
    def owned(self) -> Array:
        """The share of the month with an airplane."""
        return 1.0 - self.down


def _less(amount: Any, other: Any) -> Any:  # noqa: ANN401 (both an array or a Yearly, or None)
    if other is None:
        return amount
    return -other if amount is None else amount - other


def added(*rows: Row) -> Row:
    """Add up rows, part by part."""
    parts = {}
    for name in PARTS:
        present = [part for row in rows if (part := getattr(row, name)) is not None]
        parts[name] = functools.reduce(operator.add, present) if present else None
    dated: dict[int, Array] = {}
    for row in rows:
        for month, money in row.dated.items():
            dated[month] = dated[month] + money if month in dated else money
    return Row(**parts, dated=dated)


def in_stretches(amounts: Iterable[Array]) -> Yearly:
    """Return an amount with one array for each stretch; if all are the same array, with one only.

    The same array, and not equal values: to compare all values would take as long as to add them.
    """
    first, *others = amounts
    unchanged = all(amount is first for amount in others)
    return Yearly((first,) if unchanged else (first, *others))


def unchanged(yearly: Array) -> Yearly:
    """Return an amount of shape (T or 1, years) that no phase changes."""
    return Yearly((yearly,))


def by_month(months: Months, yearly: Array) -> Array:
    """Repeat an amount by the year in each of its months; month 0 has the amount of month 1.

    From shape (T or 1, years or 1) to (T or 1, H+1).
    """
    if yearly.shape[1] == 1:
        return np.repeat(yearly.T, months.last + 1, axis=0).T
    # Year 0 has 13 months, from month 0 to month 12.
    return np.repeat(yearly.T, np.bincount(months.year), axis=0).T


def years_of(monthly: Array) -> Array:
    """Return a view of months 1..H by year: from (T or 1, H+1) to (years, 12, T or 1)."""
    months_first = monthly.T
    return months_first[1:].reshape(-1, MONTHS, months_first.shape[1])


def in_each_year(amount: Yearly, dates: Sequence[Dates], years: int) -> list[Array]:
    """Return the amounts of the months of each year, each of shape (12 or 1, T or 1).

    The months of a year have different amounts only if some trial's finish falls in the year: only
    then the first axis is 12. `dates` are those of the phases.
    """
    first, *others = (
        np.broadcast_to(values.T, (years, len(values)))[:, np.newaxis]
        for values in amount.stretches
    )
    amounts = list(first)
    # Not strict: an amount that no phase changes has no other stretches.
    for phase, later in zip(dates, others, strict=False):
        for year, past in zip(range(years)[phase.mixed], phase.past_in_mixed, strict=True):
            amounts[year] = np.where(past, later[year], amounts[year])
        amounts[phase.mixed.stop :] = later[phase.mixed.stop :]
    return amounts


def monthly(dates: Sequence[Dates], row: Row, multiples: Multiples) -> Array:
    """Return a row's money in each month, shape (T or 1, H+1); `dates` are those of the phases."""
    parts = [
        (amount, None if name == "level" else getattr(multiples, name))
        for name in YEARLY
        if (amount := getattr(row, name)) is not None
    ]
    height = max(
        1 if row.monthly is None else len(row.monthly),
        *(len(money) for money in (*row.dated.values(), NO_MONEY)),
        *(_height(dates, amount, multiple) for amount, multiple in parts),
    )
    # Months are the first axis: the trials of a month are then adjacent in memory.
    total = np.empty((multiples.hourly.shape[1], height))
    total[:] = 0.0 if row.monthly is None else row.monthly.T
    _pay(total, dates, parts)
    for month, money in row.dated.items():
        total[month] += money
    return total.T


def _height(dates: Sequence[Dates], amount: Yearly, multiple: Array | None) -> int:
    """Return the length of the axis of trials of a product: T, or 1 if all trials agree."""
    changes = dates if len(amount.stretches) > 1 else ()
    return max(
        1 if multiple is None else len(multiple),
        *(len(values) for values in amount.stretches),
        *(len(change.finish) for change in changes),
    )


def monthly_product(dates: Sequence[Dates], amount: Yearly, multiple: Array) -> Array:
    """Return multiple·amount in each month, shape (T or 1, H+1); month 0 is 0."""
    total = np.zeros((multiple.shape[1], _height(dates, amount, multiple)))
    years = years_of(total.T)
    amounts = in_each_year(amount, dates, len(years))
    for months, here, count in zip(years, amounts, years_of(multiple), strict=True):
        np.multiply(here, count, out=months)
    return total.T


def _pay(
    total: Array, dates: Sequence[Dates], parts: Sequence[tuple[Yearly, Array | None]]
) -> None:
    """Add each multiple·amount to the months of `total`, shape (H+1, T); nothing to month 0.

    A multiple has shape (T or 1, H+1); None means 1. The loop over years is the outer one, so that
    the months of a year stay in the processor's cache while all parts are added.
    """
    years = years_of(total.T)
    amounts = [in_each_year(amount, dates, len(years)) for amount, _ in parts]
    counts = [None if multiple is None else years_of(multiple) for _, multiple in parts]
    product = np.empty(years.shape[1:])
    for year, months in enumerate(years):
        for amount, count in zip(amounts, counts, strict=True):
            paid = amount[year]
            if count is not None:
                paid = np.multiply(paid, count[year], out=product)
            np.add(months, paid, out=months)
