"""When to start, in the page's words: refusals, what a start loses, what a late return costs."""

from dataclasses import replace
from typing import Any

import pytest

from panelworth.engine.results_airplane import StartWeek
from panelworth.engine.results_start import Refusal, Why
from panelworth.publishing.airplane import when_words
from panelworth.publishing.view import View

WINDOW = "Cruiser, Annual, January 5, 2027 to January 9, 2027"


def week(**changed: object) -> StartWeek:
    """Return a start week that loses nothing."""
    base: dict[str, Any] = {
        "start": "2027-01-18", "finish": "2027-03-22", "lost_hours": 30.0,
        "lost_contribution": 1000.0, "lost_worth": 1000.0, "lost_worth_low": 700.0,
        "lost_worth_high": 1600.0, "refusals": (), "chance_fleet": 0.0,
        "chance_blackout": 0.0, "chance_conflict": 0.0, "chance_late": 0.0, "room_weeks": None,
        "slip_costs": (100.0,) * 8,
    }  # fmt: skip
    return StartWeek(**{**base, **changed})


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


def test_a_refused_start_is_told_with_what_it_loses(club: View) -> None:
    tag, planner = club.tags["full"], club.figures.airplane.planners["full"]
    money = club.formats.money
    assert when_words.own_start(club, tag, planner) == (
        f"“{tag.title}” as planned, from January 18, 2027, loses 31 hours of flying, worth "
        f"{money(planner.own.lost_worth)} more than it costs; the best start, "
        f"November 29, 2027, loses {money(planner.own_extra_worth)} less."
    )
    assert "March 1, 2027 to March 19, 2027" in when_words.own_refused(planner)
    assert when_words.risk(planner) == ""


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
        own_extra_worth=None,
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
        club.figures.airplane.planners["part"], own_extra_worth=0.0, own_extra_hours=0.0
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


def test_an_owner_loses_what_hours_are_worth_beyond_their_cost(owner: View) -> None:
    planner = owner.figures.airplane.planners["refit"]
    money, worth = owner.formats.money, planner.own.lost_worth
    lost = f"2.5 hours of flying, worth {money(worth)} more than it costs"
    assert when_words.lost(owner, planner, planner.own) == lost
    cost = money(planner.own.slip_costs[0])
    assert f"costs {cost} for 1 week" in when_words.slip(owner, planner)
    plain = replace(planner, ranked_by="lost_hours")  # without worth_per_hour
    assert when_words.slip(owner, plain).startswith("Coming back late loses flying: ")
    assert when_words.spread(owner, plain) == ""


def test_room_before_the_next_closed_day_is_told_with_its_chance(club: View) -> None:
    planner = replace(
        club.figures.airplane.planners["part"], own=week(room_weeks=2.5, chance_conflict=0.12)
    )
    assert when_words.risk(planner) == (
        "From the likely finish it is 2.5 weeks to the next day on which it may not be down; the "
        "chance that it is still down then: 12 in 100."
    )
