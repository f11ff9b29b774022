"""Reads the cells of a sheet of rows, and yields the problems that any such sheet can have.

The ledger and the log of squawks are such sheets. The problems have no file: `folder` adds it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from babel.numbers import get_currency_precision

from panelworth.problems import Problem, Severity, did_you_mean
from panelworth.reading import cells
from panelworth.reading.sheet import Sheet, SheetRow


@dataclass(frozen=True, kw_only=True)
class CellFormats:
    """How numbers and days are written in this sheet as a whole.

    `marks` are its decimal separators. `marks_from_cells` means that other cells decide them, not
    only the delimiter. `places` are the decimals of the currency. `currency` is empty if
    scenario.toml could not be read.
    """

    marks: cells.DecimalMarks
    marks_from_cells: bool
    places: int
    day_order: str
    currency: str


def formats_of(
    sheet: Sheet, numbers: Sequence[str], days: Sequence[str], currency: str
) -> CellFormats:
    """Return how the cells in these columns of numbers and of days are written."""
    rows = [row.cells for row in sheet.rows]
    sums = [money for row in sheet.rows for key in numbers if (money := written_sum(row, key))]
    return CellFormats(
        marks=cells.decimal_marks(sums, sheet.delimiter),
        marks_from_cells=bool(cells.decimal_marks(sums, "")),
        places=get_currency_precision(currency) if currency else cells.USUAL_PLACES,
        day_order=cells.day_order(row.get(key, "") for row in rows for key in days),
        currency=currency,
    )


def heading_problems(
    sheet: Sheet, columns: Sequence[str], required: Sequence[str]
) -> Iterator[Problem]:
    """Yield columns that are unknown, missing or written twice."""
    line, heading = sheet.line, sheet.heading
    unknown = [key for key in heading if key not in columns]
    for key in unknown:
        hint = did_you_mean(key, columns, f"known: {', '.join(columns)}")
        yield sheet_problem(line, key, "a known column", f'"{key}"', hint)
    for key in required:
        if key not in heading:
            yield sheet_problem(line, key, "this column", "nothing", "add it to the first row")
    for key in sorted({key for key in heading if heading.count(key) > 1} - set(unknown)):
        yield sheet_problem(line, key, "each column once", f'"{key}" twice', "remove one of them")


def row_shape_problems(row: SheetRow, sheet: Sheet) -> Iterator[Problem]:
    """Yield cells with the error of a formula; without one, cells beyond the first row's."""
    for key, error in row.errors.items():
        found, hint = f'the error value "{error}"', "correct the formula of this cell"
        yield sheet_problem(row.line, key, "a value", found, hint)
    if row.extra_cells and not row.errors:
        more, hint = ", ".join(row.extra_cells), sheet.extra_cell_hint
        expected, found = "as many cells as the first row has", f'more: "{more}"'
        yield sheet_problem(row.line, "", expected, found, hint)


def written_sum(row: SheetRow, key: str) -> cells.Money | None:
    """Return a sum that is a text; a number in a workbook says nothing about separators."""
    return None if key in row.numbers else cells.money_in(row.cells.get(key, ""))


def number_in(row: SheetRow, key: str, formats: CellFormats) -> float | None:
    """Return the number in a cell; None if there is none with one clear meaning."""
    if key in row.numbers:
        return row.numbers[key]
    money = written_sum(row, key)
    return None if money is None else cells.number_of(money, formats.marks, formats.places)


def day_problems(line: int, key: str, text: str, formats: CellFormats) -> Iterator[Problem]:
    """Refuse a cell that is no day, or that can be two days; only `date` must not be empty."""
    days = cells.days_in(text, formats.day_order)
    if len(days) > 1:
        hint = f"write {days[0]} or {days[1]}: no date in the file tells day from month"
        yield sheet_problem(line, key, "a day with one clear meaning", f'"{text}"', hint)
    elif not days and (text or key == "date"):
        yield sheet_problem(line, key, "a day such as 2026-10-31", f'"{text}"')


def sheet_problem(
    line: int, key: str, expected: str, found: str, hint: str = "", severity: Severity = "error"
) -> Problem:
    """Return a problem of a sheet; `folder` adds the name of its file."""
    return Problem(
        file="", line=line, key=key, expected=expected, found=found, hint=hint, severity=severity
    )
