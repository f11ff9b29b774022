"""What still works when a unit fails, in the page's words: the case of AC 91-75, and the demos."""

from pathlib import Path

import pytest

from airplane_views import listing_of, part_of, section_of, text_of, view_in
from panelworth.engine.results.airplane_sums import count_ending
from panelworth.publishing.view import View
from panelworth.publishing.words import failure_words
from small_cases import refit

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


MUCH, SMALL, CUTS = "One failure that takes", "All other single failures", "What takes more"


def told_of(view: View, option: str, unit: str) -> list[str]:
    """Return what is said of one failed unit that takes much, under an option."""
    entries = listing_of(part_of(view, "fails", option), MUCH).entries
    return list(next(each for each in entries if each.term == unit).lines)


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
    lose, keep, rules = told_of(reference, "keep", "Vacuum pump")
    assert lose == "You lose attitude and direction."
    assert keep.startswith(
        "You keep airspeed, altimeter, magnetic direction, rate of turn, and slip-skid;"
    )
    assert rules == (
        "Of what 91.205 lists: missing for IFR: attitude and direction; all there for day VFR and "
        "night VFR."
    )


def test_a_display_without_standby_takes_airspeed_and_altimeter_and_day_vfr(
    reference: View,
) -> None:
    """14 CFR 91.205 (b)(1) and (2) are then not met."""
    lose, keep, rules = told_of(reference, "screen", "Display")
    assert lose == "You lose airspeed, altimeter, attitude, and direction."
    assert keep.startswith("You keep magnetic direction, rate of turn, and slip-skid;")
    assert rules == (
        "Of what 91.205 lists: missing for day VFR and night VFR: airspeed and altimeter; "
        "for IFR also attitude and direction."
    )


def test_an_independent_standby_keeps_attitude_airspeed_altitude_and_magnetic_direction(
    reference: View,
) -> None:
    """14 CFR 23.1311(a)(5) as of 2014: what the display's failure leaves."""
    failures = reference.figures.airplane.failures["standby"].failures
    display = next(each for each in failures if each.unit == "Display")
    assert {"attitude", "airspeed", "altimeter", "magnetic direction"} <= set(display.kept)
    assert "Display (direction)" in small_groups(reference, "standby")["Something listed for IFR"]


def test_the_reference_case_is_on_the_page(reference: View) -> None:
    text = text_of(reference, "details.html")
    assert "with it Attitude gyro and Direction gyro" in text
    assert "missing for IFR: attitude and direction; all there for day VFR and night VFR" in text


def test_how_many_failures_it_takes_is_the_smallest_cut_set() -> None:
    assert failure_words.fewest([("a", "b"), ("c",)]) == "1"
    assert failure_words.fewest([("a", "b")]) == "2"
    assert failure_words.fewest([]) == "more than 3"
    assert failure_words.fewest(None) == "not there"


def test_a_rule_that_is_not_met_to_begin_with_is_told_and_not_counted(owner: View) -> None:
    found = owner.figures.airplane.failures
    assert count_ending(found["newer"], "IFR") is None
    told = failure_words.headline(list(owner.tags.values()), found)
    assert told.endswith("Not all that IFR asks for is there with Newer.")
    assert told_of(owner, "newer", "Flight display")[2] == (
        "Of what 91.205 lists: all there for day VFR and night VFR; never all there for IFR."
    )
    rows = section_of(owner, "fails").table.rows
    assert next(row for row in rows if row[0]["option"].id == "newer")[-1] == "never met"


def test_what_is_of_no_use_by_itself_is_not_told_as_lost(club: View) -> None:
    found = club.figures.airplane.failures["keep"]
    assert "vacuum" in found.means
    assert told_of(club, "keep", "Vacuum pump and lines")[0] == "You lose attitude and direction."


def test_a_lost_display_of_two_takes_nothing_and_the_gauges_stay(club: View) -> None:
    """What the demo means to say: either display shows the engine and the flight instruments."""
    for failure in club.figures.airplane.failures["full"].failures:
        if failure.unit in ("Left flight display", "Right flight display", "Air data computer"):
            assert failure.lost == ()


def small_groups(view: View, option: str) -> dict[str, str]:
    """Return the units of "All other single failures" by what they take."""
    entries = listing_of(part_of(view, "fails", option), SMALL).entries
    return {each.term: each.lines[0] for each in entries}


