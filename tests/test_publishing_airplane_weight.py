"""Weight and balance in the page's words, its tables and its picture of the envelope."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airplane_views import listing_of, part_of, section_of
from panelworth.engine.results.airplane import (
    AdverseCheck,
    Negligible,
)
from panelworth.publishing.formats import ceiled, floored
from panelworth.publishing.view import View
from panelworth.publishing.words import weight_words


def test_what_changes_of_the_empty_airplane_carries_its_sign(club: View) -> None:
    tag, found = club.tags["full"], club.figures.airplane.weight["full"]
    assert weight_words.empty(club, tag, found) == (
        "Empty: 1,508.9 lb (−9.1 lb), CG 99.63 in (+0.23 in against today)."
    )
    heavier = replace(found, empty_weight_change=3.0, empty_cg_change=-0.1)
    assert "(+3 lb)" in weight_words.empty(club, tag, heavier)
    assert "(−0.1 in against today)" in weight_words.empty(club, tag, heavier)
    table = section_of(club, "weight").table
    row = next(row for row in table.rows if row[0]["option"] is tag)
    assert row[1:] == [
        {"value": "891.1 lb", "note": "+9.1 lb"},
        {"value": "603.1 lb", "note": "+9.1 lb"},
        "3 of 3",
    ]


def test_a_loading_outside_is_told_with_its_fuel(club: View) -> None:
    trace = club.figures.airplane.weight["full"].loadings[0]
    out = replace(trace, within=False, outside=((0.0, 4.5), (40.0, 48.0)))
    assert weight_words.verdict(club.formats, trace) == "inside"
    assert weight_words.verdict(club.formats, out) == (
        "outside from 0 gal to 4.5 gal left and from 40 gal to 48 gal left"
    )
    found = replace(club.figures.airplane.weight["full"], loadings=(out,))
    assert weight_words.all_within(club.tags, {"full": found}) == (
        f"Outside the limits at some time: “{trace.name}” with Refit all."
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
        assert weight_words.most_fuel(club.formats, trace) == club.formats.fuel(most)
    over = replace(traces[0], most_fuel=-0.5)
    assert weight_words.most_fuel(club.formats, over) == "too heavy without any"
    assert weight_words.most_fuel(club.formats, replace(over, most_fuel=None)) == "—"


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
    assert told in weight_words.negligible(club.formats, Negligible(weight=weight, cg=cg), figures)


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
    assert weight_words.adverse(club.formats, check) == (
        "Furthest aft (Rear seats 290 lb, fuel 48 gal): CG 107.4 in at 2,450 lb, 0.4 in beyond the "
        "limit 107 in, and 50 lb too heavy. Inside again with at most 201.8 lb at “Rear seats”, to "
        "the tenth and with no allowance for weighing: what is placarded or bolted in is for the "
        "maker's data and a mechanic."
    )
    light = replace(check, over_weight=0.0, most_inside={}, ballast=("Nose", 21.01))
    assert "Inside again with 21.1 lb of ballast at “Nose”" in weight_words.adverse(
        club.formats, light
    )
    none = weight_words.adverse(club.formats, replace(light, ballast=None))
    assert none.endswith("Neither less at one station nor ballast at another brings it inside.")
    found = replace(club.figures.airplane.weight["full"], adverse=(check,))
    assert "“furthest aft” with Refit all" in weight_words.all_within(club.tags, {"full": found})


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
    told = listing_of(part_of(view, "weight", "full"), "Loadings").entries[0].lines[0]
    assert "over the maximum weight by " in told
    assert "behind the aft limit by " in told
    assert "by 0 lb" not in told
    assert "by 0 in" not in told
    assert section_of(view, "weight").answer[0].startswith("Outside the limits at some time: ")
    check = replace(found.adverse[1], margin=-beyond, within=False)
    assert "0 in beyond" not in weight_words.adverse(club.formats, check).replace("0.4", "")


@given(value=st.floats(-50, 50), digits=st.integers(0, 2))
def test_margins_round_down_and_needs_round_up(value: float, digits: int) -> None:
    assert floored(value, digits) <= value + 1e-5
    assert ceiled(value, digits) >= value - 1e-5
    assert abs(floored(value, digits) - value) <= 10**-digits + 1e-5
    assert (floored(value, digits) < 0) == (value < 0)
    assert (ceiled(value, digits) > 0) == (value > 0)


def test_small_margins_are_named_with_what_weighing_is_worth(club: View, owner: View) -> None:
    """Half a percent of the distance between the wheels: 0.3 in of 60, 7.5 mm of 1,500."""
    (told,) = weight_words.slim_margins(club, list(club.tags.values()))
    assert told == (
        "Close to a limit of the CG: Keep, Refit part, Refit all, and Replace, within 0.56 in to "
        "0.86 in. Weighing alone may put the empty CG 0.3 in off."
    )
    assert "8 mm off" in weight_words.slim_margins(owner, [owner.tags["refit"]])[0]
    assert "0.3 in off where the wheels are 60 in apart" in weight_words.weighing(club.formats)
    wide = replace(club.figures.airplane.weight["full"], adverse=())
    airplane = replace(club.figures.airplane, weight={"full": wide})
    view = replace(club, figures=replace(club.figures, airplane=airplane))
    assert weight_words.slim_margins(view, [club.tags["full"]]) == []


def test_without_an_envelope_inside_is_not_claimed(club: View) -> None:
    found = club.figures.airplane.weight["full"]
    bare = [replace(each, forward_margin=None, aft_margin=None) for each in found.loadings]
    figures = replace(found, loadings=tuple(bare), adverse=())
    assert (
        weight_words.verdict(club.formats, bare[0])
        == "below the maximum weight; CG limits not known"
    )
    assert "where the CG may be is not" in weight_words.all_within(club.tags, {"full": figures})
    extremes = weight_words.all_within(club.tags, {"full": replace(found, adverse=())})
    assert extremes.endswith("the extremes are not in the files.")
    assert weight_words.counted_inside(figures) == "3 of 3 by weight"


def test_an_envelope_is_drawn_where_it_differs_with_both_ends_of_each_loading(club: View) -> None:
    """The refits keep today's envelope and stay within it: only the other airplane has another."""
    (chart,) = [chart for part in section_of(club, "weight").parts for chart in part.charts]
    assert chart.id == "envelope-replace"
    traces = club.figures.airplane.weight["replace"].loadings
    points = [each for values in chart.spec["datasets"].values() for each in values]
    full = {(each["x"], each["y"]) for each in points if each.get("first")}
    assert full == {(trace.start_cg, trace.start_weight) for trace in traces}
    none = {(each["x"], each["y"]) for each in points if each.get("last")}
    assert none == {(trace.no_fuel_cg, trace.no_fuel_weight) for trace in traces}


def test_what_goes_in_and_out_adds_up_to_the_change(club: View) -> None:
    found = club.figures.airplane.weight["full"]
    out, into = listing_of(part_of(club, "weight", "full"), "What comes out").entries
    sums = [float(each.note.split(" lb")[0]) for each in (into, out)]
    assert sums[0] - sums[1] == pytest.approx(found.empty_weight_change)
    assert sum(len(each.lines[0].split("; ")) for each in (out, into)) == len(found.lines)
