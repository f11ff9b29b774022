"""needs.toml against the units there are, and ballots.csv row by row: every bad cell is named."""

from collections.abc import Iterator, Mapping
from itertools import islice

from panelworth.model.case import WrittenCase
from panelworth.model.names import heading_key
from panelworth.model.needs import Ballot, Needs, Poll
from panelworth.problems import MOST, Collector, Problem, did_you_mean, nearest, too_many
from panelworth.reading.cells import RANK
from panelworth.reading.checks import problem_at
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet, read_sheet
from panelworth.reading.tables import TomlTable

FILE = "ballots.csv"
APPROVALS = {"": 0, "0": 0, "no": 0, "x": 1, "1": 1, "yes": 1}


def read_ballots(text: str, needs: Needs, collector: Collector) -> tuple[Ballot, ...]:
    """Read all ballots; a row with a problem is left out and the problem noted.

    Each column is a need, so a column of names is refused: ballots carry none.
    """
    sheet = read_sheet(text)
    if isinstance(sheet, UnreadableSheet):
        collector.add(_at(sheet.line, "", sheet.expected, sheet.found, sheet.hint))
        return ()
    columns = {heading_key(need.name): need.name for need in needs.needs}
    problems = list(islice(_heading(sheet, columns), MOST))
    collector.problems += problems
    if problems:
        return ()
    ballots, bad_rows = [], 0
    for row in sheet.rows:
        problems = list(_cells(row, columns, needs.ballots))
        collector.problems += problems
        bad_rows += bool(problems)
        if bad_rows == MOST:
            collector.add(too_many(FILE, row.line, "rows with mistakes"))
            break
        if not problems:
            marks = {name: _mark(row.cells[key], needs.ballots) for key, name in columns.items()}
            marked = {name: mark for name, mark in marks.items() if mark}
            ballots.append(Ballot(line=row.line, marks=marked))
    return tuple(ballots)


def check_needs(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield a warning for each entry of a need that no unit of any airplane meets.

    An entry "a | b" is met by either. The part that is missing beside one that is there is told
    only where it looks misspelt.
    """
    if case.needs is None:
        return
    known = _provided(case)
    for number, need in enumerate(case.needs.needs):
        for place, entry in enumerate(need.functions):
            parts = [part.strip() for part in entry.split("|")]
            met = any(name in known for name in parts)
            for name in parts:
                if name not in known and not (met and not nearest(name, known)):
                    path = ("needs", number, "functions", place)
                    hint = did_you_mean(name, known, "no option will meet this need")
                    expected = "a function that some unit provides"
                    yield problem_at(tables["needs"], path, expected, f'"{name}"', hint, "warning")


def _provided(case: WrittenCase) -> set[str]:
    airplanes = [case.equipment, *case.replacements.values()]
    units = [unit for equipment in airplanes if equipment for unit in equipment.units]
    units += [unit for option in case.options.values() for unit in option.installs]
    return {name for unit in units for name in unit.provides}


def _heading(sheet: Sheet, columns: Mapping[str, str]) -> Iterator[Problem]:
    line, heading = sheet.line, sheet.heading
    for key in heading:
        if key not in columns:
            hint = did_you_mean(key, columns.values(), "remove it: ballots carry no names")
            yield _at(line, key, "the name of a need of needs.toml", f'"{key}"', hint)
        elif heading.count(key) > 1:
            yield _at(line, columns[key], "one column for each need", "two", "merge the two")
    for key, name in columns.items():
        if key not in heading:
            yield _at(line, name, "this column", "nothing", "add it to the first row")


def _cells(row: SheetRow, columns: Mapping[str, str], kind: Poll) -> Iterator[Problem]:
    if row.outside:
        more, hint = ", ".join(row.outside), "put text with commas in quotation marks"
        yield _at(row.line, "", "as many cells as the first row has", f'more: "{more}"', hint)
    for key, name in columns.items():
        if not _understood(row.cells[key], kind):
            expected = "x, 1 or an empty cell" if kind == "approval" else "a rank: 1, 2, 3 …"
            other = "ranking" if kind == "approval" else "approval"
            hint = f'or set ballots = "{other}" in needs.toml'
            yield _at(row.line, name, expected, f'"{row.cells[key]}"', hint)


def _understood(text: str, kind: Poll) -> bool:
    if kind == "approval":
        return text.casefold() in APPROVALS
    return not text or bool(RANK.fullmatch(text))


def _mark(text: str, kind: Poll) -> int:
    return APPROVALS[text.casefold()] if kind == "approval" else int(text or 0)


def _at(line: int, key: str, expected: str, found: str, hint: str = "") -> Problem:
    return Problem(file=FILE, line=line, key=key, expected=expected, found=found, hint=hint)
