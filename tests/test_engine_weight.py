"""Weight and balance beside published cases; the source of each is in cases/airframe.json."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import CASES, SET_A, airplane, case_of, unit, units_of
from panelworth.engine.airplane.aircraft_configuration import Configuration
from panelworth.engine.airplane.envelope import arm_of, mass_at, total
from panelworth.engine.airplane.weight import (
    POUND,
    adverse_checks,
    empty_mass,
    equipment_lines,
    fuel_allowed,
    least_ballast,
    negligible,
    trace,
    weight_of,
)
from panelworth.engine.results.airplane import (
    AdverseCheck,
)
from panelworth.model.equipment import Equipment, LoadingCase

ADDED_UP = ("WB-01", "WB-09", "WB-11", "WB-13", "WB-17", "WB-18a", "WB-18b")
numbers = st.floats(-1000, 1000, allow_nan=False).map(lambda x: round(x, 2))


@pytest.mark.parametrize("case_id", ADDED_UP)
def test_weights_and_moments_add_up_as_published(case_id: str) -> None:
    case = CASES[case_id]
    whole = total(mass_at(*row) for row in case["arguments"]["masses"])
    found = {"weight": whole.weight, "moment": whole.moment, "cg": arm_of(whole)}
    for key, expected in case["expected"].items():
        assert float(found[key]) == pytest.approx(expected, abs=case["tol"][key])


@pytest.mark.parametrize("case_id", ["EQ-01", "EQ-03", "EQ-03b"])
def test_an_equipment_change_gives_the_published_empty_airplane(case_id: str) -> None:
    case = CASES[case_id]
    rows = case["arguments"]
    equipment = {
        "airplane": {
            "empty_weight": rows["empty"][0],
            "empty_arm": rows["empty"][1],
            "max_weight": 3000.0,
        },
        "units": units_of(rows["removes"], "Old"),
    }
    refit = {
        "title": "R",
        "kind": "retrofit",
        "removes": [each["name"] for each in equipment["units"]],
        "installs": units_of(rows["installs"], "New"),
    }
    figures = weight_of(case_of(equipment=equipment, options={"refit": refit}), "refit")
    found = {
        "weight": figures.empty_weight,
        "moment": figures.empty_moment,
        "cg": figures.empty_cg,
    }
    for key, expected in case["expected"].items():
        assert found[key] == pytest.approx(expected, abs=case["tol"][key])
    assert figures.useful_load_change == pytest.approx(-figures.empty_weight_change)
    if case_id == "EQ-01":  # the page says forward; the numbers say aft, by 1.90
        assert figures.empty_cg_change == pytest.approx(1.90, abs=0.005)


def test_most_passengers_leave_the_published_fuel() -> None:
    case = CASES["WB-03"]
    loads = {"Oil": 17.0, "Front": 340.0, "Rear": 340.0}
    empty = mass_at(1169, 10.6)
    fuel = fuel_allowed(airplane(), empty, loads)
    assert fuel == pytest.approx(case["expected"]["fuel"], abs=case["tol"]["fuel"])
    done = trace(airplane(), empty, LoadingCase(name="L", loads=loads, fuel=fuel))
    assert done.most_fuel == fuel
    assert done.start_weight == case["expected"]["weight"]
    assert done.start_cg == pytest.approx(case["expected"]["cg"], abs=case["tol"]["cg"])
    assert done.start_cg != pytest.approx(18.6, abs=0.05)  # the printed error


def test_the_loading_schedule_is_allowed_down_to_no_fuel() -> None:
    case = CASES["WB-05"]
    for number, row in enumerate(case["arguments"]["loads"]):
        loads = {"Oil": 17.0, **{key: float(row[key]) for key in ("Front", "Rear", "Baggage")}}
        loading = LoadingCase(name="L", loads=loads, fuel=float(row["fuel"]))
        done = trace(airplane(), mass_at(1169, 10.6), loading)
        assert done.start_weight == case["expected"]["weight"][number]
        assert done.start_cg == pytest.approx(case["expected"]["cg"][number], abs=case["tol"])
        assert done.within


def test_useful_load_is_maximum_less_empty() -> None:
    figures = weight_of(case_of(equipment={"airplane": airplane().model_dump()}), "keep")
    assert figures.useful_load == CASES["WB-06"]["expected"]
    assert figures.full_fuel_payload == 931 - 240
    assert figures.empty_weight_change == 0


def test_the_forward_extreme_takes_the_pilot_and_least_fuel_as_published() -> None:
    case = CASES["WB-01"]
    forward, aft = adverse_checks(airplane(), mass_at(1169, 10.6))
    assert forward.loads == {"Oil": 17.0, "Front": 170.0}
    assert forward.weight == pytest.approx(case["expected"]["weight"])
    assert forward.cg == pytest.approx(case["expected"]["cg"], abs=case["tol"]["cg"])
    assert (forward.limit, forward.within) == (8.5, True)
    # Aft is its mirror: tank at 22.0 is behind 21.9, so full; rear seats and baggage loaded.
    assert aft.loads == {"Oil": 17.0, "Front": 170.0, "Rear": 340.0, "Baggage": 100.0}
    assert (aft.weight, aft.fuel) == (2036, 40)
    assert aft.cg == pytest.approx(21.33, abs=0.005)
    assert aft.margin == pytest.approx(21.9 - aft.cg)


def test_a_tank_ahead_of_the_forward_limit_is_full_in_the_forward_extreme() -> None:
    tank = {"arm": 2.0, "usable": 40.0, "weight_per_unit": 6.0}
    forward, aft = adverse_checks(airplane(fuel=tank), mass_at(1169, 10.6))
    assert forward.fuel == 40
    assert aft.fuel == pytest.approx(83 / 6)


def test_a_tank_on_a_limit_is_beyond_neither() -> None:
    tank = {"usable": 40.0, "weight_per_unit": 6.0}
    assert adverse_checks(airplane(fuel={**tank, "arm": 21.9}), mass_at(1169, 10.6))[1].fuel < 40
    assert adverse_checks(airplane(fuel={**tank, "arm": 8.5}), mass_at(1169, 10.6))[0].fuel < 40


def test_an_extreme_exactly_on_its_limit_is_inside_and_needs_nothing() -> None:
    plane = airplane(stations={"Seat": 21.9}, adverse={"aboard": {}, "most": {}}, fuel=None)
    aft = adverse_checks(plane, mass_at(1169, 21.9))[1]
    assert (aft.within, aft.margin, aft.ballast) == (True, 0.0, None)


@pytest.mark.parametrize(
    ("units", "weight", "expected"),
    [("us", 1.0, True), ("us", 1.01, False), ("metric", 0.45, True), ("metric", 0.46, False)],
)
def test_a_pound_is_measured_in_the_folder_s_units(
    units: str, weight: float, *, expected: bool
) -> None:
    """AC 43.13-1B par 10-2c: 1 lb, which is 0.4536 kg."""
    clock = {"name": "Clock", "weight": weight, "arm": 10.0}
    case = case_of(
        scenario={"units": units},
        equipment={"airplane": airplane().model_dump(), "units": [clock]},
        options={"refit": {"title": "R", "kind": "retrofit", "removes": ["Clock"]}},
    )
    assert weight_of(case, "refit").negligible.weight is expected


def test_a_station_on_a_limit_is_beyond_neither() -> None:
    stations = {"Oil": -49.0, "Front": 16.0, "Rear": 21.9, "Baggage": 8.5}
    forward, aft = adverse_checks(airplane(stations=stations), mass_at(1169, 10.6))
    assert forward.loads == aft.loads == {"Oil": 17.0, "Front": 170.0}


@pytest.mark.parametrize("case_id", ["BL-01", "BL-02"])
def test_the_least_ballast_is_that_of_the_published_examples(case_id: str) -> None:
    case = CASES[case_id]
    rows = case["arguments"]
    low, high = rows["limits"]
    plane = airplane(
        max_weight=6000.0,
        envelope=[[low, 1000], [low, 6000], [high, 6000], [high, 1000]],
        stations={"Ahead": -10.0, "Near": rows["arm"] - 50, "Here": rows["arm"]},
        adverse=None,
    )
    name, ballast = least_ballast(plane, mass_at(rows["weight"], rows["cg"]), {}, "forward")
    assert name == "Here"
    assert ballast == pytest.approx(case["expected"], abs=case["tol"])


def heavy_tail(baggage: float, *, front: float = 170.0, **changed: object) -> AdverseCheck:
    """Return the aft extreme of set A with so much baggage, and so much always in front."""
    most = {**SET_A["adverse"]["most"], "Baggage": baggage}
    aboard = {**SET_A["adverse"]["aboard"], "Front": front}
    adverse = {**SET_A["adverse"], "aboard": aboard, "most": most}
    return adverse_checks(airplane(adverse=adverse, **changed), mass_at(1169, 10.6))[1]


@given(baggage=st.integers(101, 164))
def test_what_mends_an_extreme_is_just_enough(baggage: int) -> None:
    """Each way is put back into the file: with it the extreme is inside, with a bit less it is not.

    Set A is 2,036 lb with 100 lb of baggage, so up to 164 lb only the CG is out.
    """
    check = heavy_tail(baggage)
    if check.within:
        assert (check.most_inside, check.ballast) == ({}, None)
        return
    assert set(check.most_inside) <= {"Rear", "Baggage"}  # what is always aboard stays aboard
    bags = check.most_inside["Baggage"]
    assert heavy_tail(math.floor(bags * 1e6) / 1e6).within
    assert not heavy_tail(bags + 0.001).within
    # The oil's station has the longest lever, but the file allows no more than its oil there.
    if check.ballast is None:
        assert not heavy_tail(baggage, front=170.0 + 2100 - check.weight).within
        return
    name, ballast = check.ballast
    assert name == "Front"
    assert heavy_tail(baggage, front=170.0 + math.ceil(ballast * 1e6) / 1e6).within
    assert not heavy_tail(baggage, front=170.0 + ballast - 0.001).within


def test_ballast_goes_to_the_longest_lever_that_has_room() -> None:
    """Worked by hand: with 160 lb of bags it weighs 2,096 lb, 0.9809 aft of the limit 21.9.

    (43,428.4 + 60·75.5)/2,096 = 22.8809. The nose at -60 has a lever of 81.9 in: 2,096·
    0.9809/81.9 = 25.10 lb. The oil's station is further forward than one at 0, but full.
    """
    envelope = [[8.5, 1000], [8.5, 2300], [21.9, 2300], [21.9, 1000]]
    roomy = {"max_weight": 2300.0, "envelope": envelope}
    nose = heavy_tail(160, stations={**SET_A["stations"], "Nose": -60.0}, **roomy).ballast
    assert nose == ("Nose", pytest.approx(25.10, abs=0.005))
    near = heavy_tail(160, stations={**SET_A["stations"], "Floor": 0.0}, **roomy).ballast
    assert near == ("Floor", pytest.approx(2096 * 0.9809 / 21.9, abs=0.02))
    full = heavy_tail(160, stations={**SET_A["stations"], "Nose": -60.0})
    assert full.ballast is None  # 2,100 lb at most: only 4 lb are left


def test_a_loading_that_no_station_can_mend_says_so() -> None:
    """An empty airplane that is itself behind the aft limit, with one station on that limit."""
    plane = airplane(stations={"Seat": 21.9}, adverse={"aboard": {}, "most": {}}, fuel=None)
    aft = adverse_checks(plane, mass_at(1169, 25.0))[1]
    assert not aft.within
    assert (aft.most_inside, aft.ballast) == ({}, None)


@given(weight=numbers, arm=numbers)
def test_removing_a_unit_mirrors_installing_it(weight: float, arm: float) -> None:
    """R-WB-1: the moment's sign is that of weight times arm; out after in changes nothing."""
    one = unit("X", weight=abs(weight), arm=arm)
    (out,), (put,) = equipment_lines([one], []), equipment_lines([], [one])
    assert out.weight == -put.weight
    assert out.moment == -put.moment
    if put.weight and put.moment:
        assert math.copysign(1, put.moment) == math.copysign(1, arm)
        assert math.copysign(1, out.moment) == -math.copysign(1, arm)
    same = Configuration(
        airplane=airplane(), units=(), loading_cases=(), removed=(one,), installed=(one,)
    )
    assert empty_mass(same) == mass_at(1169, 10.6)


