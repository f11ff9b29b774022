"""Rows of the ledger about several things: each one's share against cases/splits.toml."""

import tomllib
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder_cases import CASES
from panelworth.engine.ledger.allocation import parts_of
from panelworth.model.case import Case
from strategies import case_of

SPLITS = tomllib.loads((CASES / "splits.toml").read_text(encoding="utf-8"))["case"]
HEAD = "date,option,item,kind,amount,low,high,tax_included,final"
ZERO = "".join(f'[[items]]\nname = "{name}"\n' for name in ("Survey", "Papers", "Flight"))
FOLDER = {
    "scenario.toml": """
title = "A panel"
question = "Shall we?"
as_of = 2026-11-01
currency = "USD"
baseline = "keep"
years = 2
[aircraft]
hours_per_year = 100
value = 5000
selling_cost = 0.05
[club]
members = 5
[[jobs]]
name = "Static hoses"
now = 300
later = 900
""",
    "options/keep.toml": 'title = "Keep"\nkind = "keep"\n',
    "options/refit.toml": f"""
title = "Refit"
kind = "retrofit"
jobs = ["Static hoses"]
[[items]]
name = "Display"
cost = 1000
tax = 0.1
ledger = "display"
[[items]]
name = "Work"
hours = 10
rate = 50
[[items]]
name = "Knobs + trim"
cost = 100
{ZERO}[[credits]]
name = "Old unit sold"
amount = 200
""",
    "options/part.toml": """
title = "Part"
kind = "retrofit"
[[items]]
name = "Display"
cost = 800
tax = 0.1
ledger = "display"
[[items]]
name = "Work"
cost = 400
""",
    "options/newer.toml": """
title = "Newer"
kind = "replace"
[sell]
price = 4000
[buy]
price = 10000
tax = 0.05
[[items]]
name = "Inspection"
cost = 500
""",
}


def case_with(*rows: str) -> Case:
    """Read the folder with these rows."""
    return case_of({**FOLDER, "ledger.csv": "\n".join([HEAD, *rows, ""])})


def price_of(case: Case, path: str) -> float:
    """Return the likely value of an input, by its path, which may lack `options.`."""
    values = {each.path.removeprefix("options."): each.quantity for each in case.inputs}
    return values[path].likely


@pytest.mark.parametrize("split", SPLITS, ids=lambda split: split["what"])
def test_a_row_for_several_is_split_as_was_worked_out_by_head(split: Mapping[str, Any]) -> None:
    case = case_with(*split["rows"])
    prices = {path: price_of(case, path) for path in split.get("prices", {})}
    assert prices == pytest.approx(split.get("prices", {}), abs=1e-9)
    for key in ("paid", "credits"):
        for path, expected in split.get(key, {}).items():
            status = case.ledger_statuses[f"options.{path}"]
            found = status.paid if key == "paid" else status.credit.before_tax
            assert found == pytest.approx(expected, abs=1e-9), path


def test_the_shares_of_a_range_move_together() -> None:
    """900, 1200, 2100 by 1000 to 500 in one option and by 800 to 400 in the other."""
    case = case_with("2026-10-01,refit + part,display + Work,quote,1200,900,2100,,")
    found = {each.path: each.quantity for each in case.inputs}
    paths = [f"options.{option}.items[{item}].cost" for option in ("part", "refit")
             for item in ("Display", "Work")]  # fmt: skip
    ends = [(found[path].low, found[path].likely, found[path].high) for path in paths]
    assert ends == [(600, 800, 1400), (300, 400, 700)] * 2
    root, *others = paths  # the options in their order, the baseline first
    assert [case.roots.get(path, "") for path in paths] == ["", root, root, root]
    assert [found[path].like for path in others] == [root] * 3


def test_a_paper_with_a_range_ends_what_the_item_followed() -> None:
    """The path is the paper's then, and the paper follows nothing."""
    follows = 'cost = { low = 900, likely = 1000, high = 1200, like = "aircraft.hours_per_year" }'
    files = {
        **FOLDER,
        "scenario.toml": FOLDER["scenario.toml"].replace("= 100\n", "= [80, 100, 120]\n"),
        "options/refit.toml": FOLDER["options/refit.toml"].replace("cost = 1000", follows),
    }
    path = "options.refit.items[Display].cost"
    assert case_of(files).roots == {path: "aircraft.hours_per_year"}
    row = "2026-10-01,refit,display,quote,1000,950,1300,,"
    case = case_of({**files, "ledger.csv": f"{HEAD}\n{row}\n"})
    assert case.roots == {}
    assert price_of(case, "refit.items[Display].cost") == 1000


AMOUNTS = st.integers(1, 10_000_00).map(lambda cents: cents / 100)


@given(amount=AMOUNTS, items=st.permutations(["Display", "Work", "Survey", "Papers"]))
def test_shares_add_up_to_the_amount_to_the_cent(amount: float, items: list[str]) -> None:
    case = case_with(f"2026-10-01,refit,{' + '.join(items)},invoice,{amount:.2f},,,,yes")
    shares = [price_of(case, f"refit.items[{item}].cost") for item in items]
    assert all(round(share, 2) == pytest.approx(share, abs=1e-9) for share in shares)
    assert sum(shares) == pytest.approx(amount, abs=1e-6)
    assert all(share >= 0 for share in shares)


def test_a_row_for_what_an_option_no_longer_has_has_no_parts() -> None:
    """A step from an older edition may meet one: a ledger of today, options of then."""
    case = case_of({**FOLDER, "ledger.csv": f"{HEAD}\n2026-10-30,refit,,quote,900,,,no,\n"}).written
    assert {each.target.name for each in parts_of(case)} >= {"Display", "Work"}
    bare = case.options["refit"].model_copy(update={"items": ()})
    assert parts_of(replace(case, options={**case.options, "refit": bare})) == []
