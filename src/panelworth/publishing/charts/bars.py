"""Prices as bars on one scale, the largest first, each with its range as a thin line."""

from collections.abc import Sequence
from dataclasses import dataclass

from panelworth.publishing.charts.outcomes import WIDTH
from panelworth.publishing.words.price_words import Price


@dataclass(frozen=True, kw_only=True)
class Bar:
    """How long a price's bar is, and from where to where its range runs, within the picture."""

    length: float
    low: float
    high: float

    @property
    def ranged(self) -> bool:
        """Whether there is a range to be seen."""
        return self.high > self.low


def bars(prices: Sequence[Price]) -> list[Bar]:
    """Return the bars of prices on the scale of the largest of their highs."""
    most = max((each.high for each in prices), default=0.0)
    return [
        Bar(
            length=_at(each.likely, most),
            low=_at(each.low, most),
            high=_at(each.high, most),
        )
        for each in prices
    ]


def _at(amount: float, most: float) -> float:
    return round(max(amount, 0.0) / most * WIDTH, 1)
