"""What options bring against the baseline on one axis, a row an option: a mark that may move."""

import math
from dataclasses import dataclass

from panelworth.publishing.charts.outcomes import Tick
from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import step_below

WIDTH = 160.0  # of the picture
EDGE = 7.0  # room for half a mark
LABEL = 5.8  # how wide a letter of a label is
BEYOND = 12.0  # a label may reach so far out of the picture
TRIES = 4  # round sums looked at for a label


@dataclass(frozen=True, kw_only=True)
class Track:
    """The one scale of all rows, which holds whatever the sliders can make of an option."""

    low: float
    high: float
    ticks: tuple[Tick, ...] = ()

    @property
    def scale(self) -> float:
        """How wide a unit of money is drawn."""
        span = self.high - self.low
        return (WIDTH - 2 * EDGE) / span if span > 0 else 0.0

    @property
    def zero(self) -> float:
        """Where the baseline's line stands."""
        return self.x(0.0)

    def x(self, amount: float) -> float:
        """Return where an amount lies, within the picture."""
        return round(EDGE + (amount - self.low) * self.scale, 1)


def track_of(view: View) -> Track:
    """Return the scale: between grid points lie straight lines, so that their ends hold all."""
    grid, baseline = view.insight.whatif, view.figures.baseline
    gains = [gain for tag in view.others for gain in grid.gains(tag.id, baseline)]
    bare = Track(low=min([0.0, *gains]), high=max([0.0, *gains]))
    return Track(low=bare.low, high=bare.high, ticks=_ticks(view, bare))


def _ticks(view: View, track: Track) -> tuple[Tick, ...]:
    """Return a label on each side of the line, where one fits beside the baseline's name."""
    placed = (_tick(view, track, end) for end in (track.low, track.high) if end)
    return tuple(tick for tick in placed if tick)


def _tick(view: View, track: Track, end: float) -> Tick | None:
    """Return the outermost label of a round sum that fits, towards one end."""
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
