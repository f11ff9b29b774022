"""A CSV file as spreadsheets write it: its delimiter, its heading, its rows with their lines.

Cells are text here; what they mean is read elsewhere.
"""

import csv
import io
from dataclasses import dataclass

from panelworth.model.names import heading_key

DELIMITERS = (",", ";", "\t")
MOST_COLUMNS, MOST_ROWS = 100, 10_000


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """One row: the line it begins on, its cells by column, and what stands in no column."""

    line: int
    cells: dict[str, str]
    outside: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A whole table; `line` is that of the heading, which is the first row with anything in it.

    `titles` are the headings as written, in the same order.
    """

    delimiter: str
    line: int
    heading: tuple[str, ...]
    titles: tuple[str, ...] = ()
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, kw_only=True)
class UnreadableSheet:
    """Why text is no table: the line, what was expected there and what was found."""

    line: int
    expected: str
    found: str
    hint: str = ""


def read_sheet(text: str) -> Sheet | UnreadableSheet:
    """Split CSV text; commas, semicolons or tabs, whichever the heading has most of.

    Rows that are empty throughout are passed over, and so are columns without a heading as long
    as they are empty. Headings are told in any case, with spaces or dashes for "_".
    """
    first = text.lstrip().partition("\n")[0]
    delimiter = max(DELIMITERS, key=first.count)
    rows, broken = _rows(text, delimiter)
    if broken:
        return broken
    if not rows:
        return Sheet(delimiter=delimiter, line=1, heading=(), rows=())
    line, names = rows[0]
    heading = [heading_key(name) for name in names]
    return Sheet(
        delimiter=delimiter,
        line=line,
        heading=tuple(name for name in heading if name),
        titles=tuple(name for name in names if name),
        rows=tuple(_row(line, cells, heading) for line, cells in rows[1:]),
    )


def _rows(text: str, delimiter: str) -> tuple[list[tuple[int, list[str]]], UnreadableSheet | None]:
    """Return each row that holds anything, with the line it begins on, or why there are none."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                rows.append((line, stripped))
            if broken := _too_large(rows, line):
                return [], broken
            line = reader.line_num + 1
    except csv.Error as error:
        return [], _bad_quote(text, delimiter) or _too_long(line, error)
    return rows, None


def _too_large(rows: list[tuple[int, list[str]]], line: int) -> UnreadableSheet | None:
    """Refuse a table that no person has written: its cells would fill the memory."""
    columns = len(rows[-1][1]) if rows else 0
    if columns > MOST_COLUMNS:
        expected = f"at most {MOST_COLUMNS} columns"
        return UnreadableSheet(line=line, expected=expected, found=f"{columns:,}")
    if len(rows) > MOST_ROWS:
        return UnreadableSheet(line=line, expected=f"at most {MOST_ROWS:,} rows", found="more")
    return None


def _too_long(line: int, error: csv.Error) -> UnreadableSheet:
    """Tell of a row that the reader gives up on; of a cell over its limit by the cell's line."""
    if "field" not in str(error):
        return UnreadableSheet(
            line=line, expected="a table of comma-separated cells", found=str(error)
        )
    longest = csv.field_size_limit()
    hint = "shorten it; a quotation mark that is not closed makes one cell of many"
    expected = f"cells of at most {longest:,} characters"
    return UnreadableSheet(line=line, expected=expected, found="a longer one", hint=hint)


def _row(line: int, cells: list[str], heading: list[str]) -> SheetRow:
    names = [*heading, *[""] * (len(cells) - len(heading))]
    padded = [*cells, *[""] * (len(names) - len(cells))]
    pairs = list(zip(names, padded, strict=True))
    return SheetRow(
        line=line,
        cells={name: cell for name, cell in pairs if name},
        outside=tuple(cell for name, cell in pairs if cell and not name),
    )


def _bad_quote(text: str, delimiter: str) -> UnreadableSheet | None:
    """Find the quoted cell that does not end as it should, by the line where it begins."""
    line, open_line, place = 1, 0, 0
    fresh = True  # at the beginning of a cell, the only place where a mark opens one
    while place < len(text):
        character = text[place]
        if open_line and character == '"':
            after = text[place + 1 : place + 2]
            if after == '"':
                place += 1
            elif after in ("", delimiter, "\n", "\r"):
                open_line = 0
            else:
                behind = text[place + 1 :].partition("\n")[0].strip()[:40]
                return _unclosed(open_line, f'text after its end: "{behind}"')
        elif fresh and character == '"' and not open_line:
            open_line = line
        line += character == "\n"
        fresh = not open_line and character in (delimiter, "\n", "\r")
        place += 1
    return _unclosed(open_line, "the end of the file") if open_line else None


def _unclosed(line: int, found: str) -> UnreadableSheet:
    hint = 'add the missing ", and write a " within quoted text twice'
    expected = "a closing quotation mark for the cell that begins here"
    return UnreadableSheet(line=line, expected=expected, found=found, hint=hint)
