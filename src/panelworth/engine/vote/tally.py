"""Counting a members' vote: approvals, an instant runoff, duels of each pair of options.

No tie is broken by chance: a tie is part of the result, and the club's bylaws say what it means.
They also say which of the counts decides; nothing current prefers one.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

from panelworth.engine.results.vote import Approvals, Counts, PairwiseCounts, Ranking, Round, Runoff
from panelworth.model.vote import BallotMarks, Vote

UNRANKED = float("inf")  # below every rank


@dataclass(frozen=True, kw_only=True)
class RankingCounts:
    """The number of ballots for each ranking; a set of equally ranked options is a bit mask.

    Ballots are counted by ranking once, so that each round looks at rankings and not at ballots.
    """

    bits: Mapping[str, int]
    counts: Mapping[tuple[int, ...], int]


def counted(vote: Vote) -> Approvals | Ranking:
    """Count a vote by all methods that its kind of ballot allows."""
    return approvals(vote) if vote.kind == "approval" else ranking(vote)


def approvals(vote: Vote) -> Approvals:
    """Count for each option the ballots that approve it (Brams and Fishburn 1978).

    >>> approvals(Vote(kind="approval", options=("A", "B"), ballots=({"A": 1}, {}))).winners
    ('A',)
    """
    counts = {option: sum(option in marks for marks in vote.ballots) for option in vote.options}
    return Approvals(
        ballots=len(vote.ballots),
        blank=_blank(vote),
        counts=counts,
        winners=_most(counts),
    )


def ranking(vote: Vote) -> Ranking:
    """Count ranked ballots by three methods: most first places, instant runoff, duels."""
    rounds = runoff(vote)
    return Ranking(
        ballots=len(vote.ballots),
        blank=_blank(vote),
        first=_most(rounds.rounds[0].counts),
        runoff=rounds,
        pairwise=pairwise_counts(vote),
    )


def runoff(vote: Vote) -> Runoff:
    """Count an instant runoff: the option with the fewest ballots leaves, until one has a majority.

    A ballot counts for the option that it ranks highest of those still in. If it ranks several
    equally there, it counts for none of them until only one of them is left. A majority is more
    than half of the ballots that rank any option still in.

    Options tied for the last place leave together if the order cannot matter (see `_together`).
    Otherwise every order is followed ("parallel-universes tie-breaking": Conitzer, Rognlie and Xia,
    IJCAI 2009), and whoever wins in any of them is a winner: to draw lots would hide the tie.
    `rounds` are those up to this tie, `first_out` has the winners by who leaves first.
    """
    rankings = _rankings(vote)
    winners_of = _followed(rankings)
    left, rounds = vote.options, list[Round]()
    while True:
        now = _round(rankings, left)
        leaves = () if _won(now) else _fewest(now.counts)
        if not leaves or (len(leaves) > 1 and not _together(now, leaves)):
            rounds.append(now)
            first_out = {option: winners_of(_without(left, {option})) for option in leaves}
            winning = set(_won(now)).union(*first_out.values())
            winners = tuple(option for option in vote.options if option in winning)
            return Runoff(rounds=tuple(rounds), winners=winners, first_out=first_out)
        rounds.append(replace(now, leaves=leaves))
        left = _without(left, set(leaves))


def _followed(rankings: RankingCounts) -> Callable[[tuple[str, ...]], tuple[str, ...]]:
    """Return a function from the options still in to all who win in any order of leaving.

    The further rounds depend only on which options are still in, not on the order in which the
    others left. So each set is counted once: at most 2^12 = 4096 sets for 12 options.
    """

    @cache
    def winners_of(left: tuple[str, ...]) -> tuple[str, ...]:
        now = _round(rankings, left)
        if won := _won(now):
            return won
        leaves = _fewest(now.counts)
        outs = [set(leaves)] if _together(now, leaves) else [{option} for option in leaves]
        winning = set[str]().union(*(winners_of(_without(left, out)) for out in outs))
        return tuple(option for option in left if option in winning)

    return winners_of


def _together(now: Round, leaves: tuple[str, ...]) -> bool:
    """Say whether options tied for the last place may leave together: the result is the same.

    They may if all their ballots together, with those that share a top rank, are fewer than the
    ballots of any other option. Then each of them leaves before any other option does, in whatever
    order, even if it receives all the ballots of the others. This is the rule of batch elimination
    in the instant-runoff laws of several places; from memory.
    """
    others = [count for option, count in now.counts.items() if option not in leaves]
    most = sum(now.counts[option] for option in leaves) + now.shared
    return bool(others) and most < min(others)


def _without(left: tuple[str, ...], gone: set[str]) -> tuple[str, ...]:
    return tuple(option for option in left if option not in gone)


def pairwise_counts(vote: Vote) -> PairwiseCounts:
    """Compare each pair of options on every ballot (Condorcet 1785).

    An option without a rank is below every ranked one. A ballot that ranks two options equally
    counts for neither.
    """
    over = {
        a: {b: sum(_rank(m, a) < _rank(m, b) for m in vote.ballots) for b in vote.options if b != a}
        for a in vote.options
    }
    smith = smith_set(over)
    alone = len(smith) == 1
    return PairwiseCounts(over=over, winner=smith[0] if alone else None, smith=smith)


def smith_set(over: Mapping[str, Counts]) -> tuple[str, ...]:
    """Return the smallest set of options each of which beats every option outside (Smith 1973).

    An option is in it exactly if every other one can be reached from it by steps from an option to
    one that does not beat it (the top cycle of the relation "beats or ties"). A set of one option
    is the Condorcet winner.
    """
    return tuple(option for option in over if _reached(over, option) == set(over))


def _reached(over: Mapping[str, Counts], start: str) -> set[str]:
    """Return the options reached from `start` by steps to options that do not beat the last one."""
    reached, waiting = {start}, [start]
    while waiting:
        current = waiting.pop()
        new = [option for option in over[current] if over[option][current] <= over[current][option]]
        waiting += [option for option in new if option not in reached]
        reached.update(new)
    return reached


def _rankings(vote: Vote) -> RankingCounts:
    """Count the ballots by ranking: sets of equally ranked options, the best first."""
    bits = {option: 1 << place for place, option in enumerate(vote.options)}
    counts = Counter[tuple[int, ...]]()
    for marks in vote.ballots:
        ranks = sorted(set(marks.values()))
        counts[
            tuple(sum(bits[option] for option in marks if marks[option] == rank) for rank in ranks)
        ] += 1
    return RankingCounts(bits=bits, counts=counts)


def _round(rankings: RankingCounts, left: tuple[str, ...]) -> Round:
    """Count the ballots for the options still in."""
    still = sum(rankings.bits[option] for option in left)
    tops = Counter[int]()
    for ranks, count in rankings.counts.items():
        top = 0
        for equals in ranks:
            if top := equals & still:
                break
        tops[top] += count
    counts = {option: tops.pop(rankings.bits[option], 0) for option in left}
    exhausted = tops.pop(0, 0)
    return Round(counts=counts, shared=tops.total(), exhausted=exhausted, leaves=())


def _won(now: Round) -> tuple[str, ...]:
    """Return the option with more than half of the ballots still in play, or the only one left."""
    if len(now.counts) == 1:
        return tuple(now.counts)
    in_play = sum(now.counts.values()) + now.shared
    return tuple(option for option, count in now.counts.items() if 2 * count > in_play)


def _rank(marks: BallotMarks, option: str) -> float:
    return marks.get(option, UNRANKED)


def _most(counts: Counts) -> tuple[str, ...]:
    return tuple(option for option, count in counts.items() if count == max(counts.values()))


def _fewest(counts: Counts) -> tuple[str, ...]:
    return tuple(option for option, count in counts.items() if count == min(counts.values()))


def _blank(vote: Vote) -> int:
    return sum(not marks for marks in vote.ballots)
