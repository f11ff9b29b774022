"""Which inspection comes next and what is overdue, in the page's words."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from airplane_views import part_of
from panelworth.engine.results.airplane import (
    Due,
)
from panelworth.publishing.view import View
from panelworth.publishing.words import inspection_words


def test_the_item_that_binds_next_comes_first_and_overdue_ones_are_named(club: View) -> None:
    dues = (
        Due(name="Old", by="calendar", last_day="2026-10-31", at_hours=None, when="overdue"),
        Due(name="Near", by="calendar", last_day="2026-11-30", at_hours=None, when="after"),
        Due(name="Far", by="calendar", last_day="2028-02-29", at_hours=None, when="after"),
    )
    assert inspection_words.binding(club.case, dues) == [
        "Overdue on November 1, 2026: “Old”. Whether it may fly is for the rules and a mechanic.",
        "Next comes “Near”: good through November 30, 2026, 29 days left.",
    ]
    as_of = club.case.scenario.as_of
    assert inspection_words.until(as_of, dues[0]) == "since November 1, 2026"
    assert inspection_words.until(as_of, dues[2]) == "1 year 3 months left"


def by_hours(when: str, last_day: str | None) -> Due:
    """Return an item by hours."""
    return Due(name="Oil", by="hours", last_day=last_day, at_hours=4331.0, when=when)


def test_an_overdue_item_is_said_to_be_overdue_with_what_is_known_of_it() -> None:
    """By hours the tach tells since when, by calendar the day after the last good one."""
    late = by_hours("overdue", None)
    old = Due(name="Old", by="calendar", last_day="2026-09-30", at_hours=None, when="overdue")
    for due, since in ((late, "since 4,331 hours on the tach"), (old, "since October 1, 2026")):
        assert inspection_words.last_day(due) == "overdue"
        assert inspection_words.after(date(2027, 1, 15), due) == since


def test_what_falls_due_before_it_is_back_says_when() -> None:
    told = {
        when: inspection_words.after(date(2027, 1, 15), by_hours(when, "2027-03-25"))
        for when in ("before", "away", "after")
    }
    assert told["before"] == "falls due before it leaves"
    assert told["away"] == "falls due while it is away"
    assert told["after"].endswith("left when it is back")


@pytest.mark.parametrize(
    ("as_of", "last", "told"),
    [
        (date(2026, 11, 1), "2026-11-01", "0 days left"),
        (date(2026, 11, 1), "2026-11-02", "1 day left"),
        (date(2026, 12, 31), "2027-01-31", "31 days left"),
        (date(2026, 11, 30), "2027-01-01", "1 month left"),  # 32 days: not two months
        (date(2026, 11, 15), "2027-11-14", "11 months left"),
        (date(2026, 11, 15), "2027-11-15", "1 year left"),
    ],
)
def test_time_left_is_rounded_down(as_of: date, last: str, told: str) -> None:
    assert inspection_words.until(as_of, by_hours("after", last)) == told


def test_what_the_option_renews_is_overdue_until_then_if_it_runs_out_before(club: View) -> None:
    """The finish of “full” is in March 2027; the same item good until later needs no word."""
    finish = date.fromisoformat(club.series("full").finish)
    for last, told in ((finish - timedelta(days=1), True), (finish, False)):
        due = Due(
            name="Emergency locator battery",
            by="calendar",
            last_day=last.isoformat(),
            at_hours=None,
            when="after",
        )
        airplane = replace(club.figures.airplane, due_today=(due,))
        view = replace(club, figures=replace(club.figures, airplane=airplane))
        said = inspection_words.done_with(view, "full")
        assert ("overdue from then to the finish" in said) is told


def test_what_options_renew_is_told_item_by_item_with_its_options(club: View) -> None:
    (told,) = inspection_words.renewed(club)
    assert told == (
        "Done on the way, so that its clock restarts: Static system and transponder test (Refit "
        "part and Refit all) and Emergency locator battery (Refit all)."
    )


def test_an_option_tells_only_what_falls_due_otherwise_than_today(club: View) -> None:
    part = part_of(club, "due", "part")
    today = {due.name: due.last_day for due in club.figures.airplane.due_today}
    moved = {
        due.name
        for due in club.figures.airplane.due_after["part"]
        if due.last_day != today[due.name] or due.when != "after"
    }
    assert {row[0] for row in part.tables[0].rows} == moved
    assert "Static system and transponder test" in moved
    assert part.lines[-1] == "As today: Emergency locator battery."
