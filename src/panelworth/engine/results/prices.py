"""Prices of an option's items, included small jobs and purchase, with tax."""

import math
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Price:
    """The price of one item, job or purchase, with its likely tax.

    `low` and `high` are the ends of its own range. `name` is "" for the purchase. `source` is the
    source stated in the option file, "" without one. `paid` is the sum of payments up to as_of.
    `basis` says what the price follows from in the ledger: "invoice", "quote" or "estimate";
    "written" where the ledger has only other rows for it, "" where it has none. `lapsed` says that
    the quote or estimate has expired; it still counts.
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
        """The part of the likely price that is not paid by as_of; 0 where more has been paid."""
        return max(self.likely - self.paid, 0.0)


@dataclass(frozen=True, kw_only=True)
class LikelyPayment:
    """One payment or receipt of an option at likely values; all sums are positive.

    `price` is before tax and `total` with tax; `due` is the part of `total` that is not paid by
    as_of. The total of a sale is its price less the selling cost.
    """

    price: float
    total: float
    due: float


@dataclass(frozen=True, kw_only=True)
class PriceList:
    """All prices of an option, the highest likely price first; their likely sum is the outlay.

    `member_hours` are hours of members' unpaid work.
    """

    prices: tuple[Price, ...]
    member_hours: float

    @property
    def lapsed(self) -> float:
        """The likely sum of the prices whose quote or estimate has expired."""
        return math.fsum(price.likely for price in self.prices if price.lapsed)

    @property
    def likely(self) -> float:
        """The sum of all likely prices."""
        return math.fsum(price.likely for price in self.prices)

    @property
    def lapsed_share(self) -> float:
        """The share of `lapsed` in the likely sum, which must not be 0."""
        return self.lapsed / self.likely

    def likely_after(self, count: int) -> float:
        """Return the sum of all likely prices but the first `count`."""
        return math.fsum(price.likely for price in self.prices[count:])
