"""Makes squawks of the rows of the log of failures, and checks what units say of failing."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from panelworth.model.case import WrittenCase
from panelworth.model.equipment import Equipment, Unit
from panelworth.model.squawk import Squawk
from panelworth.problems import MOST_PROBLEMS, Collector, Problem, did_you_mean, too_many
from panelworth.reading import cells
from panelworth.reading.checks import problem_at
from panelworth.reading.sheet import Sheet, SheetRow, UnreadableSheet
from panelworth.reading.sheet_cells import (
    CellFormats,
    day_problems,
    formats_of,
    heading_problems,
    number_in,
    row_shape_problems,
    sheet_problem,
)
from panelworth.reading.tables import KeyPath, TomlTable

COLUMNS, REQUIRED = ("date", "unit", "days", "cost", "note"), ("date", "unit")
NUMBERS = ("days", "cost")
MOST_DAYS = 365.0


def read_squawks(
    sheet: Sheet | UnreadableSheet, units: Sequence[str], currency: str, collector: Collector
) -> tuple[Squawk, ...]:
    """Read all rows and collect the problems; a row with an error is left out."""
    if isinstance(sheet, UnreadableSheet):
        collector.add(sheet_problem(sheet.line, "", sheet.expected, sheet.found, sheet.hint))
        return ()
    problems = list(heading_problems(sheet, COLUMNS, REQUIRED))
    collector.problems += problems
    if problems:
        return ()
    formats, squawks, bad_rows = formats_of(sheet, NUMBERS, ("date",), currency), [], 0
    for row in sheet.rows:
        problems = list(_row_problems(row, sheet, units, formats))
        collector.problems += problems
        bad_rows += bool(problems)
        if bad_rows == MOST_PROBLEMS:
            collector.add(too_many("", row.line, "rows with mistakes"))
            break
        if not problems:
            squawks.append(_squawk(row, formats))
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


def _row_problems(
    row: SheetRow, sheet: Sheet, units: Sequence[str], formats: CellFormats
) -> Iterator[Problem]:
    yield from row_shape_problems(row, sheet)
    if row.errors:
        return
    unit = row.cells["unit"]
    yield from day_problems(row.line, "date", row.cells["date"], formats)
    if unit not in units:
        hint = did_you_mean(unit, units, "write its name as in equipment.toml")
        yield sheet_problem(row.line, "unit", "a unit of equipment.toml", f'"{unit}"', hint)
    for key in NUMBERS:
        cell, number = row.cells.get(key, ""), number_in(row, key, formats)
        if cell and (number is None or number < 0.0):
            yield sheet_problem(row.line, key, "a number of at least 0", f'"{cell}"')
        elif key == "days" and (number or 0.0) > MOST_DAYS:
            yield sheet_problem(row.line, key, "days, at most 365", f'"{cell}"')


def _squawk(row: SheetRow, formats: CellFormats) -> Squawk:
    return Squawk(
        line=row.line,
        date=cells.days_in(row.cells["date"], formats.day_order)[0],
        unit=row.cells["unit"],
        days=number_in(row, "days", formats),
        cost=number_in(row, "cost", formats),
        note=row.cells.get("note", ""),
    )
