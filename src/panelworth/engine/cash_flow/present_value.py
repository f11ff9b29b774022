"""Present values of rows by the year: n(m)·d(m) is summed once for all rows.

A part of a row pays amount(y)·n(m) in each month m of year y; n is the hours flown, the newcomers
or the share of the month with an airplane. Its present value is Σ_y amount(y)·S(y), with
S(y) = Σ_m n(m)·d(m) over the months of the year. This is the same sum as month by month, with a
twelfth of the operations for each row.
"""

import functools
import operator
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates
from panelworth.engine.cash_flow.discounting import present_value
from panelworth.engine.cash_flow.rows import YEARLY, Multiples, Row, Yearly, years_of
from panelworth.engine.trials import Array


@dataclass(frozen=True, kw_only=True)
class Discounted:
    """The present value of one unit of each part of a row, by the year in which it is paid.

    `dates` are those of the phases, `factors` the discount factors, shape (T or 1, H+1).
    """

    dates: Sequence[Dates]
    multiples: Multiples
    factors: Array

    @cached_property
    def hourly(self) -> "Sums":
        """The unit is one hour flown."""
        return self._summed(self.multiples.hourly)

    @cached_property
    def newcomer(self) -> "Sums":
        """The unit is one member more than today, each month."""
        return self._summed(self.multiples.newcomer)

    @cached_property
    def level(self) -> "Sums":
        """The unit is one unit of money each month."""
        return self._summed(np.ones((1, self.factors.shape[1])))

    @cached_property
    def owned(self) -> "Sums":
        """The unit is one unit of money each month, for the share of it with an airplane."""
        return self._summed(self.multiples.owned)

    @property
    def hours(self) -> Array:
        """The sum of hours flown·d, shape (T or 1,)."""
        hours: Array = self.hourly.all_stretches.sum(axis=1)
        return hours

    def present(self, row: Row) -> Array:
        """Return the present value of a row, shape (T or 1,)."""
        total = np.zeros(1)
        for name in YEARLY:
            amount: Yearly | None = getattr(row, name)
            if amount is not None:
                total = total + _worth(amount, getattr(self, name))
        if row.monthly is not None:
            total = total + present_value(row.monthly, self.factors)
        for month, money in row.dated.items():
            total = total + money * self.factors[:, month]
        return total

    def _summed(self, multiple: Array) -> "Sums":
        counts, factors = np.broadcast_arrays(years_of(multiple), years_of(self.factors))
        after = np.einsum("ymw,ymw->yw", counts, factors)
        stretches = []
        for phase in self.dates:
            mixed, past = phase.mixed, phase.past_in_mixed
            # Only in the mixed years some months are past the finish in some trials.
            later = np.zeros((len(after), max(after.shape[1], past.shape[2])))
            later[mixed] = np.where(past, counts[mixed] * factors[mixed], 0.0).sum(axis=1)
            later[mixed.stop :] = after[mixed.stop :]
            stretches.append((after - later).T)
            after = later
        return Sums((*stretches, after.T))


@dataclass(frozen=True)
class Sums:
    """The sums S over the months of each stretch, shape (T or 1, years) each."""

    stretches: tuple[Array, ...]

    @cached_property
    def all_stretches(self) -> Array:
        """The sum over all months of a year, shape (T or 1, years)."""
        return functools.reduce(operator.add, self.stretches)


def _worth(amount: Yearly, sums: Sums) -> Array:
    """Return Σ amount(y)·S(y), shape (T or 1,)."""
    # An amount that no phase changes needs only the sums of whole years.
    if len(amount.stretches) == 1:
        return _dot(amount.first, sums.all_stretches)
    pairs = zip(amount.stretches, sums.stretches, strict=True)
    return functools.reduce(operator.add, (_dot(amounts, summed) for amounts, summed in pairs))


def _dot(amounts: Array, sums: Array) -> Array:
    """Return the sum over the years, shape (T or 1,)."""
    total: Array = (amounts * sums).sum(axis=1)
    return total
