"""A workbook in memory: its sheets, its styles, and the names of its cells.

A user's text is always written as a text, so that it cannot start a formula. Every formula is
written with its value, since some programs show a file without calculating it.
"""

import io
import textwrap
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

import xlsxwriter
from xlsxwriter.utility import xl_range_abs, xl_rowcol_to_cell
from xlsxwriter.worksheet import Worksheet

from panelworth.publishing.language import _
from panelworth.publishing.view import View
from panelworth.publishing.workbook.names import name_of, unique_name

LONGEST_TITLE = 31  # characters; a limit of Excel
LINE_HEIGHT = 16  # of a line of text, in points
NOT_IN_A_TITLE = str.maketrans(dict.fromkeys("[]:*?/\\'", "_"))
DAY_ZERO = date(1899, 12, 30)  # day 1 is 31 December 1899; ECMA-376, Part 1, 18.17.4.1
INPUT = {"bg_color": "#FFF7DC", "font_color": "#1F3C88", "border": 1, "border_color": "#D8CDAE"}
STYLES: dict[str, dict[str, Any]] = {
    "title": {"bold": True, "font_size": 16},
    "section": {"bold": True, "font_size": 12, "bottom": 1},
    "heading": {"bold": True, "text_wrap": True, "valign": "bottom", "bottom": 1},
    "heading_right": {
        "bold": True, "text_wrap": True, "valign": "bottom", "bottom": 1, "align": "right",
    },
    "heading_indented": {"bold": True, "valign": "bottom", "bottom": 1, "indent": 1},
    "text": {"valign": "top"},
    "wrapped": {"text_wrap": True, "valign": "top"},
    "small": {"font_color": "#5F5A50", "font_size": 9, "indent": 1, "valign": "top"},
    "note": {
        "font_color": "#5F5A50", "font_size": 9, "indent": 1, "text_wrap": True, "valign": "top",
    },
    "indented": {"indent": 1, "valign": "top"},
    "choice": {"align": "right"},
}  # fmt: skip
NUMBER_FORMATS = {
    "number": "#,##0.######;-#,##0.######;0",
    "whole": "0",
    "money": "#,##0.00",
    "flow": "#,##0.00;-#,##0.00;–",
    "rate": "0.0###%",
    "factor": "0.000000",
    "hours": "#,##0.00",
    "day": "yyyy-mm-dd",
    "month": "mmm yyyy",
}


@dataclass(frozen=True, kw_only=True)
class Cell:
    """A formula without its equals sign, and the value that it has as the workbook is written."""

    formula: str
    value: float | str


Content = str | float | date | Cell


class UnmarkedWorksheet(Worksheet):  # type: ignore[misc]
    """A worksheet that writes formulas unchanged.

    The library searches every formula for thirty newer functions, to mark them with a prefix. With
    some 20,000 formulas this is half of the time. Our formulas use none of them; a test checks it.
    """

    def _prepare_formula(self, formula: str, *marking: bool) -> str:
        marked: str = super()._prepare_formula(formula, *marking) if marking else formula[1:]
        return marked


