"""A workbook in memory: sheets, styles, and the names by which formulas find their inputs.

A user's text is written as text always, so that none of it can start a formula. Every formula
is written with its value, for programs that show a file without working it out.
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
from panelworth.publishing.workbook.names import name_of, told_apart

LONGEST_TITLE = 31
LINE = 16  # the height of a line of text, in points
NOT_IN_A_TITLE = str.maketrans(dict.fromkeys("[]:*?/\\'", "_"))
DAY_ZERO = date(1899, 12, 30)
INPUT = {"bg_color": "#FFF7DC", "font_color": "#1F3C88", "border": 1, "border_color": "#D8CDAE"}
LOOKS: dict[str, dict[str, Any]] = {
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
    "told": {
        "font_color": "#5F5A50", "font_size": 9, "indent": 1, "text_wrap": True, "valign": "top",
    },
    "indented": {"indent": 1, "valign": "top"},
    "choice": {"align": "right"},
}  # fmt: skip
NUMBERS = {
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
    """A formula without its equals sign, and its value as the engine has it."""

    formula: str
    value: float | str


Content = str | float | date | Cell


class AsWritten(Worksheet):  # type: ignore[misc]
    """A sheet that takes formulas as they are.

    The library looks for thirty newer functions, to mark them, in each of some 20,000 formulas:
    half the time a workbook takes. Ours use none of them; a test says so.
    """

    def _prepare_formula(self, formula: str, *marking: bool) -> str:
        marked: str = super()._prepare_formula(formula, *marking) if marking else formula[1:]
        return marked


def value_of(content: Cell | float | str) -> float | str:
    """Return what a cell shows."""
    return content.value if isinstance(content, Cell) else content


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A sheet being written; rows and columns count from 0."""

    title: str
    page: Any
    book: "Book"

    def put(self, row: int, column: int, content: Content, style: str = "text") -> None:
        """Write text as text, numbers, days, and formulas with their values."""
        look = self.book.look(style)
        if isinstance(content, Cell):
            self.page.write_formula(row, column, f"={content.formula}", look, content.value)
        elif isinstance(content, str):
            self.page.write_string(row, column, content, look)
        elif isinstance(content, date):
            self.page.write_number(row, column, serial(content), look)
        else:
            self.page.write_number(row, column, content, look)

    def make_room(self, row: int, words: str, letters: int) -> None:
        """Make a row as high as its words need, with so many letters in a line.

        Programs that open a file do not all do so themselves where text wraps.
        """
        lines = max(len(textwrap.wrap(words, letters)), 1)
        if lines > 1:
            self.page.set_row(row, LINE * lines)

    def at(self, row: int, column: int) -> str:
        """Return a cell's address with its sheet, as formulas on any sheet write it."""
        return f"'{self.title}'!{xl_rowcol_to_cell(row, column, row_abs=True, col_abs=True)}"

    def span(self, first: int, last: int, column: int) -> str:
        """Return the address of rows first..last of a column."""
        return f"'{self.title}'!{xl_range_abs(first, column, last, column)}"


@dataclass(frozen=True, kw_only=True)
class Book:
    """The workbook being written, and what each path is called in formulas."""

    view: View
    out: io.BytesIO
    file: Any
    names: dict[str, str] = field(default_factory=dict)
    looks: dict[str, Any] = field(default_factory=dict)
    taken: set[str] = field(default_factory=set)
    titles: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, view: View) -> "Book":
        """Start a workbook; its date is that of the question, so that bytes repeat."""
        out = io.BytesIO()
        file = xlsxwriter.Workbook(out, {"in_memory": True})
        as_of = view.case.scenario.as_of
        created = datetime(as_of.year, as_of.month, as_of.day)  # noqa: DTZ001 (a date, no moment)
        file.set_properties({"title": view.case.scenario.title, "created": created})
        file.set_size(1800, 1200)
        return cls(view=view, out=out, file=file)

    def sheet(self, title: str) -> Sheet:
        """Add a sheet under a title that spreadsheets accept."""
        cut = told_apart(title.translate(NOT_IN_A_TITLE)[: LONGEST_TITLE - 3], self.titles)
        self.titles.add(cut.lower())
        page = self.file.add_worksheet(cut, AsWritten)
        page.hide_gridlines(2)
        page.set_landscape()
        page.fit_to_pages(1, 0)
        page.set_footer("&L&A&R" + _("Page {page} of {pages}", page="&P", pages="&N"))
        return Sheet(title=cut, page=page, book=self)

    def look(self, style: str) -> Any:  # noqa: ANN401 (the library's format)
        """Return a style; "input money" marks an input, "money right" puts words right too."""
        if style not in self.looks:
            kind = style.removeprefix("input ").removesuffix(" right")
            look = LOOKS.get(kind, {"num_format": NUMBERS.get(kind, ""), "valign": "top"})
            marked = INPUT if style.startswith("input ") else {}
            sided = {"align": "right"} if style.endswith(" right") else {}
            self.looks[style] = self.file.add_format({**look, **marked, **sided})
        return self.looks[style]

    def define(self, path: str, address: str) -> str:
        """Give an address the name of a path and return the name."""
        name = told_apart(name_of(path), self.taken)
        self.taken.add(name.lower())
        self.names[path] = name
        self.file.define_name(name, f"={address}")
        return name

    def bytes(self) -> bytes:
        """Close the workbook and return the file."""
        self.file.close()
        return self.out.getvalue()


def serial(day: date) -> int:
    """Return a day's number in a spreadsheet."""
    return (day - DAY_ZERO).days
