"""A table of cells with a heading and line numbers, and CSV text split into one.

Cells stay texts. The modules `ledger`, `needs` and `vote` interpret them. `workbook` makes the same
table of a sheet in a workbook.
"""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from panelworth.model.names import heading_key

DELIMITERS = (",", ";", "\t")
MOST_COLUMNS, MOST_ROWS = 100, 10_000
# Error values as spreadsheets show them and save them as CSV: ECMA-376, Part 1, 18.17.3, those of
# newer functions, and LibreOffice's own, such as Err:522.
ERROR = re.compile(
    r"#(?:REF!|DIV/0!|VALUE!|NAME\?|NULL!|NUM!|N/A|SPILL!|CALC!|GETTING_DATA)|Err:\d{3}"
)
TextRow = tuple[int, list[str]]  # the first line of a row, and its cells


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """One row: its first line, its cells by the key of their column, and cells without a column.

    `numbers` are the cells of a workbook that are numbers; in CSV text every cell is a text.
    """

    line: int
    cells: dict[str, str]
    extra_cells: tuple[str, ...]
    numbers: dict[str, float] = field(default_factory=dict)

    @property
    def errors(self) -> dict[str, str]:
        """The error values of formulas, such as #REF!, by the key of their column."""
        return {key: cell for key, cell in self.cells.items() if ERROR.fullmatch(cell)}


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A table. Its first row that is not empty is the heading; `line` is the line of that row.

    `heading` has the keys of the columns, `titles` the headings as written, in the same order.
    `name` is that of the sheet in a workbook. There, `line` is the number of a row, and `delimiter`
    is empty.
    """

    delimiter: str
    line: int
    heading: tuple[str, ...]
    titles: tuple[str, ...] = ()
    rows: tuple[SheetRow, ...]
    name: str = ""

    @property
    def extra_cell_hint(self) -> str:
        """What to do about a cell without a heading above it."""
        if self.delimiter:
            return "put text with commas in quotation marks"
        return "empty the cell, or write a heading above it"


@dataclass(frozen=True, kw_only=True)
class UnreadableSheet:
    """Why a file cannot be read as a table: the line, what was expected there, what was found.

    `name` is that of the sheet in a workbook.
    """

    line: int
    expected: str
    found: str
    hint: str = ""
    name: str = ""


def read_sheet(text: str) -> Sheet | UnreadableSheet:
    """Split CSV text at the delimiter that the heading has most of: comma, semicolon or tab.

    Empty rows are left out, and so are empty columns without a heading: spreadsheets often save
    both. In headings, capitals are ignored, and spaces, dashes and "_" are the same.
    """
    first = text.lstrip().partition("\n")[0]
    delimiter = max(DELIMITERS, key=first.count)
    rows, failure = _rows(text, delimiter)
    return failure or table_of(rows, delimiter)


def table_of(
    rows: Sequence[TextRow],
    delimiter: str = "",
    *,
    numbers: Mapping[int, Mapping[int, float]] | None = None,
    name: str = "",
) -> Sheet:
    """Make a table of rows that are not empty; `numbers` by line and by position in the row."""
    if not rows:
        return Sheet(delimiter=delimiter, line=1, heading=(), rows=(), name=name)
    line, names = rows[0]
    heading = [heading_key(title) for title in names]
    known = numbers or {}
    return Sheet(
        delimiter=delimiter,
        line=line,
        heading=tuple(key for key in heading if key),
        titles=tuple(title for title in names if title),
        rows=tuple(_row(line, cells, heading, known.get(line, {})) for line, cells in rows[1:]),
        name=name,
    )


def _rows(text: str, delimiter: str) -> tuple[list[TextRow], UnreadableSheet | None]:
    """Return all rows that are not empty, each with its first line; or why the text is refused.

    `strict` deviates from the default of csv, which accepts text after a closing quotation mark
    and a quoted cell without an end. `newline=""` keeps line ends within cells: the documentation
    of csv asks for it.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[TextRow] = []
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                rows.append((line, stripped))
            if failure := too_large(rows, line):
                return [], failure
            line = reader.line_num + 1  # a quoted cell may have several lines
    except csv.Error as error:
        return [], _bad_quote(text, delimiter) or _too_long(line, error)
    return rows, None


def too_large(rows: Sequence[TextRow], line: int) -> UnreadableSheet | None:
    """Return the failure of a table too large to be written by a person.

    Each short row is filled up with empty cells, so that many columns and rows together would
    need too much memory.
    """
    columns = len(rows[-1][1]) if rows else 0
    if columns > MOST_COLUMNS:
        expected = f"at most {MOST_COLUMNS} columns"
        return UnreadableSheet(line=line, expected=expected, found=f"{columns:,}")
    if len(rows) > MOST_ROWS:
        return UnreadableSheet(line=line, expected=f"at most {MOST_ROWS:,} rows", found="more")
    return None


def _too_long(line: int, error: csv.Error) -> UnreadableSheet:
    """Return the failure of a row that csv refuses, most often because a cell is too long."""
    if "field" not in str(error):
        return UnreadableSheet(
            line=line, expected="a table of comma-separated cells", found=str(error)
        )
    return longer_cell(line)


def longer_cell(line: int) -> UnreadableSheet:
    """Return the failure of a cell that is too long to be written by a person."""
    longest = csv.field_size_limit()
    hint = "shorten it; a quotation mark that is not closed makes one cell of many"
    expected = f"cells of at most {longest:,} characters"
    return UnreadableSheet(line=line, expected=expected, found="a longer one", hint=hint)


def _row(line: int, cells: list[str], heading: list[str], numbers: Mapping[int, float]) -> SheetRow:
    """Pair the cells of a row with the columns; missing cells are empty."""
    names = [*heading, *[""] * (len(cells) - len(heading))]
    padded = [*cells, *[""] * (len(names) - len(cells))]
    pairs = list(zip(names, padded, strict=True))
    return SheetRow(
        line=line,
        cells={name: cell for name, cell in pairs if name},
        extra_cells=tuple(cell for name, cell in pairs if cell and not name),
        numbers={names[column]: number for column, number in numbers.items() if names[column]},
    )


def _bad_quote(text: str, delimiter: str) -> UnreadableSheet | None:
    """Return the failure of a quoted cell that does not end correctly, at its first line.

    The csv module reports the line where it stops. That can be far below the mistake, so the text
    is searched here once more.
    """
    line, open_line, position = 1, 0, 0
    at_cell_start = True  # only here a quotation mark opens a quoted cell
    while position < len(text):
        character = text[position]
        if open_line and character == '"':
            after = text[position + 1 : position + 2]
            if after == '"':
                position += 1  # two marks within a quoted cell mean one
            elif after in ("", delimiter, "\n", "\r"):
                open_line = 0
            else:
                rest = text[position + 1 :].partition("\n")[0].strip()[:40]
                return _unclosed(open_line, f'text after its end: "{rest}"')
        elif at_cell_start and character == '"' and not open_line:
            open_line = line
        line += character == "\n"
        at_cell_start = not open_line and character in (delimiter, "\n", "\r")
        position += 1
    return _unclosed(open_line, "the end of the file") if open_line else None


def _unclosed(line: int, found: str) -> UnreadableSheet:
    hint = 'add the missing ", and write a " within quoted text twice'
    expected = "a closing quotation mark for the cell that begins here"
    return UnreadableSheet(line=line, expected=expected, found=found, hint=hint)
