"""Reads ballots.csv row by row, and checks needs.toml against the units of all airplanes."""

from collections.abc import Iterator, Mapping
from itertools import islice

from panelworth.model.case import WrittenCase
from panelworth.model.names import heading_key
from panelworth.model.needs import Ballot, Needs, Poll
from panelworth.problems import MOST_PROBLEMS, Collector, Problem, did_you_mean, nearest, too_many
from panelworth.reading.cells import RANK
from panelworth.reading.checks import problem_at
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet, read_sheet
from panelworth.reading.tables import TomlTable

FILE = "ballots.csv"
APPROVALS = {"": 0, "0": 0, "no": 0, "x": 1, "1": 1, "yes": 1}


def read_ballots(text: str, needs: Needs, collector: Collector) -> tuple[Ballot, ...]:
    """Read all ballots and collect the problems; a row with a problem is left out.

    Each column must be a need. A column with members' names is refused, because ballots are
    anonymous.
    """
    sheet = read_sheet(text)
    if isinstance(sheet, UnreadableSheet):
        collector.add(_problem_at(sheet.line, "", sheet.expected, sheet.found, sheet.hint))
        return ()
    columns = {heading_key(need.name): need.name for need in needs.needs}
    problems = list(islice(_heading_problems(sheet, columns), MOST_PROBLEMS))
    collector.problems += problems
    if problems:
        return ()
    ballots, bad_rows = [], 0
    for row in sheet.rows:
        problems = list(_row_problems(row, columns, needs.ballots))
        collector.problems += problems
        bad_rows += bool(problems)
        if bad_rows == MOST_PROBLEMS:
            collector.add(too_many(FILE, row.line, "rows with mistakes"))
            break
        if not problems:
            marks = {name: _mark(row.cells[key], needs.ballots) for key, name in columns.items()}
            non_zero = {name: mark for name, mark in marks.items() if mark}
            ballots.append(Ballot(line=row.line, marks=non_zero))
    return tuple(ballots)


def check_needs(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield a warning for each function of a need that no unit of any airplane provides.

    Either part is enough for an entry "a | b". If one of them is provided, the other may be
    missing on purpose. Then there is a warning only if its name is like a known one, so that it
    is probably a spelling mistake.
    """
    if case.needs is None:
        return
    known = _provided_functions(case)
    for number, need in enumerate(case.needs.needs):
        for position, entry in enumerate(need.functions):
            parts = [part.strip() for part in entry.split("|")]
            met = any(name in known for name in parts)
            for name in parts:
                if name not in known and not (met and not nearest(name, known)):
                    path = ("needs", number, "functions", position)
                    hint = did_you_mean(name, known, "no option will meet this need")
                    expected = "a function that some unit provides"
                    yield problem_at(tables["needs"], path, expected, f'"{name}"', hint, "warning")


def _provided_functions(case: WrittenCase) -> set[str]:
    airplanes = [case.equipment, *case.replacements.values()]
    units = [unit for equipment in airplanes if equipment for unit in equipment.units]
    units += [unit for option in case.options.values() for unit in option.installs]
    return {name for unit in units for name in unit.provides}


def _heading_problems(sheet: Sheet, columns: Mapping[str, str]) -> Iterator[Problem]:
    line, heading = sheet.line, sheet.heading
    for key in heading:
        if key not in columns:
            hint = did_you_mean(key, columns.values(), "remove it: ballots carry no names")
            yield _problem_at(line, key, "the name of a need of needs.toml", f'"{key}"', hint)
        elif heading.count(key) > 1:
            yield _problem_at(
                line, columns[key], "one column for each need", "two", "merge the two"
            )
    for key, name in columns.items():
        if key not in heading:
            yield _problem_at(line, name, "this column", "nothing", "add it to the first row")


def _row_problems(row: SheetRow, columns: Mapping[str, str], kind: Poll) -> Iterator[Problem]:
    if row.extra_cells:
        more, hint = ", ".join(row.extra_cells), "put text with commas in quotation marks"
        yield _problem_at(
            row.line, "", "as many cells as the first row has", f'more: "{more}"', hint
        )
    for key, name in columns.items():
        if not _is_mark(row.cells[key], kind):
            expected = "x, 1 or an empty cell" if kind == "approval" else "a rank: 1, 2, 3 …"
            other = "ranking" if kind == "approval" else "approval"
            hint = f'or set ballots = "{other}" in needs.toml'
            yield _problem_at(row.line, name, expected, f'"{row.cells[key]}"', hint)


def _is_mark(text: str, kind: Poll) -> bool:
    if kind == "approval":
        return text.casefold() in APPROVALS
    return not text or bool(RANK.fullmatch(text))


def _mark(text: str, kind: Poll) -> int:
    return APPROVALS[text.casefold()] if kind == "approval" else int(text or 0)


def _problem_at(line: int, key: str, expected: str, found: str, hint: str = "") -> Problem:
    return Problem(file=FILE, line=line, key=key, expected=expected, found=found, hint=hint)
