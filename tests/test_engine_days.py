"""What falls due every so many days, counted day by day; and dates at the calendar's far ends."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import case_of
from airplane_views import worked_out
from folder_cases import FOLDER, read_files, written
from panelworth import evaluate, views
from panelworth.engine.airplane.inspections import due_today
from panelworth.engine.cash_flow.calendar import due_after, due_from_clock, months_of
from panelworth.engine.deadlines import deadlines
from panelworth.engine.editions.change_attribution import attribute_changes
from panelworth.engine.editions.input_changes import changes_between
from panelworth.engine.ledger.settlement import settled
from panelworth.model.dates import month_index, month_start
from panelworth.model.edition import Edition
from panelworth.model.scenario import Recurring, Scenario
from panelworth.publishing.figures_object import figures_object
from panelworth.publishing.site.calendar_file import calendar_ics
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.workbook.document import workbook_of
from small_cases import case_in, refit
from test_engine_change_attribution import edition

AS_OF = date(2026, 11, 15)
CHECK = '[[aircraft.recurring]]\nname = "Check"\ncost = 100\n{every}\nlast_done = 2025-12-20\n'


def scenario_of(years: int) -> Scenario:
    """Return a scenario of so many years."""
    return case_of(scenario={"as_of": AS_OF, "years": years}).scenario


def every(days: int, done: date) -> Recurring:
    """Return an item that falls due every so many days."""
    return Recurring.model_validate({"name": "Check", "every_days": days, "last_done": done})


def counted(item: Recurring, finish: int, last: int) -> list[int]:
    """Count by walking from one day to the next, up to the end of month `last`."""
    step = timedelta(days=item.every_days or 0)
    opens, end = month_start(AS_OF, finish + 1), month_start(AS_OF, last + 1)
    day = item.last_done + step
    day = max(day, opens)  # what is due by then falls due once, and the clock runs on from there
    months: Counter[int] = Counter()
    while day < end:
        months[month_index(AS_OF, day)] += 1
        day += step
    return [months[month] for month in range(last + 1)]


@given(
    days=st.integers(1, 500),
    done=st.dates(date(2020, 1, 1), date(2030, 1, 1)),
    finishes=st.lists(st.integers(0, 24), min_size=1, max_size=4),
)
def test_days_fall_due_as_often_as_a_walk_through_the_calendar_meets_them(
    days: int, done: date, finishes: list[int]
) -> None:
    item, scenario = every(days, done), scenario_of(2)
    months = months_of(scenario)
    assert due_from_clock(item, scenario, months).tolist() == counted(item, 0, 24)
    found = due_after(item, scenario, np.array(finishes), months)
    assert found.tolist() == [counted(item, finish, 24) for finish in finishes]


@given(months=st.integers(1, 60), done=st.dates(date(2020, 1, 1), date(2030, 1, 1)))
def test_months_are_calendar_months_from_the_one_it_was_done_in(months: int, done: date) -> None:
    """Not added up from last days, which would lose days: 31 January, 28 February, 28 March.

    "Within the preceding N calendar months", 14 CFR 91.409(a): held to dateutil's months.
    """
    item = Recurring.model_validate({"name": "C", "every_months": months, "last_done": done})
    scenario = scenario_of(10)
    assert item.good_through(done) == done + relativedelta(months=months, day=31)
    due = np.flatnonzero(due_from_clock(item, scenario, months_of(scenario)))
    n, expected = 1, set()
    first = month_index(AS_OF, done + relativedelta(months=months))
    if first < 1:
        expected = {month for month in range(1, 121) if (month - 1) % months == 0}
    while first >= 1 and (at := month_index(AS_OF, done + relativedelta(months=n * months))) <= 120:
        expected.add(at)
        n += 1
    assert set(due.tolist()) == expected


def test_thirty_days_are_not_a_calendar_month() -> None:
    """Done on 2 January it is good through 1 February; by calendar month through the 28th."""
    done = date(2026, 1, 2)
    by_days = {"name": "By days", "every_days": 30, "last_done": done}
    by_months = {"name": "By months", "every_months": 1, "last_done": done}
    case = case_of(
        scenario={"as_of": date(2026, 1, 10), "aircraft": {"recurring": [by_days, by_months]}}
    )
    told = {each.name: each.last_day for each in due_today(case)}
    assert told == {"By days": "2026-02-01", "By months": "2026-02-28"}
    days = {each.name: (each.first, each.every_days) for each in deadlines(case, evaluate(case))}
    assert days == {"By days": (date(2026, 2, 1), 30), "By months": (date(2026, 2, 28), None)}


def test_each_of_its_days_costs_once_in_its_own_month(tmp_path: Path) -> None:
    """Every 30 days from 2025-12-20: 19 January, 18 February, 20 March … From 2026-01-01 to 2028.

    Worked by hand: month 1 is February, 2026-01-19 lies before it and falls on 1 February; from
    there 3 March, 2 April, 2 May, 1 June, 1 and 31 July in one month, 30 August, 29 September.
    """
    case = case_in(tmp_path, {"refit": refit()}, rest=CHECK.format(every="every_days = 30"))
    flows = worked_out(case).figures.series["keep"].rows["recurring"]
    assert flows[:10] == pytest.approx([0, 100, 100, 100, 100, 100, 200, 100, 100, 100])


def test_an_interval_is_given_once(tmp_path: Path) -> None:
    for new, found in (("", "neither"), ("every_months = 24, every_days = 30,", "both")):
        files = written("scenario.toml", "every_months = 24,", new)
        case, said = read_files(tmp_path / found, files)
        assert case is None
        assert said == [
            (
                "scenario.toml:18: error: aircraft.recurring[Static test]: expected either "
                f"every_months or every_days, found {found}; write one of the two"
            )
        ]


def test_an_interval_that_changes_from_months_to_days_moves_as_a_whole(tmp_path: Path) -> None:
    """Half of it taken over would be an item with no interval, or with two."""
    then, now = (
        replace(
            case_in(tmp_path / each, {"refit": refit()}, rest=CHECK.format(every=each)), name="one"
        )
        for each in ("every_months = 6", "every_days = 90")
    )
    assert [move.label for move in changes_between(then.written, now.written)] == [
        "Recurring item “Check”"
    ]
    before: Edition = edition(then)
    found = attribute_changes(before, now, evaluate(now))
    assert [len(step.changes) for step in found.steps] == [1]


FAR: list[tuple[str, Callable[[str], str]]] = [
    ("scenario.toml", lambda text: text.replace("2025-08-15", "1900-01-01")),
    ("scenario.toml", lambda text: text.replace("2025-08-15", "2999-12-31")),
    (
        "scenario.toml",
        lambda text: text.replace("every_months = 24", "every_days = 18262").replace(
            "2025-08-15", "2999-12-31"
        ),
    ),
    (
        "fleet.toml",
        lambda _: (
            "blackout = [{ from = 1900-01-01, to = 1900-01-02 },"
            " { from = 2999-12-30, to = 2999-12-31 }]\n"
            '[[aircraft]]\nname = "Cub"\nhours_per_year = 10\n'
            "down = [{ from = 2027-06-01, to = 2999-12-31 }]\n"
        ),
    ),
    (
        "ledger.csv",
        lambda _: (
            "date,option,item,kind,amount,expires\n"
            "1900-01-01,refit,Display,quote,14000,2999-12-31\n"
            "2999-12-31,refit,Display,payment,100,\n"
        ),
    ),
]


@pytest.mark.parametrize(("file", "spoil"), FAR)
def test_whatever_day_is_taken_everything_is_made_from_it(
    tmp_path: Path, file: str, spoil: Callable[[str], str]
) -> None:
    case, said = read_files(tmp_path, {**FOLDER, file: spoil(FOLDER[file])})
    assert case is not None, said
    [view] = views([settled(case)], trials=100)
    assert len(pages_of(view)) > 8
    assert calendar_ics(view).startswith(b"BEGIN:VCALENDAR")
    assert workbook_of(view)
    assert figures_object(view.figures)["as_of"]


@pytest.mark.parametrize("year", [1900, 2999])
def test_a_question_may_be_asked_at_either_end_of_the_calendar(tmp_path: Path, year: int) -> None:
    """With the longest horizon and the longest weeks: the last days lie decades further on."""
    text = FOLDER["scenario.toml"].replace("2026-11-01", f"{year}-11-01")
    option = FOLDER["options/refit.toml"].replace("2026-12-01", f"{year}-12-01")
    option = option.replace("2027-01-11", f"{year}-12-20").replace("= 6", "= [6, 8, 520]")
    files = {
        "scenario.toml": text.replace("years = 2", "years = 40"),
        "equipment.toml": FOLDER["equipment.toml"],
        "options/keep.toml": FOLDER["options/keep.toml"],
        "options/refit.toml": option,
    }
    case, said = read_files(tmp_path, files)
    assert case is not None, said
    [view] = views([settled(case)], trials=100)
    assert len(pages_of(view)) > 8
    assert calendar_ics(view).startswith(b"BEGIN:VCALENDAR")
    assert workbook_of(view)