def test_after_the_alternator_only_the_battery_is_left_in_words_of_its_own(club: View) -> None:
    for option, found in club.figures.airplane.electrical.items():
        lose, keep, rules = told_of(club, option, "Alternator")
        span = found.shortest_endurance
        assert span is not None
        worst = f"{int(span.low)} minutes at worst"
        assert lose.startswith(f"You lose generator at once. Only Main battery is left: {worst}")
        assert lose.endswith("Land while it lasts.")
        kept = "all flight instruments" if option == "replace" else "airspeed, altimeter, "
        empty = "You keep, when it is empty, for as long as other batteries last: "
        assert keep.startswith(f"{empty}{kept}")
        assert rules.startswith("Of what 91.205 lists, when it is empty: missing for ")
        assert all("Alternator" not in units for units in small_groups(club, option).values())
    assert "Only a battery is left after: Alternator." in section_of(club, "fails").answer[0]


def test_what_options_share_is_told_once_and_named_by_the_others(club: View) -> None:
    keep, part = (part_of(club, "fails", option) for option in ("keep", "part"))
    shared = listing_of(keep, MUCH)
    assert "Pitot and static lines" in {each.term for each in shared.entries}
    own = listing_of(part, MUCH)
    assert own.after == "As with Keep: Pitot and static lines."
    assert not [each for each in own.entries if each in shared.entries]


def test_sets_of_several_units_name_all_that_they_take(reference: View) -> None:
    found = reference.figures.airplane.failures["keep"].cut_sets
    entries = listing_of(part_of(reference, "fails", "keep"), CUTS).entries
    both = next(each for each in entries if each.term == "Alternator + Battery").lines[0]
    taken = {name for name, sets in found.items() if ("Alternator", "Battery") in sets}
    assert len(taken) > 2
    assert all(name in both for name in taken)
    assert all(" + " in each.term for each in entries)


ODD = (
    VACUUM
    + """
[[units]]
name = "Ballast block"
weight = 9
[[units]]
name = "Old box"
provides = ["distance"]
needs = ["Older box"]
[[units]]
name = "Older box"
needs = ["Old box"]
[[units]]
name = "Second radio"
provides = ["communication"]
needs = ["electrical source"]
"""
)


def test_only_what_is_stood_in_for_is_told_so(tmp_path: Path) -> None:
    """Not a unit that provides nothing, nor one that cannot work, nor the alternator."""
    view = view_in(tmp_path, {"screen": refit(top="", rest="")}, ODD)
    groups = small_groups(view, "keep")
    assert groups["Nothing yet: something else stands in"] == "Battery and Second radio"
    assert groups["Not known: the files name no function of it"] == "Ballast block"
    assert all("Old" not in units for units in groups.values())  # need each other: never work
    assert told_of(view, "keep", "Alternator")[0] == (
        "You lose generator at once. Only Battery is left: how long it lasts is not in the files. "
        "Land while it lasts."
    )


def test_sources_that_the_files_do_not_tell_apart_may_each_be_a_battery(tmp_path: Path) -> None:
    equipment = VACUUM.replace('"Alternator"', '"Source one"').replace('"Battery"', '"Source two"')
    view = view_in(tmp_path, {"screen": refit(top="", rest="")}, equipment)
    for name, other in (("Source one", "Source two"), ("Source two", "Source one")):
        lose = told_of(view, "keep", name)[0]
        start = f"You lose nothing at once. {other} is left; if that is a battery: how long"
        assert lose.startswith(start)


def test_what_a_failure_leaves_never_reads_as_leave_to_fly(club: View, owner: View) -> None:
    for view in (club, owner):
        for part in section_of(view, "fails").parts:
            if part.option:
                assert any("no leave to fly" in line and "91.213" in line for line in part.lines)
        text = text_of(view, "details.html")
        for phrase in ("still there", "To fly by", "Ends none"):
            assert phrase not in text


def test_the_fewest_and_the_most_single_failures_are_told_with_their_options(club: View) -> None:
    found, tags = club.figures.airplane.failures, list(club.tags.values())
    counts = {tag.short: count_ending(found[tag.id], "IFR") for tag in tags}
    told = failure_words.headline(tags, found)
    assert f"most with Keep, {counts['Keep']}" in told
    assert f"fewest with Refit all and Replace, {counts['Refit all']}" in told
    alike = failure_words.headline([club.tags["keep"]], found)
    assert alike.startswith(f"{counts['Keep']} single failures would end a flight in cloud")
