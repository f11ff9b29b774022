"""The text of a ledger: where its rows and cells are, and the same text with some rows changed.

Rows that are not changed keep every byte. A changed row keeps its other cells as they are written;
delimiter, line ends and the use of quotation marks follow the file.
"""

import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from panelworth.model.ledger import Entry
from panelworth.model.names import heading_key
from panelworth.publishing.desk.toml_edits import BOM

COLUMNS = tuple(key for key in Entry.model_fields if key != "line")
DELIMITERS = (",", ";", "\t")  # as the reader: the one that the heading has most of
LINE_END = re.compile(r"\r\n|\r|\n")
Cells = Mapping[str, str]  # the texts of a row by the key of their column


@dataclass(frozen=True, kw_only=True)
class Row:
    """A row that is not empty: its first line, its range in the text, its cells as written."""

    line: int
    start: int
    end: int  # before its line end
    after: int  # behind its line end
    written: tuple[str, ...]

    @property
    def values(self) -> list[str]:
        """The texts of the cells, as the reader takes them."""
        return [_value(cell) for cell in self.written]

    @property
    def digest(self) -> str:
        """A short text that differs if the row does."""
        return hashlib.sha256("\0".join(self.written).encode()).hexdigest()[:16]


@dataclass(frozen=True, kw_only=True)
class LedgerText:
    """A ledger that is CSV text. The first of its rows is the heading."""

    text: str
    delimiter: str = ","
    newline: str = "\n"
    mark: bytes = b""  # some programs begin a UTF-8 file with a byte order mark
    heading: Row | None = None
    rows: tuple[Row, ...] = ()
    columns: dict[str, int] = field(default_factory=dict)  # positions by key

    def cells(self, row: Row) -> dict[str, str]:
        """Return the texts of a row by column; "" where the row is short or has no such column."""
        values = row.values
        positions = {key: self.columns.get(key, len(values)) for key in COLUMNS}
        return {key: values[at] if at < len(values) else "" for key, at in positions.items()}

    def with_rows(
        self,
        changed: Mapping[int, Cells],
        removed: Iterable[int] = (),
        added: Sequence[Cells] = (),
    ) -> bytes:
        """Return the file with cells changed, rows removed, and rows added at its end."""
        heading, columns = self._heading_for([*changed.values(), *added])
        splices = []
        if self.heading is not None and heading != self.text[self.heading.start : self.heading.end]:
            splices.append((self.heading.start, self.heading.end, heading))
        for number, cells in changed.items():
            row = self.rows[number]
            splices.append((row.start, row.end, self._changed(row, cells, columns)))
        splices += [self._without(self.rows[number]) for number in removed]
        new = [self._new(cells, columns) for cells in added]
        text = self.text
        if self.heading is None:
            text = "".join(f"{line}{self.newline}" for line in (heading, *new))
        elif new:
            last = self.rows[-1] if self.rows else self.heading
            if last.end == last.after:  # the file ends without a line end: it stays so
                splices.append((last.after, last.after, self.newline + self.newline.join(new)))
            else:
                lines = "".join(f"{line}{self.newline}" for line in new)
                splices.append((last.after, last.after, lines))
        for start, end, piece in sorted(splices, key=lambda one: one[:2], reverse=True):
            text = text[:start] + piece + text[end:]
        return self.mark + text.encode()

    def _heading_for(self, rows: Sequence[Cells]) -> tuple[str, dict[str, int]]:
        """Return the heading with the columns that these rows need, and all positions."""
        if self.heading is None:
            return self.delimiter.join(COLUMNS), {key: at for at, key in enumerate(COLUMNS)}
        columns, written = dict(self.columns), list(self.heading.written)
        used = {key for cells in rows for key, text in cells.items() if text}
        for key in (key for key in COLUMNS if key in used - columns.keys()):
            columns[key] = len(written)
            written.append(self._cell(key, quoted=written[-1:] != [] and written[-1][:1] == '"'))
        return self.delimiter.join(written), columns

    def _changed(self, row: Row, cells: Cells, columns: Mapping[str, int]) -> str:
        written = list(row.written)
        for key, text in cells.items():
            if key not in columns:
                continue  # the file has no such column, and nothing to write into it
            at = columns[key]
            written += [""] * (at + 1 - len(written))
            written[at] = self._cell(text, quoted=written[at].startswith('"'))
        return self.delimiter.join(written)

    def _new(self, cells: Cells, columns: Mapping[str, int]) -> str:
        """Write a new row; it has quotation marks where the last row has them everywhere."""
        last = self.rows[-1] if self.rows else self.heading
        with_text = [cell for cell in last.written if cell] if last else []
        quoted = bool(with_text) and all(cell.startswith('"') for cell in with_text)
        empty = '""' if last and quoted and len(with_text) == len(last.written) else ""
        count = max([*columns.values(), len(self.heading.written) - 1 if self.heading else 0]) + 1
        written = [empty] * count
        for key, text in cells.items():
            if text:
                written[columns[key]] = self._cell(text, quoted=quoted)
        return self.delimiter.join(written)

    def _cell(self, text: str, *, quoted: bool) -> str:
        text = LINE_END.sub(self.newline, text)
        if quoted or any(sign in text for sign in (self.delimiter, '"', "\r", "\n")):
            return '"' + text.replace('"', '""') + '"'
        return text

    def _without(self, row: Row) -> tuple[int, int, str]:
        """Remove a row with its line end; the last one of a file without one, with that before."""
        start = row.start
        if row.end == row.after:
            before = self.text[:start]
            start -= 2 if before.endswith("\r\n") else 1 if before else 0
        return start, row.after, ""


