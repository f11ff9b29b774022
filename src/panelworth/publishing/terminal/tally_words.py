"""A counted vote in sentences and tables for a terminal; it names ties and prefers no method."""

from collections.abc import Iterable, Sequence
from itertools import combinations

from rich.table import Table

from panelworth.engine.results.vote import Approvals, Duels, Ranking, Round, Runoff
from panelworth.publishing.formats import joined, percent, plural

Found = list[str | Table]
Outcome = tuple[str, tuple[str, ...], str]  # the method, whom it names, what is to be added
TIE = "a tie"
NO_NAME = "no option"
HOW = (
    "Which count decides is a matter of the club's own rules, best settled before anything is "
    "counted; nothing here prefers one."
)


def report(counted: Sequence[Approvals | Ranking]) -> Found:
    """Report each count, then which of them agree."""
    found: Found = []
    for each in counted:
        report_of = approval_report(each) if isinstance(each, Approvals) else ranking_report(each)
        found.extend(report_of)
    return [*found, *agreement(outcomes(counted))]


def approval_report(found: Approvals) -> Found:
    """Report approvals: the counts, then who has most."""
    table = _table("Ballots", "Of all")
    for name, count in sorted(found.counts.items(), key=lambda pair: pair[1], reverse=True):
        table.add_row(name, str(count), percent(found.share(name), 1))
    told = f"{_names(found.winners)} {_has(found.winners)} most approvals{_tied(found.winners)}."
    return [f"Approvals. {_ballots(found.ballots, found.blank)}", table, told, ""]


def ranking_report(found: Ranking) -> Found:
    """Report ranked ballots: the runoff round by round, then each pair of options."""
    return [
        f"Instant runoff. {_ballots(found.ballots, found.blank)}",
        *_runoff(found.runoff),
        "",
        "One against one: how many ballots rank the row above the column.",
        _duel_table(found.duels),
        *_duels(found.duels),
        "",
    ]


def outcomes(counted: Iterable[Approvals | Ranking]) -> list[Outcome]:
    """Name each method with the options it comes out for; none where it names none."""
    found: list[Outcome] = []
    for each in counted:
        if isinstance(each, Approvals):
            found.append(("most approvals", each.winners, _tie(each.winners)))
        else:
            beats = (each.duels.winner,) if each.duels.winner else ()
            found += [
                ("most first places", each.first, _tie(each.first)),
                ("instant runoff", each.runoff.winners, _doubt(each.runoff)),
                ("beats every other option (Condorcet)", beats, ""),
            ]
    return found


def agreement(found: list[Outcome]) -> Found:
    """Say which methods name the same option and which do not."""
    if len(found) < 2:  # noqa: PLR2004 (a single method has nothing to agree with)
        return [HOW]
    if len({winners for _, winners, _ in found}) == 1 and len(found[0][1]) == 1:
        return [f"All counts come out for {_names(found[0][1])}.", *_methods(found), HOW]
    return ["The counts do not all name the same single option.", *_methods(found), HOW]


def _methods(found: list[Outcome]) -> list[str]:
    return [
        f"- {method}: {_names(winners)}{f' ({added})' if added else ''}"
        for method, winners, added in found
    ]


def _tie(names: tuple[str, ...]) -> str:
    return TIE if len(names) > 1 else ""


def _all_alike(found: Runoff) -> bool:
    """Say whether all that were left tie, and each of them can win."""
    return set(found.winners) == set(found.rounds[-1].counts) == set(found.first_out)


def _doubt(found: Runoff) -> str:
    """Say in the summary that a runoff rests on who of those tied for last leaves first."""
    if not found.first_out:
        return ""
    if len(found.winners) == 1:
        return "whoever of those tied for last leaves first"
    if _all_alike(found):
        return TIE
    return "each can win: who of those tied for last leaves first decides"


def _runoff(found: Runoff) -> Found:
    """Report a runoff: a table with a column a round, then who leaves when and who is left."""
    table = _table(*(f"Round {number}" for number, _ in enumerate(found.rounds, start=1)))
    for name in found.rounds[0].counts:
        table.add_row(name, *(str(each.counts.get(name, "")) for each in found.rounds))
    for label, key in (("top place shared", "shared"), ("no rank left", "exhausted")):
        counts = [getattr(each, key) for each in found.rounds]
        if any(counts):
            table.add_row(label, *map(str, counts), style="dim")
    said = [_leaving(number, each) for number, each in enumerate(found.rounds[:-1], start=1)]
    return [table, *said, *(_orders(found) if found.first_out else [_left(found)])]


