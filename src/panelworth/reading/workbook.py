"""Reads the first sheet of a workbook, .xlsx or .ods, into the same table as CSV text.

The library calamine reads the cells. Two of its habits need care:

- It makes an array of all cells up to the last one. A small file can name a cell in row 1,048,576,
  or be a zip file that unpacks to gigabytes. So both sizes are checked before it reads anything.
- It reads an error value such as #REF! as an empty cell. So it gets a copy of the file in which
  these values are texts.
"""

import csv
import io
import re
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime
from math import isfinite
from unicodedata import normalize
from xml.parsers import expat

from panelworth.problems import FORBIDDEN, visible
from panelworth.reading.sheet import (
    Sheet,
    TextRow,
    UnreadableSheet,
    longer_cell,
    table_of,
    too_large,
)

ENDINGS = (".xlsx", ".ods")
LARGEST_UNPACKED = 30_000_000  # bytes; 10,000 full rows of a ledger take about 8 million
MOST_CELLS = 3_000_000  # up to the last cell of a sheet; calamine takes about 100 MB for them
LONGEST_NAME = 60  # characters of a sheet's name in a message; Excel allows 31
# Workbooks with a password, and the format of Excel before 2007, are compound files (MS-CFB 2.2).
COMPOUND_FILE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
READ_MEMBERS = (".xml", ".rels", "mimetype")  # pictures and macros are not unpacked
METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)  # ECMA-376, Part 2, annex B allows no others
DAMAGED = (
    *(zipfile.BadZipFile, zlib.error, expat.ExpatError),
    *(RuntimeError, EOFError, OSError, ValueError, LookupError),  # zipfile raises them too
)
# ECMA-376, Part 1, 18.18.11: t="e" is an error, t="str" the text of a formula.
XLSX_ERROR = re.compile(rb"""(<(?:\w+:)?c\s[^<>]*?\bt\s*=\s*)(["'])e\2""")
ODS_ERROR = re.compile(rb"""<[^<>]*calcext:value-type\s*=\s*["']error["'][^<>]*>""")
ODS_TEXT = re.compile(rb"""\soffice:string-value\s*=\s*(?:"[^"]*"|'[^']*')""")
# Numbers of entries, which are optional. calamine reserves memory for as many as they say.
COUNTED = re.compile(rb"""<\w[^<>]*?[cC]ount\s*=[^<>]*>""")
COUNT = re.compile(rb"""\s(?:count|uniqueCount)\s*=\s*(?:"[^"]*"|'[^']*')""")
CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
LETTERS = 26
ODS_MANIFEST = "META-INF/manifest.xml"  # names the encrypted parts: OpenDocument 1.3, Part 2, 3.4
REPEATED_ROWS, REPEATED_COLUMNS = "table:number-rows-repeated", "table:number-columns-repeated"

PROTECTED = UnreadableSheet(
    line=0,
    expected="a workbook without a password",
    found="one with a password, or of a format that is no longer used",
    hint="save it again as .xlsx or .ods, without a password",
)
BROKEN = UnreadableSheet(
    line=0,
    expected="a workbook that can be read",
    found="a damaged one, or another kind of file",
    hint="save it again as .xlsx or .ods with a spreadsheet program",
)


def read_workbook(content: bytes) -> Sheet | UnreadableSheet:
    """Return the first sheet of a workbook, or why it cannot be read.

    The number of a row takes the place of the line. A number is in `SheetRow.numbers` as well, so
    that nobody has to ask what its decimal separator is. A date is a text such as 2026-10-31,
    without the time of day; yes or no is "yes" or "no"; of a formula its value counts.
    """
    if content.startswith(COMPOUND_FILE):
        return PROTECTED
    try:
        members = _members(content)
        if isinstance(members, UnreadableSheet):
            return members
        if b":encryption-data" in members.get(ODS_MANIFEST, b""):
            return PROTECTED
        for name, xml in members.items():
            if name.casefold().endswith(".xml") and (failure := _Extent().failure_in(xml)):
                return failure
    except DAMAGED:
        return BROKEN
    return _first_sheet(_zip_of(members))


def _members(content: bytes) -> dict[str, bytes] | UnreadableSheet:
    """Unpack the parts that are read, at most `LARGEST_UNPACKED` bytes.

    A zip file states the size of each part. `read` with that size never unpacks more, even if the
    part is larger; the checksum fails then.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        parts = [part for part in file.infolist() if part.filename.endswith(READ_MEMBERS)]
        if (size := sum(part.file_size for part in parts)) > LARGEST_UNPACKED:
            expected = f"a workbook of at most {LARGEST_UNPACKED // 1_000_000} MB when unpacked"
            hint = "put the table into a workbook of its own"
            return UnreadableSheet(line=0, expected=expected, found=f"{size:,} bytes", hint=hint)
        members = {}
        for part in parts:
            if part.compress_type not in METHODS:
                return BROKEN
            with file.open(name=part, mode="r") as packed:
                members[part.filename] = packed.read(part.file_size)
        return members


def _zip_of(members: Mapping[str, bytes]) -> bytes:
    """Pack the parts again, error values as texts. So calamine unpacks only what was checked."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as file:
        for name, xml in members.items():
            file.writestr(name, _made_safe(xml))
    return content.getvalue()


