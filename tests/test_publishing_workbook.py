"""The workbook: its formulas give our engine's figures, before and after its inputs change."""

import html
import io
import re
import shutil
import zipfile
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from xlsxwriter.utility import xl_cell_to_rowcol

from laws import law
from panelworth import read
from panelworth.engine.evaluate import evaluate
from panelworth.model.case import Case
from panelworth.publishing.view import View, view_of
from panelworth.publishing.workbook.document import workbook_of
from strategies import Folder, case_of, folders
from workbook_programs import (
    Recalculated,
    Value,
    changed,
    differences,
    figures_of,
    formulas,
    values_as_written,
)

TESTS = Path(__file__).parent
FOLDERS = (
    TESTS.parent / "scenarios" / "quillmeadow-club",
    TESTS.parent / "scenarios" / "brackenholt-owner",
    *sorted(path.parent for path in (TESTS / "golden").glob("*/scenario.toml")),
    TESTS / "cases" / "rich",
)
# Functions every spreadsheet program has had for decades; none of them is volatile.
KNOWN = {
    *("AND", "COUNT", "DATE", "EDATE", "IF", "INDEX", "INT", "IRR", "ISNUMBER", "MATCH"),
    *("MAX", "MIN", "MIRR", "MOD", "MONTH", "N", "OR", "PMT", "ROUND", "ROUNDUP", "SUM", "SUMIFS"),
    *("SUMPRODUCT", "YEAR"),
}
WRITTEN = 1e-6  # of a unit, or of the number where it is larger: far less than any cell shows
FULL, REPLACE = "options.full", "options.replace"
CLUB_CHANGES: dict[str, Value] = {
    "rates.discount": 0.071,
    "rates.inflation": 0.041,
    "rates.fuel_inflation": -0.02,
    "aircraft.hours_per_year": 181,
    "aircraft.hours_lost_per_year": 31,
    "aircraft.season[July]": 2,
    "aircraft.value": 71234,
    "aircraft.value_change": 0.013,
    "aircraft.selling_cost": 0.09,
    "aircraft.hourly_rate": 139.5,
    "aircraft.fuel_price": 8.15,
    "aircraft.resale_recovery": 0.31,
    "aircraft.recovery_fade": 0.11,
    "aircraft.fixed[Hangar].per_year": 6100,
    "aircraft.recurring[Static system and transponder test].last_done": date(2025, 2, 3),
    "aircraft.recurring[Emergency locator battery].every_months": 17,
    "aircraft.insurance.hull_rate": 0.019,
    "aircraft.repairs.growth": 0.12,
    "club.members": 31,
    "club.dues_per_month": 68.5,
    "club.joining_fee": 650,
    "club.reserve": 38000,
    "club.reserve_floor": 17500,
    "club.moved_share": 0.7,
    "club.profiles[Flies once a month].hours_per_year": 9,
    "jobs[Renew the brittle wiring behind the panel].chance_per_year": 0.31,
    "jobs[Renew the brittle wiring behind the panel].now": 2950,
    f"{FULL}.schedule.start": date(2027, 2, 22),
    f"{FULL}.schedule.order": date(2027, 1, 4),
    f"{FULL}.schedule.weeks_down": 21.3,
    f"{FULL}.items[Two-axis autopilot].cost": 9950,
    f"{FULL}.items[Two-axis autopilot].when": "finish",
    f"{FULL}.items[Two-axis autopilot].resale": "no",
    f"{FULL}.items[Work at the distant shop].cost": 21400,
    f"{FULL}.items[Check-out flights for all members].hours": 61,
    f"{FULL}.credits[Removed units sold].amount": 900,
    f"{FULL}.after.repairs.growth": 0.09,
    f"{FULL}.after.hours_per_year_change": 41,
    f"{FULL}.members.joined": -3,
    f"{FULL}.members.over_months": 5,
    f"{FULL}.funding.loan.amount": 41000,
    f"{FULL}.funding.loan.apr": 0.0615,
    f"{FULL}.funding.loan.months": 84,
    f"{FULL}.funding.loan.when": "finish",
    f"{REPLACE}.buy.price": 171000,
    f"{REPLACE}.buy.tax": 0.03,
    f"{REPLACE}.sell.price": 66000,
    f"{REPLACE}.schedule.weeks_down": 13,
    f"{REPLACE}.funding.loan.share": 0.6,
    f"{REPLACE}.funding.dues_increase": 15,
    f"{REPLACE}.funding.assessment_per_member": 250,
}
LEDGER_CHANGES: dict[str, Value] = {
    f"{FULL}.items[Two-axis autopilot].paid": 3000,
    f"{FULL}.items[Two-axis autopilot].invoiced": 12500,
    f"{FULL}.items[Two-axis autopilot].credit": 400,
    f"{FULL}.items[Two ten-inch flight displays with sensors].paid": 1e6,
    f"{FULL}.credits[Removed units sold].paid": 800,
    f"{FULL}.credits[Removed units sold].invoiced": 3100,
    "options.part.items[Panel survey].paid": 100,
}
OWNER_CHANGES: dict[str, Value] = {
    "as_of": date(2026, 9, 3),
    "rates.inflation": 0.06,
    "aircraft.fuel_per_hour": 31,
    "aircraft.repairs.per_year": 2750,
    "options.refit.schedule.weeks_down": 0,
    "options.newer.sell.price": 25000,
}


