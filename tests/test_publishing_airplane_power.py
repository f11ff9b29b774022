"""Electrical load, battery minutes and wires in the page's words."""

from dataclasses import replace

import pytest

from panelworth.engine.results.airplane import (
    CircuitCheck,
    Span,
)
from panelworth.model.equipment import Battery
from panelworth.publishing.view import View
from panelworth.publishing.words import power_words


def test_a_load_over_the_rule_of_thumb_names_the_option(club: View) -> None:
    found = dict(club.figures.airplane.electrical)
    tags = list(club.tags.values())
    assert power_words.headline(tags, found) == (
        "Every option stays within the rule of thumb, 80% of the alternator; the most is 58%."
    )
    found["full"] = replace(found["full"], load_share=0.9, verdict="over")
    told = power_words.headline(tags, found)
    assert told == ("Refit all: more than the 80% of the alternator that the rule of thumb allows.")
    assert power_words.verdict(found["full"]) == "over the 80% rule of thumb"


def test_battery_minutes_are_told_from_the_shortest(club: View) -> None:
    found = club.figures.airplane.electrical
    told = power_words.battery(list(club.tags.values()), found)
    shortest = found["full"].shortest_endurance
    assert shortest is not None
    assert f"{power_words.at_worst(shortest)} with Refit all" in told
    assert "only the battery is left" in told
    assert told.endswith("Land while it lasts.")
    none = {key: replace(each, shortest_endurance=None) for key, each in found.items()}
    assert "cannot be told" in power_words.battery(list(club.tags.values()), none)


def test_minutes_and_amps_carry_their_range() -> None:
    span = Span(low=98.9, likely=117.4, high=133.0)
    assert power_words.minutes(span) == "98 to 133 minutes, likely 117"
    assert power_words.at_worst(span) == "98 minutes at worst (likely 117)"
    same = Span(low=8.49, likely=8.49, high=8.49)
    assert power_words.minutes(same) == "8.4 minutes"
    assert power_words.at_worst(same) == "8.4 minutes at worst"
    assert power_words.minutes(None) == "—"
    assert power_words.at_least(span) == {"value": "98", "note": "likely 117"}
    assert power_words.at_least(same) == {"value": "8.4"}
    assert power_words.at_least(None) == {"value": "—"}
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


@pytest.mark.parametrize(
    ("keys", "low", "told"),
    [
        ({"usable_share": 0.75, "recognition_minutes": 5}, 90.0, "75% of 24 Ah, the failure seen"),
        ({}, 30.0, "100% of 24 Ah, the failure seen at once"),
        ({}, 29.9, "100% of 24 Ah, the failure seen at once; 14 CFR 23.1353(h) asked for 30"),
    ],
)
def test_what_battery_minutes_take_as_given_stands_beside_them(
    keys: dict[str, float], low: float, told: str
) -> None:
    held, span = Battery(ampere_hours=24, **keys), Span(low=low, likely=95.0, high=99.0)
    assert power_words.basis(held, span).startswith(told)
    assert ("23.1353" in power_words.basis(held, span)) == (low < 30)
    assert power_words.basis(None, span) == power_words.basis(held, None) == ""


@pytest.mark.parametrize("share", [0.8001, 0.804, 1.00001])
def test_a_load_over_a_limit_never_reads_as_one_at_it(share: float) -> None:
    assert power_words.load_share(share) not in ("80%", "100%")
