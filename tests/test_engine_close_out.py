"""The closing report, and what is refused of a decision; the folders of test_engine_project_status.

Shares of a range are held against scipy's beta distribution.
"""

from dataclasses import replace
from pathlib import Path

import pytest
from scipy import stats

from panelworth.engine.evaluate import evaluate
from panelworth.engine.project_status.report import project_report
from panelworth.problems import render
from panelworth.reading.folder import read_case
from test_engine_project_status import OPTION, reported, voted_case

FINAL = (
    "2026-04-10,refit,Display,invoice,1040,,,A,I 1,no,yes",
    "2026-04-10,refit,Work,invoice,700,,,A,I 2,no,yes",
)


def errors_of(folder: Path) -> list[str]:
    """Return the errors of a folder, without its name."""
    _, problems = read_case(folder)
    errors = [problem for problem in problems if problem.severity == "error"]
    return [render(problem).removeprefix(f"{folder}/") for problem in errors]


def test_the_closing_report_says_which_ranges_have_held(tmp_path: Path) -> None:
    happened = "started = 2026-03-02\nfinished = 2026-04-20"
    more = "status = 2026-04-30"
    report = reported(voted_case(tmp_path, *FINAL, happened=happened, more=more)).close_out
    assert report is not None
    assert (report.voted, report.actual) == pytest.approx((1600.0, 1844.0))
    display, work = report.ranges
    # Display: 1040 of a beta on 900 to 1300, mode 1000; Work: 700 of one on 400 to 900, mode 500
    for check, law, value in (
        (display, stats.beta(2, 4, loc=900, scale=400), 1040),
        (work, stats.beta(1.8, 4.2, loc=400, scale=500), 700),
    ):
        assert check.share == pytest.approx(law.cdf(value), abs=0.03)
        assert check.held == (0.1 <= law.cdf(value) <= 0.9)
    assert report.weeks is not None
    # Seven weeks of a beta on 2 to 8 with its mode at 4
    law = stats.beta(1 + 4 / 3, 1 + 8 / 3, loc=2, scale=6)
    assert report.weeks.share == pytest.approx(law.cdf(7.0), abs=1e-6)
    assert report.hours_saved == 20.0
    assert report.money_saved is None  # no item has a rate


def test_there_is_no_closing_report_before_every_invoice_is_final(tmp_path: Path) -> None:
    happened, more = "started = 2026-03-02\nfinished = 2026-04-20", "status = 2026-04-30"
    assert reported(voted_case(tmp_path, FINAL[0], happened=happened, more=more)).close_out is None


SURPRISE = """
[[surprises]]
name = "Bad wiring"
chance = 0.3
cost = [100, 200, 400]
[[items]]
name = "Ground evenings"
cost = 0
member_hours = 12
"""


def test_what_did_not_turn_up_and_what_is_never_billed_need_no_invoice(tmp_path: Path) -> None:
    happened, more = "started = 2026-03-02\nfinished = 2026-04-20", "status = 2026-04-30"
    case = voted_case(tmp_path, *FINAL, happened=happened, more=more, funding=SURPRISE)
    report = reported(case)
    assert report.without_final_invoice == ()
    assert report.close_out is not None
    assert report.close_out.actual == pytest.approx(1844.0)
    # It has turned up: its price is a quote until its invoice is final
    quote = "2026-03-20,refit,Bad wiring,quote,300,,,A,Q 9,no,"
    case = voted_case(tmp_path, *FINAL, quote, happened=happened, more=more, funding=SURPRISE)
    assert reported(case).without_final_invoice == ("Bad wiring",)
    assert reported(case).close_out is None


def test_what_nobody_expected_moves_the_project_and_not_the_comparison(tmp_path: Path) -> None:
    """An entry with a chance of 0, written after the vote, with the row that says what it costs."""
    happened, more = "started = 2026-03-02", "status = 2026-03-20"
    unforeseen = '[[surprises]]\nname = "Crack"\nchance = 0\ncost = 250\nweeks = 2'
    quote = "2026-03-16,refit,Crack,quote,300,,,A,Q 9,no,"
    before = evaluate(voted_case(tmp_path, happened=happened, more=more))
    after = evaluate(voted_case(tmp_path, quote, happened=happened, more=more, funding=unforeseen))
    assert after.options["refit"].likely.outlay == before.options["refit"].likely.outlay
    assert after.project is not None
    assert before.project is not None
    rise = after.project.status.forecast.likely - before.project.status.forecast.likely
    assert rise == pytest.approx(300.0)
    assert after.project.status.slip_weeks == pytest.approx(2.0)


def test_what_members_work_saved_is_at_the_rate_that_it_replaced(tmp_path: Path) -> None:
    case = voted_case(
        tmp_path, *FINAL, happened="finished = 2026-04-20", more="status = 2026-04-30"
    )
    option = case.written_options["refit"]
    work = option.items[1].model_validate(
        {"name": "Work", "hours": 8, "rate": 90, "member_hours": 20}
    )
    display = option.items[0].model_copy(update={"member_hours": 10.0})
    moved = option.model_copy(update={"items": (display, work)})
    case = replace(case, written_options={**case.written_options, "refit": moved})
    figures = evaluate(case)
    report = project_report(case, figures.uncertainty)
    assert report is not None
    assert report.close_out is not None
    assert (report.close_out.hours_saved, report.close_out.money_saved) == (30.0, 2700.0)


@pytest.mark.parametrize(
    ("happened", "more", "message"),
    [
        (
            "ordered = 2026-02-20",
            "status = 2026-02-10",
            (
                "options/refit.toml:8: error: schedule.ordered: expected a day on or before the "
                "status "
                "date, 2026-02-10, found 2026-02-20; write status in [decision], or correct the day"
            ),
        ),
        (
            "ordered = 2026-02-20\nstarted = 2026-02-10",
            "status = 2026-03-10",
            (
                "options/refit.toml:9: error: schedule.started: expected a day on or after "
                "ordered, "
                "2026-02-20, found 2026-02-10"
            ),
        ),
        (
            "",
            "status = 2026-01-10",
            (
                "scenario.toml:23: error: decision.status: expected a day on or after the "
                "decision, "
                "2026-01-20, found 2026-01-10; move the day, or leave it out"
            ),
        ),
    ],
)
def test_days_out_of_order_are_refused(
    tmp_path: Path, happened: str, more: str, message: str
) -> None:
    voted_case(tmp_path)
    option = OPTION.format(happened=happened, funding="")
    (tmp_path / "options" / "refit.toml").write_text(option, encoding="utf-8")
    text = (tmp_path / "scenario.toml").read_text(encoding="utf-8")
    changed = text.replace("budget = 1700\n", f"budget = 1700\n{more}\n")
    (tmp_path / "scenario.toml").write_text(changed, encoding="utf-8")
    assert errors_of(tmp_path) == [message]


def test_a_decision_for_an_unknown_option_is_refused(tmp_path: Path) -> None:
    voted_case(tmp_path)
    file = tmp_path / "scenario.toml"
    text = file.read_text(encoding="utf-8").replace('chosen = "refit"', 'chosen = "refti"')
    file.write_text(text, encoding="utf-8")
    assert errors_of(tmp_path) == [
        (
            "scenario.toml:20: error: decision.chosen: expected the id of an option, found "
            '"refti"; '
            'did you mean "refit"?'
        )
    ]
