"""Counting a members' vote: approvals, an instant runoff, duels of each pair of options.

Chance breaks no tie here: ties are part of the answer. Which count decides is for the club's own
rules; nothing here prefers one.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from panelworth.engine.results_vote import Approvals, Counts, Duels, Ranking, Round, Runoff
from panelworth.model.vote import Marks, Vote

UNRANKED = float("inf")


def counted(vote: Vote) -> Approvals | Ranking:
    """Count a vote in every way its kind of ballot allows."""
    return approvals(vote) if vote.kind == "approval" else ranking(vote)


def approvals(vote: Vote) -> Approvals:
    """Count for each option the ballots that approve it (Brams and Fishburn 1978).

    >>> approvals(Vote(kind="approval", options=("A", "B"), ballots=({"A": 1}, {}))).winners
    ('A',)
    """
    counts = {each: sum(each in marks for marks in vote.ballots) for each in vote.options}
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
    that rank any option still in. All that tie for last leave together; where that would leave
    none, they are the result.
    """
    left, rounds = vote.options, list[Round]()
    while True:
        now = _round(vote, left)
        leaves = _fewest(now.counts)
        winners = _won(now) or (left if leaves == left else ())
        if winners:
            rounds.append(now)
            return Runoff(rounds=tuple(rounds), winners=winners, possible=possible_winners(vote))
        rounds.append(replace(now, leaves=leaves))
        left = tuple(each for each in left if each not in leaves)


def possible_winners(vote: Vote) -> tuple[str, ...]:
    """Return who could win a runoff if options tied for last left one at a time, in any order.

    Every order is tried ("parallel universes": Conitzer, Rognlie and Xia, IJCAI 2009).
    """
    found, seen, waiting = set[str](), set[frozenset[str]](), [vote.options]
    while waiting:
        left = waiting.pop()
        if frozenset(left) in seen:
            continue
        seen.add(frozenset(left))
        now = _round(vote, left)
        if winners := _won(now):
            found.update(winners)
            continue
        waiting += [tuple(each for each in left if each != gone) for gone in _fewest(now.counts)]
    return tuple(each for each in vote.options if each in found)


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
    return tuple(each for each in over if _reached(over, each) == set(over))


def _reached(over: Mapping[str, Counts], start: str) -> set[str]:
    """Return what is reached from an option by steps to those that do not beat it."""
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        new = [each for each in over[here] if over[each][here] <= over[here][each]]
        waiting += [each for each in new if each not in found]
        found.update(new)
    return found


def _round(vote: Vote, left: tuple[str, ...]) -> Round:
    """Count the ballots for the options still in."""
    tops = [_top(marks, left) for marks in vote.ballots]
    alone = [top[0] for top in tops if len(top) == 1]
    return Round(
        counts={each: alone.count(each) for each in left},
        shared=sum(len(top) > 1 for top in tops),
        exhausted=sum(not top for top in tops),
        leaves=(),
    )


def _won(now: Round) -> tuple[str, ...]:
    """Return who has more than half of the ballots still in play, or is left alone."""
    if len(now.counts) == 1:
        return tuple(now.counts)
    in_play = sum(now.counts.values()) + now.shared
    return tuple(each for each, count in now.counts.items() if 2 * count > in_play)


def _top(marks: Marks, left: Iterable[str]) -> list[str]:
    """Return which of the options still in a ballot ranks highest; several where it ties them."""
    ranked = [each for each in left if each in marks]
    best = min((marks[each] for each in ranked), default=0)
    return [each for each in ranked if marks[each] == best]


def _rank(marks: Marks, option: str) -> float:
    return marks.get(option, UNRANKED)


def _most(counts: Counts) -> tuple[str, ...]:
    return tuple(each for each, count in counts.items() if count == max(counts.values()))


def _fewest(counts: Counts) -> tuple[str, ...]:
    return tuple(each for each, count in counts.items() if count == min(counts.values()))


def _blank(vote: Vote) -> int:
    return sum(not marks for marks in vote.ballots)
