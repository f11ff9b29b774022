"""Reads a table from a file: CSV text, or the first sheet of a workbook, by the file's ending."""

from pathlib import Path

from panelworth.problems import Collector
from panelworth.reading.sheet import Sheet, UnreadableSheet, read_sheet
from panelworth.reading.tables import read_bytes, read_text
from panelworth.reading.workbook import ENDINGS, read_workbook


def read_sheet_file(path: Path, file: str, collector: Collector) -> Sheet | UnreadableSheet | None:
    """Read the table of a file; `file` is its name in messages.

    Returns None if it is empty, or if it cannot be read: then a problem is added.
    """
    if path.suffix.casefold() not in ENDINGS:
        text = read_text(path, file, collector)
        return read_sheet(text) if text else None
    content = read_bytes(path, file, collector)
    sheet = None if content is None else read_workbook(content)
    return None if isinstance(sheet, Sheet) and not sheet.heading else sheet
