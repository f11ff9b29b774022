"""The airplane's pages: their sentences, what they leave out, the reference case of failures."""

import json
from dataclasses import replace
from pathlib import Path
from typing import Any, get_args

import pytest

from panelworth import evaluate, read, templates_folder
from panelworth.engine import flight_rules
from panelworth.engine.insight import insight_of
from panelworth.engine.results_airplane import (
    AdverseCheck,
    CircuitCheck,
    Due,
    Negligible,
    Refusal,
    Span,
    StartWeek,
    TippingPoint,
    Verdict,
    Why,
)
from panelworth.model.case import Case
from panelworth.model.equipment import PHASES
from panelworth.publishing.airplane import (
    failure_words,
    inspection_words,
    names,
    needs_words,
    openings_words,
    power_words,
    weight_words,
    when_words,
)
from panelworth.publishing.airplane.overview import airplane_pages
from panelworth.publishing.caution_lines import MAINTENANCE
from panelworth.publishing.documents import figures_object
from panelworth.publishing.layout import Layout, laid_out, pages_of
from panelworth.publishing.option_page import option_page
from panelworth.publishing.reference_pages import inputs_page, method_page
from panelworth.publishing.view import Page, View, view_of
from small_cases import case_in, refit

CASES = Path(__file__).parent / "cases"
FILES = [
    "airplane.html", "when.html", "weight.html", "power.html", "failures.html", "needs.html",
    "open.html", "inspections.html",
]  # fmt: skip
UNITS = """
[airplane]
empty_weight = 1000
empty_arm = 80
max_weight = 1600
alternator = { amps = 60 }
[[units]]
name = "Old radio"
weight = 10
arm = 60
amps = 3
[[units]]
name = "Lights"
amps = 12
"""
# The reference case of AC 91-75 (June 2003): "a single vacuum source" feeds attitude and heading,
# the turn indicator is electric. With the rest of what 14 CFR 91.205 lists.
VACUUM = """
[[units]]
name = "Vacuum pump"
provides = ["vacuum"]
[[units]]
name = "Attitude gyro"
provides = ["attitude"]
needs = ["vacuum"]
[[units]]
name = "Direction gyro"
provides = ["direction"]
needs = ["vacuum"]
[[units]]
name = "Turn indicator"
provides = ["rate of turn", "slip-skid"]
needs = ["electrical source"]
[[units]]
name = "Alternator"
provides = ["electrical source"]
[[units]]
name = "Battery"
provides = ["electrical source"]
[[units]]
name = "Pitot and static lines"
provides = ["pressure"]
[[units]]
name = "Airspeed indicator"
provides = ["airspeed"]
needs = ["pressure"]
[[units]]
name = "Altimeter"
provides = ["altimeter"]
needs = ["pressure"]
[[units]]
name = "Compass"
provides = ["magnetic direction"]
[[units]]
name = "Engine gauges"
provides = ["tachometer", "oil pressure", "fuel quantity"]
[[units]]
name = "Radio"
provides = ["communication", "navigation"]
needs = ["electrical source"]
[[units]]
name = "Lamps and clock"
provides = ["position lights", "anticollision light", "clock"]
"""
GONE = 'removes = ["Airspeed indicator", "Altimeter", "Attitude gyro", "Direction gyro"]'
SCREEN = """
[[installs]]
name = "Display"
provides = ["airspeed", "altimeter", "attitude", "direction"]
needs = ["electrical source", "pressure"]
"""
STANDBY = """
[[installs]]
name = "Standby battery"
provides = ["standby power"]
[[installs]]
name = "Standby instrument"
provides = ["airspeed", "altimeter", "attitude"]
needs = ["standby power", "pressure"]
"""

WINDOW = "Cruiser, Annual, January 5, 2027 to January 9, 2027"


def view_in(folder: Path, options: dict[str, str], equipment: str = "", **parts: str) -> View:
    """Write a small folder with its equipment and work it out."""
    if equipment:
        (folder / "equipment.toml").write_text(equipment, encoding="utf-8")
    return worked_out(case_in(folder, options, **parts))


def worked_out(case: Case) -> View:
    """Work out a case with few draws."""
    figures = evaluate(case, trials=50)
    return view_of(case, figures, insight_of(case, figures))


