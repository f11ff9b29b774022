"""Prices as bars on one scale, the largest first, each with its range as a thin line."""

from collections.abc import Sequence
from dataclasses import dataclass

from panelworth.engine.results.prices import Price
from panelworth.publishing.charts.outcomes import WIDTH


@dataclass(frozen=True, kw_only=True)
class PriceBar:
    """How long a price's bar is, and from where to where its range runs, within the picture."""

    length: float
    low: float
    high: float

    @property
    def ranged(self) -> bool:
        """Whether there is a range to be seen."""
        return self.high > self.low


def bars(prices: Sequence[Price]) -> list[PriceBar]:
    """Return the bars of prices on the scale of the largest of their highs."""
    most = max((price.high for price in prices), default=0.0)
    return [
        PriceBar(
            length=_at(price.likely, most),
            low=_at(price.low, most),
            high=_at(price.high, most),
        )
        for price in prices
    ]


def _at(amount: float, most: float) -> float:
    return round(max(amount, 0.0) / most * WIDTH, 1)
