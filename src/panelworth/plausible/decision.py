"""Warnings about the decision, and about what happened since."""

from collections.abc import Iterator

from panelworth.model.case import Case, option_prefix
from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks
from panelworth.model.ledger_targets import credit_target, named_options, named_targets
from panelworth.model.option import Option
from panelworth.model.schedule import Schedule
from panelworth.model.status_date import status_date
from panelworth.plausible import limits
from panelworth.plausible.warning import plain, warning_at
from panelworth.problems import Problem


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of a status date far off, of weeks that are used up, and of money that has not come."""
    decision = case.scenario.decision
    if decision is None or decision.chosen not in case.options:
        return
    day, option = status_date(case), case.options[decision.chosen]
    years = (day - decision.on).days / limits.DAYS_IN_A_YEAR
    if years > limits.STATUS_YEARS:
        expected = f"a status date within {limits.STATUS_YEARS} years of the decision"
        path = "decision.status" if decision.status else "decision.on"
        yield warning_at(case, path, expected, str(day), "check the year of both days")
    if option.schedule is not None:
        yield from _used_up(case, option.schedule, decision.chosen)
        yield from _past_credits(case, option, option.schedule, decision.chosen)


def _used_up(case: Case, schedule: Schedule, option_id: str) -> Iterator[Problem]:
    """Warn where the weeks so far have reached the most that was planned."""
    if schedule.started is None or schedule.finished or schedule.weeks_left:
        return
    so_far = (status_date(case) - schedule.started).days / DAYS_IN_A_WEEK
    if so_far >= schedule.weeks_down.high:
        expected = f"weeks_left, because the {plain(schedule.weeks_down.high)} weeks are over"
        hint = "without it the finish and the cash from here cannot be estimated"
        path = f"{option_prefix(option_id)}schedule"
        yield warning_at(case, path, expected, "none", hint)


def _past_credits(
    case: Case, option: Option, schedule: Schedule, option_id: str
) -> Iterator[Problem]:
    """Warn of money in whose day is past and which no payment names."""
    day = status_date(case)
    finish = schedule.finished or day_after_weeks(
        schedule.started or schedule.start, schedule.weeks_down.likely
    )
    days = {
        "order": schedule.ordered or schedule.order or case.scenario.as_of,
        "start": schedule.started or schedule.start,
        "finish": finish,
    }
    prefix = option_prefix(option_id)
    paid = {
        target
        for row in case.ledger
        if row.kind == "payment"
        and row.date <= day
        and option_id in named_options(row.option, case.options)
        for target in named_targets(option, prefix, row.item)[0]
    }
    for credit in option.credits:
        target = credit_target(prefix, credit)
        if days[credit.when] >= day or target in paid:
            continue
        expected = f"a payment in the ledger that names {credit.name}"
        hint = "until then it counts as still to come; write the payment, or amount = 0"
        yield warning_at(case, target.path, expected, "none", hint)
