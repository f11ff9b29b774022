"""Electrical load, battery minutes and wires in the page's words."""

from dataclasses import replace

from panelworth.engine.results_airplane import CircuitCheck, Span
from panelworth.publishing.airplane import power_words
from panelworth.publishing.view import View


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
