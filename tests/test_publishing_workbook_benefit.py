"""The workbook's newer inputs: worth, value tax, costs that end, raises that end, the ledger's all.

An independent spreadsheet engine recalculates each workbook; every figure must equal our engine's.
"""

import shutil
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.trials import Solved
from panelworth.model.case import Case
from panelworth.model.ledger import Entry
from panelworth.publishing.workbook.input_rows import option_inputs, scenario_inputs
from test_publishing_workbook import TESTS, assert_each_follows, case_in, recalculated, view_at
from workbook_programs import Recalculated, Value, differences

EDITS = {
    "scenario.toml": {
        'name = "Hangar", per_year = 4000': 'name = "Hangar", per_year = 4000, for_months = 20',
        "for_months = 24": "for_months = 5",
        "floor_years = 1\n": "floor_years = 2\n",
        "other_net_per_year = -25000\n": "other_net_per_year = -9000\n",
    },
    "options/newer.toml": {
        "[after]\n": '[after]\ndropped_fixed = ["Gyro upkeep"]\n',
        "dues_increase = 5\n": "dues_increase = 5\nraise_years = 2\n",
    },
    "options/refit.toml": {
        "for_months = 20": "for_months = 7",
        "for_months = 15": "for_months = 9",
        "solve_chance = 0.7\nraise_years = 2\n": "solve_chance = 0.9\n",
    },
}
ROWS: tuple[dict[str, Any], ...] = (
    {"option": "refit", "item": "Static hoses", "kind": "quote", "amount": 650}
    | {"low": 600, "high": 800},
    {"option": "refit", "item": "Static hoses", "kind": "payment", "amount": 120},
    {"option": "newer", "item": "buy", "kind": "quote", "amount": 180000},
    {"option": "newer", "item": "buy", "kind": "change", "amount": 1060, "tax_included": True},
    {"option": "newer", "item": "buy", "kind": "payment", "amount": 20000},
    {"option": "newer", "item": "sell", "kind": "quote", "amount": 77000}
    | {"low": 70000, "high": 81000},
    {"option": "newer", "item": "sell", "kind": "payment", "amount": 2500},
)
CHANGES: dict[str, Value] = {
    "aircraft.value_tax": 0.017,
    "aircraft.worth_per_hour": 171.5,
    "aircraft.value_change": 0.02,
    "aircraft.fixed[Hangar].for_months": 3,
    "aircraft.fixed[Gyro upkeep].for_months": 30,
    "aircraft.fixed[Hangar].per_year": 4800,
    "club.floor_years": 1,
    "club.reserve": 24000,
    "options.newer.funding.raise_years": 1,
    "options.newer.funding.loan.share": 0.7,
    "options.refit.after.value_tax": 0.001,
    "options.refit.after.fixed[Cleaning].for_months": 2,
    "options.refit.after.added_fixed[Data].for_months": 40,
    "options.refit.jobs[Static hoses].now": 910,
    "options.refit.jobs[Static hoses].paid": 300,
    "options.refit.jobs[Static hoses].invoiced": 1200,
    "options.newer.buy.price": 150000,
    "options.newer.buy.tax": 0.09,
    "options.newer.buy.paid": 45000,
    "options.newer.buy.invoiced": 160000,
    "options.newer.sell.price": 69000,
    "options.newer.sell.paid": 69000,
    "options.newer.sell.invoiced": 90000,
    "aircraft.selling_cost": 0.08,
}