def page_of(view: View, file: str) -> Page:
    """Return one of the airplane's pages."""
    return next(page for page in airplane_pages(view) if page.file == file)


def text_of(view: View, file: str) -> str:
    """Lay out a page."""
    pages = pages_of(view)
    page = next(page for page in pages if page.file == file)
    return laid_out(Layout.of(templates_folder()), view, page, pages, root="")


def matrix_row(view: View, option: str, unit: str) -> list[Any]:
    """Return what the matrix says of one failed unit under an option."""
    sections = page_of(view, "failures.html").content["answer"].sections
    section = next(each for each in sections if each.option and each.option.id == option)
    return next(row for row in section.tables[0].rows if row[0]["value"] == unit)


# Names -------------------------------------------------------------------------------------------


def test_every_name_that_pages_share_with_the_engine_can_be_said() -> None:
    by_rule = [*flight_rules.ALWAYS.values(), *flight_rules.IF_LISTED.values()]
    assert tuple(flight_rules.ALWAYS) == names.RULES
    assert names.PHASES == PHASES
    assert {name for functions in by_rule for name in functions} <= names.SHARED
    assert set(get_args(Why)) == set(when_words.REFUSALS)
    assert set(get_args(Verdict)) == set(power_words.VERDICTS)


# figures.json ------------------------------------------------------------------------------------


def test_airframe_and_downtime_of_figures_json_are_those_worked_out_by_hand(
    tmp_path: Path,
) -> None:
    """Worked by hand.

    Weight: 1,000 lb at 80 in, less 10 lb at 60, plus 4 lb at 75: 994 lb, moment 80,000 - 600 + 300
    = 79,700, CG 79,700/994. Load: 12 + 6 of 60 A. Downtime: 14 of February's 28 days at 10 hours
    a month are 5 hours; (100 - 10·5) an hour is 250.
    """
    option = 'removes = ["Old radio"]\n'
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = 2\n"
    unit = '[[installs]]\nname = "New radio"\nweight = 4\narm = 75\namps = 6\n'
    money = "hourly_rate = 100\nfuel_per_hour = 10\nfuel_price = 5"
    view = view_in(
        tmp_path,
        {"refit": refit(top=option, rest=schedule + unit)},
        UNITS,
        hours="120",
        aircraft=money,
    )
    made = json.loads(json.dumps(figures_object(view.figures)))["options"]
    assert made["refit"]["airframe"] == pytest.approx(
        {
            "empty_weight_change": -6.0,
            "empty_cg": 79700 / 994,
            "useful_load_change": 6.0,
            "continuous_load": 18.0,
            "load_share": 0.3,
        }
    )
    downtime = made["refit"]["downtime"]
    assert (downtime.pop("start"), downtime.pop("finish")) == ("2026-02-02", "2026-02-16")
    assert downtime == pytest.approx({"lost_hours": 5.0, "lost_contribution": 250.0})
    assert made["keep"]["airframe"]["empty_cg"] == pytest.approx(80.0)
    assert made["keep"]["airframe"]["load_share"] == pytest.approx(0.25)
    assert made["keep"]["downtime"] is None


def test_without_equipment_or_schedule_both_are_null(tmp_path: Path) -> None:
    view = view_in(tmp_path, {"refit": refit()})
    made = figures_object(view.figures)["options"]["refit"]
    assert made["airframe"] is None
    assert made["downtime"] is None


# The reference case ------------------------------------------------------------------------------


@pytest.fixture
def reference(tmp_path: Path) -> View:
    """Work out vacuum gyros, a display without standby, and one with."""
    options = {
        "screen": refit(top=GONE, rest=SCREEN),
        "standby": refit(top=GONE, rest=SCREEN + STANDBY),
    }
    return view_in(tmp_path, options, VACUUM)


def test_the_vacuum_pump_takes_attitude_and_heading_but_day_vfr_stays(reference: View) -> None:
    """AC 91-75; 14 CFR 91.205 (b) is met, (d)(8) and (9) are not."""
    _, lose, keep, rules = matrix_row(reference, "keep", "Vacuum pump")
    assert lose == "attitude and direction"
    assert keep.startswith("airspeed, altimeter, magnetic direction, rate of turn and slip-skid;")
    assert rules == "day VFR and night VFR still there; IFR gone"


