"""Ledgers of a few rows beside one refit, written as a spreadsheet would and read back."""

from pathlib import Path
from typing import Any

from panelworth.model.case import WrittenCase
from panelworth.model.ledger import Entry
from panelworth.problems import render
from panelworth.reading.folder import read_case
from strategies import write_folder

HEAD = "date,option,item,kind,amount,low,high,tax_included,supplier,reference,expires,final,note"
SCENARIO = """
title = "A panel"
question = "Shall we?"
as_of = 2026-11-01
currency = "{currency}"
baseline = "keep"
years = 2
[aircraft]
label = "A"
hours_per_year = 100
"""
REFIT = """
title = "Refit"
kind = "retrofit"
[[items]]
name = "Display"
cost = 14200
ledger = "screens"
[[items]]
name = "Work"
cost = 900
[[credits]]
name = "Old gyro sold"
amount = 300
"""
KEEP = 'title = "Keep"\nkind = "keep"\n'


def read(
    tmp_path: Path, ledger: str, currency: str = "USD"
) -> tuple[WrittenCase | None, list[str]]:
    """Read a folder with this ledger; problems as they are shown, without the folder's place."""
    files: dict[str, Any] = {
        "scenario.toml": SCENARIO.format(currency=currency),
        "options/keep.toml": KEEP,
        "options/refit.toml": REFIT,
        "ledger.csv": ledger,
    }
    folder = write_folder(tmp_path / "club", files)
    case, problems = read_case(folder)
    return case, [render(each).removeprefix(f"{folder}/ledger.csv:") for each in problems]


def entries(tmp_path: Path, ledger: str, currency: str = "USD") -> tuple[Entry, ...]:
    """Read a ledger that has nothing wrong."""
    case, said = read(tmp_path, ledger, currency)
    assert said == [], said
    assert case is not None
    return case.ledger


def row(delimiter: str = ",", **given: str) -> str:
    """Write one row under HEAD; cells with the delimiter in them are quoted."""
    usual = {"date": "2026-10-12", "option": "refit", "item": "Work", "kind": "quote"}
    told = {**usual, "amount": "1200", **given}
    found = [told.get(key, "") for key in HEAD.split(",")]
    return delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in found)


def table(*rows: str, delimiter: str = ",") -> str:
    """Write a ledger of rows."""
    return "\n".join([HEAD.replace(",", delimiter), *rows]) + "\n"