def _made_safe(xml: bytes) -> bytes:
    """Return the XML with error values as texts, and without the counts of its lists.

    In .ods the text to show is #REF!, but an attribute says that the value is empty.
    """
    if b"calcext:value-type" in xml:
        xml = ODS_ERROR.sub(lambda match: ODS_TEXT.sub(b"", match[0]), xml)
    xml = XLSX_ERROR.sub(rb"\1\2str\2", xml)
    return COUNTED.sub(lambda match: COUNT.sub(b"", match[0]), xml)


class _Extent:
    """Finds the last row and column with content in each sheet of an XML file.

    This is for both formats: `row` and `c` of .xlsx, where a cell may name its place, and
    `table-row` and `table-cell` of .ods, which may be repeated. Cells without content, which
    programs write for borders and colours, do not count.
    """

    def __init__(self) -> None:
        self.row = self.column = self.bottom = self.right = 0
        self.failure: UnreadableSheet | None = None

    def failure_in(self, xml: bytes) -> UnreadableSheet | None:
        """Return the failure of the first sheet that is too large, if there is one."""
        parser = expat.ParserCreate()
        parser.StartElementHandler = self._start
        parser.Parse(xml, True)  # noqa: FBT003 (the library has no name for it: the last part)
        return self.failure

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        match tag.rpartition(":")[2]:
            case "sheetData" | "table":
                self.row = self.column = self.bottom = self.right = 0
            case "row":
                self.row, self.column = int(attributes.get("r", self.row + 1)), 0
            case "c":
                self._go_to(attributes.get("r", ""))
            case "table-row":
                self.row, self.column = self.row + int(attributes.get(REPEATED_ROWS, 1)), 0
            case "table-cell" | "covered-table-cell":
                self.column += int(attributes.get(REPEATED_COLUMNS, 1))
                if "office:value-type" in attributes:
                    self._note_content()
            case "v" | "is" | "p":
                self._note_content()

    def _go_to(self, place: str) -> None:
        """Go to a cell such as D7; without a place to the next one in the row."""
        if not place:
            self.column += 1
            return
        match = CELL.fullmatch(place)
        if match is None:
            raise ValueError(place)
        self.row, self.column = int(match[2]), 0
        for letter in match[1]:
            self.column = self.column * LETTERS + ord(letter) - ord("A") + 1

    def _note_content(self) -> None:
        self.bottom, self.right = max(self.bottom, self.row), max(self.right, self.column)
        if self.bottom * self.right > MOST_CELLS and self.failure is None:
            found = f"a cell in row {self.row:,}, column {self.column:,}"
            self.failure = UnreadableSheet(
                line=0,
                expected="a sheet whose cells are close together",
                found=found,
                hint="delete what is far from the table",
            )


def _first_sheet(content: bytes) -> Sheet | UnreadableSheet:
    from python_calamine import CalamineError, load_workbook  # noqa: PLC0415

    try:
        sheet = load_workbook(io.BytesIO(content)).get_sheet_by_index(0)
        rows = sheet.to_python()  # without the empty rows and columns before the first cell
    except (CalamineError, *DAMAGED):
        return BROKEN
    texts: list[TextRow] = []
    numbers: dict[int, dict[int, float]] = {}
    first = sheet.start[0] + 1 if sheet.start else 1
    for line, contents in enumerate(rows, start=first):
        cells = [_text(cell) for cell in contents]
        if not any(cells):
            continue
        while not cells[-1]:  # every row is as wide as the sheet
            cells.pop()
        texts.append((line, cells))
        numbers[line] = dict(_numbers(contents))
        if failure := too_large(texts, line) or _bad_text(cells, line):
            return replace(failure, name=_shown(sheet.name))
    return table_of(texts, numbers=numbers, name=_shown(sheet.name))


def _text(cell: object) -> str:
    """Write the content of a cell as a text, as a person would type it into a CSV file."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, int | float):
        # Spreadsheets show 15 digits: the sum of 0.1 and 0.2 is 0.3 for those who see the cell.
        return f"{cell:.15g}"
    if isinstance(cell, datetime):
        cell = cell.date()
    if isinstance(cell, date):
        return cell.isoformat()
    return normalize("NFC", str(cell).replace("\r\n", "\n").replace("\r", "\n")).strip()


def _numbers(cells: Sequence[object]) -> Iterator[tuple[int, float]]:
    for column, cell in enumerate(cells):
        if isinstance(cell, int | float) and not isinstance(cell, bool) and isfinite(cell):
            yield column, float(_text(cell))


def _bad_text(cells: list[str], line: int) -> UnreadableSheet | None:
    """Return the failure of a cell with control characters or of enormous length."""
    for cell in cells:
        if forbidden := FORBIDDEN.search(cell):
            found = visible(forbidden[0])
            expected, hint = "text without control characters", "remove it"
            return UnreadableSheet(line=line, expected=expected, found=found, hint=hint)
        if len(cell) > csv.field_size_limit():
            return longer_cell(line)
    return None


def _shown(name: str) -> str:
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"
