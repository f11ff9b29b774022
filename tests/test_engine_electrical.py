"""Electrical load, endurance and wires beside published values; sources in cases/airframe.json."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import CASES, airplane, case_of, unit
from panelworth.engine.airplane.electrical import (
    ALLOWED_DROP,
    PROTECTORS,
    WIRES,
    circuit_check,
    electrical_of,
    endurance,
    phase_load,
    protector_of,
    thinnest_wire,
    verdict,
    voltage_drop,
)
from panelworth.model.equipment import Alternator, Battery, Circuit
from written_numbers import written


@pytest.mark.parametrize("case_id", ["EL-01", "EL-02"])
def test_the_eighty_percent_rule_judges_as_published(case_id: str) -> None:
    case = CASES[case_id]
    given_ = case["arguments"]
    alternator = Alternator(amps=given_["amps"], monitored=given_["monitored"])
    assert [verdict(load, alternator) for load in given_["loads"]] == case["expected"]


def test_above_its_rating_an_alternator_is_over_even_if_monitored() -> None:
    assert verdict(60.1, Alternator(amps=60, monitored=True)) == "over the rating"
    assert verdict(60.0, Alternator(amps=60, monitored=True)) == "over, but monitored"


@pytest.mark.parametrize("case_id", ["EL-04", "EL-06", "EL-07", "EL-09"])
def test_voltage_drops_as_published_where_the_print_is_right(case_id: str) -> None:
    case = CASES[case_id]
    drop = voltage_drop(**case["arguments"])
    assert drop == pytest.approx(case["expected"], abs=case["tol"])


@pytest.mark.parametrize("case_id", ["EL-12", "EL-14"])
def test_a_battery_lasts_as_derived(case_id: str) -> None:
    case = CASES[case_id]
    given_ = case["arguments"]
    battery = Battery.model_validate(given_["battery"])
    found = endurance(battery, given_["full"], given_["essential"])
    assert found == pytest.approx(case["expected"], abs=case["tol"])


def test_a_battery_that_is_empty_before_the_failure_is_seen_ends_then() -> None:
    battery = Battery(ampere_hours=2, recognition_minutes=10)
    assert endurance(battery, 30.0, 1.0) == pytest.approx(4.0)


def test_a_battery_that_is_empty_just_when_the_failure_is_seen_ends_then() -> None:
    """5 Ah at 30 A are 10 minutes; with nothing essential left no more minutes follow."""
    battery = Battery(ampere_hours=5, recognition_minutes=10)
    assert endurance(battery, 30.0, 1.0) == endurance(battery, 30.0, 0.0) == pytest.approx(10.0)


def test_nothing_drawing_lasts_for_ever() -> None:
    assert endurance(Battery(ampere_hours=2), 0.0, 0.0) is None


@given(
    amps=st.floats(0.5, 60),
    essential=st.floats(0.1, 1.0),
    hours=st.floats(1, 60),
    minutes=written(0, 60),
    more=st.floats(0.01, 20),
)
def test_more_load_never_lasts_longer(
    amps: float, essential: float, hours: float, minutes: float, more: float
) -> None:
    battery = Battery(ampere_hours=hours, recognition_minutes=minutes)
    before = endurance(battery, amps, amps * essential)
    assert endurance(battery, amps + more, amps * essential) <= before + 1e-9
    assert endurance(battery, amps, amps * essential + more) <= before + 1e-9


def test_a_phase_adds_up_the_units_that_are_on_in_it() -> None:
    units = [
        unit("Radio", amps=[1, 2, 4], intermittent_amps=6.0, essential=True),
        unit("Light", amps=8.0, phases=["taxi"]),
    ]
    taxi = phase_load(units, "taxi", Alternator(amps=20), None)
    cruise = phase_load(units, "cruise", Alternator(amps=20), None)
    spans = (taxi.continuous.low, taxi.continuous.likely, taxi.continuous.high)
    assert spans == (9.0, 10.0, 12.0)
    assert (cruise.continuous.likely, cruise.intermittent.likely) == (2.0, 6.0)
    assert (taxi.share, cruise.share) == (0.5, 0.1)
    assert taxi.essential.high == 4.0


def test_what_essential_units_draw_at_times_counts_on_the_battery() -> None:
    """14 CFR 23.2525(c): "essential loads, including non-continuous essential loads".

    Worked by hand, a fifth of the time: until seen 10 + (6 + 5)/5 = 12.2 A, which in 6 minutes take
    1.22 of 10 Ah; then 3 + 6/5 = 4.2 A, which last 8.78/4.2·60 = 125.43 minutes more.
    """
    units = [
        unit("Radio", amps=3.0, intermittent_amps=6.0, essential=True),
        unit("Trim", amps=7.0, intermittent_amps=5.0),
    ]
    battery = Battery(ampere_hours=10.0, recognition_minutes=6.0)
    found = phase_load(units, "cruise", None, battery)
    assert found.essential_intermittent.likely == 6.0
    assert found.endurance is not None
    assert found.endurance.likely == pytest.approx(131.43, abs=0.005)
    calm = phase_load([unit("Radio", amps=3.0, essential=True)], "cruise", None, battery)
    assert calm.endurance is not None
    assert calm.endurance.likely == pytest.approx(200.0)


def test_the_shortest_minutes_are_those_of_any_phase_end_by_end() -> None:
    """Taxi draws 2 to 10 A, cruise 5 to 6 A: at worst 6 minutes of 1 Ah, at best 12."""
    plane = airplane(battery={"ampere_hours": 1.0})
    units = [
        {"name": "A", "amps": [2.0, 4.0, 10.0], "essential": True, "phases": ["taxi"]},
        {"name": "B", "amps": [5.0, 5.0, 6.0], "essential": True, "phases": ["cruise"]},
    ]
    case = case_of(equipment={"airplane": plane.model_dump(), "units": units})
    span = electrical_of(case, "keep").shortest_endurance
    assert (span.low, span.likely, span.high) == pytest.approx((6.0, 12.0, 12.0))


def test_an_option_is_judged_in_its_worst_phase() -> None:
    plane = airplane(
        alternator={"amps": 20.0}, battery={"ampere_hours": 10.0, "recognition_minutes": 6.0}
    )
    equipment = {
        "airplane": plane.model_dump(),
        "units": [
            {"name": "Radio", "amps": 4.0, "essential": True},
            {"name": "Heat", "amps": 13.0, "phases": ["cruise"]},
        ],
    }
    refit = {"title": "R", "kind": "retrofit", "removes": ["Heat"]}
    case = case_of(equipment=equipment, options={"refit": refit})
    today, after = electrical_of(case, "keep"), electrical_of(case, "refit")
    assert (today.worst_phase, today.continuous_load, today.limit) == ("cruise", 17.0, 16.0)
    assert (today.verdict, after.verdict) == ("over", "within")
    # 10 Ah - 17 A·0.1 h = 8.3 Ah; at 4 A that is 124.5 min, and the six before them.
    assert today.shortest_endurance.likely == pytest.approx(130.5)


PRINTED = """
24 2.5 4 5 28.40
22 3 5 6 16.20
20 4 7 9 9.88
18 6 9 12 6.23
16 7 11 14 4.81
14 10 14 18 3.06
12 13 19 25 2.02
10 17 26 32 1.26
8 38 57 71 0.70
6 50 76 97 0.44
4 68 103 133 0.28
2 95 141 179 0.18
1 113 166 210 0.15
0 128 192 243 0.12
"""


def test_every_wire_is_as_printed() -> None:
    """FAA AC 43.13-1B, Table 11-9: gauge, amps at 105, 150 and 200 degrees C, ohms in 1,000 ft."""
    printed = [[float(part) for part in line.split()] for line in PRINTED.split("\n") if line]
    assert printed == [
        [gauge, wire.amps_105, wire.amps_150, wire.amps_200, wire.ohms]
        for gauge, wire in WIRES.items()
    ]


def test_every_protector_is_as_printed() -> None:
    """FAA AC 43.13-1B, Table 11-3: gauges, breakers, fuses, in columns."""
    gauges = (22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0)
    breakers = (5, 7.5, 10, 15, 20, 30, 40, 50, 80, 100, 125, None, None)
    fuses = (5, 5, 10, 10, 15, 20, 30, 50, 70, 70, 100, 150, 150)
    printed = zip(gauges, zip(breakers, fuses, strict=True), strict=True)
    assert list(PROTECTORS.items()) == list(printed)


def test_every_allowed_drop_is_as_printed() -> None:
    """FAA AC 43.13-1B, Table 11-6; the second column, for intermittent loads, is from memory."""
    assert ALLOWED_DROP == {14: (0.5, 1), 28: (1, 2), 115: (4, 8), 200: (7, 14)}


def test_the_published_tables_are_whole() -> None:
    assert list(WIRES) == [24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0]
    for column in ("amps_105", "amps_150", "amps_200"):
        amps = [getattr(wire, column) for wire in WIRES.values()]
        assert amps == sorted(amps)
    ohms = [wire.ohms for wire in WIRES.values()]
    assert ohms == sorted(ohms, reverse=True)
    assert protector_of(12) == (30, 20)
    assert protector_of(0) == (None, 150)
    assert protector_of(24) == (None, None)


def test_the_thinnest_wire_carries_the_current_and_keeps_the_drop() -> None:
    # 10 A: Table 11-9 asks for gauge 14 (10 A at 105 °C); 20 ft · 3.06 · 10/1000 = 0.612 V is
    # more than 0.5 V, gauge 12 (2.02) loses 0.404 V.
    assert thinnest_wire(feet=20, amps=10, volts=14, intermittent=False) == 12
    assert thinnest_wire(feet=20, amps=10, volts=14, intermittent=True) == 14
    assert thinnest_wire(feet=20, amps=10, volts=28, intermittent=False) == 14
    assert thinnest_wire(feet=20, amps=500, volts=28, intermittent=False) is None


def test_a_wire_exactly_on_its_limits_is_enough() -> None:
    """62.5 A lose 0.28/1000·400·62.5 = 7 V in 400 ft of gauge 4, and 7 V are allowed.

    Gauge 1 has a fuse but no listed breaker; it carries 113 A.
    """
    assert thinnest_wire(feet=400, amps=62.5, volts=200, intermittent=False) == 4
    assert thinnest_wire(feet=1, amps=113, volts=28, intermittent=False) == 1


def test_a_circuit_in_metres_is_the_same_as_in_feet() -> None:
    us = circuit_check(Circuit(name="Heat", amps=8, length=15), metric=False)
    metric = circuit_check(Circuit(name="Heat", amps=8, length=4.572), metric=True)
    # Gauge 14 carries 10 A; 15 ft · 3.06 · 8/1000 = 0.367 V of 0.5 V; breaker 20, fuse 15.
    assert (us.gauge, us.breaker, us.fuse, us.allowed_drop) == (14, 20, 15, 0.5)
    assert us.drop == pytest.approx(0.3672)
    assert metric.drop == pytest.approx(us.drop)


@pytest.mark.parametrize(("units", "gauge"), [("us", 22), ("metric", 16)])
def test_an_option_s_circuits_are_measured_in_the_folder_s_units(units: str, gauge: int) -> None:
    """3 A lose 0.49 V in 10 ft of gauge 22; in 10 m (32.8 ft) 0.61 of 18 and 0.47 of 16."""
    circuit = {"name": "Lamp", "amps": 3.0, "length": 10.0, "volts": 14.0}
    plane = airplane(circuits=[circuit])
    case = case_of(scenario={"units": units}, equipment={"airplane": plane.model_dump()})
    [check] = electrical_of(case, "keep").circuits
    assert check.gauge == gauge


@given(feet=written(0, 200), amps=written(0, 150), volts=st.sampled_from([14, 28, 115, 200]))
def test_a_found_wire_is_always_strong_enough(feet: float, amps: float, volts: float) -> None:
    gauge = thinnest_wire(feet=feet, amps=amps, volts=volts, intermittent=False)
    if gauge is not None:
        assert WIRES[gauge].amps_105 >= amps - 1e-6
        assert voltage_drop(feet=feet, amps=amps, gauge=gauge) <= ALLOWED_DROP[volts][0] + 1e-6
        assert max(each or 0 for each in PROTECTORS[gauge]) >= amps
