"""A sum beside another as a bar: what both have in common is pale, the difference stands out."""

from collections.abc import Mapping
from dataclasses import dataclass

from panelworth.publishing.words.rounding import Added

WIDTH = 160.0  # of the picture, whose whole width is the largest sum


@dataclass(frozen=True, kw_only=True)
class Bar:
    """How wide the pale part is, and the part from there on that is more, or less, than it."""

    common: float
    gap: float
    more: bool


def bars(sums: Mapping[str, Added]) -> dict[str, Bar]:
    """Return a bar a sum, all on one scale; the page's script draws them anew by the same rule."""
    most = max((max(each.base, each.total) for each in sums.values()), default=0.0)
    scale = WIDTH / most if most > 0 else 0.0
    return {
        key: Bar(
            common=round(max(min(each.base, each.total), 0.0) * scale, 1),
            gap=round(abs(each.difference) * scale, 1),
            more=each.difference > 0,
        )
        for key, each in sums.items()
    }