def test_a_display_without_standby_takes_airspeed_and_altimeter_and_day_vfr(
    reference: View,
) -> None:
    """14 CFR 91.205 (b)(1) and (2) are then not met."""
    _, lose, keep, rules = matrix_row(reference, "screen", "Display")
    assert lose == "airspeed, altimeter, attitude and direction"
    assert keep.startswith("magnetic direction, rate of turn and slip-skid;")
    assert rules == "day VFR, night VFR and IFR gone"


def test_an_independent_standby_keeps_attitude_airspeed_altitude_and_magnetic_direction(
    reference: View,
) -> None:
    """14 CFR 23.1311(a)(5) as of 2014: what the display's failure leaves."""
    failures = reference.figures.airplane.failures["standby"].failures
    display = next(each for each in failures if each.unit == "Display")
    assert {"attitude", "airspeed", "altimeter", "magnetic direction"} <= set(display.kept)
    section = page_of(reference, "failures.html").content["answer"].sections[-1]
    assert section.option.id == "standby"
    ends = {row[0]: row[1] for row in section.tables[1].rows}
    assert "Display (direction)" in ends["Ends IFR"]


def test_the_reference_case_is_on_the_page(reference: View) -> None:
    text = text_of(reference, "failures.html")
    assert "If this goes dark" in text
    assert "with it Attitude gyro and Direction gyro" in text
    assert "day VFR and night VFR still there; IFR gone" in text


# Pages -------------------------------------------------------------------------------------------


def test_pages_are_there_where_the_files_are(club: View, owner: View) -> None:
    assert [page.file for page in airplane_pages(club)] == FILES
    assert [page.file for page in airplane_pages(owner)] == FILES
    assert [page.nav for page in airplane_pages(club)] == ["Airplane"] + 7 * [""]


def test_a_folder_without_any_of_the_files_has_no_such_page(tmp_path: Path) -> None:
    assert airplane_pages(view_in(tmp_path, {"refit": refit()})) == []


def test_a_schedule_alone_gives_the_page_on_when(tmp_path: Path) -> None:
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = 2\n"
    view = view_in(tmp_path, {"refit": refit(rest=schedule)})
    assert [page.file for page in airplane_pages(view)] == ["airplane.html", "when.html"]
    chart = page_of(view, "when.html").content["charts"][1]
    assert chart.title == "How long it is away"


@pytest.mark.parametrize("folder", ["folder", "rich"])
def test_every_page_of_other_folders_can_be_laid_out(folder: str) -> None:
    case, problems = read(CASES / folder)
    assert case is not None, problems
    view = worked_out(case)
    for page in airplane_pages(view):
        assert text_of(view, page.file)


def test_every_page_starts_with_a_sentence_and_ends_with_who_decides(club: View) -> None:
    for page in airplane_pages(club):
        answer = page.content["answer"]
        assert answer.lead[0].endswith(".")
        assert set(MAINTENANCE) <= set(answer.cautions)
        assert page.file == "airplane.html" or (answer.how and answer.charts)


def test_no_two_charts_of_a_scenario_share_a_file(club: View) -> None:
    ids = [chart.id for page in pages_of(club) for chart in page.content.get("charts", ())]
    assert len(ids) == len(set(ids))


def test_the_menu_marks_the_airplane_on_its_pages(club: View) -> None:
    text = text_of(club, "weight.html")
    assert '<a href="airplane.html" aria-current="true">Airplane</a>' in text
    assert '<a href="airplane.html" aria-current="page">' in text_of(club, "airplane.html")


def test_the_overview_tells_each_page_s_first_sentence(club: View) -> None:
    links = page_of(club, "airplane.html").content["links"]
    assert [link.href for link in links] == FILES[1:]
    assert all(link.text == page_of(club, link.href).content["answer"].lead[0] for link in links)


