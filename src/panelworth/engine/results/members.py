"""Frozen figures for a single member: the bill by own hours, and where two options bill the same.

Money is unrounded, hours are a member's own a year.
"""

from collections.abc import Mapping
from dataclasses import dataclass

SAME = 1e-6  # of a unit of money: bills no further apart are the same


@dataclass(frozen=True, kw_only=True)
class BillLine:
    """An option's bill a month at the hours of the grid, straight in between, and what makes it.

    Dues are a month, the rate an hour, both with their raise; the assessment is paid once besides.
    `in_all` is what is asked for on top, over all the years it runs: the raises, and what is paid
    once.
    """

    dues: float
    hourly_rate: float
    per_month: tuple[float, ...]
    in_all: tuple[float, ...]
    assessment: float


@dataclass(frozen=True, kw_only=True)
class BillCrossing:
    """Which of two options bills less: `below` up to `hours` a year, `above` from there on.

    `hours` is None where they cross at no hours above 0 that a year has: then `below` and `above`
    are the one that bills less at any hours, and both "" where the two bill the same throughout.
    """

    pair: tuple[str, str]
    hours: float | None
    below: str
    above: str


@dataclass(frozen=True, kw_only=True)
class MemberBills:
    """Every option's bill by a member's own hours, and each pair's break-even hours."""

    hours: tuple[float, ...]
    lines: Mapping[str, BillLine]
    crossings: tuple[BillCrossing, ...]

    def per_month(self, option: str, hours: float) -> float | None:
        """Return an option's bill a month at some hours; None where it cannot be funded.

        A bill is a straight line in the hours, between the two points of the grid.
        """
        if option not in self.lines:
            return None
        low, high = self.lines[option].per_month
        return low + (high - low) * hours / self.hours[-1]

    def is_cheapest(self, option: str, hours: float) -> bool:
        """Say whether no option bills less than this one at some hours."""
        bills = [bill for key in self.lines if (bill := self.per_month(key, hours)) is not None]
        own = self.per_month(option, hours)
        return own is not None and own <= min(bills) + SAME
