"""The project under way, worked out by head, and its law of the weeks against scipy.

as_of is 2026-01-01, the vote on 2026-01-20. Display: 1000 (900 to 1300) with 10 % tax, paid at the
order; Work: 500 (400 to 900), no tax, paid at the finish. Planned: 2026-03-02, 4 weeks (2 to 8).
"""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from panelworth.engine.evaluate import evaluate
from panelworth.engine.project_status.underway import underway
from panelworth.engine.project_status.weeks import likely_weeks, weeks_from
from panelworth.engine.results.project_status import ProjectReport, ProjectStatus
from panelworth.model.case import Case
from panelworth.model.schedule import Schedule
from panelworth.plausible.folder import warnings_of
from panelworth.problems import render
from panelworth.publishing.figures_object import figures_object
from small_cases import CLUB, case_in

HEAD = "date,option,item,kind,amount,low,high,supplier,reference,tax_included,final\n"
OPTION = """
title = "Refit"
kind = "retrofit"
[schedule]
start = 2026-03-02
order = 2026-02-02
weeks_down = [2, 4, 8]
{happened}
[[items]]
name = "Display"
cost = [900, 1000, 1300]
tax = 0.1
when = "order"
[[items]]
name = "Work"
cost = [400, 500, 900]
member_hours = 20
[[credits]]
name = "Old unit sold"
amount = 200
when = "start"
{funding}
"""
DECISION = """
[decision]
chosen = "refit"
on = 2026-01-20
budget = 1700
{more}
"""
QUOTE = "2026-01-10,refit,Display,quote,1050,,,A,Q 1,no,"


def voted_case(
    folder: Path,
    *rows: str,
    happened: str = "",
    more: str = "",
    funding: str = "",
    rest: str = CLUB,
    head: str = HEAD,
) -> Case:
    """Read a folder whose members have voted."""
    folder.mkdir(exist_ok=True)
    (folder / "ledger.csv").write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
    option = OPTION.format(happened=happened, funding=funding)
    return case_in(folder, {"refit": option}, rest=rest + DECISION.format(more=more), trials=2000)


def reported(case: Case) -> ProjectReport:
    """Return the project under way."""
    report = evaluate(case).project
    assert report is not None
    return report


def status_of(case: Case) -> ProjectStatus:
    """Return what figures.json says of it."""
    return reported(case).status


