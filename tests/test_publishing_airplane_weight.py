"""Weight and balance in the page's words, its tables and its picture of the envelope."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airplane_views import page_of
from panelworth.engine.results_airplane import AdverseCheck, Negligible
from panelworth.publishing.airplane import weight_words
from panelworth.publishing.formats import ceiled, floored
from panelworth.publishing.view import View


def test_lighter_and_heavier_follow_the_sign(club: View) -> None:
    tag, found = club.tags["full"], club.figures.airplane.weight["full"]
    assert weight_words.change(club, tag, found) == (
        f"“{tag.title}” leaves the airplane 9.1 lb lighter: beside full tanks it carries 603.1 lb, "
        "9.1 lb more than today."
    )
    heavier = replace(found, empty_weight_change=3.0, full_fuel_payload_change=-3.0)
    assert "3 lb heavier" in weight_words.change(club, tag, heavier)
    assert "3 lb less than today" in weight_words.change(club, tag, heavier)


def test_a_loading_outside_is_told_with_its_fuel(club: View) -> None:
    trace = club.figures.airplane.weight["full"].loadings[0]
    out = replace(trace, within=False, outside=((0.0, 4.5), (40.0, 48.0)))
    assert weight_words.verdict(club, trace) == "inside"
    assert weight_words.verdict(club, out) == (
        "outside from 0 gal to 4.5 gal left and from 40 gal to 48 gal left"
    )
    found = replace(club.figures.airplane.weight["full"], loadings=(out,))
    assert weight_words.all_within(club, {"full": found}) == (
        f"Outside the limits at some time: “{trace.name}” with “{club.tags['full'].title}”."
    )


def test_the_most_fuel_of_each_loading_is_what_its_maximum_weight_leaves(club: View) -> None:
    """Worked anew: room below the maximum weight, in gallons, on top of the fuel aboard."""
    case, traces = club.case.equipment, club.figures.airplane.weight["full"].loadings
    assert case is not None
    assert case.airplane is not None
    assert case.airplane.fuel is not None
    tank = case.airplane.fuel
    for trace, loading in zip(traces, case.loading_cases, strict=True):
        most = min(loading.fuel + trace.weight_margin / tank.weight_per_unit, tank.usable)
        assert weight_words.most_fuel(club, trace) == club.formats.fuel(most)
    page = page_of(club, "weight.html")
    tables = [table for part in page.content["answer"].sections for table in part.tables]
    assert tables[0].head[3] == "Most fuel by weight"
    over = replace(traces[0], most_fuel=-0.5)
    assert weight_words.most_fuel(club, over) == "too heavy without any"
    assert weight_words.most_fuel(club, replace(over, most_fuel=None)) == "—"


@pytest.mark.parametrize(
    ("weight", "cg", "told"),
    [
        (True, True, "calls a change of 9.1 lb or a shift of the CG by 0.23 in negligible."),
        (False, False, "does not call a change of 9.1 lb or a shift of the CG by 0.23 in"),
        (True, False, "calls a change of 9.1 lb negligible, but not a shift of 0.23 in."),
        (False, True, "does not call a change of 9.1 lb negligible, but does a shift of 0.23 in."),
        (False, None, "negligible; whether that of the CG is needs the mean chord."),
    ],
)
def test_the_negligible_change_rule_is_told(
    club: View,
    weight: bool,  # noqa: FBT001
    cg: bool | None,  # noqa: FBT001
    told: str,
) -> None:
    figures = club.figures.airplane.weight["full"]
    assert told in weight_words.negligible(club, Negligible(weight=weight, cg=cg), figures)


def test_an_extreme_beyond_its_limit_is_told(club: View) -> None:
    check = AdverseCheck(
        side="aft",
        loads={"Rear seats": 290.0},
        fuel=48.0,
        weight=2450.0,
        cg=107.4,
        limit=107.0,
        margin=-0.4,
        within=False,
        over_weight=50.0,
        most_inside={"Rear seats": 201.86},
        ballast=None,
    )
    assert weight_words.adverse(club, check) == (
        "Furthest aft (Rear seats 290 lb, fuel 48 gal): CG 107.4 in at 2,450 lb, 0.4 in beyond the "
        "limit 107 in, and 50 lb too heavy. Inside again with at most 201.8 lb at “Rear seats”, to "
        "the tenth and with no allowance for weighing: what is placarded or bolted in is for the "
        "maker's data and a mechanic."
    )
    light = replace(check, over_weight=0.0, most_inside={}, ballast=("Nose", 21.01))
    assert "Inside again with 21.1 lb of ballast at “Nose”" in weight_words.adverse(club, light)
    none = weight_words.adverse(club, replace(light, ballast=None))
    assert none.endswith("Neither less at one station nor ballast at another brings it inside.")
    found = replace(club.figures.airplane.weight["full"], adverse=(check,))
    assert "“furthest aft” with" in weight_words.all_within(club, {"full": found})


@pytest.mark.parametrize("beyond", [0.0001, 0.004, 0.0049, 0.005, 0.0051, 0.4])
def test_a_violation_never_reads_as_none(club: View, beyond: float) -> None:
    """0.005 in outside was told as "0 in"; it is the class of all margins that round to 0."""
    found = club.figures.airplane.weight["full"]
    trace = replace(found.loadings[0], aft_margin=-beyond, weight_margin=-beyond, within=False)
    figures = replace(found, loadings=(trace,), adverse=())
    airplane = replace(
        club.figures.airplane, weight={**club.figures.airplane.weight, "full": figures}
    )
    view = replace(club, figures=replace(club.figures, airplane=airplane))
    parts = page_of(view, "weight.html").content["answer"].sections
    part = next(each for each in parts if each.option and each.option.id == "full")
    row = part.tables[0].rows[0]
    assert row[2].startswith("−")
    assert row[5].startswith("−")
    assert row[2] not in ("−0 lb", "0 lb")
    assert row[5] not in ("−0 in", "0 in")
    check = replace(found.adverse[1], margin=-beyond, within=False)
    assert "0 in beyond" not in weight_words.adverse(club, check).replace("0.4", "")


@given(value=st.floats(-50, 50), digits=st.integers(0, 2))
def test_margins_round_down_and_needs_round_up(value: float, digits: int) -> None:
    assert floored(value, digits) <= value + 1e-5
    assert ceiled(value, digits) >= value - 1e-5
    assert abs(floored(value, digits) - value) <= 10**-digits + 1e-5
    assert (floored(value, digits) < 0) == (value < 0)
    assert (ceiled(value, digits) > 0) == (value > 0)


def test_a_small_margin_says_what_weighing_is_worth(club: View, owner: View) -> None:
    """Half a percent of the distance between the wheels: 0.3 in of 60, 7.5 mm of 1,500."""
    told = weight_words.slim(club, club.figures.airplane.weight["full"])
    assert told.startswith("0.68 in is little: weighing alone may put the empty CG 0.3 in off.")
    assert "8 mm off" in weight_words.slim(owner, owner.figures.airplane.weight["refit"])
    assert "0.3 in off where the wheels are 60 in apart" in weight_words.weighing(club)
    wide = replace(club.figures.airplane.weight["full"], adverse=())
    assert weight_words.slim(club, wide) == ""


def test_what_cannot_be_carried_is_not_told_as_carried(club: View) -> None:
    tag, found = club.tags["full"], club.figures.airplane.weight["full"]
    heavy = replace(found, full_fuel_payload=-20.0)
    told = weight_words.change(club, tag, heavy)
    assert told.endswith("with full tanks it is 20 lb too heavy with nobody aboard.")
    assert "−" not in weight_words.headline(club, {"full": heavy})


def test_without_an_envelope_inside_is_not_claimed(club: View) -> None:
    found = club.figures.airplane.weight["full"]
    bare = [replace(each, forward_margin=None, aft_margin=None) for each in found.loadings]
    figures = replace(found, loadings=tuple(bare), adverse=())
    assert weight_words.verdict(club, bare[0]) == "below the maximum weight; CG limits not known"
    assert "where the CG may be is not" in weight_words.all_within(club, {"full": figures})
    extremes = weight_words.all_within(club, {"full": replace(found, adverse=())})
    assert extremes.endswith("the extremes are not in the files.")


def test_the_envelope_s_picture_and_table_hold_both_ends_of_each_loading(club: View) -> None:
    drawn = page_of(club, "weight.html").content["charts"]
    chart = next(each for each in drawn if each.id == "envelope-full")
    traces = club.figures.airplane.weight["full"].loadings
    weight = club.formats.weight
    starts = [weight(trace.start_weight) for trace in traces]
    assert [row[1] for row in chart.rows] == starts
    points = [each for values in chart.spec["datasets"].values() for each in values]
    full = {(each["x"], each["y"]) for each in points if each.get("first")}
    assert full == {(trace.start_cg, trace.start_weight) for trace in traces}