def test_small_jobs_are_on_the_option_s_own_page(club: View) -> None:
    told = option_page(club, club.tags["full"]).content["openings"]
    likely = club.figures.airplane.openings["full"].included_saving
    assert f"likely saves {club.formats.money(likely)} in today's money" in told[0]
    assert told[1] == "Included though likely cheaper to leave: “Fit new fuel senders”."
    assert option_page(club, club.tags["keep"]).content["openings"] == []
    assert option_page(club, club.tags["replace"]).content["openings"] == []


# When --------------------------------------------------------------------------------------------


def week(**changed: object) -> StartWeek:
    """Return a start week that loses nothing."""
    base: dict[str, Any] = {
        "start": "2027-01-18", "finish": "2027-03-22", "lost_hours": 30.0,
        "lost_contribution": 1000.0, "lost_contribution_low": 700.0,
        "lost_contribution_high": 1600.0, "refusals": (), "chance_fleet": 0.0,
        "chance_blackout": 0.0, "chance_conflict": 0.0, "chance_late": 0.0, "room_weeks": None,
        "slip_costs": (100.0,) * 8,
    }  # fmt: skip
    return StartWeek(**{**base, **changed})


@pytest.mark.parametrize(
    ("why", "told"),
    [
        ("order", "it is before January 5, 2027, when the equipment is ordered"),
        ("arrival", "the equipment likely arrives on January 5, 2027"),
        ("fleet", f"too many airplanes would be down ({WINDOW})"),
        ("blackout", f"the airplane is wanted ({WINDOW})"),
        ("horizon", "it would be back only on January 9, 2027, past the years looked at"),
    ],
)
def test_each_refusal_has_its_reason(why: Why, told: str) -> None:
    found = Refusal(why=why, what="Cruiser: Annual", first="2027-01-05", last="2027-01-09")
    assert when_words.refusal(found) == told


def test_a_refused_start_is_told_with_what_it_loses(club: View) -> None:
    tag, planner = club.tags["full"], club.figures.airplane.planners["full"]
    money = club.formats.money
    assert when_words.own_start(club, tag, planner) == (
        f"“{tag.title}” as planned, from January 18, 2027, loses 31 hours of flying and the "
        f"{money(planner.own.lost_contribution)} it would have left over; the best start, "
        f"November 29, 2027, loses {money(planner.own_extra_contribution)} less."
    )
    assert "March 1, 2027 to March 19, 2027" in when_words.own_refused(planner)
    assert when_words.risk(planner) == ""


def test_neighbouring_mondays_are_one_stretch(club: View) -> None:
    planner = club.figures.airplane.planners["full"]
    assert when_words.windows(planner, [10, 11, 3]) == (
        "January 11, 2027 to January 18, 2027 or November 23, 2026"
    )


def test_every_start_refused_is_said_so(club: View) -> None:
    planner = replace(
        club.figures.airplane.planners["full"],
        best_by_cost=(),
        best_by_risk=(),
        own_extra_contribution=None,
        own_extra_hours=None,
    )
    assert when_words.own_start(club, club.tags["full"], planner).endswith(
        "; every start looked at is refused."
    )
    assert when_words.best_starts(planner) == [
        "Every Monday looked at is refused; the table says why."
    ]


def test_a_start_that_is_the_best_is_said_so(club: View) -> None:
    planner = replace(
        club.figures.airplane.planners["part"], own_extra_contribution=0.0, own_extra_hours=0.0
    )
    told = when_words.own_start(club, club.tags["part"], planner)
    assert told.endswith("; no start looked at loses less.")


def test_a_slip_costs_what_the_engine_says(club: View) -> None:
    planner = club.figures.airplane.planners["full"]
    money, costs = club.formats.money, planner.own.slip_costs
    assert when_words.slip(club, planner) == (
        f"Coming back later than likely costs {money(costs[0])} for 1 week, {money(costs[3])} for "
        f"4 weeks and {money(costs[7])} for 8 weeks."
    )


def test_an_owner_loses_hours_and_no_money(owner: View) -> None:
    planner = owner.figures.airplane.planners["refit"]
    assert when_words.lost(owner, planner, planner.own) == "2.5 hours of flying"
    assert when_words.slip(owner, planner).startswith("Coming back late loses flying, not money")
    assert when_words.spread(owner, planner) == ""


