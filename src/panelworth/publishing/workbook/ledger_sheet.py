"""The Ledger sheet: the rows of the ledger in the columns of its file.

Saved on its own as ledger.xlsx it can be read again. So the headings stand in the first row, and
headings, kinds and "yes" are English in every language: they are the words of the file.
"""

from datetime import date

from panelworth.model.ledger import Entry
from panelworth.publishing.workbook.book import Sheet

COLUMNS = tuple(key for key in Entry.model_fields if key != "line")
SUMS, YES = ("amount", "low", "high"), "yes"
WIDE = {"option": 20, "item": 34, "supplier": 26, "reference": 20, "note": 50}
USUAL_WIDTH = 13
FIRST_ROW = 1


def write_ledger(sheet: Sheet) -> None:
    """Write the headings, and a row for each entry; without a ledger the headings alone."""
    worksheet = sheet.worksheet
    worksheet.freeze_panes(FIRST_ROW, 0)
    worksheet.repeat_rows(0)
    for column, key in enumerate(COLUMNS):
        worksheet.set_column(column, column, WIDE.get(key, USUAL_WIDTH))
        sheet.write(0, column, key, "heading_right" if key in SUMS else "heading")
    for row, entry in enumerate(sheet.book.view.case.ledger, start=FIRST_ROW):
        for column, key in enumerate(COLUMNS):
            _write_cell(sheet, row, column, getattr(entry, key))


def _write_cell(sheet: Sheet, row: int, column: int, value: object) -> None:
    """Write a value of an entry; nothing for a value that is missing, a no or an empty text."""
    if isinstance(value, bool):
        value = YES if value else ""
    if isinstance(value, date):
        sheet.write(row, column, value, "day")
    elif isinstance(value, float):
        sheet.write(row, column, value, "money")
    elif isinstance(value, str) and value:
        sheet.write(row, column, value)
