"""Results for one member: the bill by the member's hours, and where two options bill the same.

Money is not rounded. Hours are those that the member flies in a year.
"""

from collections.abc import Mapping
from dataclasses import dataclass

SAME = 1e-6  # of a unit of money: a smaller difference of two bills is a rounding error


@dataclass(frozen=True, kw_only=True)
class BillLine:
    """An option's bill a month at the hours of the grid, and its components.

    Between the points of the grid the bill is a straight line. `dues` are a month and `hourly_rate`
    is an hour, both with their raise; the assessment is paid once and is not in the bill.
    """

    dues: float
    hourly_rate: float
    per_month: tuple[float, ...]
    assessment: float


@dataclass(frozen=True, kw_only=True)
class BillCrossing:
    """Which of two options bills less: `below` up to `hours` a year, `above` from there on.

    `hours` is None where the two lines do not cross between 0 and the hours of a year. Then `below`
    and `above` are the option that bills less at all hours, or both "" where the bills are equal.
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
        """Return an option's bill a month at these hours; None where no raise funds the option.

        A bill is a straight line in the hours, between the two points of the grid.
        """
        if option not in self.lines:
            return None
        low, high = self.lines[option].per_month
        return low + (high - low) * hours / self.hours[-1]

    def is_cheapest(self, option: str, hours: float) -> bool:
        """Say whether no other option bills less than this one at these hours."""
        bills = [bill for key in self.lines if (bill := self.per_month(key, hours)) is not None]
        own = self.per_month(option, hours)
        return own is not None and own <= min(bills) + SAME
