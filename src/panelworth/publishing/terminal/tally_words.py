"""A counted vote in sentences and tables for a terminal. Ties are named; no method is preferred."""

from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import Literal

from panelworth.engine.results.vote import (
    Approvals,
    PairwiseCounts,
    Ranking,
    Round,
    Runoff,
    VoteCheck,
)
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.terminal.tables import TextTable
from panelworth.publishing.terminal.vote_check_words import rules_report

Report = list[str | TextTable]
Outcome = tuple[str, tuple[str, ...], str]  # the method, its winners, a note
TIE = "a tie"
NO_NAME = "no option"
HOW = (
    "Which count decides is a matter of the club's own rules, best settled before anything is "
    "counted; nothing here prefers one."
)


def report(
    counted: Sequence[Approvals | Ranking], checks: Sequence[VoteCheck] | None = None
) -> Report:
    """Return the report of each count, then which of them agree.

    `checks` has each count beside the rules of a scenario; without a scenario it is None.
    """
    lines: Report = []
    for tally in counted:
        if isinstance(tally, Approvals):
            lines.extend(approval_report(tally))
        else:
            lines.extend(ranking_report(tally))
    agreed = agreement(outcomes(counted))
    if checks is None:
        return [*lines, *agreed, HOW]
    gap = [""] if agreed else []
    return [*lines, *agreed, *gap, *rules_report(checks)]


def approval_report(approvals: Approvals) -> Report:
    """Return the report of approvals: the counts, then the options with most."""
    table = _table("Ballots", "Of all")
    for name, count in sorted(approvals.counts.items(), key=lambda pair: pair[1], reverse=True):
        table.add_row(name, str(count), percent(approvals.share(name), 1))
    winners = approvals.winners
    most = f"{_names(winners)} {_has(winners)} most approvals{_tied(winners)}."
    return [f"Approvals. {_ballots(approvals.ballots, approvals.blank)}", table, most, ""]


def ranking_report(ranking: Ranking) -> Report:
    """Return the report of ranked ballots: the runoff by rounds, then each pair of options."""
    return [
        f"Instant runoff. {_ballots(ranking.ballots, ranking.blank)}",
        *_runoff(ranking.runoff),
        "",
        "One against one: how many ballots rank the row above the column.",
        _pairwise_table(ranking.pairwise),
        *_pairwise_result(ranking.pairwise),
        "",
    ]


def outcomes(counted: Iterable[Approvals | Ranking]) -> list[Outcome]:
    """Return each method with its winners; none if it has no winner."""
    results: list[Outcome] = []
    for tally in counted:
        if isinstance(tally, Approvals):
            results.append(("most approvals", tally.winners, _tie(tally.winners)))
        else:
            beats = (tally.pairwise.winner,) if tally.pairwise.winner else ()
            results += [
                ("most first places", tally.first, _tie(tally.first)),
                ("instant runoff", tally.runoff.winners, _doubt(tally.runoff)),
                ("beats every other option (Condorcet)", beats, ""),
            ]
    return results


def agreement(results: list[Outcome]) -> Report:
    """Say whether all methods have the same winner."""
    if len(results) < 2:  # noqa: PLR2004 (a single method has nothing to agree with)
        return []
    if len({winners for _, winners, _ in results}) == 1 and len(results[0][1]) == 1:
        return [f"All counts come out for {_names(results[0][1])}.", *_methods(results)]
    return ["The counts do not all name the same single option.", *_methods(results)]


def _methods(results: list[Outcome]) -> list[str]:
    return [
        f"- {method}: {_names(winners)}{f' ({added})' if added else ''}"
        for method, winners, added in results
    ]


def _tie(names: tuple[str, ...]) -> str:
    return TIE if len(names) > 1 else ""


def _all_alike(runoff: Runoff) -> bool:
    """Return whether all remaining options tie and each of them can win."""
    return set(runoff.winners) == set(runoff.rounds[-1].counts) == set(runoff.first_out)


def _doubt(runoff: Runoff) -> str:
    """Return a note if the runoff depends on which of the tied last options leaves first."""
    if not runoff.first_out:
        return ""
    if len(runoff.winners) == 1:
        return "whoever of those tied for last leaves first"
    if _all_alike(runoff):
        return TIE
    return "each can win: who of those tied for last leaves first decides"


def _runoff(runoff: Runoff) -> Report:
    """Return a table with a column for each round, then the options that leave and remain."""
    table = _table(*(f"Round {number}" for number, _ in enumerate(runoff.rounds, start=1)))
    for name in runoff.rounds[0].counts:
        table.add_row(name, *(str(counted.counts.get(name, "")) for counted in runoff.rounds))
    for label, key in (("top place shared", "shared"), ("no rank left", "exhausted")):
        counts = [getattr(counted, key) for counted in runoff.rounds]
        if any(counts):
            table.add_row(label, *map(str, counts))
    leaving = [
        _leaving(number, counted) for number, counted in enumerate(runoff.rounds[:-1], start=1)
    ]
    return [table, *leaving, *(_orders(runoff) if runoff.first_out else [_winner_line(runoff)])]


