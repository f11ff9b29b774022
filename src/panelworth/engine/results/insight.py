"""Frozen figures of what decides: break-evens, changes of the best option, the sliders' box."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from panelworth.engine.results.members import MemberBills
from panelworth.engine.results.what_if import Grid


@dataclass(frozen=True, kw_only=True)
class Root:
    """A value at which an option and the baseline are even.

    `side`: the option pays from this value up ("at least") or down ("at most"); "" where it pays on
    both sides or on neither. `jump`: the difference jumps over zero, as it may where a finish moves
    into the next month.
    """

    value: float
    side: str
    jump: bool


@dataclass(frozen=True, kw_only=True)
class BreakEvenPoints:
    """Every break-even of an option by one input between two bounds, or why there is none.

    `why`: "pays at any value", "never pays" or "no effect"; "" where there are roots.
    """

    input: str
    least: float
    most: float
    roots: tuple[Root, ...]
    why: str


@dataclass(frozen=True, kw_only=True)
class RankReversal:
    """The value of an input, nearest to the likely one, from which another option is best.

    `best` is the best option at the likely value, `then` the one beyond `value`. Both `value` and
    `then` are None where `best` stays the best between the bounds `least` and `most`.
    """

    input: str
    likely: float
    least: float
    most: float
    best: str
    value: float | None
    then: str | None
    jump: bool


@dataclass(frozen=True, kw_only=True)
class Insight:
    """Results for pages alone: rank reversals, break-even values, the grid of the sliders, bills.

    `member_bills` is None for an owner. `priced` has the sums of each option's likely prices, tax
    in, by group.
    """

    rank_reversals: tuple[RankReversal, ...]
    break_even_points: Mapping[str, tuple[BreakEvenPoints, ...]]
    whatif: Grid
    member_bills: MemberBills | None = None
    priced: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
