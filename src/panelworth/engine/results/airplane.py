"""Frozen figures of the airplane: all that publishing may know of its weight, power and time.

Units are the folder's own (lb, in, US gal or kg, mm, L); amps, hours and money as written; days
are ISO dates. What is absent or cannot be told is None. Nothing is rounded.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from panelworth.engine.results.start import Refusal

Rule = Literal["day VFR", "night VFR", "IFR"]
DueWhen = Literal["overdue", "before", "away", "after"]
Verdict = Literal["within", "over, but monitored", "over", "over the rating"]


@dataclass(frozen=True, kw_only=True)
class AirframeFigures:
    """The `airframe` part of figures.json: changes are against today's airplane."""

    empty_weight_change: float | None
    empty_cg: float | None
    useful_load_change: float | None
    continuous_load: float | None
    load_share: float | None


@dataclass(frozen=True, kw_only=True)
class DowntimeFigures:
    """The `downtime` part of figures.json: the option's own schedule at likely values."""

    start: str
    finish: str
    lost_hours: float
    lost_contribution: float
    lost_worth: float


@dataclass(frozen=True, kw_only=True)
class EquipmentLine:
    """One unit that goes in (weight at least 0) or comes out (weight below 0)."""

    name: str
    weight: float
    arm: float
    moment: float


@dataclass(frozen=True, kw_only=True)
class Negligible:
    """Whether a change is negligible; None where the mean chord is not known."""

    weight: bool
    cg: bool | None


@dataclass(frozen=True, kw_only=True)
class LoadingTrace:
    """A loading from the fuel it starts with down to none.

    `outside` lists stretches of fuel (units of fuel, from, to) at which the airplane is out of its
    envelope or over its maximum weight; margins are the least over the whole burn, negative
    beyond the limit, None where there is no envelope or its weights are left. `most_fuel` is what
    the maximum weight and the tanks leave beside its loads, below 0 where these alone are too
    heavy, None without tanks. `path` holds (fuel, arm, weight) for a picture.
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
    """The extreme loading of one side; `margin` is negative beyond the limit.

    Where it is out of limits, each of these brings it back alone: `most_inside`, the largest load
    at a station (weight), for each station where one does; `ballast`, the least weight to add at
    a station, None where none does.
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
    """The empty airplane with an option, against today's, and what it can carry.

    Changes are None where today's airplane is not described; `full_fuel_payload` where its fuel
    is not.
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
    """Amps in one phase of flight; minutes on the battery are None where nothing draws on it.

    `essential_intermittent` is what the essential units draw at times, on top.
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
    """The thinnest listed copper wire for a circuit, and the protector listed for that wire.

    `gauge`, `drop` and `protector` are None where no listed wire will do; `fuse` and `breaker`
    where the chart has none of that kind.
    """

    name: str
    gauge: int | None
    drop: float | None
    allowed_drop: float
    breaker: float | None
    fuse: float | None


@dataclass(frozen=True, kw_only=True)
class ElectricalFigures:
    """Loads by phase against the 80 % rule of thumb, which is no electrical load analysis."""

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
    """Whether the functions that a flight rule lists are there, and which are not."""

    rule: Rule
    required: tuple[str, ...]
    missing: tuple[str, ...]

    @property
    def met(self) -> bool:
        """Whether nothing is missing."""
        return not self.missing


@dataclass(frozen=True, kw_only=True)
class UnitFailure:
    """What one failed unit takes with it: other units that go dark, functions lost and kept."""

    unit: str
    disabled: tuple[str, ...]
    lost: tuple[str, ...]
    kept: tuple[str, ...]
    rules: tuple[RuleState, ...]


