"""Results of the airplane: its weight, electrical power, failures, downtime and inspections.

The records are frozen, and publishing reads no other part of the engine. Units are those of the
folder (lb, in, US gal or kg, mm, L); amps, hours and money are as in the files; days are ISO dates.
A value that is missing or cannot be worked out is None. Nothing is rounded.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from panelworth.engine.results.downtime import Planner

Rule = Literal["day VFR", "night VFR", "IFR"]
DueWhen = Literal["overdue", "before", "away", "after"]
Verdict = Literal["within", "over, but monitored", "over", "over the rating"]


@dataclass(frozen=True, kw_only=True)
class AirframeFigures:
    """The `airframe` part of figures.json. A change is the option's value less today's."""

    empty_weight_change: float | None
    empty_cg: float | None
    useful_load_change: float | None
    continuous_load: float | None
    load_share: float | None


@dataclass(frozen=True, kw_only=True)
class EquipmentLine:
    """One unit that is installed (weight at least 0) or removed (weight below 0)."""

    name: str
    weight: float
    arm: float
    moment: float


@dataclass(frozen=True, kw_only=True)
class Negligible:
    """Whether a change is negligible by AC 43.13-1B par 10-2c.

    `cg` is None where the mean aerodynamic chord is not stated.
    """

    weight: bool
    cg: bool | None


@dataclass(frozen=True, kw_only=True)
class LoadingTrace:
    """A loading from its fuel at the start down to no fuel.

    `outside` lists the ranges of fuel left (from, to, in units of fuel) at which the airplane is
    outside its envelope or above its maximum weight. The margins are the least of the whole burn:
    negative beyond the limit, None without an envelope or where the weight leaves the envelope's
    weights. `most_fuel` is the fuel that can be taken with these loads: below 0 where the loads
    alone are too heavy, None without tanks. `path` holds (fuel, arm, weight) for a picture.
    """

    name: str
    start_weight: float
    start_cg: float
    no_fuel_weight: float
    no_fuel_cg: float
    within: bool
    weight_margin: float
    most_fuel: float | None
    forward_margin: float | None
    aft_margin: float | None
    outside: tuple[tuple[float, float], ...]
    path: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, kw_only=True)
class AdverseCheck:
    """The most forward or the most aft loading; `margin` is negative beyond the limit.

    If it is out of limits, each of these alone brings it back within them: `most_inside` is the
    largest load at a station (weight), for each station where a smaller load is enough; `ballast`
    is a station and the least weight to add there, None where no station is enough.
    """

    side: Literal["forward", "aft"]
    loads: Mapping[str, float]
    fuel: float
    weight: float
    cg: float
    limit: float
    margin: float
    within: bool
    over_weight: float
    most_inside: Mapping[str, float]
    ballast: tuple[str, float] | None


@dataclass(frozen=True, kw_only=True)
class WeightFigures:
    """The empty weight and the useful load with an option, and their changes against today.

    A change is None where today's airplane is not described. `full_fuel_payload` is None where the
    fuel is not described.
    """

    empty_weight: float
    empty_moment: float
    empty_cg: float
    useful_load: float
    full_fuel_payload: float | None
    empty_weight_change: float | None
    empty_cg_change: float | None
    useful_load_change: float | None
    full_fuel_payload_change: float | None
    negligible: Negligible | None
    lines: tuple[EquipmentLine, ...]
    loadings: tuple[LoadingTrace, ...]
    adverse: tuple[AdverseCheck, ...]


@dataclass(frozen=True, kw_only=True)
class Span:
    """A sum with every part at its low, its likely and its high value."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True, kw_only=True)
class PhaseLoad:
    """The load in one phase of flight (amps), and the endurance on the battery (minutes).

    `endurance` is None without a battery and where nothing draws current from it. Intermittent
    amps are in addition to the continuous ones. `share` is of the alternator's rating.
    """

    phase: str
    continuous: Span
    intermittent: Span
    essential: Span
    essential_intermittent: Span
    share: float | None
    endurance: Span | None


@dataclass(frozen=True, kw_only=True)
class CircuitCheck:
    """The thinnest listed copper wire for a circuit, and the breaker and fuse for that wire.

    `gauge` and `drop` (volts) are None where no listed wire is enough; `breaker` and `fuse` (amps)
    are None where the table lists none for the wire.
    """

    name: str
    gauge: int | None
    drop: float | None
    allowed_drop: float
    breaker: float | None
    fuse: float | None


@dataclass(frozen=True, kw_only=True)
class ElectricalFigures:
    """Loads by phase against 80 % of the alternator's rating (amps).

    The 80 % are a rule of thumb and not an electrical load analysis (AC 43.13-1B par 11-35a).
    """

    phases: tuple[PhaseLoad, ...]
    worst_phase: str
    continuous_load: float
    alternator: float | None
    limit: float | None
    load_share: float | None
    verdict: Verdict | None
    shortest_endurance: Span | None
    circuits: tuple[CircuitCheck, ...]


@dataclass(frozen=True, kw_only=True)
class RuleState:
    """The functions that a flight rule requires, and those of them that are not available."""

    rule: Rule
    required: tuple[str, ...]
    missing: tuple[str, ...]

    @property
    def met(self) -> bool:
        """Whether nothing is missing."""
        return not self.missing


