"""The envelope's geometry beside shapely, and the burn beside fine sampling."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from airframe_cases import airplane
from laws import law
from panelworth.engine.airplane.envelope import (
    Burn,
    arm_of,
    corners_of,
    decimal,
    holds,
    limits_at,
    margins,
    mass_at,
    outside,
    state,
)
from panelworth.engine.airplane.weight import trace
from panelworth.model.equipment import LoadingCase

Corners = list[tuple[float, float]]
Pair = tuple[float, float]
whole = st.integers(0, 12)
corner = st.tuples(whole, whole)
polygons = st.lists(corner, min_size=3, max_size=8, unique=True).filter(
    lambda corners: Polygon(corners).is_valid and Polygon(corners).area > 0
)


@law(200)
@given(corners=polygons, arm=whole, weight=whole)
def test_a_point_is_inside_exactly_when_shapely_says_so_boundary_included(
    corners: Corners, arm: float, weight: float
) -> None:
    expected = Polygon(corners).covers(Point(arm, weight))
    assert holds(corners_of(corners), Fraction(arm), Fraction(weight)) == expected


@law(200)
@given(corners=polygons, arm=st.floats(-1, 13), weight=st.floats(-1, 13))
def test_off_the_boundary_shapely_agrees_at_any_point(
    corners: Corners, arm: float, weight: float
) -> None:
    polygon, point = Polygon(corners), Point(arm, weight)
    assume(polygon.boundary.distance(point) > 1e-9)
    assert holds(corners_of(corners), decimal(arm), decimal(weight)) == polygon.covers(point)


@law(100)
@given(corners=polygons, weight=st.floats(0.1, 11.9))
def test_the_limits_at_a_weight_are_where_a_level_line_leaves_the_polygon(
    corners: Corners, weight: float
) -> None:
    level = Polygon(corners).intersection(LineString([(-1, weight), (13, weight)]))
    found = limits_at(corners_of(corners), decimal(weight))
    assume(not level.is_empty and found)
    assert (float(found[0]), float(found[1])) == pytest.approx(level.bounds[::2], abs=1e-9)


masses = st.tuples(st.integers(1, 9), st.integers(-3, 15))


@law(120)
@given(corners=polygons, body=masses, fuel=masses)
def test_a_burn_is_outside_just_where_sampled_states_are(
    corners: Corners, body: Pair, fuel: Pair
) -> None:
    burn = Burn(no_fuel=mass_at(*body), fuel=mass_at(*fuel))
    exact, most = corners_of(corners), Fraction(100)
    out = outside(exact, burn, most)
    for step in range(21):
        share = Fraction(step, 20)
        mass = state(burn, share)
        inside = holds(exact, arm_of(mass), mass.weight)
        touching = Polygon(corners).boundary.distance(Point(arm_of(mass), mass.weight)) < 1e-9
        if any(low + 1e-9 < share < high - 1e-9 for low, high in out):
            assert not inside or touching
        elif not any(low - 1e-9 < share < high + 1e-9 for low, high in out):
            assert inside


@law(150)
@given(body=masses, fuel=masses)
def test_margins_are_the_least_of_many_sampled_states(body: Pair, fuel: Pair) -> None:
    exact = corners_of([[2, 0], [4, 10], [6, 20], [9, 20], [10, 9], [8, 0]])
    burn = Burn(no_fuel=mass_at(*body), fuel=mass_at(*fuel))
    found = margins(exact, burn)
    sampled = []
    for step in range(101):
        mass = state(burn, Fraction(step, 100))
        low, high = limits_at(exact, mass.weight)
        sampled.append((float(arm_of(mass) - low), float(high - arm_of(mass))))
    for side in (0, 1):
        least = min(each[side] for each in sampled)
        assert least - 0.03 <= found[side] <= least + 1e-9


def test_a_burn_that_bulges_out_between_two_states_inside_is_caught() -> None:
    """(arm, weight) follows a hyperbola: no fuel and full fuel are inside, half is not.

    Body 100 at arm 10, fuel 300 at arm 50: arm = 50 - 4000/w, so 10 at w = 100, 30 at 200, 40 at
    400. The envelope's aft edge runs straight from (11, 100) to (41, 400): at w = 200 it allows 21.
    """
    corners = corners_of([[0, 100], [0, 400], [41, 400], [11, 100]])
    burn = Burn(no_fuel=mass_at(100, 10), fuel=mass_at(300, 50))
    ((low, high),) = outside(corners, burn, Fraction(1000))
    # 50 - 4000/w = 11 + (w-100)/10  =>  w² - 490w + 40000 = 0... w = (490 ± √(490² - 160000))/2
    root = (490**2 - 160000) ** 0.5
    assert low == pytest.approx(((490 - root) / 2 - 100) / 300)
    assert high == pytest.approx(((490 + root) / 2 - 100) / 300)
    # Farthest out where the slopes agree: 4000/w² = 1/10, w = 200: 21 - 30 = -9.
    assert margins(corners, burn)[1] == pytest.approx(-9)


def test_a_dent_in_the_envelope_is_where_the_margin_is_least() -> None:
    """All at arm 15; the aft limit is 25 at 100, 20 at the corner at 200, 30 at 400."""
    corners = corners_of([[0, 0], [0, 400], [30, 400], [20, 200], [30, 0]])
    burn = Burn(no_fuel=mass_at(100, 15), fuel=mass_at(300, 15))
    assert margins(corners, burn) == pytest.approx((15, 5))


def test_a_loading_exactly_on_a_limit_in_decimals_is_allowed() -> None:
    """1584.3 + 0.1 + 0.2 is not 1584.6 in binary; as written it is."""
    plane = airplane(
        empty_weight=1584.3,
        empty_arm=0.1,
        max_weight=1584.6,
        envelope=[[0.1, 1000], [0.1, 1584.6], [0.5, 1584.6], [0.5, 1000]],
        stations={"A": 0.1, "B": 0.1},
    )
    loading = LoadingCase(name="L", loads={"A": 0.1, "B": 0.2})
    done = trace(plane, mass_at(1584.3, 0.1), loading)
    assert done.within
    assert (done.forward_margin, done.weight_margin) == (0.0, 0.0)


def test_fuel_over_the_maximum_weight_is_named() -> None:
    plane = airplane(envelope=[])
    loads = {"Oil": 17.0, "Front": 340.0, "Rear": 340.0}
    done = trace(plane, mass_at(1169, 10.6), LoadingCase(name="L", loads=loads, fuel=40.0))
    assert not done.within
    ((low, high),) = done.outside
    assert (low, high) == (pytest.approx(39.0), 40.0)
    assert done.forward_margin is None
    assert done.weight_margin == -6.0
