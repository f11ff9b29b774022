"""The planner beside a case worked by hand, and beside the money figures."""

import itertools
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import case_of
from laws import law
from panelworth.engine.airplane.downtime import (
    downtime_figures,
    mondays_from,
    planner_of,
    start_weeks,
)
from panelworth.engine.cash_flow import hourly_prices
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.cash_flow.hours import hours as hours_flown
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.rows import Yearly, by_month
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.model.dates import month_index
from panelworth.model.fleet import Fleet
from panelworth.model.option import Option
from panelworth.model.schedule import Schedule
from strategies import Folder, folders
from strategies import case_of as case_from
from written_numbers import written

# 244 hours wanted, 10 lost, a quarter of lost flying moved: k = 0.75, so 236.5 a year are flown.
AIRCRAFT = {
    "hours_per_year": 244,
    "hours_lost_per_year": 10,
    "season": [1, 1, 1, 1, 2, 2, 2, 2, 1, 1, 1, 1],
    "hourly_rate": 120,
    "fuel_per_hour": 8,
    "fuel_price": 5,
    "oil_per_hour": 2,
    "engine_reserve_per_hour": 12,
    "other_per_hour": 6,
}
CLUB = {"members": 20, "moved_share": 0.25}
FLEET = {
    "aircraft": [
        {
            "name": "Trainer",
            "down": [
                {"from": date(2027, 3, 1), "to": date(2027, 3, 14), "reason": "Annual"},
                {"from": date(2027, 3, 10), "to": date(2027, 3, 20)},
            ],
        },
        {"name": "Cruiser", "down": [{"from": date(2027, 3, 12), "to": date(2027, 3, 13)}]},
    ],
    "blackout": [{"from": date(2027, 6, 5), "to": date(2027, 6, 6), "reason": "Fly-in"}],
}


def planned(
    start: date = date(2027, 1, 18), weeks: object = 4, *, max_down: int = 1, owner: bool = False
) -> Case:
    """Return a folder with one refit."""
    schedule = {"start": start, "weeks_down": weeks, "order": date(2026, 12, 1)}
    scenario = {"aircraft": AIRCRAFT, "club": None if owner else CLUB}
    refit = {"title": "R", "kind": "retrofit", "schedule": schedule}
    fleet = {**FLEET, "max_down": max_down}
    return case_of(scenario=scenario, options={"refit": refit}, fleet=fleet)


def test_a_downtime_across_two_months_loses_what_was_worked_by_hand() -> None:
    """Four weeks from 18 January 2027 end on 15 February, 0 o'clock.

    A year's 236.5 hours over weights of 16: January and February 14.78125 each. Down are
    14 of January's 31 days and 14 of February's 28:
    14.78125·(14/31 + 14/28) = 6.675403 + 7.390625 = 14.066028 hours that nobody can book;
    three quarters of them are not flown at all. An hour brings 120 and costs 8·5 + 20 = 60:
    14.066028·0.75·60 = 632.971270.
    """
    figures = downtime_figures(planned(), "refit")
    assert (figures.start, figures.finish) == ("2027-01-18", "2027-02-15")
    assert figures.lost_hours == pytest.approx(14.066028, abs=5e-7)
    assert figures.lost_contribution == pytest.approx(632.971270, abs=5e-6)


def test_an_option_without_a_schedule_has_no_downtime() -> None:
    assert downtime_figures(planned(), "keep") is None
    assert planner_of(planned(), "keep") is None


@law(40)
@given(
    days=st.integers(31, 1100),
    weeks=written(0, 60),
    inflation=written(0, 0.1),
    moved=written(0, 1),
)
def test_what_is_lost_is_what_the_money_figures_lose(
    days: int, weeks: float, inflation: float, moved: float
) -> None:
    """Charges less variable cost, with and without the downtime, nothing else changed."""
    schedule = {"start": date(2026, 11, 1) + timedelta(days=days), "weeks_down": weeks}
    rates = {"inflation": inflation, "fuel_inflation": 2 * inflation}
    club = {"members": 20, "moved_share": moved}
    case = case_of(
        scenario={"aircraft": AIRCRAFT, "club": club, "rates": rates},
        options={"refit": {"title": "R", "kind": "retrofit", "schedule": schedule}},
    )
    context = option_context(case, "refit", likely_trial(case))
    (phase,) = context.phases
    never = replace(phase.dates, down=0.0 * phase.dates.down)
    up = replace(context, phases=(replace(phase, dates=never),))
    gains = []
    for each in (up, context):
        margin = hourly_prices.charges(each) - hourly_prices.hourly_cost(each)
        gains.append(hours_flown(each, None) * by_month(each.months, margin.first))
    lost = float((gains[0] - gains[1]).sum())
    figures = downtime_figures(case, "refit")
    assert figures.lost_contribution == pytest.approx(lost, abs=1e-6)
    hours = float((hours_flown(up, None) - hours_flown(context, None)).sum())
    assert figures.lost_hours * (1 - moved) == pytest.approx(hours, abs=1e-8)


