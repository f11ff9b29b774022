"""Inspections by calendar month and by hours; sources in cases/airframe.json."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import CASES, case_of
from panelworth.engine.airplane.inspections import (
    TimeAway,
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


def flown(
    tach: float,
    *,
    annual: date = date(2026, 2, 10),
    hours: float = 240,
    done: Sequence[str] = (),
    **hourly: float,
) -> Case:
    """Return a folder with an annual and a 100-hour inspection; 20 hours are flown a month."""
    refit = {**REFIT, "after": {"recurring_done": list(done)}}
    aircraft = {
        **AIRCRAFT,
        "hours_per_year": hours,
        "recurring": [{**ANNUAL, "last_done": annual}],
    }
    hundred = {"name": "100-hour", "every": 100, "done_at": 1234.5, **hourly}
    airplane = {"empty_weight": 1000, "empty_arm": 10, "max_weight": 2000}
    return case_of(
        scenario={"aircraft": aircraft},
        options={"refit": refit, "newer": {**REFIT, "kind": "replace"}},
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
    """Since when is not known: the tach tells at which hours, and no day is made up."""
    late = due_today(flown(1340.0))[0]
    assert (late.when, late.last_day, late.at_hours) == ("overdue", None, 1334.5)


def test_days_away_put_off_what_falls_due_by_hours() -> None:
    """The limit would be reached on 30 November; from the 16th the airplane is away 28 days."""
    hundred = next(each for each in due_after(flown(1314.5), "refit") if each.by == "hours")
    assert hundred.last_day == "2026-12-28"


LEAVES = date(2026, 11, 16)
BACK = date(2026, 12, 14)


@pytest.mark.parametrize("option", ["refit", "keep"])
def test_what_is_overdue_stays_with_an_option_by_hours_and_by_calendar(option: str) -> None:
    case = flown(1340.0, annual=date(2025, 9, 3))
    found = {each.name: each for each in due_after(case, option)}
    assert (found["100-hour"].when, found["100-hour"].last_day) == ("overdue", None)
    assert (found["Annual"].when, found["Annual"].last_day) == ("overdue", "2026-09-30")


# 20 hours a month: so many hours are left when this day's flying reaches the limit, in November
# (30 days) and December (31). The airplane is away from 16 November to 13 December.
@pytest.mark.parametrize(
    ("left", "day", "when"),
    [
        (-0.1, None, "overdue"),
        (0.0, date(2026, 11, 1), "before"),
        (20 / 30 * 14.5, date(2026, 11, 15), "before"),  # the day before it leaves
        (20 / 30 * 15.5, BACK, "after"),  # would be the day it leaves: flown the day it is back
        (20 / 30 * 16.5, BACK + timedelta(days=1), "after"),
    ],
)
def test_an_item_by_hours_moves_from_the_day_it_leaves_on(
    left: float, day: date | None, when: str
) -> None:
    hundred = next(each for each in due_after(flown(1334.5 - left), "refit") if each.by == "hours")
    assert (hundred.last_day, hundred.when) == (day.isoformat() if day else None, when)


@pytest.mark.parametrize(
    ("last", "when"),
    [
        (date(2026, 10, 31), "overdue"),  # the day before the figures are stated for
        (date(2026, 11, 1), "before"),  # that day
        (date(2026, 11, 2), "before"),
        (LEAVES - timedelta(days=1), "before"),
        (LEAVES, "away"),
        (BACK - timedelta(days=1), "away"),
        (BACK, "after"),  # good on the day it is back
        (BACK + timedelta(days=1), "after"),
    ],
)
def test_a_last_good_day_stands_to_each_day_of_the_time_away(last: date, when: str) -> None:
    away = TimeAway(stated=date(2026, 11, 1), start=LEAVES, weeks=4)
    assert away.back == BACK
    assert away.when(last) == when
    never = TimeAway(stated=date(2026, 11, 1))
    assert never.when(last) == ("overdue" if when == "overdue" else "after")


def test_what_is_done_at_the_finish_starts_again_there() -> None:
    """Finish 14 December 2026: good through December 2027; another list likewise."""
    case = flown(1314.5, done=["Annual"])
    annual = next(each for each in due_after(case, "refit") if each.by == "calendar")
    assert (annual.last_day, annual.when) == ("2027-12-31", "after")


def test_another_airplane_is_overdue_by_the_day_it_comes() -> None:
    """It is bought on 14 December: what ran out at the end of November is overdue then."""
    case = flown(1314.5, annual=date(2025, 11, 20))
    annual = next(each for each in due_after(case, "newer") if each.by == "calendar")
    assert (annual.last_day, annual.when) == ("2026-11-30", "overdue")


def test_hours_that_are_never_flown_never_fall_due() -> None:
    case = flown(1314.5, hours=0)
    assert [each.by for each in due_today(case)] == ["calendar"]


def test_another_airplane_takes_nothing_of_today_s_tach_over() -> None:
    assert [each.by for each in due_after(flown(1314.5), "newer")] == ["calendar"]
