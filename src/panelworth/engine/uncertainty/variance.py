"""How much of an option's spread against the baseline comes from each range alone.

First-order (main) effects: the variance of the mean difference given the input, over the whole
variance; Sobol's first-order index, Pearson's correlation ratio. They come from the very draws
of the simulation: an input's trials are sorted into bins of equal probability by its own draw.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Whole
from panelworth.engine.results.trials import Share
from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.draws import Source
from panelworth.model.case import Case, affects

MOST_BINS, FEWEST_BINS = 25, 4
A_BIN = 100  # trials there should be in a bin


@dataclass(frozen=True, kw_only=True)
class Bins:
    """Trials by the bins of each input: how many, and the sum of the difference to the baseline.

    Both of shape (inputs, bins); money for `sums`.
    """

    inputs: tuple[str, ...]
    counts: Array
    sums: Array

    def add(self, places: Mapping[str, Whole], gap: Array) -> None:
        """Add trials by their bin of each input; `gap` is money, shape (T,)."""
        number = self.counts.shape[1]
        for row, path in enumerate(self.inputs):
            self.counts[row] += np.bincount(places[path], minlength=number)
            self.sums[row] += np.bincount(places[path], weights=gap, minlength=number)


def bins_for(case: Case, option_id: str, source: Source, trials: int) -> Bins:
    """Make empty bins for an option and the ranges that affect it: none of a third option's.

    The baseline is compared with itself alone and has none.
    """
    number, baseline = number_of_bins(trials), case.scenario.baseline
    bearing = {
        case.roots.get(input_.path, input_.path)
        for input_ in case.inputs
        if affects(input_.path, option_id) or affects(input_.path, baseline)
    }
    if option_id == baseline:
        bearing = set()
    inputs = tuple(stream.path for stream in source.streams if stream.path in bearing)
    shape = (len(inputs), number)
    return Bins(inputs=inputs, counts=np.zeros(shape), sums=np.zeros(shape))


def number_of_bins(trials: int) -> int:
    """Return how many bins so many trials are sorted into."""
    return int(np.clip(trials // A_BIN, FEWEST_BINS, MOST_BINS))


def places_in_bins(shares: Mapping[str, Array], number: int) -> dict[str, Whole]:
    """Return each trial's bin of each input; `shares` are uniform in (0, 1), of shape (T,)."""
    return {
        path: np.minimum((share * number).astype(np.int64), number - 1)
        for path, share in shares.items()
    }


def shares_of_variance(
    bins: Bins, gap: Array, *, nothing: float
) -> tuple[tuple[Share, ...], float | None]:
    """Return each input's share of the variance, largest first, and what they leave over.

    (SSB - (K-1)·MSW)/SST, not below 0: the sum of squares between K bins, less what noise within
    them leads one to expect, over the whole (Kelley's epsilon squared). Good to about
    √(2K)/trials. Bins hide a little of a steep effect, at most some 1 %; interactions between
    inputs are in the remainder too.

    Cost ranges of one option move together where the folder sets a correlation. The share of one
    of them then includes the part of those that move with it: such shares
    overlap, their sum may pass 1 and the remainder may be negative. Differences that spread no
    wider than `nothing` have no shares.
    """
    if np.ptp(gap) <= nothing or not bins.inputs:
        return (), None
    trials, mean = len(gap), float(np.mean(gap))
    total = float(np.sum((gap - mean) ** 2))
    filled = np.maximum(bins.counts, 1.0)
    between = np.sum((bins.sums - bins.counts * mean) ** 2 / filled, axis=1)
    free = np.sum(bins.counts > 0.0, axis=1) - 1.0
    noise = (total - between) / np.maximum(trials - free - 1.0, 1.0)
    shares = np.clip((between - free * noise) / total, 0.0, 1.0)
    main_effects = [
        Share(input=path, share=float(share))
        for path, share in zip(bins.inputs, shares, strict=True)
    ]
    ranked = sorted(main_effects, key=lambda effect: (-effect.share, effect.input))
    return tuple(ranked), 1.0 - float(np.sum(shares))
