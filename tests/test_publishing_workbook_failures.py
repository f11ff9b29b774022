"""The workbook counts failures by their rates: a spreadsheet gives the engine's likely figures."""

from pathlib import Path

import pytest

from panelworth.engine.evaluate import evaluate
from panelworth.publishing.view import view_of
from small_cases import CLUB
from test_engine_failures import failing_case
from test_publishing_workbook import recalculated
from workbook_programs import differences

GYRO = "per_year = 1.5, growth = 0.2, cost = 300, days = 6"
SCREEN = "per_year = 0.4, growth = 0.1, cost = 900, days = 20"
CLUB_THAT_MOVES = CLUB.replace("dues_per_month = 0", "dues_per_month = 40") + "moved_share = 0.4\n"


@pytest.mark.parametrize("rest", [CLUB_THAT_MOVES, ""], ids=["club", "owner"])
def test_the_months_follow_the_rates(tmp_path: Path, rest: str) -> None:
    aircraft = "fuel_per_hour = 9\nfuel_price = 6\nvalue = 90000"
    case = failing_case(tmp_path, gyro=GYRO, screen=SCREEN, aircraft=aircraft, rest=rest)
    view = view_of(case, evaluate(case, trials=100))
    book = recalculated(view, tmp_path)
    assert differences(book, case) == {}
    for option_id in ("keep", "refit"):
        series = view.series(option_id)
        for heading, values in (
            ("Failures of units", series.rows["failures"]),
            ("Hours", series.hours),
        ):
            made = book.column(f"Months {option_id}", heading)
            assert made == pytest.approx(values, rel=0, abs=1e-6)


def test_a_rate_that_a_reader_changes_moves_the_figures(tmp_path: Path) -> None:
    case = failing_case(tmp_path, gyro=GYRO, screen=SCREEN)
    book = recalculated(view_of(case, evaluate(case, trials=100)), tmp_path)
    before = book["options.refit.likely.net_benefit"]
    book.write("equipment.units[Gyro].fails.per_year", 3.0)
    book.recalculate()
    changed = failing_case(tmp_path / "more", gyro=GYRO.replace("1.5", "3.0"), screen=SCREEN)
    assert book["options.refit.likely.net_benefit"] != before
    assert differences(book, changed) == {}
