"""The first allowed start of each option whose planned start is refused."""

from dataclasses import replace

from panelworth.engine.airplane.start_rules import days_to_allowed, moved_by
from panelworth.model.case import Case

DAYS_IN_A_MONTH = 30.4375  # 365.25/12, the mean month; the project's method, section 9


def moved_case(case: Case) -> Case:
    """Return the case in which each refused option begins at its first allowed start.

    The order moves by as many days as the start, and prices rise over this time. An option without
    an allowed start within the horizon stays as it is. The project's method, section 9.
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
