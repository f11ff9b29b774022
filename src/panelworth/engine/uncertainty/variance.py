"""The share of each range alone in the variance of net benefit.

First-order (main) effects: the variance of the conditional mean given the input, over the total
variance. This is Sobol's first-order index, and Pearson's correlation ratio. The draws of the
simulation are used again: the trials are sorted into bins of equal probability of the input. So no
further evaluations are needed, as they are for Sobol's own estimator.
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
A_BIN = 100  # trials in a bin, at least: its mean is then ten times as sure as a single trial


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
    """Return empty bins of an option for the ranges that affect its difference to the baseline.

    These are ranges of the scenario, the option and the baseline. The baseline's own difference is
    0, so it has no bins.
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
    """Return the number of bins for so many trials."""
    return int(np.clip(trials // A_BIN, FEWEST_BINS, MOST_BINS))


def places_in_bins(shares: Mapping[str, Array], number: int) -> dict[str, Whole]:
    """Return each trial's bin of each input; `shares` are uniform in (0, 1), of shape (T,)."""
    return {
        path: np.minimum((share * number).astype(np.int64), number - 1)
        for path, share in shares.items()
    }


def shares_of_variance(
    bins: Bins, gap: Array, *, tolerance: float
) -> tuple[tuple[Share, ...], float | None]:
    """Return each input's share of the variance, the largest first, and the remainder.

    (SSB - (K-1)·MSW)/SST, not below 0: the sum of squares between K bins, less its expected value
    if there is no effect, over the total sum of squares (Kelley's epsilon squared). Without this
    correction every input would have a share of about K/trials. Standard error about √(2K)/trials.
    Within a bin a steep effect is hidden, at most some 1 %. The remainder includes interactions of
    inputs.

    Cost ranges of one option move together if the folder sets a correlation. The share of one of
    them then includes a part of the others: such shares overlap, their sum may be above 1 and the
    remainder below 0. Differences that spread no wider than `tolerance` have no shares.
    """
    if np.ptp(gap) <= tolerance or not bins.inputs:
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
