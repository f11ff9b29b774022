"""Counting a members' vote: approvals, an instant runoff, and comparisons of each pair of options.

No tie is broken by chance: a tie is part of the result, and the club's bylaws say what it means.
The bylaws also say which count decides; this program prefers none.
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
    """The number of ballots with each ranking; a set of equally ranked options is a bit mask.

    Ballots are counted by ranking once. Each round then needs the different rankings only, and
    these are far fewer than the ballots.
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
    """Count ranked ballots by three methods: first places, instant runoff, pairwise comparison."""
    rounds = runoff(vote)
    return Ranking(
        ballots=len(vote.ballots),
        blank=_blank(vote),
        first=_most(rounds.rounds[0].counts),
        runoff=rounds,
        pairwise=pairwise_counts(vote),
    )


def runoff(vote: Vote) -> Runoff:
    """Count an instant runoff: the last option is eliminated until one has a majority.

    The last option is the one with the fewest ballots. A ballot counts for the remaining option
    that it ranks highest. If it ranks several equally there, it counts for none of them until only
    one of them remains. A majority is more than half of the ballots that rank any remaining option.

    Options tied for the last place are eliminated together if their order cannot matter (see
    `_may_leave_together`). Otherwise every order is counted ("parallel-universes tie-breaking":
    Conitzer, Rognlie and Xia, IJCAI 2009), and an option that wins in any of them is a winner. A
    random choice would hide the tie. `rounds` are those up to this tie; `first_out` has the winners
    by the option that is eliminated first.
    """
    rankings = _rankings(vote)
    winners_of = _winners_by_set(rankings)
    remaining, rounds = vote.options, list[Round]()
    while True:
        this_round = _round(rankings, remaining)
        leaves = () if _majority(this_round) else _fewest(this_round.counts)
        if not leaves or (len(leaves) > 1 and not _may_leave_together(this_round, leaves)):
            rounds.append(this_round)
            first_out = {option: winners_of(_without(remaining, {option})) for option in leaves}
            winning = set(_majority(this_round)).union(*first_out.values())
            winners = tuple(option for option in vote.options if option in winning)
            return Runoff(rounds=tuple(rounds), winners=winners, first_out=first_out)
        rounds.append(replace(this_round, leaves=leaves))
        remaining = _without(remaining, set(leaves))


def _winners_by_set(rankings: RankingCounts) -> Callable[[tuple[str, ...]], tuple[str, ...]]:
    """Return a function from the remaining options to all that win in any order of elimination.

    The further rounds depend only on the set of remaining options, and not on the order in which
    the others were eliminated. So each set is counted once: at most 2^12 = 4096 sets for 12
    options.
    """

    @cache
    def winners_of(remaining: tuple[str, ...]) -> tuple[str, ...]:
        this_round = _round(rankings, remaining)
        if winner := _majority(this_round):
            return winner
        leaves = _fewest(this_round.counts)
        eliminations = (
            [set(leaves)]
            if _may_leave_together(this_round, leaves)
            else [{option} for option in leaves]
        )
        winning = set[str]().union(
            *(winners_of(_without(remaining, eliminated)) for eliminated in eliminations)
        )
        return tuple(option for option in remaining if option in winning)

    return winners_of


def _may_leave_together(this_round: Round, leaves: tuple[str, ...]) -> bool:
    """Say whether options tied for the last place may be eliminated together.

    They may if the sum of their ballots and of those that share a top rank is below the ballots of
    every other option. Then each of them is eliminated before any other option, in whatever order,
    even if it receives all the ballots of the others: the result is the same. This is the rule of
    batch elimination in several instant-runoff laws (from memory).
    """
    others = [count for option, count in this_round.counts.items() if option not in leaves]
    most = sum(this_round.counts[option] for option in leaves) + this_round.shared
    return bool(others) and most < min(others)


def _without(options: tuple[str, ...], eliminated: set[str]) -> tuple[str, ...]:
    return tuple(option for option in options if option not in eliminated)


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

    An option is in the set exactly if every other option can be reached from it, where a step goes
    from an option to one that does not beat it (the top cycle of "beats or ties"). If the set has
    only one option, it is the Condorcet winner.
    """
    return tuple(option for option in over if _reached(over, option) == set(over))


def _reached(over: Mapping[str, Counts], start: str) -> set[str]:
    """Return the options that are reached from `start` by steps as in `smith_set`."""
    reached, waiting = {start}, [start]
    while waiting:
        current = waiting.pop()
        new = [option for option in over[current] if over[option][current] <= over[current][option]]
        waiting += [option for option in new if option not in reached]
        reached.update(new)
    return reached


def _rankings(vote: Vote) -> RankingCounts:
    """Count the ballots by ranking: a ranking is sets of equally ranked options, the best first."""
    bits = {option: 1 << place for place, option in enumerate(vote.options)}
    counts = Counter[tuple[int, ...]]()
    for marks in vote.ballots:
        # Only the order of the numbers counts: 1, 3, 7 is the same ranking as 1, 2, 3.
        ranks = sorted(set(marks.values()))
        counts[
            tuple(sum(bits[option] for option in marks if marks[option] == rank) for rank in ranks)
        ] += 1
    return RankingCounts(bits=bits, counts=counts)


def _round(rankings: RankingCounts, remaining: tuple[str, ...]) -> Round:
    """Count the ballots for the remaining options."""
    still = sum(rankings.bits[option] for option in remaining)
    tops = Counter[int]()
    for ranks, count in rankings.counts.items():
        top = 0
        # The first set with a remaining option decides which options the ballot is for.
        for equals in ranks:
            if top := equals & still:
                break
        tops[top] += count
    counts = {option: tops.pop(rankings.bits[option], 0) for option in remaining}
    exhausted = tops.pop(0, 0)
    return Round(counts=counts, shared=tops.total(), exhausted=exhausted, leaves=())


def _majority(this_round: Round) -> tuple[str, ...]:
    """Return the option with more than half of the ballots in play, or the only remaining one."""
    if len(this_round.counts) == 1:
        return tuple(this_round.counts)
    in_play = sum(this_round.counts.values()) + this_round.shared
    return tuple(option for option, count in this_round.counts.items() if 2 * count > in_play)


def _rank(marks: BallotMarks, option: str) -> float:
    return marks.get(option, UNRANKED)


def _most(counts: Counts) -> tuple[str, ...]:
    return tuple(option for option, count in counts.items() if count == max(counts.values()))


def _fewest(counts: Counts) -> tuple[str, ...]:
    return tuple(option for option, count in counts.items() if count == min(counts.values()))


def _blank(vote: Vote) -> int:
    return sum(not marks for marks in vote.ballots)