@dataclass(frozen=True, kw_only=True)
class UnitFailure:
    """The effect of one failed unit: other units that it disables, functions lost and kept."""

    unit: str
    disabled: tuple[str, ...]
    lost: tuple[str, ...]
    kept: tuple[str, ...]
    rules: tuple[RuleState, ...]


@dataclass(frozen=True, kw_only=True)
class FailureFigures:
    """Single failures, minimal cut sets and flight rules of one airplane.

    `missing` are functions that no unit provides although nothing has failed. `unsupported` are
    units that do not work although nothing has failed. `idle` are units that provide nothing and
    that no other unit needs, so that their failure has no known effect. `single_points` has each
    unit whose failure alone disables other units or loses two or more functions, with these units
    and functions. `means` are functions that other units need and no rule requires, such as vacuum:
    a pilot has no use for them alone. `cut_sets` are complete up to the number of units in
    `largest_cut_sets`, usually three; `more_cut_sets` counts those that are not listed.
    """

    functions: tuple[str, ...]
    means: tuple[str, ...]
    missing: tuple[str, ...]
    unsupported: tuple[str, ...]
    idle: tuple[str, ...]
    rules: tuple[RuleState, ...]
    failures: tuple[UnitFailure, ...]
    cut_sets: Mapping[str, tuple[tuple[str, ...], ...]]
    more_cut_sets: Mapping[str, int]
    largest_cut_sets: Mapping[str, int]
    single_points: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True)
class PowerLoss:
    """One failed unit after which only batteries supply power.

    `left` are the sources that still work. `certain` is False where the files do not say which
    source is a generator: one of `left` may then be a generator. `empty` is what is lost and kept
    once the sources of `left` are empty too.
    """

    left: tuple[str, ...]
    certain: bool
    empty: UnitFailure


@dataclass(frozen=True, kw_only=True)
class TippingPoint:
    """The weight of one need at which another option becomes the first.

    `weight` and `tips_at` are shares of the sum of all weights; the other needs keep their
    proportions to each other. `tips_at` and `new_first` are None where this happens at no weight.
    """

    need: str
    weight: float
    tips_at: float | None
    new_first: str | None


@dataclass(frozen=True, kw_only=True)
class CapabilityFigures:
    """Share of weighted needs met by each option that describes its equipment.

    `met` lists the needs that each option meets; `first` are the options with the highest share.
    `chance_first` is how often each option comes first (ties shared) when every weight is drawn at
    random; `order_kept` is how often the whole order then stays the same.
    """

    weights: Mapping[str, float]
    met: Mapping[str, tuple[str, ...]]
    share: Mapping[str, float]
    first: tuple[str, ...]
    tipping_points: tuple[TippingPoint, ...]
    chance_first: Mapping[str, float]
    order_kept: float


@dataclass(frozen=True, kw_only=True)
class DeferredJob:
    """One small job: present values on as_of of doing it while the panel is open, or later.

    `saving` = later - now. `saving_low` and `saving_high` are the least and the largest saving with
    now, later and the chance at the ends of their ranges. `equal_chance` is the least yearly chance
    at which now and later are equal, None without one.
    """

    name: str
    included: bool
    now: float
    later: float
    saving: float
    saving_low: float
    saving_high: float
    equal_chance: float | None


@dataclass(frozen=True, kw_only=True)
class DeferredJobs:
    """All small jobs of one option; low and high add up the low and the high of every job."""

    jobs: tuple[DeferredJob, ...]
    saving: float
    saving_low: float
    saving_high: float
    included_saving: float


@dataclass(frozen=True, kw_only=True)
class Due:
    """When one inspection falls due: its last valid day, and its limit in tach hours if it has one.

    `when` compares that day with the airplane's time away. It is "overdue" on as_of (of another
    airplane: on the day it arrives), or due "before" the airplane leaves, while it is "away", or
    "after" that. An inspection that is overdue by hours has no `last_day`, because the day on which
    the limit was passed is not known.
    """

    name: str
    by: Literal["calendar", "hours"]
    last_day: str | None
    at_hours: float | None
    when: DueWhen


@dataclass(frozen=True, kw_only=True)
class AirplaneFigures:
    """All results of the airplane by option id, without options that the files do not describe.

    `due_today` are the inspections of today's airplane, `due_after` those once the option is in
    force, the earliest first.
    """

    weight: Mapping[str, WeightFigures] = field(default_factory=dict)
    electrical: Mapping[str, ElectricalFigures] = field(default_factory=dict)
    failures: Mapping[str, FailureFigures] = field(default_factory=dict)
    power_losses: Mapping[str, tuple[PowerLoss, ...]] = field(default_factory=dict)
    planners: Mapping[str, Planner] = field(default_factory=dict)
    deferred_jobs: Mapping[str, DeferredJobs] = field(default_factory=dict)
    capability: CapabilityFigures | None = None
    due_today: tuple[Due, ...] = ()
    due_after: Mapping[str, tuple[Due, ...]] = field(default_factory=dict)
