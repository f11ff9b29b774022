"""The airplane's part of figures.json, on a small airplane and on the demo folders."""

from pathlib import Path

import pytest

from airframe_cases import airplane, case_of
from panelworth.engine.airplane.airframe import airframe_figures
from panelworth.engine.airplane.downtime import planner_of
from panelworth.engine.airplane.failures import failures_of
from panelworth.engine.airplane.weight import weight_of
from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.reading.folder import read_case

SCENARIOS = Path(__file__).parents[1] / "scenarios"


def demo(name: str) -> Case:
    """Return a demo folder."""
    case, _ = read_case(SCENARIOS / name)
    assert case is not None
    return settled(case)


def test_the_figures_are_those_of_weight_and_of_the_worst_phase() -> None:
    plane = airplane(alternator={"amps": 50.0})
    old = {"name": "Old radio", "weight": 10.0, "arm": 20.0, "amps": 5.0}
    new = {"name": "New radio", "weight": 4.0, "arm": 22.0, "amps": 2.0}
    refit = {"title": "R", "kind": "retrofit", "removes": ["Old radio"], "installs": [new]}
    equipment = {"airplane": plane.model_dump(), "units": [old]}
    figures = airframe_figures(case_of(equipment=equipment, options={"refit": refit}), "refit")
    # 1169·10.6 = 12391.4, less 200, plus 88: 12279.4 over 1163.
    assert figures.empty_weight_change == -6
    assert figures.empty_cg == pytest.approx(12279.4 / 1163)
    assert figures.useful_load_change == 6
    assert (figures.continuous_load, figures.load_share) == (2.0, 0.04)


def test_what_is_not_described_is_none() -> None:
    assert airframe_figures(case_of(), "keep") is None
    units = case_of(equipment={"units": [{"name": "Radio", "amps": 2.0}]})
    figures = airframe_figures(units, "keep")
    assert (figures.empty_cg, figures.load_share, figures.continuous_load) == (None, None, 2.0)


@pytest.mark.parametrize("name", ["quillmeadow-club", "brackenholt-owner"])
def test_every_option_of_a_demo_folder_is_worked_out_to_the_end(name: str) -> None:
    case = demo(name)
    for option_id, option in case.options.items():
        assert weight_of(case, option_id).lines or not option.installs
        assert failures_of(case, option_id).unsupported == ()
        planner = planner_of(case, option_id)
        assert (planner is None) == (option.schedule is None)


def test_the_distant_refit_as_planned_meets_the_cruisers_annual() -> None:
    own = planner_of(demo("quillmeadow-club"), "full").planned
    assert [(each.why, each.what) for each in own.refusals] == [
        ("fleet", "The cruiser: Annual inspection")
    ]