def test_every_monday_of_eighteen_months_is_looked_at() -> None:
    days = mondays_from(date(2026, 11, 1), 18)
    assert (days[0], days[-1]) == (date(2026, 11, 2), date(2028, 5, 1))
    assert {day.weekday() for day in days} == {0}
    assert {(b - a).days for a, b in itertools.pairwise(days)} == {7}


def why(case: Case, start: date) -> list[str]:
    """Return why a start is refused."""
    schedule = case.options["refit"].schedule
    (week,) = start_weeks(case, schedule, [start])
    return [each.why for each in week.refusals]


def test_the_others_fly_more_by_what_is_moved_to_them() -> None:
    """Four weeks from 1 February 2027, the whole month: the trainer flies 120·2/24 = 10 hours.

    The cruiser, without a season of its own, 280·1/16 = 17.5. Lost are 236.5/16 hours, of which a
    quarter is moved.
    """
    case = planned(start=date(2027, 2, 1))
    fleet = {
        "aircraft": [
            {"name": "Trainer", "hours_per_year": 120, "season": [3, 2, 3, *[16 / 9] * 9]},
            {"name": "Cruiser", "hours_per_year": 280},
        ]
    }
    case = replace(case, fleet=Fleet.model_validate(fleet))
    found = planner_of(case, "refit")
    assert found.planned.lost_hours == pytest.approx(236.5 / 16)
    assert found.others_more == pytest.approx(236.5 / 16 * 0.25 / 27.5)
    assert planner_of(planned(owner=True), "refit").others_more is None


def test_a_start_waits_for_the_equipment_to_arrive() -> None:
    """Ordered on 1 December, likely there five weeks later, on 5 January 2027.

    A uniform lead of 2 to 8 weeks is over by a start seven weeks after the order in 5 of 6 cases.
    """
    case = planned()
    lead = {"low": 2, "likely": 5, "high": 8, "shape": "uniform"}
    schedule = Schedule.model_validate(
        {
            "start": date(2027, 1, 18),
            "weeks_down": 2,
            "order": date(2026, 12, 1),
            "lead_weeks": lead,
        }
    )
    starts = [date(2027, 1, 4), date(2027, 1, 5), date(2027, 1, 19), date(2027, 1, 26)]
    early, just, later, safe = start_weeks(case, schedule, starts)
    assert [(each.why, each.first) for each in early.refusals] == [("arrival", "2027-01-05")]
    assert just.refusals == later.refusals == ()
    assert [week.chance_late for week in (just, later, safe)] == pytest.approx([1 / 2, 1 / 6, 0.0])


def test_a_start_is_refused_for_each_reason_it_has() -> None:
    case = planned()
    assert why(case, date(2026, 11, 30)) == ["order"]
    assert why(case, date(2026, 12, 1)) == []  # the order's own day
    assert why(case, date(2027, 2, 1)) == []  # ends on 1 March at 0 o'clock
    assert why(case, date(2027, 2, 8)) == ["fleet"]
    assert why(case, date(2027, 3, 15)) == ["fleet"]  # the second, unnamed window
    assert why(case, date(2027, 3, 20)) == ["fleet"]  # its last day is in it
    assert why(case, date(2027, 3, 21)) == []
    assert why(case, date(2027, 5, 10)) == ["blackout"]
    assert why(case, date(2027, 6, 7)) == []
    assert "horizon" in why(case, date(2031, 11, 24))


def test_two_may_be_down_but_not_three() -> None:
    """With max_down 2 only 12 and 13 March are closed; every window of those days is named."""
    case = planned(max_down=2)
    schedule = case.options["refit"].schedule
    week, free = start_weeks(case, schedule, [date(2027, 2, 15), date(2027, 3, 15)])
    named = [each.what for each in week.refusals]
    assert named == ["Trainer: Annual", "Trainer", "Cruiser"]
    assert free.refusals == ()
    # Four weeks from 15 February end on 15 March; room is counted to 12 March.
    assert week.room_weeks == pytest.approx(25 / 7 - 4)


def test_the_chance_of_a_conflict_is_that_of_the_overrun() -> None:
    """Uniform 3 to 5 weeks from 1 February: the trainer is down from 1 March, four weeks on.

    So the chance is one half; none to run into June's blackout, five weeks end on 8 March.
    """
    weeks = {"low": 3, "likely": 4, "high": 5, "shape": "uniform"}
    case = planned(start=date(2027, 2, 1), weeks=weeks)
    own = planner_of(case, "refit").planned
    assert own.refusals == ()
    assert (own.chance_fleet, own.chance_blackout) == (pytest.approx(0.5), 0.0)
    assert own.chance_conflict == own.chance_fleet
    assert own.room_weeks == 0.0


