"""Reads CSV files of members' votes on options, and reports every bad cell.

Each column is an option and each row a ballot, without names. This is not the ballots.csv of a
scenario, which says how much members want each need.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import get_args

from panelworth.model.names import heading_key
from panelworth.model.vote import BallotMarks, Vote, VoteKind
from panelworth.plain_files import is_file
from panelworth.problems import MOST_PROBLEMS, Collector, Problem, listed, too_many
from panelworth.reading.cells import RANK, yes_or_no
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet, read_sheet
from panelworth.reading.tables import read_text
from panelworth.reading.vote_options import VoteOptions

NEEDS_FILES = ("needs.toml", "scenario.toml")
NEEDS_BALLOTS = "ballots.csv"
# Headings of columns that are no options. Ballots are anonymous, so these columns are refused.
NOT_OPTIONS = (
    *("name", "names", "member", "members", "voter", "voters", "number", "#", "date", "time"),
    *("timestamp", "email", "e_mail", "ballot", "ballot_no", "ballot_number"),
)
WITHOUT_RANK = ("", "0", "-", "–", "—")
LEAST_OPTIONS, MOST_OPTIONS = 2, 12  # the time to count a runoff doubles with each option
EQUAL_RANKS_HINT = (
    "still counted: neither is above the other, and a runoff counts the ballot for none of "
    "them while they share its first place"
)
GAP_HINT = "still counted: only the order matters"
NAMES = {"approval": "approvals", "ranking": "ranks"}
KINDS: tuple[VoteKind, ...] = get_args(VoteKind)


def read_votes(
    paths: Sequence[Path], kind: VoteKind | None, options: VoteOptions | None = None
) -> tuple[tuple[Vote, ...], list[Problem]]:
    """Read one file of votes, or one of approvals and one of ranks on the same options.

    Returns the votes and the problems. A file with an error gives no vote. With `options` each
    column must be one of them; the vote has their labels.
    """
    collector = Collector()
    if len(paths) > len(KINDS) or (kind and len(paths) > 1):
        expected = "one file, or without --kind two: approvals and ranks"
        names = ", ".join(map(str, paths))
        hint = "count them one at a time"
        collector.add(Problem(file="tally", key="FILES", expected=expected, found=names, hint=hint))
        return (), collector.problems
    read = [(path, _vote_in(path, kind, collector, options)) for path in paths]
    votes = [(path, vote) for path, vote in read if vote]
    collector.problems += _mismatches(votes)
    # Both votes list the options in the same order, so that the reports can be compared.
    order = votes[0][1].options if votes else ()
    return tuple(replace(vote, options=order) for _, vote in votes), collector.problems


def _vote_in(
    path: Path, kind: VoteKind | None, collector: Collector, options: VoteOptions | None
) -> Vote | None:
    """Read one file. It has its own collector, so that errors of another file do not stop it."""
    file_collector = Collector()
    vote = read_vote(path, kind, file_collector, options)
    collector.problems += file_collector.problems
    return vote


def _mismatches(votes: Sequence[tuple[Path, Vote]]) -> Iterator[Problem]:
    """Yield a problem if two files have the same kind of vote, or different options."""
    if len(votes) < len(KINDS):
        return
    (_, one), (path, other) = votes
    if one.kind == other.kind:
        hint = "put all ballots of one kind into one file"
        expected = "one file of approvals and one of ranks"
        yield _problem_at(path, 0, "", expected, f"two of {NAMES[other.kind]}", hint)
    if set(one.options) != set(other.options):
        hint = "write the options alike in both files"
        expected = f"the options {listed(one.options)}"
        yield _problem_at(path, 0, "", expected, listed(other.options), hint)


def read_vote(
    path: Path, kind: VoteKind | None, collector: Collector, options: VoteOptions | None = None
) -> Vote | None:
    """Read a file of votes. Returns None and adds problems if anything is wrong.

    Warns if a ballot has to be interpreted. Without `kind` the marks of the file decide between
    approvals and ranks; if they do not, a problem asks for --kind.
    """
    if _is_needs_file(path):
        collector.add(_needs_problem(path))
        return None
    text = read_text(path, str(path), collector)
    sheet = read_sheet(text) if text is not None else None
    if isinstance(sheet, UnreadableSheet):
        collector.add(_problem_at(path, sheet.line, "", sheet.expected, sheet.found, sheet.hint))
    if not isinstance(sheet, Sheet):
        return None
    if options:
        sheet = options.labelled(sheet)
        collector.problems += _option_problems(path, sheet, options)
    collector.problems += _heading_problems(path, sheet)
    if collector.failed:
        return None
    kind = kind or _kind_of(path, sheet, collector)
    if kind is None:
        return None
    problems = (problem for row in sheet.rows for problem in _row_problems(path, sheet, row, kind))
    collector.problems += islice(problems, MOST_PROBLEMS)
    if len(collector.problems) >= MOST_PROBLEMS:
        collector.add(too_many(str(path), 0))
    if collector.failed:
        return None
    vote = _vote(sheet, kind)
    collector.problems += _rank_warnings(path, sheet, vote)
    return vote


def _is_needs_file(path: Path) -> bool:
    """Return whether this is the ballots.csv of a scenario: one of its files is in the folder."""
    in_scenario = any(is_file(path.parent / name) for name in NEEDS_FILES)
    return path.name.casefold() == NEEDS_BALLOTS and in_scenario


def _needs_problem(path: Path) -> Problem:
    return _problem_at(
        path,
        0,
        "",
        "a vote on the options, one column for each option",
        "a scenario's ballots.csv, which says how much members want each need",
        "its site counts those on the page of needs; type the vote into a file of another name, "
        "outside the scenario's folder",
    )


def _option_problems(path: Path, sheet: Sheet, options: VoteOptions) -> Iterator[Problem]:
    """Refuse columns that are no options of the scenario, and warn of options without a column."""
    unknown = [title for title in sheet.titles if not options.id_of(title)]
    for title in unknown:
        if heading_key(title) not in NOT_OPTIONS:  # these have a problem of their own
            expected = "the id, title or short name of an option of the scenario"
            hint = options.hint(title)
            yield _problem_at(path, sheet.line, title, expected, f'"{title}"', hint)
    for label in () if unknown else options.missing(sheet):
        hint = "leave it so if the option was not on the ballot"
        expected = "a column for each option of the scenario"
        yield _problem_at(path, sheet.line, label, expected, "none", hint, warning=True)
    if options.entitled is not None and len(sheet.rows) > options.entitled:
        expected = f"at most {options.entitled} ballots, since so many members are entitled to vote"
        hint = "look for ballots that were typed twice, or correct entitled in [vote]"
        yield _problem_at(path, 0, "", expected, f"{len(sheet.rows)}", hint, warning=True)


def _heading_problems(path: Path, sheet: Sheet) -> Iterator[Problem]:
    """Yield the problems of the first row, and one if there is no ballot below it."""
    for key, title in zip(sheet.heading, sheet.titles, strict=True):
        if key in NOT_OPTIONS:
            hint = "remove the column: ballots carry no names and no numbers"
            yield _problem_at(path, sheet.line, title, "the name of an option", f'"{title}"', hint)
    for key, count in Counter(sheet.heading).items():
        if count > 1:
            title = sheet.titles[sheet.heading.index(key)]
            yield _problem_at(
                path, sheet.line, title, "one column for each option", f"{count}", "merge them"
            )
    if not LEAST_OPTIONS <= len(sheet.heading) <= MOST_OPTIONS:
        expected = f"one column for each option, {LEAST_OPTIONS} to {MOST_OPTIONS} of them"
        found = f"{len(sheet.heading)}"
        yield _problem_at(
            path, sheet.line, "", expected, found, "name the options in the first row"
        )
    if not sheet.rows:
        yield _problem_at(path, sheet.line, "", "a row for each ballot below the first", "none")


def _kind_of(path: Path, sheet: Sheet, collector: Collector) -> VoteKind | None:
    """Return the kind of vote that the marks of a file show; None and a problem if they do not.

    A rank of 2 or more means ranks. A cross, a yes or no, or more than one 1 on a ballot means
    approvals. A file with at most a single 1 on each ballot can be either.
    """
    cells = [cell.casefold() for row in sheet.rows for cell in row.cells.values()]
    if any((_rank(cell) or 0) > 1 for cell in cells):
        return "ranking"
    several = any(list(row.cells.values()).count("1") > 1 for row in sheet.rows)
    if several or any(cell not in (*WITHOUT_RANK, "1") for cell in cells):
        return "approval"
    expected, hint = "marks that tell approvals from ranks", "use --kind approval or --kind ranking"
    collector.add(_problem_at(path, 0, "--kind", expected, "no more than a 1 on each ballot", hint))
    return None


def _row_problems(path: Path, sheet: Sheet, row: SheetRow, kind: VoteKind) -> Iterator[Problem]:
    if row.extra_cells:
        more, hint = ", ".join(row.extra_cells), "put text with commas in quotation marks"
        yield _problem_at(
            path, row.line, "", "as many cells as the first row", f'more: "{more}"', hint
        )
    for key, title in zip(sheet.heading, sheet.titles, strict=True):
        cell = row.cells[key]
        if _mark(cell, kind) is None:
            ranks = kind == "ranking"
            expected = "a rank (1, 2, 3 …) or an empty cell" if ranks else "x or an empty cell"
            other = "approval" if ranks else "ranking"
            hint = f"remove the column if it is no option, or use --kind {other}"
            yield _problem_at(path, row.line, title, expected, f'"{cell}"', hint)


def _mark(cell: str, kind: VoteKind) -> int | None:
    """Return the mark in a cell: 0 for no mark, None if the cell is not a mark of this kind."""
    if kind == "approval":
        answer = yes_or_no(cell)
        return None if answer is None else int(answer)
    return 0 if cell in WITHOUT_RANK else _rank(cell)


def _rank(cell: str) -> int | None:
    return int(cell) if RANK.fullmatch(cell) else None


def _vote(sheet: Sheet, kind: VoteKind) -> Vote:
    ballots = tuple(_marks(sheet, row, kind) for row in sheet.rows)
    return Vote(kind=kind, options=sheet.titles, ballots=ballots)


def _marks(sheet: Sheet, row: SheetRow, kind: VoteKind) -> BallotMarks:
    pairs = zip(sheet.heading, sheet.titles, strict=True)
    marks = {title: _mark(row.cells[key], kind) or 0 for key, title in pairs}
    return {title: mark for title, mark in marks.items() if mark}


def _rank_warnings(path: Path, sheet: Sheet, vote: Vote) -> Iterator[Problem]:
    """Warn of each ballot with equal ranks or a gap, and say how it is counted."""
    if vote.kind != "ranking":
        return
    for row, marks in zip(sheet.rows, vote.ballots, strict=True):
        ranks = sorted(marks.values())
        found = ", ".join(map(str, ranks))
        if len(set(ranks)) < len(ranks):
            yield _problem_at(
                path, row.line, "", "each rank once", found, EQUAL_RANKS_HINT, warning=True
            )
        elif ranks and ranks != list(range(1, len(ranks) + 1)):
            yield _problem_at(
                path, row.line, "", "ranks from 1 without a gap", found, GAP_HINT, warning=True
            )


def _problem_at(  # noqa: PLR0913 (a place and what is wrong there)
    path: Path,
    line: int,
    key: str,
    expected: str,
    found: str,
    hint: str = "",
    *,
    warning: bool = False,
) -> Problem:
    return Problem(
        file=str(path),
        line=line,
        key=key,
        expected=expected,
        found=found,
        hint=hint,
        severity="warning" if warning else "error",
    )