def test_room_before_the_next_closed_day_is_told_with_its_chance(club: View) -> None:
    planner = replace(
        club.figures.airplane.planners["part"], own=week(room_weeks=2.5, chance_conflict=0.12)
    )
    assert when_words.risk(planner) == (
        "From the likely finish it is 2.5 weeks to the next day on which it may not be down; the "
        "chance that it is still down then: 12 in 100."
    )


# Weight ------------------------------------------------------------------------------------------


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
    )
    assert weight_words.adverse(club, check) == (
        "Furthest aft (Rear seats 290 lb, fuel 48 gal): CG 107.4 in at 2,450 lb, 0.4 in beyond the "
        "limit 107 in, and 50 lb too heavy."
    )


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


# Power, failures, needs, inspections -------------------------------------------------------------


def test_a_load_over_the_rule_of_thumb_names_the_option(club: View) -> None:
    found = dict(club.figures.airplane.electrical)
    tags = list(club.tags.values())
    assert power_words.headline(tags, found) == (
        "In the phase that draws most the alternator gives 49 % to 58 % of what it can; the rule "
        "of thumb is 80 % at most."
    )
    found["full"] = replace(found["full"], load_share=0.9, verdict="over")
    told = power_words.headline(tags, found)
    assert told.endswith(f"80 % at most. More than that: “{club.tags['full'].title}”.")
    assert power_words.verdict(found["full"]) == "over the 80 % rule of thumb"


def test_battery_minutes_are_told_from_the_shortest(club: View) -> None:
    found = club.figures.airplane.electrical
    told = power_words.battery(list(club.tags.values()), found)
    shortest = found["full"].shortest_endurance
    assert shortest is not None
    assert f"likely {power_words.minutes(shortest)} with “{club.tags['full'].title}”" in told
    none = {key: replace(each, shortest_endurance=None) for key, each in found.items()}
    assert "cannot be told" in power_words.battery(list(club.tags.values()), none)


def test_minutes_and_amps_carry_their_range() -> None:
    assert power_words.minutes(Span(low=98.2, likely=117.4, high=133.0)) == (
        "117 minutes (98 to 133)"
    )
    assert power_words.minutes(None) == "—"
    assert power_words.current(Span(low=5.0, likely=5.0, high=5.0)) == "5 A"


def test_a_circuit_no_listed_wire_will_do_for_is_said_so() -> None:
    none = CircuitCheck(
        name="Heater", gauge=None, drop=None, allowed_drop=0.5, breaker=None, fuse=None
    )
    assert power_words.wire(none) == "no listed wire will do"
    assert power_words.protector(none) == "—"
    found = replace(none, gauge=14, drop=0.436, breaker=20, fuse=15)
    assert power_words.wire(found) == "AWG 14, 0.44 of 0.5 V lost"
    assert power_words.protector(found) == "20 A breaker or 15 A fuse"


def test_how_many_failures_it_takes_is_the_smallest_cut_set() -> None:
    assert failure_words.fewest([("a", "b"), ("c",)]) == "1"
    assert failure_words.fewest([("a", "b")]) == "2"
    assert failure_words.fewest([]) == "more than 3"
    assert failure_words.fewest(None) == "not there"


def test_a_rule_that_is_not_met_to_begin_with_is_told_and_not_counted(owner: View) -> None:
    found = owner.figures.airplane.failures
    assert failure_words.count_ending(found["newer"], "IFR") is None
    told = failure_words.headline(list(owner.tags.values()), found)
    assert told.endswith("Not all that IFR asks for is there with “Sell it and buy a newer one”.")
    row = matrix_row(owner, "newer", "Flight display")
    assert row[3] == "day VFR and night VFR still there; IFR not there to begin with"


def test_what_is_of_no_use_by_itself_is_not_told_as_lost(club: View) -> None:
    found = club.figures.airplane.failures["keep"]
    assert "vacuum" in found.means
    assert matrix_row(club, "keep", "Vacuum pump and lines")[1] == "attitude and direction"


def test_a_lost_display_of_two_takes_nothing_and_the_gauges_stay(club: View) -> None:
    """What the demo means to say: either display shows the engine and the flight instruments."""
    for failure in club.figures.airplane.failures["full"].failures:
        if failure.unit in ("Left flight display", "Right flight display", "Air data computer"):
            assert failure.lost == ()