def _leaving(number: int, counted: Round) -> str:
    leaves = counted.leaves
    if len(leaves) == 1:
        return f"Round {number}: {_names(leaves)} has fewest and leaves."
    return (
        f"Round {number}: {_names(leaves)} tie for last and leave together: even with all their "
        "ballots none of them could pass the next."
    )


def _left(found: Runoff) -> str:
    last, winners, number = found.rounds[-1], found.winners, len(found.rounds)
    if last.has_majority(winners[0]):
        count, ballots = last.counts[winners[0]], plural(last.in_play, "ballot", "ballots")
        return f"Round {number}: {_names(winners)} has {count} of {ballots} in play, a majority."
    return f"Round {number}: {_names(winners)} is the last one left."


def _orders(found: Runoff) -> list[str]:
    """Say what comes of a tie for last in which it may matter who leaves first."""
    number, tied = len(found.rounds), tuple(found.first_out)
    unnamed = "The runoff names no single option."
    if _all_alike(found):
        return [f"Round {number}: a tie of {_names(tied)}. {unnamed}"]
    told = f"Round {number}: {_names(tied)} tie for last, and who leaves first may decide"
    outs = [
        f"- with {_names((out,))} out first: {_names(winners, 'or')}"
        for out, winners in found.first_out.items()
    ]
    if len(found.winners) == 1:
        said = f"In whatever order they leave, {_names(found.winners)} wins."
    else:
        said = f"{_names(found.winners, 'or')} could win. {unnamed}"
    return [f"{told}. Every order was followed:", *outs, said]


def _duel_table(found: Duels) -> Table:
    table = _table(*found.over)
    for name, counts in found.over.items():
        table.add_row(name, *(str(counts.get(other, "—")) for other in found.over))
    return table


def _duels(found: Duels) -> list[str]:
    """Name the option that beats every other one, else the smallest group that does."""
    if found.winner:
        return [f"“{found.winner}” beats every other option, one against one (Condorcet winner)."]
    everyone = len(found.smith) == len(found.over)
    rest = "" if everyone else ", each of which beats every option outside it"
    pairs = [_turned(found, a, b) for a, b in combinations(found.smith, 2)]
    circle = all(found.over[a][b] > found.over[b][a] for a, b in pairs)
    told = "They beat each other in a circle" if circle else "Within it"
    group = f"The smallest group on top (Smith set): {_names(found.smith)}{rest}."
    duels = "; ".join(_duel(found, a, b) for a, b in _in_turn(pairs))
    none = "No option beats every other, one against one (no Condorcet winner)."
    return [none, f"{group} {told}: {duels}."]


def _turned(found: Duels, one: str, other: str) -> tuple[str, str]:
    """Name the winner of a pair first."""
    return (one, other) if found.over[one][other] >= found.over[other][one] else (other, one)


def _in_turn(pairs: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Put pairs behind one another so that each begins with whom the one before beats.

    >>> _in_turn([("A", "B"), ("C", "A"), ("B", "C")])
    [('A', 'B'), ('B', 'C'), ('C', 'A')]
    """
    waiting, found = list(pairs), list[tuple[str, str]]()
    while waiting:
        fitting = [each for each in waiting if found and each[0] == found[-1][1]]
        found.append((fitting or waiting)[0])
        waiting.remove(found[-1])
    return found


def _duel(found: Duels, one: str, other: str) -> str:
    mine, theirs = found.over[one][other], found.over[other][one]
    if mine == theirs:
        return f"“{one}” and “{other}” tie at {mine}"
    return f"“{one}” beats “{other}” {mine} to {theirs}"


def _ballots(count: int, blank: int) -> str:
    return f"{plural(count, 'ballot', 'ballots')}{f', {blank} of them blank' if blank else ''}."


def _table(*columns: str) -> Table:
    table = Table(header_style="bold")
    table.add_column("")
    for column in columns:
        table.add_column(column, justify="right")
    return table


def _names(names: tuple[str, ...], last: str = "and") -> str:
    return joined([f"“{name}”" for name in names], last) or NO_NAME


def _tied(names: tuple[str, ...]) -> str:
    return " (a tie)" if len(names) > 1 else ""


def _has(names: tuple[str, ...]) -> str:
    return "have" if len(names) > 1 else "has"
