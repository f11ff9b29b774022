"""Counts of a members' vote: the frozen records that publishing reads."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Counts = Mapping[str, int]
Method = Literal["approvals", "first places", "runoff"]


@dataclass(frozen=True, kw_only=True)
class Approvals:
    """The number of ballots that approve each option; there are several `winners` in a tie."""

    ballots: int
    blank: int
    counts: Counts
    winners: tuple[str, ...]

    def share(self, option: str) -> float:
        """Return the share of all ballots that approve an option."""
        return self.counts[option] / self.ballots


@dataclass(frozen=True, kw_only=True)
class Round:
    """One round of a runoff: the number of ballots that rank each remaining option highest.

    `shared` ballots rank several remaining options equally at the top and count for none of them.
    `exhausted` ballots rank no remaining option. `leaves` are the options that are eliminated after
    the round, none after the last round.
    """

    counts: Counts
    shared: int
    exhausted: int
    leaves: tuple[str, ...]

    @property
    def in_play(self) -> int:
        """The number of ballots that rank a remaining option."""
        return sum(self.counts.values()) + self.shared

    def has_majority(self, option: str) -> bool:
        """Say whether an option is at the top of more than half of the ballots in play."""
        return 2 * self.counts[option] > self.in_play


@dataclass(frozen=True, kw_only=True)
class Runoff:
    """An instant runoff. There are several `winners` where the order of elimination decides.

    `first_out` is for a tie for the last place in the last of `rounds`: for each tied option it has
    the options that can win if this one is eliminated first. It is empty where there is no tie, or
    where the order cannot matter.
    """

    rounds: tuple[Round, ...]
    winners: tuple[str, ...]
    first_out: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True)
class PairwiseCounts:
    """The comparison of each pair of options: `over[a][b]` ballots rank a above b.

    `winner` beats every other option (the Condorcet winner); None where no option does. `smith` is
    the smallest set of options each of which beats every option outside the set (Smith set).
    """

    over: Mapping[str, Counts]
    winner: str | None
    smith: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """Ranked ballots, counted by three methods; `first` are the options with most first places."""

    ballots: int
    blank: int
    first: tuple[str, ...]
    runoff: Runoff
    pairwise: PairwiseCounts


@dataclass(frozen=True, kw_only=True)
class Standing:
    """The options with most votes by one method, how many each has, and whether that is enough.

    `majority` is None if the number of votes that it takes is unknown.
    """

    method: Method
    options: tuple[str, ...]
    votes: int
    majority: bool | None


@dataclass(frozen=True, kw_only=True)
class VoteCheck:
    """A count beside the rules of `[vote]`: turnout, quorum and majority.

    `ballots` are all that were cast, `blank` those without a mark. `entitled` is None if nobody
    says how many may vote. `quorum` and `majority` are shares; `least_ballots` and `least_votes`
    are the smallest whole numbers that meet them, None if unknown. `majority_base` is what the
    majority is a share of.
    """

    ballots: int
    blank: int
    entitled: int | None
    quorum: float
    least_ballots: int | None
    majority: float
    majority_of: Literal["cast", "entitled"]
    majority_base: int | None
    least_votes: int | None
    standings: tuple[Standing, ...]

    @property
    def turnout(self) -> float | None:
        """The share of those entitled who voted."""
        return self.ballots / self.entitled if self.entitled else None

    @property
    def quorum_met(self) -> bool | None:
        """Whether enough of those entitled voted; None if unknown."""
        return None if self.least_ballots is None else self.ballots >= self.least_ballots
