"""The Ledger sheet of the workbook, saved on its own, is a ledger that can be read."""

import io
import shutil
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from conftest import CLUB, OWNER
from folder_cases import read_folder
from panelworth.model.ledger import Entry
from panelworth.publishing.view import View
from panelworth.publishing.workbook.document import workbook_of
from panelworth.publishing.workbook.ledger_sheet import COLUMNS
from small_ledgers import HEAD


def saved_alone(workbook: bytes) -> bytes:
    """Return a workbook of the sheet Ledger alone, as a spreadsheet program would save it."""
    frame = pd.read_excel(io.BytesIO(workbook), sheet_name="Ledger", engine="calamine")
    content = io.BytesIO()
    frame.to_excel(content, sheet_name="Ledger", index=False, engine="xlsxwriter")
    return content.getvalue()


def without_line(entries: tuple[Entry, ...]) -> list[Entry]:
    """Return entries to compare: a sheet has no empty lines, which a CSV file may have."""
    return [entry.model_copy(update={"line": 0}) for entry in entries]


@pytest.mark.parametrize(("name", "folder"), [("club", CLUB), ("owner", OWNER)])
def test_the_sheet_saved_on_its_own_gives_the_same_entries(
    name: str, folder: Path, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    again = tmp_path / folder.name
    shutil.copytree(folder, again)
    (again / "ledger.csv").unlink()
    (again / "ledger.xlsx").write_bytes(saved_alone(workbook_of(view)))
    before, _ = read_folder(folder)
    case, said = read_folder(again)
    assert case is not None, said
    assert before is not None
    assert len(case.ledger) > 3
    assert without_line(case.ledger) == without_line(before.ledger)


def test_dates_are_dates_and_sums_are_numbers(club: View) -> None:
    frame = pd.read_excel(io.BytesIO(workbook_of(club)), sheet_name="Ledger", engine="calamine")
    assert list(frame.columns) == HEAD.split(",") == list(COLUMNS)
    assert frame["date"].dtype.kind == "M"
    assert frame["amount"].dtype.kind in "if"


def test_a_folder_without_a_ledger_has_the_headings_alone(club: View) -> None:
    without = replace(club, case=replace(club.case, ledger=()))
    frame = pd.read_excel(io.BytesIO(workbook_of(without)), sheet_name="Ledger", engine="calamine")
    assert list(frame.columns) == list(COLUMNS)
    assert frame.empty
