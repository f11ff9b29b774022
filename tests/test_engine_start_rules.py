"""The rule that refuses a start, beside one that counts day by day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import case_of
from laws import law
from panelworth.engine.airplane.allowed_start import moved_case
from panelworth.engine.airplane.start_rules import (
    days_to_allowed,
    moved_by,
    refusals,
    too_many_down,
    united,
)
from panelworth.model.case import Case
from panelworth.model.fleet import Fleet, Window

AS_OF = date(2026, 11, 1)
DAYS = st.integers(0, 90)
WINDOWS = st.lists(
    st.tuples(DAYS, st.integers(0, 25)).map(
        lambda both: {
            "from": AS_OF + timedelta(days=both[0]),
            "to": AS_OF + timedelta(days=sum(both)),
        }
    ),
    max_size=4,
)
FLEETS = st.fixed_dictionaries(
    {
        "max_down": st.integers(1, 3),
        "aircraft": st.lists(WINDOWS, max_size=4).map(
            lambda each: [{"name": f"No. {n}", "down": down} for n, down in enumerate(each)]
        ),
        "blackout": WINDOWS,
    }
)
WEEKS = st.sampled_from([0.0, 0.4, 1.0, 2.5, 6.0])


def planned(fleet: dict[str, object], days: int, weeks: float, lead: float = 0.0) -> Case:
    """Return a folder with one refit that starts so many days after as_of."""
    start = AS_OF + timedelta(days=days)
    schedule = {"start": start, "weeks_down": weeks, "lead_weeks": lead}
    refit = {"title": "R", "kind": "retrofit", "schedule": schedule}
    return case_of(scenario={"years": 1}, options={"refit": refit}, fleet=fleet)


def covers(windows: tuple[Window, ...], day: date) -> bool:
    """Say whether a day is in any of these windows."""
    return any(window.first <= day <= window.last for window in windows)


def counted(fleet: Fleet, start: date, weeks: float) -> list[tuple[str, date]]:
    """Look at every day of a stay, one after another: why it is refused, and by which window."""
    stay, day = [], start
    while day.toordinal() < start.toordinal() + 7 * weeks:
        stay.append(day)
        day += timedelta(days=1)
    busy = [d for d in stay if sum(covers(a.down, d) for a in fleet.aircraft) >= fleet.max_down]
    found = [
        ("fleet", window.first)
        for aircraft in fleet.aircraft
        for window in aircraft.down
        if any(covers((window,), day) for day in busy)
    ]
    black = [each for each in fleet.blackout if any(covers((each,), day) for day in stay)]
    return found + [("blackout", each.first) for each in black]


@law(200)
@given(fleet=FLEETS, days=DAYS, weeks=WEEKS)
def test_a_start_is_refused_where_counting_day_by_day_refuses_it(
    fleet: dict[str, object], days: int, weeks: float
) -> None:
    case = planned(fleet, days, weeks)
    assert case.fleet is not None
    schedule = case.options["refit"].schedule
    assert schedule is not None
    said = [
        (each.why, date.fromisoformat(each.first))
        for each in refusals(case, schedule, schedule.start)
    ]
    assert said == counted(case.fleet, schedule.start, weeks)


@law(100)
@given(fleet=FLEETS, days=DAYS, weeks=WEEKS, lead=st.sampled_from([0.0, 3.0, 9.5]))
def test_the_first_allowed_start_is_the_nearest_in_steps_of_a_week(
    fleet: dict[str, object], days: int, weeks: float, lead: float
) -> None:
    case = planned(fleet, days, weeks, lead)
    schedule = case.options["refit"].schedule
    assert schedule is not None
    tried = [(7 * number, moved_by(case, schedule, 7 * number)) for number in range(70)]
    allowed = [days for days, later in tried if not list(refusals(case, later, later.start))]
    assert days_to_allowed(case, schedule) == next(iter(allowed), None)


def test_no_start_is_allowed_where_the_blackout_never_ends() -> None:
    never = {"blackout": [{"from": AS_OF, "to": date(2999, 12, 31)}]}
    case = planned(never, 30, 2.0)
    schedule = case.options["refit"].schedule
    assert schedule is not None
    assert days_to_allowed(case, schedule) is None


@pytest.mark.parametrize(
    ("lead", "shut", "moved"),
    [(0.0, 0, 0), (1.0, 12, 7), (1.0, 40, 35), (4.0, 0, 0)],
    ids=["allowed", "blackout", "long blackout", "never in time"],
)
def test_the_order_moves_with_the_start_and_prices_rise_meanwhile(
    lead: float, shut: int, moved: int
) -> None:
    """Planned for day 10, ordered on day 0; equipment takes `lead` weeks, day `shut` is closed.

    Equipment that is late as planned stays late: no start is allowed, and the plan stays as it is.
    """
    closed = [{"from": AS_OF, "to": AS_OF + timedelta(days=shut)}]
    case = moved_case(planned({"blackout": closed}, 10, 2.0, lead))
    schedule = case.options["refit"].schedule
    assert schedule is not None
    assert schedule.start == AS_OF + timedelta(days=10 + moved)
    assert (schedule.order or AS_OF) == AS_OF + timedelta(days=moved)
    assert case.delays.get("refit", 0.0) == pytest.approx(moved / 30.4375)


def test_windows_that_touch_are_one_stretch() -> None:
    def window(first: int, last: int) -> Window:
        return Window.model_validate({"from": date(2027, 1, first), "to": date(2027, 1, last)})

    first = date(2027, 1, 1).toordinal()
    stretches = united([window(10, 12), window(1, 3), window(4, 6), window(2, 3)])
    assert stretches == [(first, first + 5), (first + 9, first + 11)]
    twice = {
        "aircraft": [
            {"name": "A", "down": [{"from": date(2027, 1, 1), "to": date(2027, 1, 3)}] * 2}
        ]
    }
    assert too_many_down(Fleet.model_validate({**twice, "max_down": 2})) == []
    assert too_many_down(Fleet.model_validate(twice)) == [(first, first + 2)]
