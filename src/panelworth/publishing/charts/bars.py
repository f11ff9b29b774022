"""Prices as bars on one scale, the largest first, each with its range as a thin line."""

from collections.abc import Sequence
from dataclasses import dataclass

from panelworth.engine.results.prices import Price
from panelworth.publishing.charts.outcomes import WIDTH


@dataclass(frozen=True, kw_only=True)
class PriceBar:
    """The length of a price's bar, and where its range begins and ends, in units of the picture."""

    length: float
    low: float
    high: float

    @property
    def ranged(self) -> bool:
        """Whether the range is visible."""
        return self.high > self.low


def bars(prices: Sequence[Price]) -> list[PriceBar]:
    """Return the bars of prices, on a scale from 0 to the largest high."""
    most = max((price.high for price in prices), default=0.0)
    return [
        PriceBar(
            length=_x(price.likely, most),
            low=_x(price.low, most),
            high=_x(price.high, most),
        )
        for price in prices
    ]


def _x(amount: float, most: float) -> float:
    return round(max(amount, 0.0) / most * WIDTH, 1)
