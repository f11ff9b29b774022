"""What an option's things cost: its items, included small jobs and the purchase, tax in."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Price:
    """What one thing costs, with its likely tax.

    `low` and `high` are the ends of its own range. `name` is "" for the purchase. `source` is the
    one that the option file names for it, "" without one. `paid` is what was paid up to as_of;
    `basis` is the kind of paper that it rests on by the ledger: "written" where only rows of
    another kind are there, "" where the ledger has no row on it. `lapsed`
    says that a paper which it rests on no longer holds.
    """

    path: str
    name: str
    low: float
    likely: float
    high: float
    source: str
    basis: str
    paid: float
    lapsed: bool

    @property
    def unpaid(self) -> float:
        """What of the likely price has not been paid by as_of; 0 where more has been paid."""
        return max(self.likely - self.paid, 0.0)


@dataclass(frozen=True, kw_only=True)
class LikelyPayment:
    """What an option pays or receives for one thing, at likely values; all sums are positive.

    `price` is before tax, `total` with tax, and `due` what of it is not paid by as_of. The total of
    a sale is its price less the selling cost.
    """

    price: float
    total: float
    due: float


@dataclass(frozen=True, kw_only=True)
class PriceList:
    """All things that cost something, the likely dearest first; their likely sum is the outlay.

    `member_hours` are hours of work that nobody is paid for.
    """

    prices: tuple[Price, ...]
    member_hours: float

    @property
    def lapsed(self) -> float:
        """The likely sum of what rests on a paper that no longer holds."""
        return math.fsum(price.likely for price in self.prices if price.lapsed)

    @property
    def likely(self) -> float:
        """The likely sum of all."""
        return math.fsum(price.likely for price in self.prices)

    @property
    def lapsed_share(self) -> float:
        """The share of the likely sum, which is not 0, that rests on a lapsed paper."""
        return self.lapsed / self.likely

    def likely_after(self, count: int) -> float:
        """Return the likely sum of all but the first `count`."""
        return math.fsum(price.likely for price in self.prices[count:])
