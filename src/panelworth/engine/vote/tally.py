"""Counting a members' vote: approvals, an instant runoff, duels of each pair of options.

Chance breaks no tie here: ties are part of the answer. Which count decides is for the club's own
rules; nothing here prefers one.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

from panelworth.engine.results.vote import Approvals, Counts, Duels, Ranking, Round, Runoff
from panelworth.model.vote import BallotMarks, Vote

UNRANKED = float("inf")


@dataclass(frozen=True, kw_only=True)
class Stacks:
    """Ballots that rank alike, counted; a set of options is a number, one bit an option."""

    bits: Mapping[str, int]
    counts: Mapping[tuple[int, ...], int]


def counted(vote: Vote) -> Approvals | Ranking:
    """Count a vote in every way its kind of ballot allows."""
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
    """Count ranked ballots in three ways: most first places, instant runoff, duels."""
    rounds = runoff(vote)
    return Ranking(
        ballots=len(vote.ballots),
        blank=_blank(vote),
        first=_most(rounds.rounds[0].counts),
        runoff=rounds,
        duels=duels(vote),
    )


def runoff(vote: Vote) -> Runoff:
    """Let the option that is on top of the fewest ballots leave, until one has a majority.

    A ballot counts for the option it ranks highest among those still in; where it ranks several
    equally there, for none of them until one is left. A majority is more than half of the ballots
    that rank any option still in. Options tied for last leave together where that cannot matter
    (see `_together`); else every order in which they may leave is followed ("parallel universes":
    Conitzer, Rognlie and Xia, IJCAI 2009), and all who win in any of them are the winners.
    """
    stacks = _stacks(vote)
    winners_of = _followed(stacks)
    left, rounds = vote.options, list[Round]()
    while True:
        now = _round(stacks, left)
        leaves = () if _won(now) else _fewest(now.counts)
        if not leaves or (len(leaves) > 1 and not _together(now, leaves)):
            rounds.append(now)
            first_out = {option: winners_of(_without(left, {option})) for option in leaves}
            winning = set(_won(now)).union(*first_out.values())
            winners = tuple(option for option in vote.options if option in winning)
            return Runoff(rounds=tuple(rounds), winners=winners, first_out=first_out)
        rounds.append(replace(now, leaves=leaves))
        left = _without(left, set(leaves))


def _followed(stacks: Stacks) -> Callable[[tuple[str, ...]], tuple[str, ...]]:
    """Return a function from the options still in to all who win in any order of leaving.

    What follows depends on who is left alone, so that each set of options is looked at once: for
    12 options at most 4096 of them.
    """

    @cache
    def winners_of(left: tuple[str, ...]) -> tuple[str, ...]:
        now = _round(stacks, left)
        if won := _won(now):
            return won
        leaves = _fewest(now.counts)
        outs = [set(leaves)] if _together(now, leaves) else [{option} for option in leaves]
        winning = set[str]().union(*(winners_of(_without(left, out)) for out in outs))
        return tuple(option for option in left if option in winning)

    return winners_of


def _together(now: Round, leaves: tuple[str, ...]) -> bool:
    """Say whether options tied for last may leave at once: the order cannot change who wins.

    So it is where even all their ballots together, with those that share a top rank, are fewer than
    the next option has: then each of them leaves before any other does, in whatever order. The rule
    of batch elimination, as in the instant-runoff laws of several places; from memory.
    """
    others = [count for option, count in now.counts.items() if option not in leaves]
    most = sum(now.counts[option] for option in leaves) + now.shared
    return bool(others) and most < min(others)


def _without(left: tuple[str, ...], gone: set[str]) -> tuple[str, ...]:
    return tuple(option for option in left if option not in gone)


def duels(vote: Vote) -> Duels:
    """Compare each pair of options on every ballot (Condorcet 1785).

    An option without a rank stands below every ranked one; where two stand equal, the ballot
    counts for neither.
    """
    over = {
        a: {b: sum(_rank(m, a) < _rank(m, b) for m in vote.ballots) for b in vote.options if b != a}
        for a in vote.options
    }
    smith = smith_set(over)
    alone = len(smith) == 1
    return Duels(over=over, winner=smith[0] if alone else None, smith=smith)


def smith_set(over: Mapping[str, Counts]) -> tuple[str, ...]:
    """Return the smallest set of options of which each beats every option outside (Smith 1973).

    It holds every option from which each other one is reached by steps from an option to one that
    does not beat it. A set of one is the Condorcet winner.
    """
    return tuple(option for option in over if _reached(over, option) == set(over))


def _reached(over: Mapping[str, Counts], start: str) -> set[str]:
    """Return what is reached from an option by steps to those that do not beat it."""
    reached, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        new = [option for option in over[here] if over[option][here] <= over[here][option]]
        waiting += [option for option in new if option not in reached]
        reached.update(new)
    return reached


def _stacks(vote: Vote) -> Stacks:
    """Put ballots that rank alike into one stack: sets of equally ranked options, best first."""
    bits = {option: 1 << place for place, option in enumerate(vote.options)}
    counts = Counter[tuple[int, ...]]()
    for marks in vote.ballots:
        ranks = sorted(set(marks.values()))
        counts[
            tuple(sum(bits[option] for option in marks if marks[option] == rank) for rank in ranks)
        ] += 1
    return Stacks(bits=bits, counts=counts)


def _round(stacks: Stacks, left: tuple[str, ...]) -> Round:
    """Count the ballots for the options still in."""
    still = sum(stacks.bits[option] for option in left)
    tops = Counter[int]()
    for ranks, count in stacks.counts.items():
        top = 0
        for equals in ranks:
            if top := equals & still:
                break
        tops[top] += count
    counts = {option: tops.pop(stacks.bits[option], 0) for option in left}
    exhausted = tops.pop(0, 0)
    return Round(counts=counts, shared=tops.total(), exhausted=exhausted, leaves=())


def _won(now: Round) -> tuple[str, ...]:
    """Return who has more than half of the ballots still in play, or is left alone."""
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
