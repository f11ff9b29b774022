"""Members' needs against panels, beside hand working."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import case_of
from laws import law
from panelworth.engine.airplane.capability import (
    borda,
    capability_of,
    rank_robustness,
    tipping_point,
    weights_of,
)
from panelworth.model.case import Case
from panelworth.model.needs import Ballot, Needs

NEEDS = Needs.model_validate(
    {
        "needs": [
            {"name": "Approaches", "functions": ["gps approach", "direction"]},
            {"name": "Night", "functions": ["position lights"]},
            {"name": "Map", "functions": ["moving map | gps approach"]},
        ]
    }
)
# Approvals: Approaches 1, Night 2, Map 1.
BALLOTS = (
    Ballot(line=2, marks={"Approaches": 1, "Night": 1}),
    Ballot(line=3, marks={"Night": 1, "Map": 1}),
)


def folder(ballots: tuple[Ballot, ...] = BALLOTS) -> Case:
    """Keep meets Night; the refit gives approaches and takes the lights out."""
    units = [
        {"name": "Lights", "provides": ["position lights"]},
        {"name": "Gyro", "provides": ["direction"]},
    ]
    navigator = {"name": "Navigator", "provides": ["gps approach"], "needs": ["direction"]}
    refit = {"title": "R", "kind": "retrofit", "removes": ["Lights"], "installs": [navigator]}
    options = {"refit": refit, "buy": {"title": "B", "kind": "replace"}}
    return case_of(equipment={"units": units}, options=options, needs=NEEDS, ballots=ballots)


def test_shares_are_those_of_the_approved_needs() -> None:
    """Keep meets Night alone, 2 of 4 marks; the refit Approaches and Map, 2 of 4: a tie."""
    figures = capability_of(folder())
    assert figures.weights == {"Approaches": 0.25, "Night": 0.5, "Map": 0.25}
    assert figures.share == {"keep": 0.5, "refit": 0.5}
    assert figures.met == {"keep": ("Night",), "refit": ("Approaches", "Map")}
    assert figures.first == ("keep", "refit")
    assert sum(figures.chance_first.values()) == pytest.approx(1)


def test_an_option_without_equipment_is_left_out_and_equal_weights_without_ballots() -> None:
    figures = capability_of(folder(ballots=()))
    assert set(figures.share) == {"keep", "refit"}
    assert figures.share == pytest.approx({"keep": 1 / 3, "refit": 2 / 3})
    assert figures.first == ("refit",)
    # Night must rise from 1/3 to 1/2 before keep is level; Approaches must fall to 0, where
    # Night and Map share all: 1/2 each. The same for Map.
    tips = {each.need: each.tips_at for each in figures.tipping_points}
    assert tips["Night"] == pytest.approx(0.5)
    assert tips["Approaches"] == pytest.approx(0.0)
    assert {each.new_first for each in figures.tipping_points} == {"keep"}


def test_rankings_give_borda_points_and_only_their_order_counts() -> None:
    needs = Needs(ballots="ranking", needs=NEEDS.needs)
    ballot = Ballot(line=2, marks={"Night": 1, "Map": 7})
    # Three needs: 3 points for Night, 2 for Map, none for Approaches.
    assert weights_of(needs, (ballot,)).tolist() == [0.0, 0.6, 0.4]
    assert borda({"a": 2, "b": 2}, 3) == {"a": 2.5, "b": 2.5}


@law(150)
@given(data=st.data())
def test_the_tipping_point_is_the_nearest_weight_that_changes_the_first(
    data: st.DataObject,
) -> None:
    """Against a fine sweep of the one weight."""
    size = data.draw(st.tuples(st.integers(2, 4), st.integers(2, 4)))
    rows = st.lists(st.booleans(), min_size=size[1], max_size=size[1])
    met = np.array(data.draw(st.lists(rows, min_size=size[0], max_size=size[0])))
    raw = data.draw(st.lists(st.integers(1, 9), min_size=size[1], max_size=size[1]))
    weights = np.array(raw) / sum(raw)
    names = [f"o{n}" for n in range(size[0])]
    shares = met @ weights
    first = set(np.flatnonzero(shares >= shares.max() - 1e-12))
    found = tipping_point(met, weights, 0, "need", names)
    rest = met @ np.where(np.arange(size[1]) == 0, 0.0, weights) / (1 - weights[0])
    if found.tips_at is not None:
        there = found.tips_at * met[:, 0] + (1 - found.tips_at) * rest
        assert there[names.index(found.new_first)] == pytest.approx(there.max(), abs=1e-9)
    for place in np.linspace(0, 1, 201):
        moved = place * met[:, 0] + (1 - place) * rest
        ahead = {n for n in np.flatnonzero(moved >= moved.max() - 1e-12) if n not in first}
        lost = bool(ahead) and moved[list(ahead)].max() > moved[list(first)].max() + 1e-12
        if lost:
            assert found.tips_at is not None
            assert abs(found.tips_at - weights[0]) <= abs(place - weights[0]) + 1e-9


@pytest.mark.parametrize("number", range(1, 30))
def test_two_options_with_the_same_need_are_level_where_it_has_all_the_weight(number: int) -> None:
    """The crossing is at a weight of exactly 1, whatever floating point makes of thirds."""
    raw = np.array([1.0, 7.0, number / 5])
    met = np.array([[True, True, False], [True, False, True]])
    found = tipping_point(met, raw / raw.sum(), 0, "need", ["one", "two"])
    assert found.tips_at == pytest.approx(1.0)


def test_the_same_seed_gives_the_same_draws() -> None:
    met, weights = np.array([[True, False], [False, True]]), np.array([0.6, 0.4])
    first, kept = rank_robustness(met, weights, seed=7)
    again, _ = rank_robustness(met, weights, seed=7)
    assert first.tolist() == again.tolist()
    # u1·0.6 > u2·0.4 with both from 0.5 to 1.5: all but the corner u1 < 2/3·u2, a triangle with
    # sides 0.5 and 0.75 below u2 = 1.5: an area of 0.5·0.75/2 = 0.1875 of 1.
    assert first[0] == pytest.approx(1 - 0.1875, abs=0.02)
    assert kept == pytest.approx(first[0], abs=1e-12)


def test_nothing_is_said_without_needs() -> None:
    assert capability_of(case_of()) is None
