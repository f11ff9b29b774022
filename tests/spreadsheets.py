"""Workbooks as spreadsheet programs write them: .xlsx by a library, .ods by hand."""

import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from html import escape

import xlsxwriter

Content = str | float | bool | date | None
SPACES = " ".join(
    f'xmlns:{prefix}="urn:{name}"'
    for prefix, name in {
        "office": "oasis:names:tc:opendocument:xmlns:office:1.0",
        "table": "oasis:names:tc:opendocument:xmlns:table:1.0",
        "text": "oasis:names:tc:opendocument:xmlns:text:1.0",
        "calcext": "org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0",
    }.items()
)
MANIFEST = """<manifest:manifest
  xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">{}</manifest:manifest>"""


def xlsx(
    rows: Sequence[Sequence[Content]],
    *,
    name: str = "Ledger",
    first: int = 0,
    values: Mapping[str, float | str] | None = None,
) -> bytes:
    """Return a workbook with these rows from row `first` on.

    A text that begins with "=" is a formula; `values` has its value as the program saved it.
    """
    content = io.BytesIO()
    book = xlsxwriter.Workbook(content, {"in_memory": True})
    sheet = book.add_worksheet(name)
    day, moment = (book.add_format({"num_format": text}) for text in ("dd.mm.yy", "dd.mm.yy hh:mm"))
    for row, cells in enumerate(rows, start=first):
        for column, cell in enumerate(cells):
            if isinstance(cell, str) and cell.startswith("="):
                sheet.write_formula(row, column, cell, None, (values or {})[cell])
            elif isinstance(cell, date):
                kind = moment if isinstance(cell, datetime) else day
                sheet.write_datetime(row, column, cell, kind)
            elif isinstance(cell, str):
                sheet.write_string(row, column, cell)
            elif cell is not None:
                sheet.write(row, column, cell)
    book.add_worksheet("Other").write_string(0, 0, "not read")
    book.close()
    return content.getvalue()


def ods(
    rows: Sequence[Sequence[Content]],
    *,
    name: str = "Ledger",
    first: int = 0,
    values: Mapping[str, float | str] | None = None,
) -> bytes:
    """Return the same as an OpenDocument file (ISO/IEC 26300), as LibreOffice writes it.

    LibreOffice fills the sheet up to its end with repeated empty cells.
    """
    texts = [
        f"<table:table-row>{''.join(_ods_cell(cell, values or {}) for cell in row)}"
        '<table:table-cell table:number-columns-repeated="16371"/></table:table-row>'
        for row in rows
    ]
    if first:
        texts.insert(0, _empty_rows(first))
    return ods_of("".join([*texts, _empty_rows(1_048_576 - first - len(rows))]), name=name)


def ods_of(rows: str, *, name: str = "Ledger", manifest: str = MANIFEST.format("")) -> bytes:
    """Return an OpenDocument file with these rows of a table in XML."""
    table = (
        f'<table:table table:name="{name}">{rows}</table:table><table:table table:name="Other"/>'
    )
    return zipped(
        {
            "mimetype": "application/vnd.oasis.opendocument.spreadsheet",
            "META-INF/manifest.xml": manifest,
            "content.xml": f"<office:document-content {SPACES}><office:body>"
            f"<office:spreadsheet>{table}</office:spreadsheet></office:body>"
            "</office:document-content>",
        }
    )


def zipped(members: Mapping[str, str | bytes]) -> bytes:
    """Return a compressed zip file."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as file:
        for name, text in members.items():
            file.writestr(name, text)
    return content.getvalue()


def members_of(content: bytes) -> dict[str, bytes]:
    """Return the parts of a zip file, to change them."""
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        return {name: file.read(name) for name in file.namelist()}


def _empty_rows(count: int) -> str:
    cell = '<table:table-cell table:number-columns-repeated="16384"/>'
    return f'<table:table-row table:number-rows-repeated="{count}">{cell}</table:table-row>'


def _ods_cell(cell: Content, values: Mapping[str, float | str]) -> str:
    formula = ""
    if isinstance(cell, str) and cell.startswith("="):
        formula, cell = f'table:formula="of:{escape(cell)}" ', values[cell]
    if cell is None:
        return "<table:table-cell/>"
    if isinstance(cell, bool):
        value, shown = f'"boolean" office:boolean-value="{str(cell).lower()}"', str(cell).upper()
    elif isinstance(cell, date):
        value, shown = f'"date" office:date-value="{cell.isoformat()}"', f"{cell:%d.%m.%y}"
    elif isinstance(cell, str) and cell.startswith("#"):
        value = '"string" office:string-value="" calcext:value-type="error"'
        shown = cell
    elif isinstance(cell, str):
        value, shown = '"string"', escape(cell)
    else:
        value, shown = f'"float" office:value="{cell!r}"', f"{cell:.2f}"
    text = f"<text:p>{shown}</text:p>"
    return f"<table:table-cell {formula}office:value-type={value}>{text}</table:table-cell>"
