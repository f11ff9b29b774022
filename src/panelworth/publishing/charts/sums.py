"""A sum beside another as a bar: what both have in common is pale, the difference stands out."""

from collections.abc import Mapping
from dataclasses import dataclass

from panelworth.publishing.words.rounding import Added

WIDTH = 160.0  # of the picture, whose whole width is the largest sum


@dataclass(frozen=True, kw_only=True)
class SumBar:
    """How wide the pale part is, and the part from there on that is more, or less, than it."""

    common: float
    gap: float
    more: bool


def bars(sums: Mapping[str, Added]) -> dict[str, SumBar]:
    """Return a bar a sum, all on one scale; the page's script draws them anew by the same rule."""
    most = max((max(sum_.base, sum_.total) for sum_ in sums.values()), default=0.0)
    scale = WIDTH / most if most > 0 else 0.0
    return {
        key: SumBar(
            common=round(max(min(sum_.base, sum_.total), 0.0) * scale, 1),
            gap=round(abs(sum_.difference) * scale, 1),
            more=sum_.difference > 0,
        )
        for key, sum_ in sums.items()
    }
