"""When to start, in words: why starts are refused, and which lose least."""

from dataclasses import replace

import pytest

from panelworth.engine.results.start import Refusal, Why
from panelworth.publishing.view import View
from panelworth.publishing.words import starts_words as when_words

WINDOW = "Cruiser, Annual, January 5, 2027 to January 9, 2027"


@pytest.mark.parametrize(
    ("why", "told"),
    [
        ("order", "it is before the order on January 5, 2027"),
        ("arrival", "the equipment likely arrives on January 5, 2027"),
        ("fleet", f"too many airplanes would be down ({WINDOW})"),
        ("blackout", f"the airplane is wanted ({WINDOW})"),
        ("horizon", "it would be back only on January 9, 2027, past the years looked at"),
    ],
)
def test_each_refusal_has_its_reason(why: Why, told: str) -> None:
    found = Refusal(why=why, what="Cruiser: Annual", first="2027-01-05", last="2027-01-09")
    assert when_words.refusal(found) == told


def test_neighbouring_mondays_are_one_stretch(club: View) -> None:
    planner = club.figures.airplane.planners["full"]
    assert when_words.windows(planner, [10, 11, 3]) == (
        "November 23, 2026 or January 11, 2027 to January 18, 2027"
    )


def test_every_start_refused_is_said_so(club: View) -> None:
    planner = replace(
        club.figures.airplane.planners["full"],
        best_by_cost=(),
        best_by_risk=(),
        planned_extra_worth=None,
        planned_extra_hours=None,
    )
    assert when_words.best_starts(planner) == [
        "Every Monday looked at is refused; the table says why."
    ]


def test_a_planned_start_that_is_refused_says_why(club: View) -> None:
    told = when_words.planned_refused(club.figures.airplane.planners.get("full"))
    assert "March 1, 2027 to March 19, 2027" in told
    assert when_words.planned_refused(club.figures.airplane.planners.get("part")) == ""
    assert when_words.planned_refused(club.figures.airplane.planners.get("keep")) == ""