def test_a_negligible_change_is_one_pound_below_five_thousand_and_so_on() -> None:
    """AC 43.13-1B par 10-2c."""
    one = Fraction(1)
    rows = [(1, 4999, True), (1.01, 4999, False), (2, 5000, True), (2, 50000, True)]
    rows += [(2.01, 50000, False), (5, 50001, True), (-1, 1584, True)]
    for change, empty, expected in rows:
        found = negligible(
            Fraction(str(change)), empty_weight=Fraction(empty), pound=one, mac_share=None
        )
        assert (found.weight, found.cg) == (expected, None)
    metric = negligible(POUND, empty_weight=Fraction(600), pound=POUND, mac_share=None)
    assert metric.weight
    for share, expected in (("0.0004", True), ("-0.0004", True), ("0.0005", False)):
        found = negligible(one, empty_weight=one, pound=one, mac_share=Fraction(share))
        assert found.cg is expected


def test_a_replacement_is_weighed_by_its_own_file_and_its_installs() -> None:
    radio = {"name": "Old radio", "weight": 9.0, "arm": 20.0}
    own = {"airplane": airplane(empty_weight=1300.0).model_dump(), "units": [radio]}
    option = {
        "title": "B",
        "kind": "replace",
        "removes": ["Old radio"],  # out of the airplane that is sold
        "installs": [{"name": "Radio", "weight": 5.0, "arm": 20.0}],
    }
    case = case_of(
        equipment={"airplane": airplane().model_dump(), "units": [radio]},
        options={"buy": option},
        replacements={"buy": Equipment.model_validate(own)},
    )
    figures = weight_of(case, "buy")
    assert figures.empty_weight == 1305
    assert figures.empty_weight_change == 136
    assert figures.full_fuel_payload_change == -136
    assert figures.negligible is None  # another airplane, not a change of this one


