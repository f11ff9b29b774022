"""The box of the comparison page's sliders is the engine itself, exactly, between its corners."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import RegularGridInterpolator

from laws import law
from panelworth.engine.results.what_if import Axis, Grid
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.returns.what_if import interpolated, shifted, whatif_grid
from panelworth.engine.trials import likely_trial
from panelworth.publishing.view import View
from strategies import Folder, case_of, folders


def corners(grid: Grid, option_id: str, figure: str) -> np.ndarray:
    """Return a figure's values at the grid points, shape (n1, …, nk)."""
    shape = [len(axis.points) for axis in grid.axes]
    return np.array(grid.figures[option_id][figure]).reshape(shape)


def test_an_axis_has_a_point_on_each_bend_and_no_other(club: View, owner: View) -> None:
    """Every figure of the owner's is straight in every input, and most of the club's are."""
    points = {axis.key: len(axis.points) for axis in club.insight.whatif.axes}
    assert points == {"overrun": 3, "hours": 2, "joined": 5, "fuel": 2, "recovery": 2}
    assert {len(axis.points) for axis in owner.insight.whatif.axes} == {2}


def test_an_axis_ends_on_the_last_whole_step_within_its_share_of_the_plan(club: View) -> None:
    """Hours 0.5 down and up, fuel of 6.35 by 0.4 down (2.54) and 0.8 up (5.08), recovery 0 to 1."""
    ends = {axis.key: (axis.points[0], axis.points[-1]) for axis in club.insight.whatif.axes}
    assert ends == {
        "overrun": (-0.2, 0.6),
        "hours": (-115.0, 115.0),
        "joined": (-4.0, 6.0),
        "fuel": (-2.5, 5.05),
        "recovery": (-0.48, 0.52),
    }


def test_the_demo_grids_hold_the_engine_to_a_millionth(club: View, owner: View) -> None:
    assert club.insight.whatif.error < 1e-6
    assert owner.insight.whatif.error < 1e-6
    assert [axis.key for axis in club.insight.whatif.axes] == [
        "overrun", "hours", "joined", "fuel", "recovery",
    ]  # fmt: skip
    assert "joined" not in [axis.key for axis in owner.insight.whatif.axes]


@law(12)
@given(folder=folders())
def test_a_point_within_the_box_is_the_engine_within_a_unit_of_money(folder: Folder) -> None:
    case = case_of(folder)
    grid = whatif_grid(case)
    assert grid.error <= 1.0
    rng = np.random.default_rng(5)
    low, high = (np.array([axis.points[end] for axis in grid.axes]) for end in (0, -1))
    shifts = rng.uniform(low, high, (20, len(grid.axes)))
    tried = shifted(likely_trial(case), grid.axes, shifts)
    for option_id in case.options:
        found = interpolated(grid.axes, corners(grid, option_id, "benefit"), shifts)
        exact = benefits(case, option_id, tried, likely_loan_month=True)
        assert np.abs(found - exact).max() <= 1.0


def test_no_shift_is_the_likely_view(club: View) -> None:
    grid, tolerance = club.insight.whatif, np.zeros((1, len(club.insight.whatif.axes)))
    here = {
        option_id: interpolated(grid.axes, corners(grid, option_id, "benefit"), tolerance)[0]
        for option_id in club.tags
    }
    for option_id, benefit in here.items():
        expected = club.option(option_id).likely.net_benefit
        assert benefit - here[club.figures.baseline] == pytest.approx(expected, abs=1e-6)


@law(50)
@given(values=st.lists(st.floats(-1e6, 1e6), min_size=8, max_size=8), at=st.floats(0.0, 1.0))
def test_multilinear_interpolation_is_scipys(values: list[float], at: float) -> None:
    """scipy.interpolate.RegularGridInterpolator, method "linear", on a grid of three axes."""
    points = (0.0, 2.0)
    axes = [Axis(key=k, paths=(), points=points, likely=0.0, step=1.0) for k in "abc"]
    cube = np.array(values).reshape(2, 2, 2)
    where = np.array([[2.0 * at, 1.0, 2.0 - at]])
    expected = RegularGridInterpolator([points] * 3, cube)(where)
    assert interpolated(axes, cube, where) == pytest.approx(expected, rel=1e-9, abs=1e-6)
