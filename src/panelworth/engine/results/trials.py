"""Frozen figures of the trials: spreads, chances, the club's cash, what moves an option's figures.

Field names are the keys of figures.json; money is unrounded; what is absent is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The raise that holds the floor in the share of the trials that was asked for.

    `amount` is None where none does; `month` is the one that binds most often around it, None for
    a raise of 0; `once` is the payment a member in month 0 that would do the same, None if none.
    """

    amount: float | None
    month: int | None
    once: float | None


@dataclass(frozen=True, kw_only=True)
class Spread:
    """How a figure spreads over the trials: percentiles, linear between order statistics."""

    p10: float
    p50: float
    p80: float
    p90: float
    mean: float

    @property
    def width(self) -> float:
        """How far apart the ends of the middle 8 in 10 are."""
        return self.p90 - self.p10


@dataclass(frozen=True, kw_only=True)
class Band:
    """The middle of a figure's spread: a tenth of the trials is below p10, a tenth above p90."""

    p10: float
    p50: float
    p90: float

    @property
    def width(self) -> float:
        """How far apart the ends of the middle 8 in 10 are."""
        return self.p90 - self.p10


@dataclass(frozen=True, kw_only=True)
class ReserveTrials:
    """A club's cash in the trials under an option's funding.

    `chance_below_floor` counts the years in which the floor must hold, `..._by_year` up to the
    end of each year of the horizon; `shortfall_p50` is the median of floor - lowest balance over
    the trials that break it, None if none does; `reserve_by_year` has month 0 first.
    """

    chance_below_floor: float
    chance_below_floor_by_year: tuple[float, ...]
    shortfall_p50: float | None
    reserve_by_year: tuple[Band, ...]

    def chance_below_floor_within(self, years: int) -> float:
        """Return the share of trials that break the floor within so many years, at least 1."""
        return self.chance_below_floor_by_year[years - 1]


@dataclass(frozen=True, kw_only=True)
class Range:
    """The spread of an option's figures; `cost_per_hour` over the trials in which it flies."""

    upfront: Spread
    npv: Spread
    net_benefit: Spread
    cost_per_hour: Spread | None


@dataclass(frozen=True, kw_only=True)
class Errors:
    """Standard errors of the chances: √(p·(1-p)/trials)."""

    likely_enough: float
    beats_baseline: float | None
    best: float
    below_floor: float | None


@dataclass(frozen=True, kw_only=True)
class Share:
    """The part of the variance of net_benefit that one range alone accounts for."""

    input: str
    share: float


@dataclass(frozen=True, kw_only=True)
class OptionUncertainty:
    """Everything the drawn trials say of one option.

    `regret`: mean over the trials of the best option's benefit less this one's. `outcomes`: 20
    equally likely net benefits; `ahead_of`: the share of trials in which this option's benefit is
    the higher one, a tie counting half, by the other's id. `shares` are sorted, largest first;
    `remainder` is 1 less their sum, None where nothing varies (the baseline against itself). The
    quantiles run from 0 to 100 % in steps of 1 %. `reserve` is None for an owner, `solved` where
    no raise is solved.
    """

    range: Range
    budget_p80: float
    chance_beats_baseline: float | None
    chance_best: float
    outcomes: tuple[float, ...]
    ahead_of: Mapping[str, float]
    reserve: ReserveTrials | None
    solved: Solved | None
    chance_likely_enough: float
    likely_outlay: float
    regret: float
    errors: Errors
    shares: tuple[Share, ...]
    remainder: float | None
    outlay_quantiles: tuple[float, ...]
    gap_quantiles: tuple[float, ...]

    @property
    def chance_below_floor(self) -> float | None:
        """The chance that the floor breaks in the years it must hold; None for an owner."""
        return self.reserve.chance_below_floor if self.reserve else None

    @property
    def outlay_width(self) -> float:
        """How far apart the ends of the middle 8 in 10 of the outlay are."""
        return self.outlay_quantiles[90] - self.outlay_quantiles[10]

    @property
    def outlay_overrun(self) -> float:
        """How far the 90th percentile of the outlay is above its median."""
        return self.outlay_quantiles[90] - self.outlay_quantiles[50]


@dataclass(frozen=True, kw_only=True)
class Uncertainty:
    """The drawn trials of a scenario folder.

    `moved` holds the options whose start is refused, from their first allowed one.
    """

    trials: int
    seed: int
    correlation: float
    options: Mapping[str, OptionUncertainty]
    moved: Mapping[str, OptionUncertainty] = field(default_factory=dict)
