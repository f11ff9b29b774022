"""What members want and how much of it each option gives, in the page's words."""

from dataclasses import replace

import pytest

from airplane_views import section_of
from panelworth.engine.results.airplane import (
    TippingPoint,
)
from panelworth.publishing.formats import percent
from panelworth.publishing.view import View
from panelworth.publishing.words import level_words, needs_words


def test_who_meets_most_is_told_with_how_firm_that_is(club: View) -> None:
    found = club.figures.airplane.capability
    assert found is not None
    tags = list(club.tags.values())
    assert found.first == ("full",)
    count = level_words.of_twenty(found.chance_first["full"])
    told = needs_words.lead(found, tags)
    assert told.startswith("Refit all meets most of it, 95%;")
    assert told.endswith(f"it would still be first in {count} draws.")
    alike = replace(found, share=dict.fromkeys(found.share, 0.5), first=tuple(found.share))
    assert needs_words.lead(alike, tags) == "All options meet 50% of it."
    assert needs_words.ballots(club.case) == (
        "The weights come from 24 ballots without names, which mark what is wanted."
    )


def test_the_table_says_of_each_need_which_option_meets_it(club: View) -> None:
    found = club.figures.airplane.capability
    table = section_of(club, "needs").table
    assert found is not None
    assert table is not None
    tags = [head["option"] for head in table.head[2:]]
    *rows, total = table.rows
    assert [row[0] for row in rows] == sorted(found.weights, key=lambda need: -found.weights[need])
    for need, _, *cells in rows:
        for tag, cell in zip(tags, cells, strict=True):
            assert cell["value"] == ("yes" if need in found.met[tag.id] else "no")
    assert total["cells"][2:] == [percent(found.share[tag.id], 0) for tag in tags]


@pytest.mark.parametrize(
    ("at", "told"),
    [
        (0.4, "Traffic: above 40% of all weight (now 10%) Keep comes first."),
        (0.05, "Traffic: below 5% of all weight (now 10%) Keep comes first."),
    ],
)
def test_a_tipping_point_names_its_side(club: View, at: float, told: str) -> None:
    point = TippingPoint(need="Traffic", weight=0.1, tips_at=at, new_first="keep")
    assert needs_words.tipping(club.tags, point) == told


def test_only_all_or_nothing_is_no_tipping_point(club: View) -> None:
    found = club.figures.airplane.capability
    assert found is not None
    edge = TippingPoint(need="Traffic", weight=0.1, tips_at=1.0, new_first="keep")
    told = needs_words.order_stability(club.tags, replace(found, tipping_points=(edge,)))
    assert told[1:] == [
        "No weight of Traffic alone, short of all or nothing, changes what comes first."
    ]
