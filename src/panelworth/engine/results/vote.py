"""Frozen counts of a members' vote: all that publishing may know of a tally."""

from collections.abc import Mapping
from dataclasses import dataclass

Counts = Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Approvals:
    """How many ballots approve each option; `winners` are more than one where they tie."""

    ballots: int
    blank: int
    counts: Counts
    winners: tuple[str, ...]

    def share(self, option: str) -> float:
        """Return the share of all ballots that approve an option."""
        return self.counts[option] / self.ballots


@dataclass(frozen=True, kw_only=True)
class Round:
    """One round of a runoff: for how many ballots each option still in it is the top one.

    `shared` ballots rank several options equally on top and count for none of them; `exhausted`
    ones rank none that is still in. `leaves` is who goes after the round, none after the last.
    """

    counts: Counts
    shared: int
    exhausted: int
    leaves: tuple[str, ...]

    @property
    def in_play(self) -> int:
        """How many ballots rank an option that is still in."""
        return sum(self.counts.values()) + self.shared

    def has_majority(self, option: str) -> bool:
        """Say whether an option is the top one of more than half of the ballots in play."""
        return 2 * self.counts[option] > self.in_play


@dataclass(frozen=True, kw_only=True)
class Runoff:
    """An instant runoff; `winners` are more than one where who leaves first would decide.

    `first_out` maps each option that ties for last in the last round told, if it may matter who of
    them leaves first, to all who can win when that one does; it is empty where there is no such
    tie.
    """

    rounds: tuple[Round, ...]
    winners: tuple[str, ...]
    first_out: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True)
class PairwiseCounts:
    """Each pair of options: `over[a][b]` ballots rank a above b.

    `winner` beats every other option, None where no option does; `smith` is the smallest set of
    options of which each beats every option outside it.
    """

    over: Mapping[str, Counts]
    winner: str | None
    smith: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """What ranked ballots say, counted in three ways; `first` names who has most first places."""

    ballots: int
    blank: int
    first: tuple[str, ...]
    runoff: Runoff
    pairwise: PairwiseCounts