@dataclass(frozen=True, kw_only=True)
class FailureFigures:
    """Single failures, minimal cut sets and flight rules of one airplane.

    `missing` are functions of the rules that nothing provides even with nothing failed;
    `unsupported` are units that cannot work even then; `idle` are units that provide nothing and
    that no other one hangs on, so that nothing is known of their failure. `single_points` maps
    each unit whose failure alone takes other units or two functions or more with it to what it
    takes. `means` are functions that other units need and no rule asks for, such as vacuum: of no
    use by themselves. `cut_sets` are of up to so many units as `largest_cut_sets` says, usually
    three; `more_cut_sets` counts those beyond the ones listed.
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
    """One failed unit after which only batteries feed the airplane.

    `left` are the sources that still work; `certain` is False where the files do not tell which
    source is a generator, so that `left` may be one. `empty` is what is lost and kept once the
    sources of `left` are used up too.
    """

    left: tuple[str, ...]
    certain: bool
    empty: UnitFailure


@dataclass(frozen=True, kw_only=True)
class StartWeek:
    """One possible start with the likely weeks down.

    `lost_worth_low` and `_high` take weeks_down at its low and high. Chances are that the
    downtime, overrun included, runs into a day when too many aircraft are down or into a
    blackout; `chance_late` is that the equipment arrives after the start. `room_weeks` is from
    the likely finish to the first such day, None without one. `slip_costs` is the lost
    worth added by coming back 1, 2, … 8 weeks later.
    """

    start: str
    finish: str
    lost_hours: float
    lost_contribution: float
    lost_worth: float
    lost_worth_low: float
    lost_worth_high: float
    refusals: tuple[Refusal, ...]
    chance_fleet: float
    chance_blackout: float
    chance_conflict: float
    chance_late: float
    room_weeks: float | None
    slip_costs: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Planner:
    """Every Monday to start on, the option's own start, and the best of them.

    `best_by_cost` and `best_by_risk` index `weeks`, best first, refused ones left out.
    `planned_extra_worth` and `planned_extra_hours` are what the own start loses more than the best
    by cost; None where every start is refused. `others_more` is by what share the other aircraft
    fly more while it is away as planned, None where nothing is known of their flying.
    """

    weeks: tuple[StartWeek, ...]
    planned: StartWeek
    ranked_by: Literal["lost_worth", "lost_hours"]
    best_by_cost: tuple[int, ...]
    best_by_risk: tuple[int, ...]
    planned_extra_worth: float | None
    planned_extra_hours: float | None
    others_more: float | None


@dataclass(frozen=True, kw_only=True)
class TippingPoint:
    """How far one need's weight must move before another option comes first; None: never.

    Weights are shares of all weight; the others keep their proportions to each other.
    """

    need: str
    weight: float
    tips_at: float | None
    new_first: str | None


@dataclass(frozen=True, kw_only=True)
class CapabilityFigures:
    """Share of weighted needs met by each option that describes its equipment.

    `met` lists each option's needs that are met; `first` the options with the highest share;
    `chance_first` how often each comes first (ties shared) when every weight is drawn anew;
    `order_kept` how often the whole order stays as it is.
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
    """One small job while the panel is open: money in present values as of as_of.

    `saving` = later - now; its low and high take now, later and the chance at their worst and
    best. `equal_chance` is the least yearly chance at which both are equal, None without one.
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
    """All small jobs under one option; `low` and `high` take all jobs at their worst or best."""

    jobs: tuple[DeferredJob, ...]
    saving: float
    saving_low: float
    saving_high: float
    included_saving: float


@dataclass(frozen=True, kw_only=True)
class Due:
    """When one inspection falls due: the last good day, and the tach hours if it is by hours.

    `when` says how that day stands to the airplane's time away: overdue on the day the figures are
    stated for (of another airplane: on the day it comes), due before it leaves, while it is away,
    or after that. One that is overdue by hours has no `last_day`: when its limit was passed is
    not known.
    """

    name: str
    by: Literal["calendar", "hours"]
    last_day: str | None
    at_hours: float | None
    when: DueWhen


@dataclass(frozen=True, kw_only=True)
class AirplaneFigures:
    """All of it by option id; an option of which the files say nothing is left out.

    `due_today` are the recurring items as they stand, `due_after` as they will once the option is
    in force, the earliest first.
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