def folder_with(place: Path, *more: tuple[str, str, str]) -> Path:
    """Write the rich folder with every newer key in it, and with more changes of its text."""
    folder = place / "folder"
    shutil.copytree(TESTS / "cases" / "rich", folder)
    edits = [(file, old, new) for file, pairs in EDITS.items() for old, new in pairs.items()]
    for file, old, new in (*edits, *more):
        text = (folder / file).read_text(encoding="utf-8")
        assert old in text, f"{file}: {old}"
        (folder / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    return folder


def newer_case(place: Path, *more: tuple[str, str, str]) -> Case:
    """Read that folder, with a ledger that is settled."""
    day = date(2026, 10, 1)
    rows = tuple(Entry(line=line, date=day, **row) for line, row in enumerate(ROWS, start=2))
    return settled(replace(case_in(folder_with(place, *more)).written, ledger=rows))


def with_raise(book: Recalculated, option_id: str, amount: float) -> Mapping[str, Solved | None]:
    """Return the solved raises with one of them changed."""
    solved = book.solved[option_id]
    assert solved is not None
    return {**book.solved, option_id: replace(solved, amount=amount)}


def test_change_a_newer_input_and_every_figure_follows(tmp_path: Path) -> None:
    case = newer_case(tmp_path)
    book = recalculated(view_at(case), tmp_path)
    assert differences(book, case) == {}
    assert_each_follows(case, book, CHANGES, every=4)


@pytest.mark.parametrize("solve", ["dues", "hourly_rate", "assessment"])
def test_a_raise_that_the_draws_found_is_an_input_with_a_note(solve: str, tmp_path: Path) -> None:
    key = {
        "dues": "dues_increase",
        "hourly_rate": "hourly_rate_increase",
        "assessment": "assessment_per_member",
    }[solve]
    terms = 'hourly_rate_increase = 2\nassessment_per_member = 100\nsolve = "dues"\n'
    case = newer_case(tmp_path, ("options/refit.toml", terms, f'solve = "{solve}"\n'))
    book, path = recalculated(view_at(case), tmp_path), f"options.refit.funding.{key}"
    solved = book.solved["refit"]
    assert solved is not None
    assert solved.amount is not None
    assert solved.amount > 0.0
    assert book[path] == solved.amount == book[f"options.refit.funded.{key}"]
    sheet, row, column = book.places[path]
    assert book.model.get_cell_value(sheet, row, column + 2) == (
        "worked out by panelworth: it holds the floor in 90% of 100 draws, for the first 2 years; "
        "a change elsewhere does not move it"
    )
    assert differences(book, case) == {}
    likely = book["options.refit.funded.solve_likely"]
    for amount in (0.0, 41.5):
        book.write(path, amount)
        book.recalculate()
        book.solved = with_raise(book, "refit", amount)
        assert differences(book, case) == {}, amount
    assert book["options.refit.funded.solve_likely"] == pytest.approx(likely, abs=1e-9)


def test_where_no_raise_is_enough_the_workbook_says_so(tmp_path: Path) -> None:
    short = ("scenario.toml", "reserve = 30000\n", "reserve = 1000\n")
    no_once = ("options/refit.toml", "assessment_per_member = 100\n", "")
    case = newer_case(tmp_path, short, no_once)
    book = recalculated(view_at(case), tmp_path)
    assert book.solved["refit"] == Solved(
        amount=None, month=None, once=pytest.approx(1000, abs=1e3)
    )
    assert book["options.refit.funded.dues_increase"] == "none"
    assert book["options.refit.funded.solve_likely"] == "none"
    assert book["options.refit.bills[Flies now and then].per_month"] == "—"
    assert differences(book, case) == {}


def test_what_follows_no_change_is_written_as_the_engine_has_it(tmp_path: Path) -> None:
    case = newer_case(tmp_path)
    view = view_at(case)
    book = recalculated(view, tmp_path)
    shown = {
        "Net benefit without growth": [view.option(tag).likely.without_growth for tag in view.tags],
        "Break-even: worth of an hour": [
            view.option(tag).break_even.worth_per_hour for tag in view.tags
        ],
        "Instead of the raise, paid once by each member": [
            funded.solve_once if (funded := view.option(tag).funded) else None for tag in view.tags
        ],
    }
    rows = rows_of(book, "Compare", len(view.tags))
    for label, values in shown.items():
        for cell, tag, value in zip(rows[label], view.tags, values, strict=True):
            if value is not None and tag != view.figures.baseline:
                assert cell == pytest.approx(value, abs=1e-9), label
    assert sum(value is not None for values in shown.values() for value in values) > len(shown)


def rows_of(book: Recalculated, title: str, columns: int) -> dict[str, list[Any]]:
    """Return the rows of a sheet, without its head, by what stands in their first cell."""
    rows: dict[str, list[Any]] = {}
    sheet = book.sheet_titles.index(title)
    for row in range(4, 120):
        label, *cells = (
            book.model.get_cell_value(sheet, row, column + 1) for column in range(columns + 1)
        )
        if label:
            rows[str(label)] = cells
    return rows


def test_parts_add_up_to_the_net_benefit_in_the_workbook(tmp_path: Path) -> None:
    book = recalculated(view_at(newer_case(tmp_path)), tmp_path)
    for option_id in ("refit", "newer"):
        path = f"options.{option_id}.likely"
        parts = [
            float(book[f"{path}.parts.{key}"])
            for key in ("running", "project", "airplane_value", "hours", "members", "loan")
        ]
        assert len([part for part in parts if part != 0.0]) >= len(parts) - 1
        assert book[f"{path}.net_benefit"] == pytest.approx(sum(parts), abs=1e-6)


def test_a_single_owner_is_asked_for_nothing_that_only_a_club_has() -> None:
    view = view_at(case_in(TESTS.parent / "scenarios" / "brackenholt-owner"))
    listed = [row.path for row in scenario_inputs(view)]
    for option_id in view.tags:
        listed += [row.path for row in option_inputs(view, option_id)]
    club = ("members.", "dues", "assessment", "raise", "floor", "hourly_rate_increase")
    assert [path for path in listed if any(word in path for word in club)] == []
    assert any(path.endswith("funding.loan.apr") for path in listed)