def view_at(case: Case) -> View:
    """Evaluate a case with few draws: only likely figures are tested here."""
    return view_of(case, evaluate(case, trials=100))


def case_in(folder: Path) -> Case:
    """Read a folder that has no problems."""
    case, problems = read(folder)
    assert case is not None, problems
    return case


def recalculated(view: View, place: Path) -> Recalculated:
    """Make a workbook and calculate it in a spreadsheet engine."""
    file = place / "workbook.xlsx"
    file.write_bytes(workbook_of(view))
    return Recalculated(file, {tag: view.uncertain(tag).solved for tag in view.tags})


def assert_each_follows(
    case: Case, book: Recalculated, changes: Mapping[str, Value], *, every: int = 1
) -> None:
    """Make one change after another: each changes figures, and the workbook follows.

    The workbook is recalculated after so many changes: that takes most of the time.
    """
    before = dict(figures_of(case, book.solved))
    for number, (path, value) in enumerate(changes.items(), start=1):
        book.write(path, value)
        case = changed(case, path, value)
        now = dict(figures_of(case, book.solved))
        assert now != before, f"{path} changes nothing"
        before = now
        if number % every == 0 or number == len(changes):
            book.recalculate()
            assert differences(book, case) == {}, f"up to {path}"


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_a_spreadsheet_works_out_the_figures_and_every_month_of_the_engine(
    folder: Path, tmp_path: Path
) -> None:
    case = case_in(folder)
    view = view_at(case)
    book = recalculated(view, tmp_path)
    stated = [path for path, value in figures_of(case, book.solved) if value not in (None, (), 0.0)]
    assert [path for path in stated if not book.has(path)] == []
    assert differences(book, case) == {}
    for option_id in case.options:
        series, title = view.series(option_id), f"Months {option_id}"
        rows = {"Net": series.net, "Cost": series.cost, "Hours": series.hours}
        if series.balance:
            rows |= {"Members": series.members, "Reserve": series.balance}
        for heading, months in rows.items():
            assert book.column(title, heading) == pytest.approx(months, rel=0, abs=1e-6), heading
    assert wrong_values(book, (tmp_path / "workbook.xlsx").read_bytes()) == []


def wrong_values(book: Recalculated, workbook: bytes) -> list[tuple[Any, ...]]:
    """Return the formulas that are written with another value than they have.

    Some programs show this value and do not calculate.
    """
    wrong, count = [], 0
    for sheet, cell, formula, written in values_as_written(workbook):
        row, column = xl_cell_to_rowcol(cell)
        shown, count = book.model.get_cell_value(sheet, row + 1, column + 1), count + 1
        if isinstance(shown, str):
            alike = shown == html.unescape(written)
        else:
            number = float(shown or 0.0)
            alike = abs(float(written) - number) <= WRITTEN * max(1.0, abs(number))
        if not alike:
            wrong.append((book.sheet_titles[sheet], cell, formula, written, shown))
    assert count > 1000
    return wrong


@given(folder=folders())
@law(14)
def test_a_spreadsheet_agrees_on_whatever_a_user_may_write(folder: Folder, tmp_path: Path) -> None:
    case = case_of(folder)
    book = recalculated(view_at(case), tmp_path)
    assert differences(book, case) == {}


