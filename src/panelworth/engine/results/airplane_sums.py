"""Sums and differences of airplane figures that pages show as one number.

They are here because pages and words do no arithmetic of their own.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from panelworth.engine.results.airplane import (
    CapabilityFigures,
    DeferredJob,
    EquipmentLine,
    FailureFigures,
    UnitFailure,
)


@dataclass(frozen=True, kw_only=True)
class Saving:
    """The saving of several small jobs, in present values: the least, the likely, the largest."""

    low: float
    likely: float
    high: float

    @property
    def width(self) -> float:
        """The largest saving less the least."""
        return self.high - self.low


def saving_of(jobs: Sequence[DeferredJob]) -> Saving:
    """Add up what small jobs save if they are done while the panel is open."""
    return Saving(
        low=math.fsum(job.saving_low for job in jobs),
        likely=math.fsum(job.saving for job in jobs),
        high=math.fsum(job.saving_high for job in jobs),
    )


def weight_and_moment(lines: Sequence[EquipmentLine]) -> tuple[float, float]:
    """Return the sums of weights and of moments; the weight of a removed unit is negative."""
    return math.fsum(line.weight for line in lines), math.fsum(line.moment for line in lines)


def cg_error_of_weighing(wheel_base: float, scale_error: float) -> float:
    """Return the largest error of the CG if scales are wrong by up to a share: base·error/2.

    With a share n of the weight on one axle and 1 - n on the other, errors ±e move the CG by
    2·e·n·(1 - n)·base, which is largest at n = 1/2. Derived here, without a published source.
    """
    return wheel_base * scale_error / 2


def share_apart(capability: CapabilityFigures, options: Iterable[str]) -> float:
    """Return the largest less the smallest share of needs that these options meet."""
    shares = [capability.share[option_id] for option_id in options]
    return max(shares) - min(shares)


def chance_first(capability: CapabilityFigures) -> float:
    """Return how often one of the options that come first now still comes first."""
    return math.fsum(capability.chance_first[option_id] for option_id in capability.first)


def unlisted_cut_sets(failures: FailureFigures) -> int:
    """Count the minimal cut sets that are not listed."""
    return int(math.fsum(failures.more_cut_sets.values()))


def rules_ended(failures: FailureFigures, failure: UnitFailure) -> list[str]:
    """Return the flight rules that are met before a failure and not after it."""
    met = {state.rule for state in failures.rules if state.met}
    return [state.rule for state in failure.rules if state.rule in met and not state.met]


def count_ending(failures: FailureFigures, rule: str) -> int | None:
    """Count the units whose failure alone breaks a rule; None where the rule is not met anyway."""
    if not any(state.rule == rule and state.met for state in failures.rules):
        return None
    return sum(rule in rules_ended(failures, failure) for failure in failures.failures)
