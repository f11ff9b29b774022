"""The Inputs sheet: every number of a scenario; formulas read the cells of likely values."""

from datetime import date
from typing import Any

from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Cell, Content, Sheet, serial
from panelworth.publishing.workbook.input_rows import (
    MONTH_NAMES,
    InputRow,
    option_inputs,
    scenario_inputs,
)

HEADINGS = (
    *(N_("Of what"), N_("Input"), N_("Unit"), N_("Low"), N_("Likely")),
    *(N_("High"), N_("Source"), N_("Name in formulas")),
)
NOTE = N_(  # on two rows
    "Change a cell of the column “Likely”; all figures follow. Low and high are\n"
    "shown for reference: the draws and swings that use them are on the site."
)
WIDTHS = (50, 27, 20, 13, 14, 13, 74, 66)
FIRST_ROW = 4
SECTION, LABEL, UNIT, LOW, LIKELY, HIGH, SOURCE, NAME = range(8)
LONGEST_TITLE, LONGEST_MESSAGE = 32, 255  # characters of a prompt; limits of Excel


def write_inputs(sheet: Sheet) -> None:
    """Write all inputs, shared ones first, and name the cells of their likely values."""
    view = sheet.book.view
    sheet.write(0, 0, _("Inputs"), "title")
    for row, text in enumerate(_(NOTE).split("\n", 1), start=1):
        sheet.write(row, 0, text)
    for column, (heading, width) in enumerate(zip(HEADINGS, WIDTHS, strict=True)):
        side = "_right" if LOW <= column <= HIGH else "_indented" if column > HIGH else ""
        sheet.write(FIRST_ROW - 1, column, _(heading), f"heading{side}")
        sheet.worksheet.set_column(column, column, width)
    sheet.worksheet.freeze_panes(FIRST_ROW, 2)
    sheet.worksheet.repeat_rows(FIRST_ROW - 1)
    row = _write_group(sheet, FIRST_ROW, _("All options"), scenario_inputs(view))
    for tag in view.tags.values():
        row = _write_group(sheet, row, tag.title, option_inputs(view, tag.id))


def _write_group(sheet: Sheet, row: int, heading: str, inputs: list[InputRow]) -> int:
    """Write a group under its heading and return the next free row."""
    sheet.write_section(row, heading, len(HEADINGS))
    for given in inputs:
        row += 1
        _write_input(sheet, row, given)
    return row + 2


def _write_input(sheet: Sheet, row: int, given: InputRow) -> None:
    """Write an input and name its cell; on the last row of a list, name the list as well."""
    book = sheet.book
    name = book.define(given.path, sheet.at(row, LIKELY))
    style = style_of(given)
    sheet.write(row, SECTION, given.section)
    sheet.write(row, LABEL, given.label)
    sheet.write(row, SOURCE, given.source, "small")
    sheet.write(row, NAME, name, "small")
    sheet.write(row, UNIT, book.view.formats.unit(given.unit))
    if given.ends:
        sheet.write(row, LOW, given.ends[0], style)
        sheet.write(row, HIGH, given.ends[1], style)
    likely: Content = given.value
    if given.same_as:
        value = serial(given.value) if isinstance(given.value, date) else given.value
        likely = Cell(formula=book.names[given.same_as], value=value)
    sheet.write(row, LIKELY, likely, f"input {style}")
    _validate(sheet, row, given)
    if given.list_path:
        book.define(given.list_path, sheet.span(row - len(MONTH_NAMES) + 1, row, LIKELY))


def style_of(given: InputRow) -> str:
    """Return the style of an input's value."""
    if given.choices:
        return "choice"
    styles = {"money": "money", "share": "rate", "date": "day"}
    return next((style for unit, style in styles.items() if given.unit.startswith(unit)), "number")


def _validate(sheet: Sheet, row: int, given: InputRow) -> None:
    """Add a prompt to a cell, and refuse values that are not allowed in a scenario's file."""
    rule: dict[str, Any]
    if given.choices:
        rule = {"validate": "list", "source": list(given.choices)}
    elif given.unit == "date":
        rule = {"validate": "any"}
    else:
        bounds = {"minimum": given.least, "maximum": given.most}
        rule = {"validate": "decimal", "criteria": "between", **bounds}
    prompt = {
        "input_title": given.label[:LONGEST_TITLE],
        "input_message": given.meaning[:LONGEST_MESSAGE],
    }
    sheet.worksheet.data_validation(row, LIKELY, row, LIKELY, rule | prompt)
