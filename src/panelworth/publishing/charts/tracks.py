"""The net benefit of each option against the baseline on one axis: a mark that sliders move."""

import math
from dataclasses import dataclass

from panelworth.publishing.charts.outcomes import Tick
from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import step_below

WIDTH = 160.0  # of the picture
EDGE = 7.0  # room for half a mark
LABEL = 5.8  # the width of a letter in a label
BEYOND = 12.0  # how far a label may extend beyond the picture
TRIES = 4  # round sums that are tried for a label


@dataclass(frozen=True, kw_only=True)
class Track:
    """The common scale of all rows, wide enough for every position of the sliders."""

    low: float
    high: float
    ticks: tuple[Tick, ...] = ()

    @property
    def scale(self) -> float:
        """The width of a unit of money in the picture."""
        span = self.high - self.low
        return (WIDTH - 2 * EDGE) / span if span > 0 else 0.0

    @property
    def zero(self) -> float:
        """The place of the baseline's line."""
        return self.x(0.0)

    def x(self, amount: float) -> float:
        """Return the place of an amount in the picture."""
        return round(EDGE + (amount - self.low) * self.scale, 1)


def track_of(view: View) -> Track:
    """Return the scale over all grid points.

    The page interpolates linearly between them, so that no position of a slider is beyond them.
    """
    grid, baseline = view.insight.whatif, view.figures.baseline
    gains = [gain for tag in view.others for gain in grid.gains(tag.id, baseline)]
    bare = Track(low=min([0.0, *gains]), high=max([0.0, *gains]))
    return Track(low=bare.low, high=bare.high, ticks=_ticks(view, bare))


def _ticks(view: View, track: Track) -> tuple[Tick, ...]:
    """Return a label on each side of the line, where it fits beside the baseline's name."""
    placed = (_tick(view, track, end) for end in (track.low, track.high) if end)
    return tuple(tick for tick in placed if tick)


def _tick(view: View, track: Track, end: float) -> Tick | None:
    """Return the outermost label of a round sum that fits towards one end; None if none does."""
    middle, amount = len(view.baseline.short) * LABEL / 2, step_below(abs(end))
    for _ in range(TRIES):
        label = view.formats.change(math.copysign(amount, end))
        x, half = track.x(math.copysign(amount, end)), len(label) * LABEL / 2
        if (
            half - BEYOND <= x <= WIDTH + BEYOND - half
            and abs(x - track.zero) > middle + half + LABEL
        ):
            return Tick(x=x, label=label)
        amount = step_below(amount * 0.9)
    return None
