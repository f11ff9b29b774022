"""What members want and how much of it each option gives, in the page's words."""

from dataclasses import replace

import pytest

from panelworth.engine.results_airplane import TippingPoint
from panelworth.publishing.airplane import needs_words
from panelworth.publishing.view import View


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
