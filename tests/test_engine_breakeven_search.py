"""Break-evens of any input: every root, its side, jumps, and where the best option changes."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from panelworth import read
from panelworth.engine.evaluate import evaluate
from panelworth.engine.returns.breakeven import net_benefit_over
from panelworth.engine.returns.breakeven_search import (
    bounds_of,
    break_even_of,
    rank_reversal,
    rank_reversals,
)
from panelworth.engine.returns.crossings import crossings
from panelworth.engine.returns.scale import scale_of_case
from panelworth.engine.trials import Array, likely_trial
from panelworth.model.case import Case, Input
from small_cases import CLUB, case_in, refit

SCENARIOS = Path(__file__).parents[1] / "scenarios"
GRID = np.linspace(0.0, 10.0, 41)
SAVING = '[after]\ndropped_fixed = ["Gyro"]'
GYRO = 'fixed = [ { name = "Gyro", per_year = [1000, 1200, 1500] } ]'
ITEM = "options.refit.items[Item 0].cost"


def demo(name: str) -> Case:
    """Read one of the demo scenarios."""
    case, problems = read(SCENARIOS / name)
    assert case is not None, problems
    return case


def input_at(case: Case, path: str) -> Input:
    """Find an input by its path."""
    return next(each for each in case.inputs if each.path == path)


def saving(folder: Path, cost: str = "cost = [900, 2000, 3000]", **parts: str) -> Case:
    """Write a refit that saves 1,200 a year for two years, undiscounted."""
    return case_in(folder, {"refit": refit(cost, rest=SAVING)}, aircraft=GYRO, **parts)


def test_a_cost_breaks_even_at_what_it_saves(tmp_path: Path) -> None:
    found = break_even_of(saving(tmp_path), "refit", ITEM)
    assert [root.value for root in found.roots] == pytest.approx([2400.0], rel=1e-12)
    assert (found.roots[0].side, found.roots[0].jump, found.why) == ("at most", False, "")


def test_a_saving_breaks_even_at_what_it_costs(tmp_path: Path) -> None:
    found = break_even_of(saving(tmp_path), "refit", "aircraft.fixed[Gyro].per_year")
    assert [root.value for root in found.roots] == pytest.approx([1000.0], rel=1e-12)
    assert found.roots[0].side == "at least"


def test_an_input_that_moves_nothing_has_no_effect(tmp_path: Path) -> None:
    found = break_even_of(saving(tmp_path), "refit", "aircraft.hours_per_year")
    assert (found.roots, found.why) == ((), "no effect")


def test_where_no_value_will_do_it_never_pays_and_where_any_does_it_always_pays(
    tmp_path: Path,
) -> None:
    dear = break_even_of(saving(tmp_path / "1", "cost = 2600"), "refit", "rates.discount")
    cheap = break_even_of(
        saving(tmp_path / "2", "cost = 0"), "refit", "aircraft.fixed[Gyro].per_year"
    )
    assert [root.side for root in dear.roots] == ["at most"]
    assert dear.roots[0].value < 0.0
    tax = "options.refit.items[Item 0].tax"
    never = break_even_of(saving(tmp_path / "3", "cost = 9000"), "refit", tax)
    always = break_even_of(saving(tmp_path / "4", "cost = 100"), "refit", tax)
    assert (never.why, always.why) == ("never pays", "pays at any value")
    assert (never.least, never.most) == (0.0, 1.0)
    assert [root.value for root in cheap.roots] == [0.0]


def test_the_baseline_breaks_even_with_itself_everywhere(tmp_path: Path) -> None:
    found = break_even_of(saving(tmp_path), "keep", "aircraft.fixed[Gyro].per_year")
    assert (found.roots, found.why) == ((), "no effect")


def test_an_unknown_path_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(KeyError, match=r"aircraft\.color"):
        break_even_of(saving(tmp_path), "refit", "aircraft.color")


def test_weeks_down_jump_past_zero_where_the_finish_slips_into_the_next_month(
    tmp_path: Path,
) -> None:
    """It saves 100 in every month after the finish, of 24: 1,450 need fifteen of them.

    So the finish must be in month 9 at the latest, and October 2026 is month 9 of January 2026;
    from 1 November on there are but fourteen.
    """
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = [1, 4, 9]"
    option = refit("cost = 1450", top=schedule, rest=SAVING)
    case = case_in(tmp_path, {"refit": option}, aircraft=GYRO)
    path = "options.refit.schedule.weeks_down"
    found = break_even_of(case, "refit", path)
    assert len(found.roots) == 1
    root = found.roots[0]
    assert root.value == pytest.approx((31 * 5 + 30 * 3 + 28 - 1) / 7, rel=1e-9)
    assert (root.side, root.jump) == ("at most", True)
    gap = net_benefit_over(case, "refit", likely_trial(case), [path])
    around = gap(root.value + np.array([-1e-6, 1e-6]))
    assert around == pytest.approx([50.0, -50.0])


def test_every_root_of_a_demo_is_a_root_and_its_side_is_right() -> None:
    case = demo("brackenholt-owner")
    checked = 0
    for each in case.inputs:
        if each.quantity.certain or each.unit == "weeks" or checked > 24:
            continue
        for option_id in ("refit", "newer"):
            gap = net_benefit_over(case, option_id, likely_trial(case), [each.path])
            for root in break_even_of(case, option_id, each.path).roots:
                step = 1e-4 * max(abs(root.value), 1e-3)
                low, at, high = gap(root.value + np.array([-step, 0.0, step]))
                assert abs(at) <= 1e-4 * max(abs(low), abs(high)) + 1e-5, each.path
                assert root.side == ("at least" if high > 0.0 else "at most"), each.path
                assert (low > 0.0) != (high > 0.0), each.path
                checked += 1
    assert checked > 20


def test_it_agrees_with_the_break_evens_found_in_closed_form() -> None:
    case = demo("quillmeadow-club")
    for option_id, figures in evaluate(case).options.items():
        prefix = f"options.{option_id}."
        paths = {
            "extra_hours_per_year": f"{prefix}after.hours_per_year_change",
            "members_joined": f"{prefix}members.joined",
            "buy_price": f"{prefix}buy.price",
        }
        for key, path in paths.items():
            value = getattr(figures.break_even, key)
            if value is None:
                continue
            roots = break_even_of(case, option_id, path).roots
            assert min(abs(root.value - value) for root in roots) < 1e-7 * abs(value), path
            assert roots[-1].side == figures.break_even_side[key], path


def test_bounds_are_plausible_for_each_kind_of_input() -> None:
    case = demo("quillmeadow-club")
    bounds = {
        path: bounds_of(case, input_at(case, path), scale_of_case(case))
        for path in (
            "aircraft.resale_recovery",
            "rates.discount",
            "aircraft.hours_per_year",
            "options.full.after.hours_per_year_change",
            "options.full.members.joined",
            "options.replace.buy.price",
            "club.other_net_per_year",
            "aircraft.oil_per_hour",
        )
    }
    assert list(bounds.values()) == [
        (0.0, 1.0),
        (-0.2, 1.0),
        (0.0, 8760.0),
        (-8760.0, 8760.0),
        (-36.0, 10_000.0),
        (0.0, 2_180_000.0),
        (-304_000.0, 304_000.0),
        (0.0, 1000.0),
    ]


def test_weeks_down_stay_within_the_horizon() -> None:
    case = demo("quillmeadow-club")
    weeks = input_at(case, "options.full.schedule.weeks_down")
    least, most = bounds_of(case, weeks, scale_of_case(case))
    assert least == 0.0
    assert most == pytest.approx((date(2036, 12, 1) - date(2027, 1, 18)).days / 7)


def test_the_bounds_never_leave_out_what_the_user_wrote() -> None:
    for name in ("quillmeadow-club", "brackenholt-owner"):
        case = demo(name)
        for each in case.inputs:
            least, most = bounds_of(case, each, scale_of_case(case))
            assert least <= each.quantity.low <= each.quantity.high <= most, each.path


@pytest.mark.parametrize(
    ("function", "expected"),
    [
        (lambda x: x - 3.3, [(3.3, -1, 1, False)]),
        (lambda x: 3.0 - x, [(3.0, 1, -1, False)]),
        (lambda x: (x - 2.0) * (x - 7.1), [(2.0, 1, -1, False), (7.1, -1, 1, False)]),
        (lambda x: (x - 5.01) * (x - 5.02) * 1e6, [(5.01, 1, -1, False), (5.02, -1, 1, False)]),
        (lambda x: np.where(x < 4.4, 2.0, -1.0), [(4.4, 1, -1, True)]),
        (lambda x: x * x, [(0.0, 0, 1, False)]),
        (lambda x: (x - 2.5) ** 2, [(2.5, 1, 1, False)]),
        (lambda x: np.maximum(x - 6.05, 0.0), [(6.05, 0, 1, False)]),
        (lambda x: np.minimum(4.0 - x, 0.0), [(4.0, 0, -1, False)]),
        (lambda x: 1.0 + x, []),
    ],
)
def test_crossings_are_found_with_both_their_sides(
    function: object, expected: list[tuple[float, int, int, bool]]
) -> None:
    found = crossings(function, GRID, tolerance=1e-6)  # type: ignore[arg-type]
    assert [(each.below, each.above, each.jump) for each in found] == [
        each[1:] for each in expected
    ]
    assert [each.value for each in found] == pytest.approx([each[0] for each in expected], abs=2e-6)


def test_a_stretch_of_zeros_has_two_ends() -> None:
    def shelf(x: Array) -> Array:
        return np.minimum(x - 3.05, 0.0) + np.maximum(x - 6.05, 0.0)

    found = crossings(shelf, GRID, tolerance=1e-6)
    assert [(each.below, each.above) for each in found] == [(-1, 0), (0, 1)]
    assert [each.value for each in found] == pytest.approx([3.05, 6.05], abs=2e-6)


def test_a_root_is_good_to_nine_digits_whatever_the_grid() -> None:
    for points in (GRID, np.array([-1e12, 1e12]), np.array([0.0, 4.0])):
        found = crossings(
            lambda x: np.expm1(np.minimum(x, 300.0) * 0.7) - 3.0, points, tolerance=1e-6
        )
        assert [each.value for each in found] == pytest.approx([np.log(4.0) / 0.7], rel=1e-9)


@pytest.mark.parametrize("middle", [0.9875, 1.0125])
def test_two_crossings_close_together_are_found_on_either_side_of_a_point(middle: float) -> None:
    """Roots of (x - middle)² = 1e-8, both within one part of the first cut, 1/32 wide."""
    found = crossings(
        lambda x: (x - middle) ** 2 - 1e-8, np.array([0.0, 1.0, 2.0]), tolerance=1e-12
    )
    expected = [middle - 1e-4, middle + 1e-4]
    assert [each.value for each in found] == pytest.approx(expected, abs=1e-8)


TWO = {
    "one": refit("cost = [500, 1000, 4000]", rest='[[credits]]\nname = "C"\namount = 2000'),
    "two": refit(
        "cost = [100, 200, 300]", rest='[[credits]]\nname = "C"\namount = [600, 700, 800]'
    ),
}


def test_the_best_option_changes_where_another_overtakes_it(tmp_path: Path) -> None:
    """One is 1,000 ahead of keeping and two 500: one loses the lead above a cost of 1,500."""
    case = case_in(tmp_path, TWO)
    swings = {key: each.swings for key, each in evaluate(case).options.items()}
    turns = rank_reversals(case, swings)
    assert [turn.input for turn in turns] == [
        "options.one.items[Item 0].cost",
        "options.two.credits[C].amount",
        "options.two.items[Item 0].cost",
    ]
    first, second, third = turns
    assert (first.best, first.then, first.jump) == ("one", "two", False)
    assert first.value == pytest.approx(1500.0, rel=1e-12)
    assert (second.then, second.value) == ("two", pytest.approx(1200.0, rel=1e-12))
    assert (third.then, third.value) == (None, None)


def test_the_turning_nearest_to_the_likely_value_is_told(tmp_path: Path) -> None:
    """More members gain by one, fewer by keeping: of the two the nearer counts."""
    joins = refit("cost = 1000", rest="[members]\njoined = [1, 2, 3]")
    club = CLUB.replace("dues_per_month = 0", "dues_per_month = 50")
    turn = rank_reversal(
        case_in(tmp_path, {"joins": joins}, rest=club), "options.joins.members.joined"
    )
    assert (turn.best, turn.then, turn.likely) == ("joins", "keep", 2.0)
    assert turn.value == pytest.approx(1000 / (24 * 50), rel=1e-9)


def test_with_one_option_alone_nothing_turns(tmp_path: Path) -> None:
    turn = rank_reversal(case_in(tmp_path, {}), "aircraft.hours_per_year")
    assert (turn.best, turn.value, turn.then) == ("keep", None, None)