@pytest.mark.parametrize(
    ("folder", "changes"),
    [(FOLDERS[0], CLUB_CHANGES | LEDGER_CHANGES), (FOLDERS[1], OWNER_CHANGES)],
    ids=("club", "owner"),
)
def test_change_an_input_or_a_ledger_sum_and_every_figure_follows(
    folder: Path, changes: dict[str, Value], tmp_path: Path
) -> None:
    case = case_in(folder)
    assert_each_follows(case, recalculated(view_at(case), tmp_path), changes, every=5)


@pytest.mark.parametrize("folder", [*FOLDERS[:2], FOLDERS[-1]], ids=lambda folder: folder.name)
def test_every_input_is_read_by_a_formula(folder: Path) -> None:
    view = view_at(case_in(folder))
    workbook = workbook_of(view)
    names = re.findall(r'<definedName name="([^"]+)">\'?Inputs', part(workbook, "xl/workbook.xml"))
    words = set(re.findall(r"[A-Za-z_][\w.]*", " ".join(text for text, _ in formulas(workbook))))
    months = {name for name in names if ".season." in name}  # read as one span of twelve
    assert len(names) > 60
    assert [name for name in names if name not in words | months] == []


def part(workbook: bytes, name: str) -> str:
    """Return a part of a workbook's file."""
    with zipfile.ZipFile(io.BytesIO(workbook)) as file:
        return file.read(name).decode()


def test_every_formula_carries_its_value_and_is_known_to_any_program(club: View) -> None:
    written = list(formulas(workbook_of(club)))
    assert len(written) > 10_000
    assert [text for text, value in written if value is None] == []
    called = {name for text, _ in written for name in re.findall(r"([A-Z][A-Z.]*)\(", text)}
    assert called - KNOWN == set()


def test_the_same_figures_give_the_same_bytes(owner: View) -> None:
    assert workbook_of(owner) == workbook_of(owner)


def test_a_users_text_cannot_start_a_formula(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    shutil.copytree(TESTS / "cases" / "rich", folder)
    for file in folder.rglob("*.toml"):
        text = file.read_text().replace('"Display"', "'=1+1'").replace('"Hangar"', "'@x'")
        file.write_text(re.sub(r"(?m)^title = .*$", "title = '=HYPERLINK(\"x\")'", text, count=1))
    case = case_in(folder)
    texts = {text for text, _ in formulas(workbook_of(view_at(case)))}
    assert texts & {"1+1", "@x", 'HYPERLINK("x")', "HYPERLINK(&quot;x&quot;)"} == set()
    assert differences(recalculated(view_at(case), tmp_path), case) == {}


TAX_IN = """date,option,item,kind,amount,low,high,tax_included,final
2026-10-01,refit,Display,quote,13000,,,no,
2026-10-05,refit,Display,change,420,,,yes,
2026-10-09,refit,Display,invoice,2100,,,yes,
2026-10-12,refit,Display,credit,105,,,yes,
2026-10-01,keep,New clock,quote,318,300,400,yes,
2026-10-02,keep,New clock,change,20,,,no,
2026-10-01,refit,Clearing out,invoice,63,,,yes,yes
"""
TAXES = {
    "options.refit.items[Display].tax": 0.19,
    "options.keep.items[New clock].tax": 0.08,
    "options.refit.items[Clearing out].tax": 0.25,
}


def test_amounts_with_tax_in_stay_whatever_tax_a_reader_writes(tmp_path: Path) -> None:
    folder = tmp_path / "folder"
    shutil.copytree(TESTS / "cases" / "rich", folder)
    (folder / "ledger.csv").write_text(TAX_IN, encoding="utf-8")
    case = case_in(folder)
    book = recalculated(view_at(case), tmp_path)
    assert differences(book, case) == {}
    for path, tax in TAXES.items():
        book.write(path, tax)
        book.recalculate()
        case = changed(case, path, tax)
        assert differences(book, case) == {}, path
    # Display 13000 * 1.19 + 420 - 105, work 90 * 105, clearing out 63, static hoses 700, and
    # what may turn up, 0.4 * 900
    assert book["options.refit.likely.project"] == pytest.approx(
        15785 + 9450 + 63 + 700 + 360, abs=1e-6
    )
