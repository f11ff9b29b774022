"""Warnings about planned starts that are not allowed, with the first allowed start."""

from collections.abc import Iterator
from datetime import timedelta

from panelworth.engine.airplane.start_rules import days_to_allowed, refusals
from panelworth.engine.results.start import Refusal
from panelworth.model.case import Case, option_prefix
from panelworth.model.schedule import Schedule
from panelworth.plausible.warning import warning_at
from panelworth.problems import Problem

REPORTED_AS_ERRORS = ("order", "horizon")  # by reading/checks.py


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of each option whose planned start is not allowed at the likely weeks down."""
    for option_id, option in case.options.items():
        if option.schedule is None or option.schedule.started or option.schedule.finished:
            continue
        start = option.schedule.start
        reasons = [
            refusal
            for refusal in refusals(case, option.schedule, start)
            if refusal.why not in REPORTED_AS_ERRORS
        ]
        if not reasons:
            continue
        hint = _hint(case, option.schedule, reasons)
        found = f"{start} for {option_id}: {'; '.join(map(_reason, reasons))}"
        path = f"{option_prefix(option_id)}schedule.start"
        yield warning_at(case, path, "a start that is allowed", found, hint)


def _hint(case: Case, schedule: Schedule, reasons: list[Refusal]) -> str:
    """Return the first allowed start; before the equipment arrives no other reason matters."""
    arrivals = [refusal.first for refusal in reasons if refusal.why == "arrival"]
    if arrivals:
        return f"start on {arrivals[0]} or later, or order earlier"
    days = days_to_allowed(case, schedule)
    if days is None:
        return "no later start within the horizon is allowed, tried every 7 days"
    allowed = schedule.start + timedelta(days=days)
    return f"the first allowed one, tried every 7 days, is {allowed}"


def _reason(refusal: Refusal) -> str:
    days = f"{refusal.first} to {refusal.last}"
    if refusal.why == "arrival":
        return f"the equipment is likely there on {refusal.first}"
    if refusal.why == "fleet":
        return f"too many aircraft down with {refusal.what}, {days}"
    return f"blackout {refusal.what}, {days}" if refusal.what else f"blackout {days}"
