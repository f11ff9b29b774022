"""Cut sets beside published trees and exhaustive enumeration; the lost-function reference case."""

from collections import Counter
from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import CASES, case_of, unit
from laws import law
from panelworth.engine.airplane.aircraft_configuration import Configuration
from panelworth.engine.airplane.cut_sets import cut_sets
from panelworth.engine.airplane.failures import failure_figures, failures_of, provided
from panelworth.engine.airplane.flight_rules import ALWAYS, rule_states
from panelworth.engine.airplane.networks import Network, network_of
from panelworth.engine.results.airplane import (
    FailureFigures,
    UnitFailure,
)
from panelworth.model.equipment import Unit

Gates = dict[str, list[str]]


def figures_of(*units: Unit) -> FailureFigures:
    """Return the figures of an airplane that has just these units."""
    fitted = Configuration(airplane=None, units=units, loading_cases=())
    return failure_figures(fitted, fitted)


def tree(top: str, gates: Gates) -> tuple[Network, list[str]]:
    """Write a fault tree as units: an "or" of failures needs all, an "and" needs any.

    Gates cannot fail themselves; basic events can.
    """
    events = sorted({each for _, *parts in gates.values() for each in parts} - gates.keys())
    units = [unit(name) for name in events]
    for name, (kind, *parts) in gates.items():
        needs = parts if kind == "or" else [" | ".join(parts)]
        gives = ["top"] if name == top else []
        units.append(unit(name, needs=needs, provides=gives))
    return network_of(units), events


def sets_of(case_id: str, most: int) -> set[tuple[str, ...]]:
    """Return the sets found for a published tree."""
    arguments = CASES[case_id]["arguments"]
    network, events = tree(arguments["top"], arguments["gates"])
    return {tuple(sorted(cut)) for cut in cut_sets(network, most=most, may_fail=events).sets["top"]}


@pytest.mark.parametrize("case_id", ["FT-01", "FT-02", "FT-05", "FT-06", "FT-09"])
def test_a_published_tree_has_its_published_cut_sets(case_id: str) -> None:
    expected = {tuple(sorted(each)) for each in CASES[case_id]["expected"]}
    assert sets_of(case_id, 4) == expected


def test_the_three_motor_tree_has_all_its_published_sets() -> None:
    found = sets_of("FT-08", 7)
    expected = CASES["FT-08"]["expected"]
    assert Counter(str(len(each)) for each in found) == expected["count"]
    assert sorted(each for each in found if len(each) == 2) == sorted(
        tuple(each) for each in expected["order 2"]
    )


names = "abcdefg"
entry = st.lists(st.sampled_from([*names, "f1", "f2"]), min_size=1, max_size=3).map(" | ".join)
networks = st.lists(
    st.tuples(st.lists(entry, max_size=2), st.lists(st.sampled_from(["f1", "f2"]), max_size=1)),
    min_size=1,
    max_size=7,
).map(
    lambda rows: [
        unit(names[n], needs=needs, provides=gives) for n, (needs, gives) in enumerate(rows)
    ]
)


def functions_left(units: list[Unit], failed: set[str]) -> set[str]:
    """Start from nothing and add what is supported, in plain sets: the definition itself."""
    up = set()
    while True:
        there = up | {name for each in units if each.name in up for name in each.provides}
        more = {
            each.name
            for each in units
            if each.name not in failed
            and all(any(part.strip() in there for part in need.split("|")) for need in each.needs)
        }
        if more <= up:
            return {name for each in units if each.name in up for name in each.provides}
        up |= more


@law(300)
@given(units=networks)
def test_cut_sets_are_those_of_exhaustive_enumeration_also_with_circles(units: list[Unit]) -> None:
    everything = [each.name for each in units]
    every = chain.from_iterable(combinations(everything, n) for n in range(4))
    losing = {frozenset(each): functions_left(units, set(each)) for each in every}
    found = cut_sets(network_of(units), most=3).sets
    for function, sets in found.items():
        lost = [each for each, left in losing.items() if function not in left]
        minimal = {each for each in lost if not any(other < each for other in lost)}
        assert {frozenset(each) for each in sets} == minimal
        assert len(set(sets)) == len(sets)
        assert [len(each) for each in sets] == sorted(len(each) for each in sets)


def test_a_unit_that_needs_itself_through_a_circle_is_down() -> None:
    circle = [unit("a", needs=["b"], provides=["x"]), unit("b", needs=["a"])]
    assert provided(circle) == frozenset()
    supported = [unit("a", needs=["b | c"], provides=["x"]), unit("b", needs=["a"]), unit("c")]
    assert provided(supported) == {"x"}
    assert cut_sets(network_of(supported), most=3).sets["x"] == (("a",), ("c",))


def test_an_alternator_that_needs_the_battery_to_start_is_no_circle_without_it() -> None:
    figures = figures_of(
        unit("alternator", needs=["battery"], provides=["electrical source"]),
        unit("battery", provides=["electrical source"]),
    )
    assert figures.unsupported == ()
    assert figures.cut_sets["electrical source"] == (("battery",),)