def test_slips_cost_what_the_later_return_loses_more() -> None:
    """One week from 15 February: 7/28 of February's 14.78125 hours, at 0.75·60 an hour."""
    own = planner_of(planned(), "refit").planned
    assert own.slip_costs[0] == pytest.approx(14.78125 / 4 * 45)
    assert len(own.slip_costs) == 8
    schedule = Schedule(start=date(2027, 1, 18), weeks_down=12)
    (late,) = start_weeks(planned(), schedule, [date(2027, 1, 18)])
    added = late.lost_worth - own.lost_worth
    assert own.slip_costs[7] == pytest.approx(added)


def test_the_best_weeks_are_allowed_and_cheapest() -> None:
    planner = planner_of(planned(weeks=[3, 4, 9]), "refit")
    allowed = [week for week in planner.weeks if not week.refusals]
    best = planner.weeks[planner.best_by_cost[0]]
    assert best.lost_worth == min(week.lost_worth for week in allowed)
    assert len(planner.best_by_cost) == len(planner.best_by_risk) == len(allowed)
    safest = planner.weeks[planner.best_by_risk[0]]
    assert safest.chance_conflict == min(week.chance_conflict for week in allowed)
    extra = planner.planned.lost_worth - best.lost_worth
    assert planner.planned_extra_worth == pytest.approx(extra)
    assert planner.ranked_by == "lost_worth"


def test_an_owner_who_charges_nothing_is_ranked_by_hours() -> None:
    """Else the busiest weeks would look best: an hour not flown saves its cost."""
    scenario = {"aircraft": {**AIRCRAFT, "hourly_rate": 0}}
    schedule = {"start": date(2027, 1, 18), "weeks_down": 4}
    refit = {"title": "R", "kind": "retrofit", "schedule": schedule}
    planner = planner_of(case_of(scenario=scenario, options={"refit": refit}), "refit")
    assert planner.ranked_by == "lost_hours"
    hours = [week.lost_hours for week in planner.weeks]
    assert hours[planner.best_by_cost[0]] == min(hours)
    assert planner.planned.lost_contribution < 0


@law(30)
@given(shift=st.integers(0, 30), longer=written(0, 10))
def test_a_longer_stay_never_lowers_loss_or_risk(shift: int, longer: float) -> None:
    weeks = [2.0, 4.0, 9.0]
    case = planned(weeks=weeks)
    start = date(2026, 12, 7) + timedelta(weeks=shift)
    more = [each + longer for each in weeks]
    schedules = [Schedule.model_validate({"start": start, "weeks_down": w}) for w in (weeks, more)]
    (short,), (long,) = (start_weeks(case, each, [start]) for each in schedules)
    assert long.lost_hours >= short.lost_hours - 1e-9
    assert long.chance_conflict >= short.chance_conflict - 1e-12
    assert np.diff(short.slip_costs).min() > 0
    assert short.chance_conflict >= max(short.chance_fleet, short.chance_blackout) - 1e-12


def test_a_cost_of_an_hour_counts_in_the_planner_as_in_the_money_figures(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ten more an hour: both lose less by a downtime, ten for each hour that nobody flies."""
    case = planned()
    trials = likely_trial(case)
    before, flows = downtime_figures(case, "refit"), flows_of(case, "refit", trials)
    hourly_cost = hourly_prices.hourly_cost
    ten = Yearly((np.full((1, 1), 10.0),))
    monkeypatch.setattr(hourly_prices, "hourly_cost", lambda context: hourly_cost(context) + ten)
    after, dearer = downtime_figures(case, "refit"), flows_of(case, "refit", trials)
    not_flown = before.lost_hours * 0.75
    assert before.lost_contribution - after.lost_contribution == pytest.approx(10.0 * not_flown)
    more = dearer.rows["variable"] - flows.rows["variable"]
    assert more == pytest.approx(10.0 * flows.hours)


@law(20)
@given(folder=folders())
def test_the_planner_loses_what_the_cash_flow_loses(folder: Folder) -> None:
    """Of any option: with today's airplane unchanged, what a stay takes off charges and variable.

    Days of as_of's own month count in the planner alone: its month has no flows.
    """
    case = case_from(folder)
    for option_id, option in case.options.items():
        schedule = option.schedule
        if schedule is None or month_index(case.scenario.as_of, schedule.start) < 1:
            continue
        bare = Option(title="Stay", kind="keep", schedule=schedule)
        both = replace(case, options={option_id: bare, "keep": Option(title="K", kind="keep")})
        trials = likely_trial(both)
        stay, keep = (flows_of(both, each, trials) for each in (option_id, "keep"))
        gain = [
            float((each.rows["charges"] - each.rows["variable"]).sum()) for each in (stay, keep)
        ]
        found = downtime_figures(case, option_id)
        assert found.lost_contribution == pytest.approx(gain[1] - gain[0], rel=1e-9, abs=1e-6)