def value_of(content: Cell | float | str) -> float | str:
    """Return the value that a cell shows."""
    return content.value if isinstance(content, Cell) else content


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A sheet being written; rows and columns count from 0."""

    title: str
    worksheet: Any
    book: "Book"

    def write(self, row: int, column: int, content: Content, style: str = "text") -> None:
        """Write a text as text, a number, a day, or a formula with its value."""
        cell_format = self.book.cell_format(style)
        if isinstance(content, Cell):
            formula = f"={content.formula}"
            self.worksheet.write_formula(row, column, formula, cell_format, content.value)
        elif isinstance(content, str):
            self.worksheet.write_string(row, column, content, cell_format)
        elif isinstance(content, date):
            self.worksheet.write_number(row, column, serial(content), cell_format)
        else:
            self.worksheet.write_number(row, column, content, cell_format)

    def write_section(self, row: int, heading: str, columns: int) -> None:
        """Write the heading of a section, underlined across a number of columns."""
        for column in range(columns):
            self.write(row, column, "" if column else heading, "section")

    def fit_height(self, row: int, text: str, letters: int) -> None:
        """Make a row high enough for a text that wraps after a number of letters.

        Not every program adjusts the height when it opens a file.
        """
        lines = max(len(textwrap.wrap(text, letters)), 1)
        if lines > 1:
            self.worksheet.set_row(row, LINE_HEIGHT * lines)

    def at(self, row: int, column: int) -> str:
        """Return a cell's address with its sheet, for formulas on any sheet."""
        return f"'{self.title}'!{xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)}"

    def span(self, first: int, last: int, column: int) -> str:
        """Return the address of rows first..last of a column."""
        return f"'{self.title}'!{xl_range_abs(first, column, last, column)}"


@dataclass(frozen=True, kw_only=True)
class Book:
    """The workbook being written; `names` has the name of each cell by the path of its figure."""

    view: View
    content: io.BytesIO
    file: Any
    names: dict[str, str] = field(default_factory=dict)
    formats: dict[str, Any] = field(default_factory=dict)
    taken_names: set[str] = field(default_factory=set)
    taken_titles: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, view: View) -> "Book":
        """Return a new workbook with the date as_of: the time of day would change its bytes."""
        content = io.BytesIO()
        file = xlsxwriter.Workbook(content, {"in_memory": True})  # without temporary files
        as_of = view.case.scenario.as_of
        created = datetime(as_of.year, as_of.month, as_of.day)  # noqa: DTZ001 (a date, no moment)
        file.set_properties({"title": view.case.scenario.title, "created": created})
        file.set_size(1800, 1200)  # of the window, in pixels
        return cls(view=view, content=content, file=file)

    def sheet(self, title: str) -> Sheet:
        """Add a sheet under a title that spreadsheets accept."""
        short = title.translate(NOT_IN_A_TITLE)[: LONGEST_TITLE - 3]  # room for "_99"
        accepted = unique_name(short, self.taken_titles)
        self.taken_titles.add(accepted.lower())
        worksheet = self.file.add_worksheet(accepted, UnmarkedWorksheet)
        worksheet.hide_gridlines(2)  # 2: on the screen and in print
        worksheet.set_landscape()
        worksheet.fit_to_pages(1, 0)  # one page wide, any number of pages high
        # Codes of the file format: the sheet's name on the left, the page on the right.
        worksheet.set_footer("&L&A&R" + _("Page {page} of {pages}", page="&P", pages="&N"))
        return Sheet(title=accepted, worksheet=worksheet, book=self)

    def cell_format(self, style: str) -> Any:  # noqa: ANN401 (the library's format)
        """Return the format of a style.

        "input money" is money that the reader may change; "money right" aligns texts right too.
        """
        if style not in self.formats:
            plain = style.removeprefix("input ").removesuffix(" right")
            base = STYLES.get(plain, {"num_format": NUMBER_FORMATS.get(plain, ""), "valign": "top"})
            marked = INPUT if style.startswith("input ") else {}
            aligned = {"align": "right"} if style.endswith(" right") else {}
            self.formats[style] = self.file.add_format({**base, **marked, **aligned})
        return self.formats[style]

    def define(self, path: str, address: str) -> str:
        """Give the cells at an address a name after a path, and return the name."""
        name = unique_name(name_of(path), self.taken_names)
        self.taken_names.add(name.lower())
        self.names[path] = name
        self.file.define_name(name, f"={address}")
        return name

    def bytes(self) -> bytes:
        """Close the workbook and return the file."""
        self.file.close()
        return self.content.getvalue()


def serial(day: date) -> int:
    """Return the serial number of a day in a spreadsheet."""
    return (day - DAY_ZERO).days
