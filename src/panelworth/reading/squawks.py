"""Makes squawks of the rows of the log of failures, and checks what units say of failing."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from babel.numbers import get_currency_precision

from panelworth.model.case import WrittenCase
from panelworth.model.equipment import Equipment, Unit
from panelworth.model.squawk import Squawk
from panelworth.problems import MOST_PROBLEMS, Collector, Problem, Severity, did_you_mean, too_many
from panelworth.reading import cells
from panelworth.reading.checks import problem_at
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet
from panelworth.reading.tables import KeyPath, TomlTable

COLUMNS, REQUIRED = ("date", "unit", "days", "cost", "note"), ("date", "unit")
NUMBERS = ("days", "cost")
MOST_DAYS = 365.0


@dataclass(frozen=True, kw_only=True)
class Writing:
    """How numbers and days are written in the log as a whole."""

    marks: cells.DecimalMarks
    places: int
    day_order: str


def read_squawks(
    sheet: Sheet | UnreadableSheet, units: Sequence[str], currency: str, collector: Collector
) -> tuple[Squawk, ...]:
    """Read all rows and collect the problems; a row with an error is left out."""
    if isinstance(sheet, UnreadableSheet):
        collector.add(_problem(sheet.line, "", sheet.expected, sheet.found, sheet.hint))
        return ()
    problems = list(_heading_problems(sheet))
    collector.problems += problems
    if problems:
        return ()
    writing, squawks, bad_rows = _writing_of(sheet, currency), [], 0
    for row in sheet.rows:
        problems = list(_row_problems(row, units, writing))
        collector.problems += problems
        bad_rows += bool(problems)
        if bad_rows == MOST_PROBLEMS:
            collector.add(too_many("", row.line, "rows with mistakes"))
            break
        if not problems:
            squawks.append(_squawk(row, writing))
    return tuple(squawks)


def check_failures(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield the problems of units whose rate or cost nobody has given."""
    since = _since(case.equipment)
    if case.equipment is not None:
        table = tables["equipment"]
        for number, unit in enumerate(case.equipment.units):
            yield from _check_unit(case, unit, table, ("units", number, "fails"), since)
    for option_id, equipment in case.replacements.items():
        for number, unit in enumerate(equipment.units):
            table = tables[f"{option_id}.equipment"]
            yield from _check_unit(case, unit, table, ("units", number, "fails"), None)
    for option_id, option in case.options.items():
        for number, unit in enumerate(option.installs):
            table = tables[option_id]
            yield from _check_unit(case, unit, table, ("installs", number, "fails"), None)
    yield from _check_repairs(case, tables)


def _since(equipment: Equipment | None) -> date | None:
    return equipment.airplane.squawks_since if equipment and equipment.airplane else None


def _check_unit(
    case: WrittenCase, unit: Unit, table: TomlTable, path: KeyPath, since: date | None
) -> Iterator[Problem]:
    fails = unit.fails
    if fails is None or fails.per_year is not None:
        return
    if since is None:
        hint = "write per_year, or squawks_since in [airplane] and the log in squawks.csv"
        yield problem_at(table, path, "per_year, or a log of squawks", "neither", hint)
        return
    begins = max(since, fails.since or since)
    rows = [
        row
        for row in case.squawks
        if row.unit == unit.name and begins <= row.date <= case.scenario.as_of
    ]
    for key in ("cost", "days"):
        if getattr(fails, key) is None and all(getattr(row, key) is None for row in rows):
            expected = f"{key}, because no row of the log says it for {unit.name}"
            yield problem_at(table, (*path, key), expected, "nothing", "write it")


def _check_repairs(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Warn where failures and repairs may count the same thing twice."""
    aircraft = case.scenario.aircraft
    fails = case.equipment and any(unit.fails for unit in case.equipment.units)
    if fails and aircraft.repairs.per_year.likely > 0:
        hint = "leave in per_year only what no unit lists; else it counts twice"
        path = ("aircraft", "repairs", "per_year")
        found = f"{aircraft.repairs.per_year.likely:g} beside units that fail"
        yield problem_at(
            tables["scenario"], path, "repairs of what no unit lists", found, hint, "warning"
        )


def _heading_problems(sheet: Sheet) -> Iterator[Problem]:
    for key in sheet.heading:
        if key not in COLUMNS:
            hint = did_you_mean(key, COLUMNS, f"known: {', '.join(COLUMNS)}")
            yield _problem(sheet.line, key, "a known column", f'"{key}"', hint)
    for key in REQUIRED:
        if key not in sheet.heading:
            yield _problem(sheet.line, key, "this column", "nothing", "add it to the first row")


def _writing_of(sheet: Sheet, currency: str) -> Writing:
    texts = [
        money
        for row in sheet.rows
        for key in NUMBERS
        if key not in row.numbers and (money := cells.money_in(row.cells.get(key, "")))
    ]
    return Writing(
        marks=cells.decimal_marks(texts, sheet.delimiter),
        places=get_currency_precision(currency) if currency else cells.USUAL_PLACES,
        day_order=cells.day_order(row.cells.get("date", "") for row in sheet.rows),
    )


def _row_problems(row: SheetRow, units: Sequence[str], writing: Writing) -> Iterator[Problem]:
    days = cells.days_in(row.cells.get("date", ""), writing.day_order)
    text, unit = row.cells.get("date", ""), row.cells.get("unit", "")
    if len(days) > 1:
        hint = f"write {days[0]} or {days[1]}: no date in the file tells day from month"
        yield _problem(row.line, "date", "a day with one clear meaning", f'"{text}"', hint)
    elif not days:
        yield _problem(row.line, "date", "a day such as 2026-10-31", f'"{text}"')
    if unit not in units:
        hint = did_you_mean(unit, units, "write its name as in equipment.toml")
        yield _problem(row.line, "unit", "a unit of equipment.toml", f'"{unit}"', hint)
    for key in NUMBERS:
        cell, number = row.cells.get(key, ""), _number(row, key, writing)
        if cell and (number is None or number < 0.0):
            yield _problem(row.line, key, "a number of at least 0", f'"{cell}"')
        elif key == "days" and (number or 0.0) > MOST_DAYS:
            yield _problem(row.line, key, "days, at most 365", f'"{cell}"')


def _number(row: SheetRow, key: str, writing: Writing) -> float | None:
    if key in row.numbers:
        return row.numbers[key]
    money = cells.money_in(row.cells.get(key, ""))
    return None if money is None else cells.number_of(money, writing.marks, writing.places)


def _squawk(row: SheetRow, writing: Writing) -> Squawk:
    return Squawk(
        line=row.line,
        date=cells.days_in(row.cells["date"], writing.day_order)[0],
        unit=row.cells["unit"],
        days=_number(row, "days", writing),
        cost=_number(row, "cost", writing),
        note=row.cells.get("note", ""),
    )


def _problem(
    line: int, key: str, expected: str, found: str, hint: str = "", severity: Severity = "error"
) -> Problem:
    return Problem(
        file="", line=line, key=key, expected=expected, found=found, hint=hint, severity=severity
    )
