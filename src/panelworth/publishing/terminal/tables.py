"""The one form of every table on a terminal: names to the left, figures to the right.

Without a terminal (a pipe, a file) each row is one line, whatever its length, so that other
programs can read it. On a terminal a table fits the width: cells are broken between words, and
where the columns still need more room, the table continues below with the other columns.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import fsum

from rich.box import SIMPLE_HEAD
from rich.cells import cell_len
from rich.table import Table

from panelworth.publishing.formats import NONE

GAP = 2  # spaces between columns
WIDEST = 100_000  # letters; the library that writes tables needs a limit
NAMES_SHARE = 3  # the names take at most 1/3 of the width, or their longest word


@dataclass(frozen=True)
class TextTable:
    """A table: `head` names its columns, the first of them the column of names.

    `total` draws a line above the last row.
    """

    title: str
    head: Sequence[str]
    rows: list[Sequence[str]] = field(default_factory=list)
    total: bool = False

    def add_row(self, *cells: str) -> None:
        """Add one row: its name, then its figures."""
        self.rows.append(cells)

    @property
    def columns(self) -> list[Sequence[str]]:
        """The cells of each column, its heading first."""
        return list(zip(self.head, *self.rows, strict=True))


def without_empty(title: str, head: Sequence[str], rows: Sequence[Sequence[str]]) -> TextTable:
    """Return a table without the rows and columns in which no cell has a figure."""
    rows = [row for row in rows if any(map(_has_figure, row[1:]))]
    filled = [
        place for place in range(len(head)) if not place or any(_has_figure(r[place]) for r in rows)
    ]
    kept = [[row[place] for place in filled] for row in rows]
    return TextTable(title, [head[place] for place in filled], list(kept))


def fitted(table: TextTable, width: int | None) -> Iterator[Table]:
    """Yield a table for the library that writes it: in parts if it is wider than `width`.

    `width` is None without a terminal. Where even one column is too wide, its cells are neither
    cut nor broken within a word: the terminal breaks the line.
    """
    if width is None:
        yield _written(table, range(len(table.head)), list(map(_natural, table.columns)))
        return
    columns = table.columns
    names = _width_of_names(columns, width)
    first = 1
    while first < len(columns):
        count = len(columns) - first
        while (widths := _widths(columns[first : first + count], width - names)) is None:
            count -= 1
        yield _written(table, [0, *range(first, first + count)], [names, *widths])
        first += count


def _width_of_names(columns: Sequence[Sequence[str]], width: int) -> int:
    """Return the width of the column of names: narrower where that keeps the table in one part."""
    least = _longest_word(columns[0])
    usual = min(_natural(columns[0]), max(least, width // NAMES_SHARE))
    fitting = (
        names for names in range(usual, least - 1, -1) if _widths(columns[1:], width - names)
    )
    return next(fitting, usual)


def _widths(columns: Sequence[Sequence[str]], room: int) -> list[int] | None:
    """Return the widest widths of columns that fit; None if they do not and there are several."""
    longest = max(map(_natural, columns))
    for most in range(longest, 0, -1):
        widths = [max(min(_natural(cells), most), _longest_word(cells)) for cells in columns]
        if fsum(widths) + GAP * len(widths) <= room:
            return widths
    return widths if len(columns) == 1 else None


def _natural(cells: Sequence[str]) -> int:
    return max(map(cell_len, cells))


def _longest_word(cells: Sequence[str]) -> int:
    return max((cell_len(word) for cell in cells for word in cell.split()), default=0)


def _written(table: TextTable, places: Sequence[int], widths: Sequence[int]) -> Table:
    written = Table(
        header_style="bold",
        box=SIMPLE_HEAD,
        show_edge=False,
        pad_edge=False,
        padding=(0, 0, 0, GAP - 1),
    )
    for place, width in zip(places, widths, strict=True):
        written.add_column(table.head[place], justify="right" if place else "left", width=width)
    last = len(table.rows) - 2
    for number, row in enumerate(table.rows):
        written.add_row(*(row[p] for p in places), end_section=table.total and number == last)
    return written


def _has_figure(cell: str) -> bool:
    return cell not in ("", NONE)
