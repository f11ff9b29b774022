"""Units that fail: their cost and groundings, likely and in trials; worked out by head.

as_of is 2026-01-01, two years, 100 hours a year, no rates. Poisson numbers against scipy.stats.
"""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from panelworth.engine.cash_flow.failures import poisson_number
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.publishing.figures_object import figures_object
from small_cases import CLUB, case_in, drawn_trials

AIRPLANE = """
[airplane]
empty_weight = 1500
empty_arm = 84
max_weight = 2500
{since}
"""
GYRO = '[[units]]\nname = "Gyro"\nfails = {{ {fails} }}\n'
OPTION = """
title = "Refit"
kind = "retrofit"
removes = ["Gyro"]
[schedule]
start = 2026-07-01
weeks_down = 0
[[installs]]
name = "Screen"
fails = {{ {screen} }}
"""
TRIALS = 4000


def failing_case(  # noqa: PLR0913 (each names a part of the files)
    folder: Path,
    *,
    gyro: str = "per_year = 2, cost = 300",
    screen: str = "per_year = 0",
    since: str = "",
    squawks: str = "",
    aircraft: str = "",
    rest: str = "",
) -> Case:
    """Read a folder whose gyro fails, and an option that takes it out in July."""
    folder.mkdir(exist_ok=True)
    text = AIRPLANE.format(since=since) + GYRO.format(fails=gyro)
    (folder / "equipment.toml").write_text(text, encoding="utf-8")
    if squawks:
        (folder / "squawks.csv").write_text(
            f"date,unit,days,cost,note\n{squawks}", encoding="utf-8"
        )
    option = OPTION.format(screen=screen)
    return case_in(folder, {"refit": option}, trials=TRIALS, aircraft=aircraft, rest=rest)


def likely(case: Case, option_id: str) -> Flows:
    """Return an option's likely flows."""
    return flows_of(case, option_id, likely_trial(case))


def yearly(row: np.ndarray) -> list[float]:
    """Return the sums of the two years."""
    return [float(row[0, 1:13].sum()), float(row[0, 13:25].sum())]


def test_the_likely_view_counts_the_rate_itself(tmp_path: Path) -> None:
    case = failing_case(tmp_path)
    assert yearly(likely(case, "keep").rows["failures"]) == pytest.approx([600.0, 600.0])
    # Taken out at the end of July, month 6: January is month 0, so six months of 50 each
    row = likely(case, "refit").rows["failures"][0]
    assert row[1:7] == pytest.approx([50.0] * 6)
    assert row[7:].sum() == 0.0


def test_failures_grow_by_the_year_and_with_prices(tmp_path: Path) -> None:
    case = failing_case(tmp_path, gyro="per_year = 2, growth = 0.5, cost = 300")
    assert yearly(likely(case, "keep").rows["failures"]) == pytest.approx([600.0, 900.0])


def test_what_is_installed_fails_from_the_month_after_and_grows_from_there(tmp_path: Path) -> None:
    case = failing_case(
        tmp_path, gyro="per_year = 0", screen="per_year = 1, growth = 1.0, cost = 120"
    )
    row = likely(case, "refit").rows["failures"][0]
    assert row[:7].sum() == 0.0
    assert row[7:19] == pytest.approx([10.0] * 12)  # its first year
    assert row[19:25] == pytest.approx([20.0] * 6)


def test_a_failure_grounds_the_airplane_for_its_days(tmp_path: Path) -> None:
    case = failing_case(tmp_path, gyro="per_year = 4, days = 9.125")
    # 4·9.125/365 is a tenth of the time: 10 of 100 hours
    assert likely(case, "keep").hours[0, 1:13].sum() == pytest.approx(90.0)
    club = failing_case(
        tmp_path, gyro="per_year = 4, days = 9.125", rest=CLUB + "moved_share = 0.4"
    )
    assert likely(club, "keep").hours[0, 1:13].sum() == pytest.approx(94.0)


def test_the_mean_of_the_trials_is_the_likely_row(tmp_path: Path) -> None:
    case = failing_case(tmp_path, gyro="per_year = 1.5, growth = 0.2, cost = 300, days = 4")
    for option_id in ("keep", "refit"):
        drawn = flows_of(case, option_id, drawn_trials(case, 0, TRIALS)).rows["failures"]
        sums = drawn.sum(axis=1)
        error = float(sums.std()) / math.sqrt(TRIALS)
        expected = float(likely(case, option_id).rows["failures"].sum())
        assert float(sums.mean()) == pytest.approx(expected, abs=4 * error)


def test_a_year_s_failures_are_poisson(tmp_path: Path) -> None:
    """Against the law of scipy.stats, by a chi-square test of goodness of fit."""
    case = failing_case(tmp_path, gyro="per_year = 1.3, cost = 100")
    row = flows_of(case, "keep", drawn_trials(case, 0, TRIALS)).rows["failures"]
    counts = np.rint(row[:, 1:13].sum(axis=1) / 100.0).astype(int)
    seen = np.bincount(np.minimum(counts, 5), minlength=6)
    law = stats.poisson(1.3)
    expected = TRIALS * np.array([*law.pmf(range(5)), law.sf(4)])
    assert stats.chisquare(seen, expected).pvalue > 0.001


def test_options_meet_the_same_failures(tmp_path: Path) -> None:
    case = failing_case(tmp_path)
    trials = drawn_trials(case, 0, 200)
    keep, refit = (flows_of(case, each, trials).rows["failures"] for each in ("keep", "refit"))
    # Up to July the refit has the same unit and the same uniform number, with a lower mean
    assert (refit[:, 1:7] <= 2 * keep[:, 1:7].max(axis=1, keepdims=True)).all()
    assert (refit[keep[:, 1:13].sum(axis=1) == 0.0].sum(axis=1) == 0.0).all()


@pytest.mark.parametrize("mean", [0.0, 0.01, 0.7, 4.0, 59.0, 75.0, 900.0])
def test_poisson_numbers_are_those_of_scipy(mean: float) -> None:
    uniform = (np.arange(2000) + 0.5) / 2000
    made = poisson_number(uniform, np.array([mean]))
    assert made.tolist() == (stats.poisson(mean).ppf(uniform) if mean else 0 * uniform).tolist()


def test_a_rate_of_0_changes_nothing(tmp_path: Path) -> None:
    with_rate = evaluate(failing_case(tmp_path / "a", gyro="per_year = 0, cost = 900, days = 9"))
    without = failing_case(tmp_path / "b")
    units = tuple(
        unit.model_copy(update={"fails": None})
        for unit in without.equipment.units  # type: ignore[union-attr]
    )
    bare = without.equipment.model_copy(update={"units": units})  # type: ignore[union-attr]
    plain = evaluate(replace(without, equipment=bare))
    assert figures_object(with_rate)["options"] == figures_object(plain)["options"]


def test_repairs_come_one_by_one(tmp_path: Path) -> None:
    case = failing_case(
        tmp_path, gyro="per_year = 0", aircraft="repairs = { per_year = 1200, each = 400 }"
    )
    assert yearly(likely(case, "keep").rows["repairs"]) == pytest.approx([1200.0, 1200.0])
    drawn = flows_of(case, "keep", drawn_trials(case, 0, TRIALS)).rows["repairs"]
    months = drawn[:, 1:25]
    assert set(np.unique(months)) <= {400.0 * number for number in range(8)}
    law = stats.poisson(100.0 / 400.0)
    assert (months == 0.0).mean() == pytest.approx(law.pmf(0), abs=0.01)
    assert float(months.sum(axis=1).mean()) == pytest.approx(2400.0, rel=0.03)