def test_a_replacement_without_its_own_file_has_no_weight() -> None:
    option = {"title": "B", "kind": "replace"}
    case = case_of(equipment={"airplane": airplane().model_dump()}, options={"buy": option})
    assert weight_of(case, "buy") is None


@pytest.mark.parametrize(("mac", "is_so"), [(None, None), (60.0, False), (70.0, True)])
def test_a_move_of_the_cg_is_judged_by_its_share_of_the_mean_chord(
    mac: float | None,
    is_so: bool | None,  # noqa: FBT001
) -> None:
    """AC 43.13-1B par 10-2c: 0.05 %. Worked by hand: 0.5 lb at 90.6 into 1,169 lb at 10.6.

    The CG moves by 0.5·80/1,169.5 = 0.0342 in: 0.057 % of 60 in, 0.049 % of 70 in.
    """
    clock = {"name": "Clock", "weight": 0.5, "arm": 90.6}
    case = case_of(
        equipment={"airplane": airplane(mac=mac).model_dump()},
        options={"refit": {"title": "R", "kind": "retrofit", "installs": [clock]}},
    )
    assert weight_of(case, "refit").negligible.cg is is_so


def test_a_replacement_whose_fuel_is_not_known_has_no_full_fuel_payload() -> None:
    own = Equipment.model_validate({"airplane": airplane(fuel=None).model_dump()})
    case = case_of(
        equipment={"airplane": airplane().model_dump()},
        options={"buy": {"title": "B", "kind": "replace"}},
        replacements={"buy": own},
    )
    figures = weight_of(case, "buy")
    assert (figures.full_fuel_payload, figures.full_fuel_payload_change) == (None, None)
    assert figures.useful_load_change == 0
