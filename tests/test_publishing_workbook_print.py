"""The workbook on paper: few pages, headings on each, no words cut by their row.

A sheet's print settings: ECMA-376, Part 1, 18.3.1.63 (pageSetup), 18.2.5 (Print_Area,
Print_Titles). How many pages follow is reckoned here from rows and columns.
"""

import io
import math
import re
import textwrap
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree as ET

import pytest

from panelworth.publishing.view import View
from panelworth.publishing.workbook.document import workbook_of

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
LETTER = (11 * 72 - 2 * 50.4, 8.5 * 72 - 2 * 54)  # points within the margins, landscape
ROW, CHARACTER = 15.0, 5.25  # points, of Calibri 11: about
MOST_PAGES = 36
SMALLEST = 0.4  # of 11 points: below that nobody reads it


@dataclass(frozen=True, kw_only=True)
class Print:
    """A sheet as it prints: how many pages, how small, and whether headings repeat."""

    title: str
    pages: int
    scale: float
    repeats: bool
    rows: int


def prints(workbook: bytes) -> Iterator[Print]:
    """Yield every sheet of a workbook as a program would print it."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        book = ET.fromstring(file.read("xl/workbook.xml"))  # noqa: S314 (our own)
        named = {
            (name.get("name", ""), int(name.get("localSheetId", -1))): name.text or ""
            for name in book.iter(f"{MAIN}definedName")
        }
        for place, listed in enumerate(book.iter(f"{MAIN}sheet")):
            sheet = ET.fromstring(  # noqa: S314
                file.read(f"xl/worksheets/sheet{place + 1}.xml")
            )
            area = named.get(("_xlnm.Print_Area", place), "")
            repeats = ("_xlnm.Print_Titles", place) in named
            yield _print(listed.get("name", ""), sheet, area, repeats=repeats)


def _print(title: str, sheet: ET.Element, area: str, *, repeats: bool) -> Print:
    rows = {int(row.get("r", 0)): float(row.get("ht", ROW)) for row in sheet.iter(f"{MAIN}row")}
    last = int(re.findall(r"\d+", area)[-1]) if area else max(rows)
    high = math.fsum(rows.get(row, ROW) for row in range(1, last + 1))
    wide = CHARACTER * math.fsum(
        float(column.get("width", 9)) * (int(column.get("max", 1)) - int(column.get("min", 1)) + 1)
        for column in sheet.iter(f"{MAIN}col")
    )
    setup = next(sheet.iter(f"{MAIN}pageSetup"))
    across, down = (int(setup.get(key, 1)) for key in ("fitToWidth", "fitToHeight"))
    width, height = LETTER if setup.get("orientation") == "landscape" else LETTER[::-1]
    scale = min(1.0, across * width / max(wide, 1.0))
    if down:
        scale = min(scale, down * height / high)
    pages = math.ceil(wide * scale / width - 0.01) * math.ceil(high * scale / height - 0.01)
    return Print(title=title, pages=max(pages, 1), scale=scale, repeats=repeats, rows=last)


@pytest.mark.parametrize("name", ["club", "owner"])
def test_a_workbook_prints_on_few_pages_that_can_be_read(
    name: str, request: pytest.FixtureRequest
) -> None:
    sheets = list(prints(workbook_of(request.getfixturevalue(name))))
    assert sum(sheet.pages for sheet in sheets) <= MOST_PAGES, sheets
    assert [sheet for sheet in sheets if sheet.scale < SMALLEST] == []


def test_long_sheets_repeat_their_headings_on_every_page(club: View) -> None:
    long = [each for each in prints(workbook_of(club)) if each.title.startswith(("Mo", "In", "Lo"))]
    assert long
    assert [each.title for each in long if not each.repeats] == []


def test_only_the_payments_of_a_loan_are_printed(club: View) -> None:
    [loans] = [each for each in prints(workbook_of(club)) if each.title == "Loans"]
    longest = max(
        len(loan.payments) for tag in club.tags.values() if (loan := club.series(tag.id).loan)
    )
    assert longest <= loans.rows <= longest + 10


@pytest.mark.parametrize("title", ["Compare", "Read me"])
def test_no_row_is_lower_than_its_words(club: View, title: str) -> None:
    """A row whose height is stated is not made higher by the program that opens it."""
    content = workbook_of(club)
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        book = ET.fromstring(file.read("xl/workbook.xml"))  # noqa: S314
        names = [each.get("name") for each in book.iter(f"{MAIN}sheet")]
        place = names.index(title) + 1
        sheet = ET.fromstring(file.read(f"xl/worksheets/sheet{place}.xml"))  # noqa: S314
        shared = ET.fromstring(file.read("xl/sharedStrings.xml"))  # noqa: S314
    texts = ["".join(part.text or "" for part in each.iter(f"{MAIN}t")) for each in shared]
    widest = (
        110 if title == "Read me" else 92 * 11 / 9
    )  # letters: meanings are in letters of 9 points
    checked = 0
    for row in sheet.iter(f"{MAIN}row"):
        cells = [each for each in row if each.get("t") == "s"]
        last = texts[int(cells[-1].findtext(f"{MAIN}v") or 0)] if cells else ""
        lines = len(textwrap.wrap(last, int(widest)))
        if lines > 1:
            checked += 1
            assert float(row.get("ht", 0)) >= lines * 12, last
    assert checked > 2
