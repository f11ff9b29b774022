"""The first start that the planner allows, where it refuses the planned one, and its figures."""

from dataclasses import replace

from panelworth.engine.airplane.start_rules import days_to_allowed, moved_by
from panelworth.model.case import Case

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
