"""Speed and miles, worked out by head.

Two years of 100 hours, no rates. Today 100 knots; the refit makes it 125 knots from August 2026 on,
month 7: 7/12 of 100 hours at 100 knots, then 17/12 at 125.
"""

from pathlib import Path

import pytest

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from small_cases import case_in

AIRCRAFT = "cruise_speed = 100\nworth_per_hour = 60\nother_per_hour = 40\nvalue = 10000"
OPTION = """
title = "Refit"
kind = "retrofit"
{same}
[schedule]
start = 2026-07-20
weeks_down = 0
[after]
{after}
"""


def speed_case(folder: Path, *, same: str = "", after: str = "cruise_speed = 125") -> Case:
    """Read a folder in which the airplane becomes faster."""
    return case_in(folder, {"refit": OPTION.format(same=same, after=after)}, aircraft=AIRCRAFT)


def likely(case: Case, option_id: str) -> Flows:
    """Return an option's likely flows."""
    return flows_of(case, option_id, likely_trial(case))


def test_the_cost_of_a_mile_is_all_costs_over_all_miles(tmp_path: Path) -> None:
    figures = evaluate(speed_case(tmp_path))
    # Costs of 200·40 over two years, and the airplane keeps its value
    keep, refit = (figures.options[each].likely for each in ("keep", "refit"))
    assert keep.cost_per_mile == pytest.approx(8000 / 20_000)
    miles = 100 / 12 * (6 * 100 + 18 * 125)
    assert refit.cost_per_mile == pytest.approx(8000 / miles)


def test_without_a_speed_there_is_no_cost_of_a_mile(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": OPTION.format(same="", after="cruise_speed = 125")})
    assert [each.likely.cost_per_mile for each in evaluate(case).options.values()] == [None, None]


def test_the_same_miles_take_fewer_hours_that_are_worth_more(tmp_path: Path) -> None:
    case = speed_case(tmp_path, same="same_miles = true")
    flows = likely(case, "refit")
    assert flows.hours[0, 1:7] == pytest.approx([100 / 12] * 6)
    assert flows.hours[0, 7:] == pytest.approx([80 / 12] * 18)
    # The worth of the miles stays, and the cost of the hours falls by a fifth
    assert flows.rows["worth"][0, 1:] == pytest.approx([500.0] * 24)
    assert flows.rows["variable"][0, 7:] == pytest.approx([80 / 12 * 40] * 18)


def test_a_speed_alone_changes_no_money(tmp_path: Path) -> None:
    faster = evaluate(speed_case(tmp_path / "a")).options["refit"].likely
    same = evaluate(speed_case(tmp_path / "b", after="")).options["refit"].likely
    assert (faster.net_benefit, faster.cost_npv) == (same.net_benefit, same.cost_npv)
