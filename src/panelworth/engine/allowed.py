"""The first start that the planner allows, where it refuses the planned one, and its figures."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from panelworth.engine.calendar import DAYS_IN_A_WEEK
from panelworth.engine.start_rules import refusals
from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, month_index
from panelworth.model.option import Schedule
from panelworth.model.scenario import MONTHS

DAYS_IN_A_MONTH = 30.4375  # a year of 365.25 days over twelve


def moved_case(case: Case) -> Case:
    """Return the case with each option whose start is refused at its first allowed one.

    The order moves by as many days as the start; prices rise over that time. An option for which
    no start within the horizon is allowed stays as it is.
    """
    options, delays = dict(case.options), dict(case.delays)
    for option_id, option in case.options.items():
        schedule = option.schedule
        days = schedule and days_to_allowed(case, schedule)
        if schedule and days:
            later = moved_by(case, schedule, days)
            options[option_id] = option.model_copy(update={"schedule": later})
            delays[option_id] = days / DAYS_IN_A_MONTH
    return replace(case, options=options, delays=delays)


def moved_by(case: Case, schedule: Schedule, days: int) -> Schedule:
    """Return a schedule so many days later, its order too; a default order is as_of."""
    step = timedelta(days=days)
    order = (schedule.order or case.scenario.as_of) + step
    return schedule.model_copy(update={"start": schedule.start + step, "order": order})


def days_to_allowed(case: Case, schedule: Schedule) -> int | None:
    """Return by how many days the start must move to be allowed: 0 as planned, None if never.

    Tried every 7 days at the likely weeks down, up to the horizon.
    """
    for days in _steps(case, schedule):
        later = moved_by(case, schedule, days)
        if next(iter(refusals(case, later, later.start)), None) is None:
            return days
    return None


def _steps(case: Case, schedule: Schedule) -> Iterator[int]:
    """Yield 0, 7, 14 … days while the finish is within the horizon."""
    scenario, days = case.scenario, 0
    while month_index(scenario.as_of, _finish(schedule, days)) <= MONTHS * scenario.years:
        yield days
        days += DAYS_IN_A_WEEK


def _finish(schedule: Schedule, days: int) -> date:
    start = schedule.start + timedelta(days=days)
    return day_after_weeks(start, schedule.weeks_down.likely)
