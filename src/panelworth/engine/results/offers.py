"""What one supplier offers for an option, by its newest quotes."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One supplier's quotes with their changes, tax in, at likely values.

    `comparable` is the total over the items that every supplier has quoted. `missing` names the
    items that some supplier has quoted and this one has not. `expires` is the earliest day on which
    one of its quotes ends, None where none says so.
    """

    total: float
    comparable: float
    missing: tuple[str, ...]
    expires: str | None


@dataclass(frozen=True, kw_only=True)
class OfferedPrice:
    """One supplier's price of one item, tax in; `lapsed`: one of its rows has expired."""

    price: float
    lapsed: bool


@dataclass(frozen=True, kw_only=True)
class OfferTable:
    """The offers for an option side by side.

    `prices` has a row for each item that somebody has quoted: its price by supplier. `counted` is
    whose price counts for an item, "" where nobody is named. `total` adds up what counts; `mixed`
    says that nobody has offered it.
    """

    suppliers: tuple[str, ...]
    prices: Mapping[str, Mapping[str, OfferedPrice]]
    counted: Mapping[str, str]
    total: float
    mixed: bool