def ledger_text(content: bytes | None) -> LedgerText | None:
    """Read the text of a ledger; no file is one without rows. None if it is no CSV in UTF-8."""
    if content is None:
        return LedgerText(text="")
    mark = BOM if content.startswith(BOM) else b""
    try:
        text = content.removeprefix(mark).decode()
    except UnicodeDecodeError:
        return None
    first = LINE_END.split(text.lstrip(), maxsplit=1)[0]
    delimiter = max(DELIMITERS, key=first.count)
    found = _rows(text, delimiter)
    if found is None:
        return None
    end = LINE_END.search(text)
    newline = end[0] if end else "\n"
    if not found:
        return LedgerText(text=text, newline=newline, mark=mark)
    keys = [heading_key(value) for value in found[0].values]
    return LedgerText(
        text=text,
        delimiter=delimiter,
        newline=newline,
        mark=mark,
        heading=found[0],
        rows=tuple(found[1:]),
        columns={key: keys.index(key) for key in COLUMNS if key in keys},
    )


def pasted_rows(text: str) -> list[dict[str, str]] | None:
    """Return the rows of a text from a spreadsheet or a CSV file; None if it cannot be split.

    Its first row is a heading if it has the names of columns; without one, the columns are in the
    order of the format.
    """
    found = ledger_text(text.strip("\r\n").encode())
    if found is None or found.heading is None:
        return None
    named = [key for key in COLUMNS if key in found.columns]
    if len(named) > 1:
        return [found.cells(row) for row in found.rows]
    columns = {key: at for at, key in enumerate(COLUMNS)}
    plain = LedgerText(text=found.text, columns=columns)
    return [plain.cells(row) for row in (found.heading, *found.rows)]


def _rows(text: str, delimiter: str) -> list[Row] | None:
    """Split a text into its rows that are not empty; None where a quoted cell does not end."""
    sign = re.escape(delimiter)
    cell = re.compile(rf'(?:"(?:[^"]++|"")*+"|(?!")[^{sign}\r\n]*+)(?P<end>{sign}|\r\n|\r|\n|\Z)')
    rows: list[Row] = []
    at, line = 0, 1
    while at < len(text):
        start, written = at, list[str]()
        while True:
            match = cell.match(text, at)
            if match is None:
                return None
            written.append(text[at : match.start("end")])
            at = match.end()
            if match["end"] != delimiter:
                break
        row = Row(line=line, start=start, end=match.start("end"), after=at, written=tuple(written))
        rows += [row] if any(row.values) else []
        line += len(LINE_END.findall(text, start, at))
    return rows


def _value(cell: str) -> str:
    if cell.startswith('"'):
        cell = LINE_END.sub("\n", cell[1:-1].replace('""', '"'))
    return cell.strip()
