"""Two sums as one bar: the common part is pale, and the difference has a strong colour."""

from collections.abc import Mapping
from dataclasses import dataclass

from panelworth.publishing.words.rounding import RoundedSum

WIDTH = 160.0  # of the picture, whose whole width is the largest sum


@dataclass(frozen=True, kw_only=True)
class SumBar:
    """The width of the pale common part and of the difference; `more` if the sum is larger."""

    common: float
    gap: float
    more: bool


def bars(sums: Mapping[str, RoundedSum]) -> dict[str, SumBar]:
    """Return a bar for each sum, all on one scale; the page's script uses the same rule."""
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
