"""Results over the drawn trials: percentiles, chances, the club's cash, shares of variance.

The names of fields are the keys of figures.json. Money is not rounded. A missing value is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Solved:
    """The least raise that holds the reserve's floor in the wanted share of the trials.

    `amount` is None where no raise does. `month` is the month that binds most often among the
    trials near to the raise, None for a raise of 0. `once` is the assessment a member in month 0
    that has the same effect, None where none has.
    """

    amount: float | None
    month: int | None
    once: float | None


@dataclass(frozen=True, kw_only=True)
class Spread:
    """Percentiles and mean of a figure over the trials; linear between order statistics."""

    p10: float
    p50: float
    p80: float
    p90: float
    mean: float

    @property
    def width(self) -> float:
        """The 90th less the 10th percentile: the width of the middle 8 in 10 trials."""
        return self.p90 - self.p10


@dataclass(frozen=True, kw_only=True)
class Band:
    """Percentiles of a balance: a tenth of the trials is below p10, a tenth above p90."""

    p10: float
    p50: float
    p90: float

    @property
    def width(self) -> float:
        """The 90th less the 10th percentile: the width of the middle 8 in 10 trials."""
        return self.p90 - self.p10


@dataclass(frozen=True, kw_only=True)
class ReserveTrials:
    """A club's cash in the trials under an option's funding.

    `chance_below_floor` is for the floor_years in which the floor must hold;
    `chance_below_floor_by_year` is up to the end of each year of the horizon. `shortfall_p50` is
    the median of floor - lowest balance over the trials that fall below the floor, None if none
    does. `reserve_by_year` begins with month 0.
    """

    chance_below_floor: float
    chance_below_floor_by_year: tuple[float, ...]
    shortfall_p50: float | None
    reserve_by_year: tuple[Band, ...]

    def chance_below_floor_within(self, years: int) -> float:
        """Return the share of trials that fall below the floor within so many years (1 or more)."""
        return self.chance_below_floor_by_year[years - 1]


@dataclass(frozen=True, kw_only=True)
class Range:
    """Percentiles of an option's figures; `cost_per_hour` over the trials with hours flown."""

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
    """The figures of one option over the drawn trials.

    `regret`: the mean over the trials of the best option's benefit less this one's. `outcomes`: 20
    equally likely net benefits. `ahead_of`: the share of trials in which this option's benefit is
    the higher one, by the other option's id; a tie counts half. `chance_likely_enough`: the share
    of trials in which the likely outlay is enough. `shares` are sorted, the largest first;
    `remainder` is 1 less their sum, None where nothing varies (the baseline against itself). The
    quantiles are those at 0, 1, … 100 %. `reserve` is None for an owner; `solved` is None where no
    raise is solved.
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
    weeks_p80: float
    outlay_quantiles: tuple[float, ...]
    gap_quantiles: tuple[float, ...]

    @property
    def chance_below_floor(self) -> float | None:
        """The chance to fall below the floor within floor_years; None for an owner."""
        return self.reserve.chance_below_floor if self.reserve else None

    @property
    def outlay_width(self) -> float:
        """The 90th less the 10th percentile of the outlay: the width of the middle 8 in 10."""
        return self.outlay_quantiles[90] - self.outlay_quantiles[10]

    @property
    def outlay_overrun(self) -> float:
        """The 90th percentile of the outlay less its median."""
        return self.outlay_quantiles[90] - self.outlay_quantiles[50]


@dataclass(frozen=True, kw_only=True)
class Uncertainty:
    """The results of the drawn trials of a scenario folder.

    `moved` has the options whose planned start is refused, from their first allowed start.
    """

    trials: int
    seed: int
    correlation: float
    options: Mapping[str, OptionUncertainty]
    moved: Mapping[str, OptionUncertainty] = field(default_factory=dict)
