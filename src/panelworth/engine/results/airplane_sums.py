"""Sums and differences over figures of the airplane that pages show as one number."""

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
    """What small jobs save together, in present values: at the worst, likely, at the best."""

    low: float
    likely: float
    high: float

    @property
    def width(self) -> float:
        """How far apart the worst and the best are."""
        return self.high - self.low


def saving_of(jobs: Sequence[DeferredJob]) -> Saving:
    """Add up what small jobs save if they are done while the panel is open."""
    return Saving(
        low=math.fsum(job.saving_low for job in jobs),
        likely=math.fsum(job.saving for job in jobs),
        high=math.fsum(job.saving_high for job in jobs),
    )


def weight_and_moment(lines: Sequence[EquipmentLine]) -> tuple[float, float]:
    """Add up weights and moments of units; both are below 0 for units that come out."""
    return math.fsum(line.weight for line in lines), math.fsum(line.moment for line in lines)


def cg_error_of_weighing(wheel_base: float, scale_error: float) -> float:
    """Return by how much scales that are off by a share can move the CG at most: base·error/2.

    With a share n of the weight on one axle and 1 - n on the other, errors ±e move the CG by
    2·e·n·(1 - n)·base, which is largest at n = 1/2. Derived.
    """
    return wheel_base * scale_error / 2


def share_apart(capability: CapabilityFigures, options: Iterable[str]) -> float:
    """Return by how much the most and the least share of needs met by some options differ."""
    shares = [capability.share[option_id] for option_id in options]
    return max(shares) - min(shares)


def chance_first(capability: CapabilityFigures) -> float:
    """Return how often one of the options that now meet most still comes first."""
    return math.fsum(capability.chance_first[option_id] for option_id in capability.first)


def unlisted_cut_sets(failures: FailureFigures) -> int:
    """Count the minimal cut sets that were found beyond the ones listed."""
    return int(math.fsum(failures.more_cut_sets.values()))


def rules_ended(failures: FailureFigures, failure: UnitFailure) -> list[str]:
    """Return the rules, all met before, of whose functions a failure takes some."""
    met = {state.rule for state in failures.rules if state.met}
    return [state.rule for state in failure.rules if state.rule in met and not state.met]


def count_ending(failures: FailureFigures, rule: str) -> int | None:
    """Count the units that alone take something a rule lists, None where it is never met."""
    if not any(state.rule == rule and state.met for state in failures.rules):
        return None
    return sum(rule in rules_ended(failures, failure) for failure in failures.failures)
