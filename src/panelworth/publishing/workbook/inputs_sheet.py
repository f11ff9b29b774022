"""The Inputs sheet: every number a scenario gives; the likely cell is what formulas read."""

from typing import Any

from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Book, Cell, Sheet, serial
from panelworth.publishing.workbook.entries import (
    MONTH_NAMES,
    Entry,
    option_entries,
    scenario_entries,
)

HEADINGS = (
    *(N_("Of what"), N_("Input"), N_("Unit"), N_("Low"), N_("Likely")),
    *(N_("High"), N_("Source"), N_("Name in formulas")),
)
NOTE = N_(  # in two rows
    "Change a cell of the column “Likely”; all figures follow. Low and high are\n"
    "shown for reference: the draws and swings that use them are on the site."
)
WIDTHS = (50, 27, 20, 13, 14, 13, 74, 66)
FIRST_ROW = 4
LOW, LIKELY, HIGH = 3, 4, 5
LONGEST_LABEL, LONGEST_MESSAGE = 32, 255  # beside a cell


def write_inputs(sheet: Sheet) -> None:
    """Write all inputs, shared ones first, and name their likely cells."""
    view = sheet.book.view
    sheet.put(0, 0, _("Inputs"), "title")
    for number, words in enumerate(_(NOTE).split("\n", 1), start=1):
        sheet.put(number, 0, words)
    for column, (heading, width) in enumerate(zip(HEADINGS, WIDTHS, strict=True)):
        side = "_right" if LOW <= column <= HIGH else "_indented" if column > HIGH else ""
        sheet.put(FIRST_ROW - 1, column, _(heading), f"heading{side}")
        sheet.page.set_column(column, column, width)
    sheet.page.freeze_panes(FIRST_ROW, 2)
    sheet.page.repeat_rows(FIRST_ROW - 1)
    row = _group(sheet, FIRST_ROW, _("All options"), scenario_entries(view))
    for tag in view.tags.values():
        row = _group(sheet, row, tag.title, option_entries(view, tag.id))


def _group(sheet: Sheet, row: int, heading: str, entries: list[Entry]) -> int:
    """Write a group under its heading and return the next free row."""
    for column in range(len(HEADINGS)):
        sheet.put(row, column, heading if column == 0 else "", "section")
    for each in entries:
        row += 1
        _write(sheet, row, each)
    return row + 2


def _write(sheet: Sheet, row: int, entry: Entry) -> None:
    view, book = sheet.book.view, sheet.book
    name = book.define(entry.path, sheet.at(row, LIKELY))
    style = style_of(entry)
    for column, words in ((0, entry.section), (1, entry.label), (6, entry.source), (7, name)):
        sheet.put(row, column, words, "small" if column > HIGH else "text")
    sheet.put(row, 2, view.formats.unit(entry.unit))
    if entry.ends:
        sheet.put(row, LOW, entry.ends[0], style)
        sheet.put(row, HIGH, entry.ends[1], style)
    if entry.same_as:
        first = Cell(formula=book.names[entry.same_as], value=_value_of(book, entry.same_as))
        sheet.put(row, LIKELY, first, f"input {style}")
    else:
        sheet.put(row, LIKELY, entry.value, f"input {style}")
    _validate(sheet, row, entry)
    if entry.path.endswith(f"season[{MONTH_NAMES[-1]}]"):
        path = entry.path.removesuffix(f"[{MONTH_NAMES[-1]}]")
        book.define(path, sheet.span(row - len(MONTH_NAMES) + 1, row, LIKELY))


def style_of(entry: Entry) -> str:
    """Return how an input's value is shown."""
    if entry.choices:
        return "choice"
    kinds = {"money": "money", "share": "rate", "date": "day"}
    return next((look for unit, look in kinds.items() if entry.unit.startswith(unit)), "number")


def _value_of(book: Book, path: str) -> float | str:
    if path == "as_of":
        return serial(book.view.case.scenario.as_of)
    return book.view.inputs[path].quantity.likely


def _validate(sheet: Sheet, row: int, entry: Entry) -> None:
    """Tell what a cell means, and let the program refuse what the scenario's files would refuse."""
    rule: dict[str, Any]
    if entry.choices:
        rule = {"validate": "list", "source": list(entry.choices)}
    elif entry.unit == "date":
        rule = {"validate": "any"}
    else:
        bounds = {"minimum": entry.least, "maximum": entry.most}
        rule = {"validate": "decimal", "criteria": "between", **bounds}
    told = {
        "input_title": entry.label[:LONGEST_LABEL],
        "input_message": entry.meaning[:LONGEST_MESSAGE],
    }
    sheet.page.data_validation(row, LIKELY, row, LIKELY, rule | told)