def test_before_a_decision_there_is_no_project(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": OPTION.format(happened="", funding="")})
    figures = evaluate(case)
    assert figures.project is None
    assert figures_object(figures)["project"] is None


def test_rows_after_the_vote_move_the_project_and_not_the_comparison(tmp_path: Path) -> None:
    later = "2026-02-01,refit,Display,change,100,,,A,C 1,no,"
    before = evaluate(voted_case(tmp_path / "before", QUOTE))
    after = evaluate(voted_case(tmp_path / "after", QUOTE, later))
    assert figures_object(after)["options"] == figures_object(before)["options"]
    assert before.project is not None
    assert after.project is not None
    # 1050·1.1 + 500, and the change with its tax on top
    assert before.project.status.forecast.likely == pytest.approx(1655.0)
    assert after.project.status.forecast.likely == pytest.approx(1765.0)
    assert after.project.status.against_budget == pytest.approx(65.0)
    assert after.project.status.status == "2026-02-01"  # the newest row's day


def test_items_show_what_was_voted_and_which_row_moved_them(tmp_path: Path) -> None:
    change = "2026-02-01,refit,Display,change,100,,,A,C 1,no,"
    report = reported(voted_case(tmp_path, QUOTE, change))
    display, work = report.status.items
    assert (display.voted, display.low, display.high) == pytest.approx((1155.0, 1155.0, 1155.0))
    assert (display.forecast, display.state, display.supplier) == (
        pytest.approx(1265.0),
        "quote",
        "A",
    )
    assert (work.voted, work.low, work.high) == pytest.approx((500.0, 400.0, 900.0))
    assert (work.state, work.supplier) == ("estimate", None)
    cause, nothing = (account.cause for account in report.accounts)
    assert cause is not None
    assert (cause.day, cause.kind, cause.reference) == (date(2026, 2, 1), "change", "C 1")
    assert nothing is None
    assert [(point.day, point.outlay) for point in report.history] == [
        (date(2026, 1, 20), pytest.approx(1655.0)),
        (date(2026, 2, 1), pytest.approx(1765.0)),
    ]


def test_what_is_committed_invoiced_paid_and_still_to_pay(tmp_path: Path) -> None:
    rows = (
        QUOTE,
        "2026-02-03,refit,Display,invoice,600,,,A,I 1,no,",
        "2026-02-04,refit,Display,credit,40,,,A,K 1,no,",
        "2026-02-05,refit,Display,payment,500,,,A,P 1,yes,",
        "2026-02-09,refit,Work,payment,50,,,A,P 2,yes,",
    )
    status = status_of(voted_case(tmp_path, *rows, happened="ordered = 2026-02-02"))
    # Display: 1050 - 40 = 1010 before tax, 1111 with it; Work 500
    assert status.forecast.likely == pytest.approx(1611.0)
    assert status.committed == pytest.approx(1111.0)
    assert status.invoiced == pytest.approx(616.0)
    assert status.paid == pytest.approx(550.0)
    assert status.still_to_pay == pytest.approx(611.0 + 450.0)
    assert [item.state for item in status.items] == ["invoiced", "estimate"]


def test_nothing_is_committed_before_the_order(tmp_path: Path) -> None:
    assert status_of(voted_case(tmp_path, QUOTE)).committed == 0.0


def test_later_rows_are_announced_and_count_in_nothing(tmp_path: Path) -> None:
    later = "2026-03-01,refit,Display,invoice,1500,,,A,I 1,no,yes"
    report = reported(voted_case(tmp_path, QUOTE, later, more="status = 2026-02-10"))
    assert report.announced == 1
    assert report.status.forecast.likely == pytest.approx(1655.0)


def test_the_chance_within_the_budget_is_that_of_the_work_s_range(tmp_path: Path) -> None:
    status = status_of(voted_case(tmp_path, QUOTE))
    # 1155 + Work <= 1700: Work is a beta on 400 to 900 with its mode at 500, so 1.8 and 4.2
    expected = stats.beta(1.8, 4.2, loc=400, scale=500).cdf(1700 - 1155)
    assert status.chance_within_budget == pytest.approx(expected, abs=0.03)
    middle, most = stats.beta(1.8, 4.2, loc=400, scale=500).ppf([0.5, 0.8])
    assert status.forecast.p50 == pytest.approx(1155 + middle, abs=10)
    assert status.forecast.p80 == pytest.approx(1155 + most, abs=10)


@pytest.mark.parametrize(
    ("happened", "day", "finish", "slip"),
    [
        ("", "2026-01-25", "2026-03-30", 0.0),  # as planned
        ("", "2026-03-08", "2026-04-06", 1.0),  # a week after the planned start: tomorrow
        ("started = 2026-03-09", "2026-03-20", "2026-04-06", 1.0),
        ("started = 2026-03-09\nweeks_left = [1, 2, 4]", "2026-03-30", "2026-04-13", 2.0),
        ("started = 2026-03-09\nfinished = 2026-04-20", "2026-04-21", "2026-04-20", 3.0),
    ],
)
def test_the_finish_follows_what_has_happened(
    tmp_path: Path, happened: str, day: str, finish: str, slip: float
) -> None:
    status = status_of(voted_case(tmp_path, happened=happened, more=f"status = {day}"))
    assert (status.finish, status.slip_weeks) == (finish, pytest.approx(slip))
    assert status.finish_p80 is not None
    assert status.finish_p80 >= finish


def test_weeks_that_are_used_up_leave_the_finish_open(tmp_path: Path) -> None:
    happened, more = "started = 2026-03-02", "status = 2026-04-27\nreserve = 20000"
    case = voted_case(tmp_path, happened=happened, more=more)
    status = status_of(case)
    assert (status.finish, status.finish_p80, status.slip_weeks) == (None, None, None)
    assert (status.lowest_balance, status.raise_holds) == (None, None)
    [asked] = [render(each) for each in warnings_of(case) if "weeks_left" in each.expected]
    assert asked.endswith(
        "schedule: expected weeks_left, because the 8 weeks are over, found none; without it the "
        "finish and the cash from here cannot be estimated"
    )


@pytest.mark.parametrize(("paid_on", "warned"), [("2026-03-05", False), ("2026-03-10", True)])
def test_money_in_counts_as_paid_by_payments_up_to_the_status_date(
    tmp_path: Path, paid_on: str, *, warned: bool
) -> None:
    sold = f"{paid_on},refit,Old unit sold,payment,200,,,B,P 2,yes,"
    happened, more = "started = 2026-03-02", "status = 2026-03-09"
    case = voted_case(tmp_path, sold, happened=happened, more=more)
    asked = [each for each in warnings_of(case) if "names Old unit sold" in each.expected]
    assert bool(asked) is warned


def test_weeks_under_way_are_the_range_given_that_it_is_not_finished_yet() -> None:
    """Against scipy's beta, conditioned by hand: P(X <= x | X > a) = (F(x) - F(a))/(1 - F(a))."""
    plan = {"start": date(2026, 3, 2), "started": date(2026, 3, 2), "weeks_down": [2, 4, 8]}
    schedule = Schedule.model_validate(plan)
    day, share = date(2026, 4, 6), np.array([0.05, 0.5, 0.95])
    weeks = weeks_from(schedule, day, share, weeks_left=0.0, found=0.0)
    law = stats.beta(1 + 4 / 3, 1 + 8 / 3, loc=2, scale=6)
    below = law.cdf(5.0)
    assert (law.cdf(weeks) - below) / (1 - below) == pytest.approx(share, abs=1e-6)
    assert likely_weeks(schedule, day, 0.0) == pytest.approx(weeks[1])  # the likely 4 are past
    assert likely_weeks(schedule, date(2026, 3, 16), 0.0) == 4.0


def test_the_cash_begins_with_the_stated_reserve(tmp_path: Path) -> None:
    """Nothing else moves: dues, rates and costs are 0, so that the project alone is in the cash.

    On 2026-02-10 (month 1) Display should have been paid in February: it is due in month 2, with
    the credit. Work falls in month 2 or 3.
    """
    more = "status = 2026-02-10\nreserve = 12000"
    status = status_of(voted_case(tmp_path, QUOTE, more=more))
    # 12,000 - 1,155 + 200 in March (start on the 2nd, 4 weeks: finish on March 30) - 500
    assert status.lowest_balance == pytest.approx(12000 - 1155 + 200 - 500)
    assert status.lowest_balance_month == 2
    assert status.raise_holds is True
    assert status.raise_needed is None
    assert status.chance_below_floor_by_year == (0.0, 0.0)


def test_what_is_paid_by_then_is_not_paid_again(tmp_path: Path) -> None:
    paid = "2026-02-05,refit,Display,payment,1155,,,A,P 1,yes,"
    sold = "2026-02-06,refit,Old unit sold,payment,150,,,B,P 2,yes,"
    more = "status = 2026-02-10\nreserve = 10600"
    status = status_of(voted_case(tmp_path, QUOTE, paid, sold, more=more))
    # 10,600 + the 50 still to come in - 500: still above the floor of 10,000
    assert status.lowest_balance == pytest.approx(10600 + 50 - 500)
    assert status.chance_below_floor_by_year is not None
    assert 0.0 < status.chance_below_floor_by_year[0] < 1.0  # Work may cost up to 900


def test_the_raise_that_would_hold_from_here_is_the_assessment_that_is_short(
    tmp_path: Path,
) -> None:
    funding = "[funding]\nassessment_per_member = 20"
    more = "status = 2026-02-10\nreserve = 10000\nassessment_collected = false"
    status = status_of(voted_case(tmp_path, QUOTE, more=more, funding=funding))
    assert status.raise_holds is False
    # Ten members, in 8 of 10 trials: 1,155 - 200 + Work at its 80th percentile
    most = stats.beta(1.8, 4.2, loc=400, scale=500).ppf(0.8)
    assert status.raise_needed == pytest.approx((1155 - 200 + most) / 10, abs=1.0)


def test_a_collected_assessment_is_in_the_reserve(tmp_path: Path) -> None:
    funding, more = "[funding]\nassessment_per_member = 200", "status = 2026-02-10\nreserve = 12000"
    collected = status_of(voted_case(tmp_path / "a", QUOTE, more=more, funding=funding))
    later = voted_case(
        tmp_path / "b", QUOTE, more=f"{more}\nassessment_collected = false", funding=funding
    )
    assert collected.lowest_balance is not None
    assert status_of(later).lowest_balance == pytest.approx(collected.lowest_balance + 2000)


def test_a_loan_that_is_drawn_has_only_its_payments_left(tmp_path: Path) -> None:
    """1,000 for 10 months without interest: 100 a month, drawn with the order in month 1."""
    funding = '[funding]\nloan = { amount = 1000, months = 10, when = "order" }'
    at = "status = {}\nreserve = 12000"
    before = status_of(
        voted_case(tmp_path / "a", QUOTE, funding=funding, more=at.format("2026-01-25"))
    )
    after = status_of(
        voted_case(tmp_path / "b", QUOTE, funding=funding, more=at.format("2026-02-25"))
    )
    flat = 12000 - 1155 + 200 - 500
    assert before.lowest_balance == pytest.approx(flat)  # 1,000 in and ten times 100 out
    assert after.lowest_balance == pytest.approx(flat - 1000)


def test_without_a_reserve_or_a_club_there_is_no_cash(tmp_path: Path) -> None:
    for name, more, rest in (("a", "", CLUB), ("b", "", "")):
        status = status_of(voted_case(tmp_path / name, QUOTE, more=more, rest=rest))
        assert status.lowest_balance is None
        assert status.chance_below_floor_by_year is None
        assert status.raise_holds is None


def test_an_option_without_a_schedule_has_no_finish(tmp_path: Path) -> None:
    (tmp_path / "x").mkdir()
    option = 'title = "Refit"\nkind = "retrofit"\n[[items]]\nname = "Display"\ncost = 1000\n'
    case = case_in(tmp_path / "x", {"refit": option}, rest=CLUB + DECISION.format(more=""))
    project = underway(case)
    assert project is not None
    assert project.ordered
    status = status_of(case)
    assert (status.finish, status.slip_weeks) == (None, None)
    assert status.forecast.likely == 1000.0