def _leaving(number: int, counted: Round) -> str:
    leaves = counted.leaves
    if len(leaves) == 1:
        return f"Round {number}: {_names(leaves)} has fewest and leaves."
    return (
        f"Round {number}: {_names(leaves)} tie for last and leave together: even with all their "
        "ballots none of them could pass the next."
    )


def _winner_line(runoff: Runoff) -> str:
    last, winners, number = runoff.rounds[-1], runoff.winners, len(runoff.rounds)
    if last.has_majority(winners[0]):
        count, ballots = last.counts[winners[0]], plural(last.in_play, "ballot", "ballots")
        return f"Round {number}: {_names(winners)} has {count} of {ballots} in play, a majority."
    return f"Round {number}: {_names(winners)} is the last one left."


def _orders(runoff: Runoff) -> list[str]:
    """Describe a tie for last in which the order of leaving may decide."""
    number, tied = len(runoff.rounds), tuple(runoff.first_out)
    unnamed = "The runoff names no single option."
    if _all_alike(runoff):
        return [f"Round {number}: a tie of {_names(tied)}. {unnamed}"]
    tie = f"Round {number}: {_names(tied)} tie for last, and who leaves first may decide"
    outs = [
        f"- with {_names((out,))} out first: {_names(winners, 'or')}"
        for out, winners in runoff.first_out.items()
    ]
    if len(runoff.winners) == 1:
        result = f"In whatever order they leave, {_names(runoff.winners)} wins."
    else:
        result = f"{_names(runoff.winners, 'or')} could win. {unnamed}"
    return [f"{tie}. Every order was followed:", *outs, result]


def _pairwise_table(pairwise: PairwiseCounts) -> TextTable:
    table = _table(*pairwise.over)
    for name, counts in pairwise.over.items():
        table.add_row(name, *(str(counts.get(other, "—")) for other in pairwise.over))
    return table


def _pairwise_result(pairwise: PairwiseCounts) -> list[str]:
    """Name the option that beats every other one, or the smallest such group (Smith set)."""
    if pairwise.winner:
        return [
            f"“{pairwise.winner}” beats every other option, one against one (Condorcet winner)."
        ]
    everyone = len(pairwise.smith) == len(pairwise.over)
    rest = "" if everyone else ", each of which beats every option outside it"
    pairs = [_turned(pairwise, a, b) for a, b in combinations(pairwise.smith, 2)]
    circle = all(pairwise.over[a][b] > pairwise.over[b][a] for a, b in pairs)
    how = "They beat each other in a circle" if circle else "Within it"
    group = f"The smallest group on top (Smith set): {_names(pairwise.smith)}{rest}."
    pairs_text = "; ".join(_pair_result(pairwise, a, b) for a, b in _in_turn(pairs))
    none = "No option beats every other, one against one (no Condorcet winner)."
    return [none, f"{group} {how}: {pairs_text}."]


def _turned(pairwise: PairwiseCounts, one: str, other: str) -> tuple[str, str]:
    """Name the winner of a pair first."""
    return (one, other) if pairwise.over[one][other] >= pairwise.over[other][one] else (other, one)


def _in_turn(pairs: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Order pairs so that each pair begins with the loser of the pair before.

    >>> _in_turn([("A", "B"), ("C", "A"), ("B", "C")])
    [('A', 'B'), ('B', 'C'), ('C', 'A')]
    """
    waiting, chain = list(pairs), list[tuple[str, str]]()
    while waiting:
        fitting = [pair for pair in waiting if chain and pair[0] == chain[-1][1]]
        chain.append((fitting or waiting)[0])
        waiting.remove(chain[-1])
    return chain


def _pair_result(pairwise: PairwiseCounts, one: str, other: str) -> str:
    mine, theirs = pairwise.over[one][other], pairwise.over[other][one]
    if mine == theirs:
        return f"“{one}” and “{other}” tie at {mine}"
    return f"“{one}” beats “{other}” {mine} to {theirs}"


def _ballots(count: int, blank: int) -> str:
    return f"{plural(count, 'ballot', 'ballots')}{f', {blank} of them blank' if blank else ''}."


def _table(*columns: str) -> TextTable:
    return TextTable("", ["", *columns])


def _names(names: tuple[str, ...], style: Literal["standard", "or"] = "standard") -> str:
    return joined([f"“{name}”" for name in names], style) or NO_NAME


def _tied(names: tuple[str, ...]) -> str:
    return " (a tie)" if len(names) > 1 else ""


def _has(names: tuple[str, ...]) -> str:
    return "have" if len(names) > 1 else "has"
