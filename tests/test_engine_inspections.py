"""Inspections by calendar month and by hours; sources in cases/airframe.json."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import CASES, case_of
from panelworth.engine.inspections import (
    day_reached,
    due_after,
    due_today,
    hourly_done,
)
from panelworth.model.case import Case
from panelworth.model.dates import last_good_day


@pytest.mark.parametrize("case_id", ["CM-01", "CM-03"])
def test_a_calendar_interval_ends_with_its_month(case_id: str) -> None:
    case = CASES[case_id]
    done = date.fromisoformat(case["arguments"]["done"])
    assert last_good_day(done, case["arguments"]["months"]).isoformat() == case["expected"]


@given(done=st.dates(date(1950, 1, 1), date(2100, 1, 1)), months=st.integers(1, 240))
def test_the_last_good_day_is_that_of_dateutil(done: date, months: int) -> None:
    expected = done + relativedelta(day=1) + relativedelta(months=months, day=31)
    assert last_good_day(done, months) == expected


@pytest.mark.parametrize("case_id", ["CM-05", "CM-06"])
def test_hours_flown_over_en_route_count_in_the_next_hundred(case_id: str) -> None:
    case = CASES[case_id]
    found = hourly_done(**case["arguments"])
    assert found.next_due == pytest.approx(case["expected"]["next_due"])
    assert found.violation is case["expected"]["violation"]


def test_done_early_the_next_hundred_starts_there() -> None:
    assert hourly_done(due_at=1334.5, done_at=1320.0).next_due == 1420.0


def test_exactly_ten_hours_over_are_allowed() -> None:
    assert not hourly_done(due_at=100.0, done_at=110.0).violation


def test_the_day_a_limit_is_reached_follows_the_season() -> None:
    """Worked by hand: 120 hours a year, all from April to September, so 20 a month.

    From 1 March, 30 hours: none in March, 20 in April, 10 more in May at 20/31 a day: 15.5 days,
    so on the 16th of May.
    """
    season = (0, 0, 0, 1, 1, 1, 1, 1, 1, 0, 0, 0)
    found = day_reached(date(2027, 3, 1), 30.0, hours_per_year=120, season=season)
    assert found == date(2027, 5, 16)
    assert day_reached(date(2027, 3, 1), 1.0, hours_per_year=0, season=season) is None
    assert day_reached(date(2027, 3, 1), 0.0, hours_per_year=0, season=season) == date(2027, 3, 1)


@given(hours=st.floats(0.1, 2000), more=st.floats(0, 100))
def test_more_hours_are_never_reached_earlier(hours: float, more: float) -> None:
    kept = {"hours_per_year": 200.0, "season": (1.0,) * 12}
    start = date(2027, 3, 14)
    first = day_reached(start, hours, **kept)
    assert first <= day_reached(start, hours + more, **kept)
    assert abs((first - start) - timedelta(days=hours / 200 * 365.25)) < timedelta(days=5)


ANNUAL = {"name": "Annual", "every_months": 12, "last_done": date(2026, 2, 10)}
AIRCRAFT = {"hours_per_year": 240, "hours_lost_per_year": 0, "recurring": [ANNUAL]}


def flown(tach: float, **hourly: float) -> Case:
    """Return a folder with an annual and a 100-hour inspection; 20 hours are flown a month."""
    hundred = {"name": "100-hour", "every": 100, "done_at": 1234.5, **hourly}
    airplane = {"empty_weight": 1000, "empty_arm": 10, "max_weight": 2000}
    return case_of(
        scenario={"aircraft": AIRCRAFT},
        options={"refit": REFIT, "newer": {**REFIT, "kind": "replace"}},
        equipment={"airplane": {**airplane, "tach": tach, "hourly": [hundred]}},
    )


REFIT = {
    "title": "Refit",
    "kind": "retrofit",
    "schedule": {"start": date(2026, 11, 16), "weeks_down": 4},
}


def test_the_earliest_of_calendar_and_hours_binds() -> None:
    """CM-07: the calendar end beside the day the hours run out; whichever comes first.

    20 hours are left at 20 a month from 1 November 2026: through the last day of November.
    """
    assert [(each.name, each.by, each.last_day) for each in due_today(flown(1314.5))] == [
        ("100-hour", "hours", "2026-11-30"),
        ("Annual", "calendar", "2027-02-28"),
    ]
    assert due_today(flown(1234.5, done_at=1234.0))[0].name == "Annual"


def test_hours_flown_over_shorten_the_next_interval() -> None:
    """CM-05: due at 1334.5, done 4 hours over: the next is due at 1434.5."""
    [hundred] = [
        each
        for each in due_today(flown(1414.5, done_at=1338.5, was_due_at=1334.5))
        if each.by == "hours"
    ]
    assert (hundred.at_hours, hundred.last_day) == (1434.5, "2026-11-30")


def test_hours_past_the_limit_are_overdue() -> None:
    assert due_today(flown(1340.0))[0].last_day == "2026-10-31"


def test_days_away_put_off_what_falls_due_by_hours() -> None:
    """The limit would be reached on 30 November; from the 16th the airplane is away 28 days."""
    hundred = next(each for each in due_after(flown(1314.5), "refit") if each.by == "hours")
    assert hundred.last_day == "2026-12-28"


def test_what_falls_due_by_hours_before_it_leaves_is_done_by_then() -> None:
    """Five hours are left: they are flown by 8 November."""
    assert due_today(flown(1329.5))[0].last_day == "2026-11-08"
    assert [each.by for each in due_after(flown(1329.5), "refit")] == ["calendar"]


def test_another_airplane_takes_nothing_of_today_s_tach_over() -> None:
    assert [each.by for each in due_after(flown(1314.5), "newer")] == ["calendar"]