def test_shares_met_are_the_engine_s_and_the_heaviest_wish_is_named(club: View) -> None:
    found = club.figures.airplane.capability
    assert found is not None
    lead = needs_words.lead(club, found, list(club.tags.values()))
    best = max(found.share, key=lambda option: found.share[option])
    assert lead[0].startswith(f"Of what members want, “{club.tags[best].title}” gives ")
    assert "A horizon with its own battery" in lead[1]
    assert needs_words.ballots(club) == (
        "The weights come from 24 ballots without names, which mark what is wanted."
    )


@pytest.mark.parametrize(
    ("at", "told"),
    [
        (0.4, "Traffic: above 40 % of all weight (now 10 %) “Keep nursing it” comes first."),
        (0.05, "Traffic: below 5 % of all weight (now 10 %) “Keep nursing it” comes first."),
    ],
)
def test_a_tipping_point_names_its_side(club: View, at: float, told: str) -> None:
    point = TippingPoint(need="Traffic", weight=0.1, tips_at=at, new_first="keep")
    assert needs_words.tipping(club, point) == told


def test_only_all_or_nothing_is_no_tipping_point(club: View) -> None:
    found = club.figures.airplane.capability
    assert found is not None
    edge = TippingPoint(need="Traffic", weight=0.1, tips_at=1.0, new_first="keep")
    told = needs_words.firm(club, replace(found, tipping_points=(edge,)), list(club.tags.values()))
    assert told[1:] == [
        "No weight of “Traffic” alone, short of all or nothing, changes what comes first."
    ]


def test_jobs_left_out_though_cheaper_now_are_named(club: View) -> None:
    found = club.figures.airplane.openings["part"]
    assert openings_words.jobs_apart(found) == [
        "Left out though likely cheaper now: “Renew the brittle wiring behind the panel”."
    ]
    assert openings_words.saving(club, club.tags["part"], found).startswith(
        f"“{club.tags['part'].title}” does 2 of 4 small jobs: that likely saves "
    )
    none = replace(found, jobs=tuple(replace(job, included=False) for job in found.jobs))
    assert openings_words.saving(club, club.tags["part"], none).endswith(
        "includes none of the 4 small jobs."
    )
    assert openings_words.equal(replace(found.jobs[0], equal_chance=None)) == "none"


def test_the_item_that_binds_next_comes_first_and_overdue_ones_are_named(club: View) -> None:
    dues = (
        Due(name="Old", by="calendar", last_day="2026-10-31", at_hours=None),
        Due(name="Near", by="calendar", last_day="2026-11-30", at_hours=None),
        Due(name="Far", by="calendar", last_day="2028-02-29", at_hours=None),
    )
    assert inspection_words.binding(club, dues) == [
        "Overdue on November 1, 2026: “Old”.",
        "Next comes “Near”: good through November 30, 2026, 29 days left.",
    ]
    as_of = club.case.scenario.as_of
    assert inspection_words.until(as_of, dues[0]) == "overdue since October 31, 2026"
    assert inspection_words.until(as_of, dues[2]) == "1 year 3 months left"


def test_every_unit_is_an_input_with_its_place(club: View) -> None:
    today, *options = inputs_page(club).content["airplane"]
    assert today["heading"] == "The airplane today"
    rows = {row["label"]: (row["value"], row["source"]) for row in today["rows"]}
    assert rows["Vacuum attitude gyro"] == (
        "3.1 lb at 76.5 in; provides attitude; needs vacuum",
        "equipment.toml, line 100",
    )
    assert {unit.name for unit in club.case.equipment.units} <= set(rows)
    assert [each["heading"] for each in options] == [
        f"The airplane with {club.tags[key].title}" for key in ("part", "full", "replace")
    ]


def test_the_method_page_means_every_key_of_every_file(club: View) -> None:
    files = {each["file"]: each["sections"] for each in method_page(club).content["glossary"]}
    told = {term["key"] for each in files["equipment.toml"] for term in each["terms"]}
    assert {"usable_share", "provides", "was_due_at", "recognition_minutes"} <= told
    assert {"max_down", "hours_per_year"} <= {
        term["key"] for each in files["fleet.toml"] for term in each["terms"]
    }
