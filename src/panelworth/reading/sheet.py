"""A CSV file as spreadsheets write it: its delimiter, its heading, its rows with their lines.

Cells are text here; what they mean is read elsewhere.
"""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass

from panelworth.model.names import as_heading

DELIMITERS = (",", ";", "\t")


@dataclass(frozen=True, kw_only=True)
class Row:
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
    rows: tuple[Row, ...]


@dataclass(frozen=True, kw_only=True)
class Broken:
    """Why text is no table: the line, what was expected there and what was found."""

    line: int
    expected: str
    found: str
    hint: str = ""


def read_sheet(text: str) -> Sheet | Broken:
    """Split CSV text; commas, semicolons or tabs, whichever the heading has most of.

    Rows that are empty throughout are passed over, and so are columns without a heading as long
    as they are empty. Headings are told in any case, with spaces or dashes for "_".
    """
    first = text.lstrip().partition("\n")[0]
    delimiter = max(DELIMITERS, key=first.count)
    try:
        rows = list(_rows(text, delimiter))
    except csv.Error as error:
        return _bad_quote(text, delimiter) or Broken(
            line=1, expected="a table of comma-separated cells", found=str(error)
        )
    if not rows:
        return Sheet(delimiter=delimiter, line=1, heading=(), rows=())
    line, names = rows[0]
    heading = [as_heading(name) for name in names]
    return Sheet(
        delimiter=delimiter,
        line=line,
        heading=tuple(name for name in heading if name),
        titles=tuple(name for name in names if name),
        rows=tuple(_row(line, cells, heading) for line, cells in rows[1:]),
    )


def _rows(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Yield each row that holds anything, with the line it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    for cells in reader:
        stripped = [cell.strip() for cell in cells]
        if any(stripped):
            yield line, stripped
        line = reader.line_num + 1


def _row(line: int, cells: list[str], heading: list[str]) -> Row:
    names = [*heading, *[""] * (len(cells) - len(heading))]
    padded = [*cells, *[""] * (len(names) - len(cells))]
    pairs = list(zip(names, padded, strict=True))
    return Row(
        line=line,
        cells={name: cell for name, cell in pairs if name},
        outside=tuple(cell for name, cell in pairs if cell and not name),
    )


def _bad_quote(text: str, delimiter: str) -> Broken | None:
    """Find the quoted cell that does not end as it should, by the line where it begins."""
    line, begun, place = 1, 0, 0
    fresh = True  # at the beginning of a cell, the only place where a mark opens one
    while place < len(text):
        mark = text[place]
        if begun and mark == '"':
            after = text[place + 1 : place + 2]
            if after == '"':
                place += 1
            elif after in ("", delimiter, "\n", "\r"):
                begun = 0
            else:
                behind = text[place + 1 :].partition("\n")[0].strip()[:40]
                return _unclosed(begun, f'text behind its end: "{behind}"')
        elif fresh and mark == '"' and not begun:
            begun = line
        line += mark == "\n"
        fresh = not begun and mark in (delimiter, "\n", "\r")
        place += 1
    return _unclosed(begun, "the end of the file") if begun else None


def _unclosed(line: int, found: str) -> Broken:
    hint = 'add the missing ", and write a " within quoted text twice'
    expected = "the cell in quotation marks that begins here to end before the next one"
    return Broken(line=line, expected=expected, found=found, hint=hint)
