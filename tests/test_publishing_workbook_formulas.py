"""Formulas are written as they are: none needs what the library would do to newer functions."""

import html
import io
import re
import zipfile

from xlsxwriter.worksheet import Worksheet

from panelworth.publishing.view import View
from panelworth.publishing.workbook.document import workbook_of


def test_the_library_would_change_no_formula(club: View, owner: View) -> None:
    page = Worksheet()
    for view in (club, owner):
        book = zipfile.ZipFile(io.BytesIO(workbook_of(view)))
        sheets = [name for name in book.namelist() if name.startswith("xl/worksheets/sheet")]
        formulas = {
            html.unescape(formula)
            for name in sheets
            for formula in re.findall(r"<f>(.*?)</f>", book.read(name).decode())
        }
        assert len(formulas) > 1000
        assert [text for text in formulas if page._prepare_formula(f"={text}") != text] == []
