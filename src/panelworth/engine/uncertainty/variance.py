"""The share of each range alone in the variance of net benefit.

A share is the variance of the conditional mean given the input, over the total variance: the
first-order (main) effect, Sobol's first-order index, Pearson's correlation ratio. It follows from
the draws of the simulation: trials are put into bins of equal probability of the input. Sobol's own
estimator would need further evaluations.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.results.trials import Share
from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.draws import Source
from panelworth.model.case import Case, affects

MOST_BINS, FEWEST_BINS = 25, 4
A_BIN = 100  # least trials in a bin: the standard error of its mean is a tenth of the deviation


@dataclass(frozen=True, kw_only=True)
class Bins:
    """The bins of each input: the number of trials, and the sum of their net benefits.

    Both have shape (inputs, bins); `sums` is money.
    """

    inputs: tuple[str, ...]
    counts: Array
    sums: Array

    def add(self, places: Mapping[str, Integers], gap: Array) -> None:
        """Add trials by their bin of each input; `gap` is money, shape (T,)."""
        number = self.counts.shape[1]
        for row, path in enumerate(self.inputs):
            self.counts[row] += np.bincount(places[path], minlength=number)
            self.sums[row] += np.bincount(places[path], weights=gap, minlength=number)


def bins_for(case: Case, option_id: str, source: Source, trials: int) -> Bins:
    """Return empty bins of an option for the ranges that affect its difference to the baseline.

    These are ranges of the scenario, the option and the baseline. The baseline has no bins, because
    its difference to itself is always 0.
    """
    number, baseline = number_of_bins(trials), case.scenario.baseline
    affecting = {
        case.roots.get(input_.path, input_.path)
        for input_ in case.inputs
        if affects(input_.path, option_id) or affects(input_.path, baseline)
    }
    if option_id == baseline:
        affecting = set()
    inputs = tuple(stream.path for stream in source.streams if stream.path in affecting)
    shape = (len(inputs), number)
    return Bins(inputs=inputs, counts=np.zeros(shape), sums=np.zeros(shape))


def number_of_bins(trials: int) -> int:
    """Return the number of bins for so many trials."""
    return int(np.clip(trials // A_BIN, FEWEST_BINS, MOST_BINS))


def places_in_bins(shares: Mapping[str, Array], number: int) -> dict[str, Integers]:
    """Return each trial's bin of each input; `shares` are uniform in (0, 1), of shape (T,)."""
    return {
        path: np.minimum((share * number).astype(np.int64), number - 1)
        for path, share in shares.items()
    }


def shares_of_variance(
    bins: Bins, gap: Array, *, tolerance: float
) -> tuple[tuple[Share, ...], float | None]:
    """Return each input's share of the variance, the largest first, and the remainder.

    (SSB - (K-1)·MSW)/SST, at least 0: the sum of squares between K bins, less its expected value
    without any effect, over the total sum of squares (Kelley's epsilon squared). Without this
    correction every input would have a share of about K/trials. The standard error is about
    √(2K)/trials. Differences within a bin are not counted, some 1 % at most. The remainder includes
    interactions of inputs.

    If the folder sets a correlation, the cost ranges of an option move together. The share of each
    then includes a part of the others, so that the sum may be above 1 and the remainder below 0.
    There are no shares where the differences are all equal within `tolerance`.
    """
    if np.ptp(gap) <= tolerance or not bins.inputs:
        return (), None
    trials, mean = len(gap), float(np.mean(gap))
    total = float(np.sum((gap - mean) ** 2))
    # The sum of an empty bin is 0, and stays 0 if it is divided by 1.
    filled = np.maximum(bins.counts, 1.0)
    between = np.sum((bins.sums - bins.counts * mean) ** 2 / filled, axis=1)
    # Degrees of freedom: empty bins have none.
    free = np.sum(bins.counts > 0.0, axis=1) - 1.0
    noise = (total - between) / np.maximum(trials - free - 1.0, 1.0)
    shares = np.clip((between - free * noise) / total, 0.0, 1.0)
    main_effects = [
        Share(input=path, share=float(share))
        for path, share in zip(bins.inputs, shares, strict=True)
    ]
    ranked = sorted(main_effects, key=lambda effect: (-effect.share, effect.input))
    return tuple(ranked), 1.0 - float(np.sum(shares))
