"""Present values of rows by the year: months and discount factors are summed once for all rows.

A row's part pays amount(y)·n(m) in each month m of year y, n the hours, newcomers or share of the
month owned. Its present value is Σ_y amount(y)·S(y), S(y) = Σ_m n(m)·d(m) over the months of the
year: the same as month by month, in a fraction of the work where trials are many.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates
from panelworth.engine.cash_flow.discounting import present_value
from panelworth.engine.cash_flow.rows import YEARLY, Multiples, Row, Yearly, years_of
from panelworth.engine.trials import Array


@dataclass(frozen=True, kw_only=True)
class Discounted:
    """What a unit of each part of a row is worth today, by the year it is paid in.

    `factors` are the discount factors, shape (T or 1, H+1). The sums S have shape (T or 1, years):
    `before` over the months up to the finish, `later` over those after it.
    """

    dates: Dates
    multiples: Multiples
    factors: Array

    @cached_property
    def hourly(self) -> Yearly:
        """An hour."""
        return self._summed(self.multiples.hourly)

    @cached_property
    def newcomer(self) -> Yearly:
        """A member more than today, each month."""
        return self._summed(self.multiples.newcomer)

    @cached_property
    def level(self) -> Yearly:
        """A sum each month."""
        return self._summed(np.ones((1, self.factors.shape[1])))

    @cached_property
    def owned(self) -> Yearly:
        """A sum each month, for the share of it in which there is an airplane."""
        return self._summed(self.multiples.owned)

    @property
    def hours(self) -> Array:
        """The hours flown, discounted, shape (T or 1,)."""
        found: Array = (self.hourly.before + self.hourly.later).sum(axis=1)
        return found

    def present(self, row: Row) -> Array:
        """Return the present value of a row, shape (T or 1,)."""
        total = np.zeros(1)
        for name in YEARLY:
            each: Yearly | None = getattr(row, name)
            if each is not None:
                total = total + _worth(each, getattr(self, name))
        if row.monthly is not None:
            total = total + present_value(row.monthly, self.factors)
        for month, money in row.dated.items():
            total = total + money * self.factors[:, month]
        return total

    def _summed(self, multiple: Array) -> Yearly:
        counts, factors = np.broadcast_arrays(years_of(multiple), years_of(self.factors))
        whole = np.einsum("ymw,ymw->yw", counts, factors)
        mixed, past = self.dates.mixed, self.dates.past_in_mixed
        later = np.zeros((len(whole), max(whole.shape[1], past.shape[2])))
        later[mixed] = np.where(past, counts[mixed] * factors[mixed], 0.0).sum(axis=1)
        later[mixed.stop :] = whole[mixed.stop :]
        return Yearly(before=(whole - later).T, later=later.T)


def _worth(each: Yearly, sums: Yearly) -> Array:
    """Return Σ amount(y)·S(y), shape (T or 1,)."""
    if each.same:
        return _dot(each.before, sums.before + sums.later)
    return _dot(each.before, sums.before) + _dot(each.later, sums.later)


def _dot(amounts: Array, sums: Array) -> Array:
    found: Array = (amounts * sums).sum(axis=1)
    return found
