"""Days to keep in mind: calendar months as 14 CFR counts them, quotes, orders, loans, raises."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from panelworth.engine.deadlines import deadlines
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.editions import Deadline
from panelworth.model.case import Case
from panelworth.model.dates import last_good_day
from small_cases import CLUB, case_in, refit

LEDGER = "date,option,item,kind,amount,expires,final\n"


def found(case: Case, kind: str) -> list[Deadline]:
    """Return the days of one kind."""
    return [each for each in all_of(case) if each.kind == kind]


def all_of(case: Case) -> tuple[Deadline, ...]:
    """Return every day of a case, with the figures of its own trials."""
    return deadlines(case, evaluate(case))


def with_ledger(folder: Path, rows: str, item: str = "cost = 5", rest: str = "") -> Case:
    """Read a refit with these rows of the ledger."""
    (folder / "ledger.csv").write_text(LEDGER + rows)
    return case_in(folder, {"refit": refit(item, rest=rest)})


@pytest.mark.parametrize(
    ("done", "months", "good"),
    [
        (date(2026, 3, 15), 24, date(2028, 3, 31)),
        (date(2026, 2, 10), 12, date(2027, 2, 28)),
        (date(2026, 3, 1), 24, date(2028, 3, 31)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2027, 2, 28), 12, date(2028, 2, 29)),
    ],
)
def test_an_inspection_is_good_through_its_last_calendar_month(
    done: date, months: int, good: date
) -> None:
    """14 CFR 91.411 and 91.413 (24 calendar months), 91.409(a) (12): through the month's end."""
    assert last_good_day(done, months) == good


@given(st.dates(date(1970, 1, 1), date(2200, 1, 1)), st.integers(1, 600))
def test_calendar_months_agree_with_a_calendar_library(done: date, months: int) -> None:
    """dateutil: so many months later, moved to the month's last day."""
    assert last_good_day(done, months) == done + relativedelta(months=months, day=31)


def test_an_inspection_past_its_month_is_overdue_and_one_on_the_day_is_not(tmp_path: Path) -> None:
    recurring = '[[aircraft.recurring]]\nname = "{}"\nevery_months = 12\nlast_done = {}\n'
    rest = recurring.format("Late", "2024-11-30") + recurring.format("Due", "2024-12-15")
    case = case_in(tmp_path, {"refit": refit("cost = 5")}, rest=rest)
    told = [(each.name, each.first, each.past) for each in found(case, "inspection")]
    assert told == [("Late", date(2025, 11, 30), True), ("Due", date(2025, 12, 31), True)]
    case = replace(case, scenario=case.scenario.model_copy(update={"as_of": date(2025, 12, 31)}))
    assert [each.past for each in found(case, "inspection")] == [True, False]


def test_what_an_option_does_at_its_finish_is_due_again_from_there(tmp_path: Path) -> None:
    rest = '[[aircraft.recurring]]\nname = "Test"\nevery_months = 24\nlast_done = 2025-03-15\n'
    after = "[schedule]\nstart = 2026-02-20\nweeks_down = 2\n[after]\nrecurring_done = ['Test']\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=after)}, rest=rest)
    told = [(each.option, each.first, each.restarted) for each in found(case, "inspection")]
    assert told == [("", date(2027, 3, 31), False), ("refit", date(2028, 3, 31), True)]


def test_another_airplane_brings_its_own_inspections(tmp_path: Path) -> None:
    other = """
title = "Other"
kind = "replace"
[schedule]
start = 2026-02-20
weeks_down = 2
[sell]
[buy]
price = 5
[[after.recurring]]
name = "Its test"
every_months = 24
last_done = 2025-06-01
"""
    case = case_in(tmp_path, {"other": other})
    told = [(each.option, each.name, each.first) for each in found(case, "inspection")]
    assert told == [("other", "Its test", date(2027, 6, 30))]


def test_a_quote_lapses_unless_a_newer_one_or_a_final_invoice_stands_in_its_place(
    tmp_path: Path,
) -> None:
    for name, rows, days in (
        ("one", "2025-11-01,refit,Item 0,quote,5,2026-02-01,\n", [date(2026, 2, 1)]),
        (
            "newer",
            (
                "2025-11-01,refit,Item 0,quote,5,2026-02-01,\n"
                "2025-12-01,refit,Item 0,quote,6,2026-03-01,\n"
            ),
            [date(2026, 3, 1)],
        ),
        (
            "billed",
            "2025-11-01,refit,Item 0,quote,5,2026-02-01,\n2025-12-01,refit,Item 0,invoice,6,,yes\n",
            [],
        ),
        (
            "part billed",
            "2025-11-01,refit,Item 0,quote,5,2026-02-01,\n2025-12-01,refit,Item 0,invoice,6,,\n",
            [date(2026, 2, 1)],
        ),
    ):
        (tmp_path / name).mkdir()
        case = with_ledger(tmp_path / name, rows)
        assert [each.first for each in found(case, "quote")] == days, name


def test_a_quote_that_ended_before_as_of_has_lapsed(tmp_path: Path) -> None:
    for day, past in (("2025-12-31", True), ("2026-01-01", False)):
        case = with_ledger(tmp_path, f"2025-11-01,refit,Item 0,quote,5,{day},\n")
        assert [each.past for each in found(case, "quote")] == [past]


def test_downtime_runs_to_the_likely_finish_with_its_range(tmp_path: Path) -> None:
    """Four weeks from Monday, March 2: away through Sunday the 29th, back on the 30th."""
    days = "[schedule]\norder = 2026-01-15\nstart = 2026-03-02\nweeks_down = [3, 4, 6.5]\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=days)})
    [down] = found(case, "down")
    assert (down.first, down.last, down.back) == (
        date(2026, 3, 2),
        date(2026, 3, 29),
        date(2026, 3, 30),
    )
    assert (down.earliest, down.latest) == (date(2026, 3, 23), date(2026, 4, 16))
    assert [each.first for each in found(case, "order")] == [date(2026, 1, 15)]


def test_a_loan_ends_with_its_last_payment(tmp_path: Path) -> None:
    """Drawn in month 0, January 2026, by the first outlay: 18 payments, February 2026 on."""
    loan = "[funding]\nloan = { amount = 3000, apr = 0.06, months = 18 }\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5000\nwhen = 'order'", rest=loan)})
    assert [each.first for each in found(case, "loan")] == [date(2027, 7, 31)]


def test_the_month_that_sets_a_solved_raise_is_told(tmp_path: Path) -> None:
    """15,000 paid in April leave 5,000 of 20,000: dues make up 5,000 by then, flat after."""
    rest = "[schedule]\norder = 2026-04-10\nstart = 2026-04-10\nweeks_down = 0\n"
    rest += '[funding]\nsolve = "dues"\n'
    case = case_in(tmp_path, {"refit": refit("cost = 15000", rest=rest)}, rest=CLUB, hours="0")
    assert [each.first for each in found(case, "raise")] == [date(2026, 4, 30)]


def test_days_come_in_order(tmp_path: Path) -> None:
    days = "[schedule]\norder = 2026-01-15\nstart = 2026-03-02\nweeks_down = [3, 4, 6]\n"
    case = with_ledger(tmp_path, "2025-11-01,refit,Item 0,quote,5,2026-02-01,\n", rest=days)
    firsts = [each.first for each in all_of(case)]
    assert firsts == sorted(firsts)
    assert len(firsts) == 3