REFERENCE = (  # AC 91-75: one vacuum source feeds attitude and heading; the turn unit is electric
    unit("pitot-static", provides=["pressure"]),
    unit("airspeed", needs=["pitot-static"], provides=["airspeed"]),
    unit("altimeter", needs=["pitot-static"], provides=["altimeter"]),
    unit("vacuum pump", provides=["vacuum"]),
    unit("attitude gyro", needs=["vacuum"], provides=["attitude"]),
    unit("heading gyro", needs=["vacuum"], provides=["direction"]),
    unit("alternator", provides=["electrical source"]),
    unit("battery", provides=["electrical source"]),
    unit("turn", needs=["electrical source"], provides=["rate of turn", "slip-skid"]),
    unit("compass", provides=["magnetic direction"]),
    unit("engine gauges", provides=["tachometer", "oil pressure", "oil temperature"]),
    unit("fuel gauges", provides=["fuel quantity"]),
    unit("clock", provides=["clock"]),
    unit("radio", needs=["electrical source"], provides=["communication", "navigation"]),
)


def failure(figures: FailureFigures, name: str) -> UnitFailure:
    """Return what one unit takes with it."""
    return next(each for each in figures.failures if each.unit == name)


def rules(effect: UnitFailure) -> dict[str, tuple[str, ...]]:
    """Return what each rule misses."""
    return {state.rule: state.missing for state in effect.rules}


def test_the_vacuum_pump_takes_attitude_and_direction_and_leaves_day_vfr() -> None:
    figures = figures_of(*REFERENCE)
    pump = failure(figures, "vacuum pump")
    assert pump.disabled == ("attitude gyro", "heading gyro")
    assert pump.lost == ("vacuum", "attitude", "direction")
    assert "rate of turn" in pump.kept
    assert rules(pump)["day VFR"] == ()
    assert rules(pump)["IFR"] == ("attitude", "direction")
    assert "vacuum pump" in figures.single_points
    assert figures.cut_sets["attitude"] == (("vacuum pump",), ("attitude gyro",))


DISPLAY = (
    *(
        each
        for each in REFERENCE
        if each.name not in ("airspeed", "altimeter", "vacuum pump") and "gyro" not in each.name
    ),
    unit(
        "display",
        needs=["electrical source", "pressure"],
        provides=["airspeed", "altimeter", "attitude", "direction"],
    ),
)


def test_a_lone_display_takes_airspeed_and_altitude_with_it() -> None:
    effect = failure(figures_of(*DISPLAY), "display")
    assert effect.lost == ("airspeed", "altimeter", "attitude", "direction")
    assert rules(effect)["day VFR"] == ("airspeed", "altimeter")


def test_an_independent_standby_keeps_airspeed_altitude_attitude_and_magnetic_direction() -> None:
    """14 CFR 23.1311(a)(5): independent of the airplane's primary electrical power."""
    standby = unit("standby", needs=["pressure"], provides=["airspeed", "altimeter", "attitude"])
    figures = figures_of(*DISPLAY, standby)
    effect = failure(figures, "display")
    assert effect.lost == ("direction",)
    assert {"airspeed", "altimeter", "attitude", "magnetic direction"} <= set(effect.kept)
    assert rules(effect)["day VFR"] == ()
    assert ("alternator", "battery") not in figures.cut_sets["attitude"]
    assert ("alternator", "battery") in figures.cut_sets["direction"]


def test_what_nobody_provides_is_missing_and_never_lost() -> None:
    units = [each for each in REFERENCE if each.name != "clock"]
    broken = unit("dead display", needs=["nothing of that name"], provides=["moving map"])
    figures = figures_of(*units, broken)
    assert {"clock", "moving map", "position lights"} <= set(figures.missing)
    assert figures.unsupported == ("dead display",)
    assert all(not {"clock", "moving map"} & set(each.lost) for each in figures.failures)
    assert "moving map" not in figures.cut_sets


def test_what_depends_on_the_airplane_is_asked_for_only_where_it_is_listed_today() -> None:
    every = {name for part in ALWAYS.values() for name in part}
    states = {each.rule: each for each in rule_states(every, [])}
    assert all(each.met for each in states.values())
    states = {each.rule: each for each in rule_states(every, ["landing light", "generator"])}
    assert states["night VFR"].missing == ("landing light",)
    assert states["IFR"].missing == ("generator",)
    assert states["day VFR"].met


def test_the_loss_of_the_alternator_takes_what_ifr_asks_for() -> None:
    """14 CFR 91.205(d)(7): a generator or alternator of adequate capacity; a battery is none."""
    units = [each.model_dump() for each in REFERENCE]
    figures = failures_of(case_of(equipment={"units": units}), "keep")
    assert failure(figures, "alternator").lost == ("generator",)
    assert rules(failure(figures, "alternator"))["IFR"][-1] == "generator"
    assert "generator" not in rules(failure(figures, "alternator"))["night VFR"]


def test_a_unit_that_takes_just_its_own_function_is_no_single_point() -> None:
    two = unit("two", provides=["a", "b"])
    figures = figures_of(unit("one", provides=["c"]), two)
    assert figures.single_points == {"two": ("a", "b")}


def test_a_unit_that_provides_nothing_is_idle_unless_others_hang_on_it() -> None:
    shelf = unit("radio", provides=["communication"], needs=["rack"])
    assert figures_of(shelf, unit("rack"), unit("ballast")).idle == ("ballast",)


def test_a_listed_function_that_the_option_takes_out_is_missed() -> None:
    equipment = {"units": [each.model_dump() for each in REFERENCE]}
    refit = {"title": "R", "kind": "retrofit", "removes": ["engine gauges"]}
    figures = failures_of(case_of(equipment=equipment, options={"refit": refit}), "refit")
    missing = {each.rule: each.missing for each in figures.rules}
    assert missing["day VFR"] == ("tachometer", "oil pressure", "oil temperature")
