"""A project under way: each sum worked out by head in the test that checks it."""

from datetime import date
from pathlib import Path

import pytest

from panelworth.engine.evaluate import evaluate
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.figures import (
    ProjectProgress,
)
from panelworth.model.case import Case
from panelworth.reading.folder import read_case
from small_cases import CLUB, KEEP, SCENARIO, case_in, refit

HEAD = "date,option,item,kind,amount,low,high,tax_included,final"
OPTION = refit(
    'cost = 1000\ntax = 0.1\nledger = "display"\nwhen = "order"',
    "hours = 10\nrate = 50",
    "cost = 300",
    rest='[[credits]]\nname = "Old unit sold"\namount = 200\n[funding]\nsolve = "assessment"\n',
)
HOURS = "hours = { low = 8, likely = 10, high = 15 }\nrate = { low = 40, likely = 50, high = 60 }"
ROWS = """
2025-10-01,refit,display,quote,1100,,,,
2025-10-20,refit,display,change,100,,,,
2025-11-10,refit,display,invoice,700,,,,
2025-11-20,refit,display,payment,770,,,,
2025-11-20,refit,Item 1,invoice,450,,,,yes
2025-12-20,refit,Item 1,credit,50,,,,
2025-12-21,refit,Item 2,estimate,350,,,,
2026-02-01,refit,Item 1,payment,400,,,,
2025-12-01,refit,Old unit sold,invoice,150,,,,yes
2025-12-02,refit,Old unit sold,payment,150,,,,
"""


def read(folder: Path, rows: str = ROWS, rest: str = CLUB) -> Case:
    """Read the option with these rows beside a club of ten with 20000, floor 10000."""
    (folder / "ledger.csv").write_text(HEAD + rows, encoding="utf-8")
    return case_in(folder, {"refit": OPTION}, rest=rest)


@pytest.fixture
def found(tmp_path: Path) -> ProjectProgress:
    """Work out the option by its ledger."""
    return evaluate(read(tmp_path)).project_progress["refit"]


def test_each_item_has_its_plan_and_its_standing(found: ProjectProgress) -> None:
    told = [
        (each.name, each.basis, each.planned, each.likely, each.committed, each.invoiced, each.paid)
        for each in found.items
    ]
    assert told == [
        # (1100 + 100) * 1.1 = 1320, of which 700 * 1.1 is billed
        ("Item 0", "quote", *map(pytest.approx, (1100, 1320, 1320, 770, 770))),
        # 450 billed in full less 50; the payment of February is after as_of
        ("Item 1", "invoice", 500, 400, 400, 450, 0),
        ("Item 2", "estimate", 300, 350, 0, 0, 0),
    ]
    assert [each.due for each in found.items] == pytest.approx([550, 400, 350])
    assert found.to_pay == pytest.approx(1300)
    assert found.planned_outlay == pytest.approx(1900)


def test_money_in_has_its_own_account(found: ProjectProgress) -> None:
    (each,) = found.money_in
    assert (each.basis, each.planned, each.likely, each.paid, each.due) == (
        "invoice", 200, 150, 150, 0
    )  # fmt: skip


def test_the_history_tells_the_sums_by_each_day_that_has_a_row(found: ProjectProgress) -> None:
    told = [(each.day, each.committed, each.invoiced, each.paid) for each in found.history]
    assert told == [
        (date(2025, 10, 1), *map(pytest.approx, (1210, 0, 0))),
        (date(2025, 10, 20), *map(pytest.approx, (1320, 0, 0))),
        (date(2025, 11, 10), *map(pytest.approx, (1320, 770, 0))),
        (date(2025, 11, 20), *map(pytest.approx, (1770, 1220, 770))),
        (date(2025, 12, 20), *map(pytest.approx, (1720, 1220, 770))),
        (date(2025, 12, 21), *map(pytest.approx, (1720, 1220, 770))),
        (date(2026, 2, 1), *map(pytest.approx, (1720, 1220, 770))),
    ]


def test_funding_is_solved_for_the_plan_too_with_what_is_paid_still_paid(tmp_path: Path) -> None:
    """10500 on hand, floor 10000, ten members.

    Now: 1300 to pay and nothing more to come in: short of 800, 80 each. Planned: of the display's
    1100 there are 770 paid, so 330 + 500 + 300 to pay and 200 - 150 to come: short of 580, 58 each.
    """
    figures = evaluate(read(tmp_path, rest=CLUB.replace("20000", "10500")))
    now, before = figures.options["refit"].funded, figures.project_progress["refit"].planned_funded
    assert now is not None
    assert before is not None
    assert now.assessment_per_member == 80.0
    assert before.assessment_per_member == 58.0


def test_without_a_ledger_nothing_is_under_way(tmp_path: Path) -> None:
    (tmp_path / "options").mkdir()
    text = SCENARIO.format(
        rates="", hours="100", aircraft="", rest="", trials=100, seed=1, correlation=0.0
    )
    (tmp_path / "scenario.toml").write_text(text, encoding="utf-8")
    (tmp_path / "options" / "keep.toml").write_text(KEEP, encoding="utf-8")
    case, _ = read_case(tmp_path)
    assert case is not None
    assert evaluate(settled(case)).project_progress == {}


def test_the_outlay_is_split_by_what_it_rests_on(found: ProjectProgress) -> None:
    """Display: 1200 · 1.1 quoted, of it 700 · 1.1 invoiced; Item 1: 450 - 50 invoiced."""
    assert found.rests_on == pytest.approx(
        {"invoice": 770 + 400, "quote": 1320 - 770, "estimate": 350, "written": 0}
    )
    assert found.outlay == pytest.approx(1320 + 400 + 350)
    assert found.share_on("estimate") == pytest.approx(350 / 2070)


def test_the_price_list_has_each_thing_at_the_ends_of_its_range_tax_in(tmp_path: Path) -> None:
    """Display: quoted, so certain; hours at a rate, low by low: 8 · 40, 10 · 50, 15 · 60."""
    option = refit(
        "cost = 1000\ntax = 0.1", HOURS, "cost = { low = 100, likely = 120, high = 150 }"
    )
    (tmp_path / "ledger.csv").write_text(f"{HEAD}\n2025-10-01,refit,Item 0,quote,1200,,,,\n")
    prices = evaluate(case_in(tmp_path, {"refit": option}), trials=1).prices["refit"]
    assert [(each.name, each.basis) for each in prices.prices] == [
        ("Item 0", "quote"), ("Item 1", ""), ("Item 2", ""),
    ]  # fmt: skip
    ends = [(each.low, each.likely, each.high) for each in prices.prices]
    assert ends == [
        pytest.approx((1320, 1320, 1320)), pytest.approx((320, 500, 900)), (100, 120, 150),
    ]  # fmt: skip
    assert prices.likely == pytest.approx(1320 + 500 + 120)
    assert prices.likely_after(1) == pytest.approx(500 + 120)
