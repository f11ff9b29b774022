"""Checks of [decision], of [vote], and of the dates on which things happened."""

from collections.abc import Iterator, Mapping
from datetime import date
from itertools import pairwise

from panelworth.model.case import WrittenCase
from panelworth.model.decision import Decision
from panelworth.model.schedule import Schedule
from panelworth.model.status_date import status_date
from panelworth.problems import Problem, did_you_mean, listed
from panelworth.reading.checks import problem_at
from panelworth.reading.tables import TomlTable

HAPPENED = ("ordered", "started", "finished")  # in the order in which they happen


def check_decision(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield the problems of the decision and of what has happened since."""
    decision, table = case.scenario.decision, tables["scenario"]
    if decision is not None:
        yield from _check_choice(case, decision, table)
        yield from _check_status(case, decision, table)
    for option_id, option in case.options.items():
        schedule, own = option.schedule, tables[option_id]
        if schedule is None:
            continue
        if decision is None or decision.chosen != option_id:
            yield from _check_unused(schedule, own)
        else:
            yield from _check_dates(schedule, own, status_date(case))


def _check_choice(case: WrittenCase, decision: Decision, table: TomlTable) -> Iterator[Problem]:
    ids = list(case.options)
    if decision.chosen not in ids:
        hint = did_you_mean(decision.chosen, ids, f"there is {listed(ids)}")
        path = ("decision", "chosen")
        yield problem_at(table, path, "the id of an option", f'"{decision.chosen}"', hint)
    if decision.on < case.scenario.as_of:
        expected = f"a day on or after as_of, {case.scenario.as_of}"
        hint = "ledger rows after the decision do not count; check both days"
        path = ("decision", "on")
        yield problem_at(table, path, expected, str(decision.on), hint, "warning")


def _check_status(case: WrittenCase, decision: Decision, table: TomlTable) -> Iterator[Problem]:
    if decision.status is not None and decision.status < decision.on:
        expected = f"a day on or after the decision, {decision.on}"
        path = ("decision", "status")
        yield problem_at(
            table, path, expected, str(decision.status), "move the day, or leave it out"
        )
    if case.scenario.club is None and decision.reserve is not None:
        expected = "no reserve without a [club]"
        yield problem_at(
            table,
            ("decision", "reserve"),
            expected,
            f"{decision.reserve:g}",
            "remove it",
            "warning",
        )


def _check_unused(schedule: Schedule, table: TomlTable) -> Iterator[Problem]:
    """Warn of dates that have no effect because nobody has voted for the option."""
    for key in (*HAPPENED, "weeks_left"):
        if (value := getattr(schedule, key)) is not None:
            expected = "this only in the option that [decision] names"
            hint = "it has no effect here; write [decision] in scenario.toml, or remove it"
            found = str(value) if isinstance(value, date) else f"{value.likely:g}"
            yield problem_at(table, ("schedule", key), expected, found, hint, "warning")


def _check_dates(schedule: Schedule, table: TomlTable, status: date) -> Iterator[Problem]:
    """Refuse days out of order and after the status date."""
    days = {key: day for key in HAPPENED if (day := getattr(schedule, key)) is not None}
    for key, day in days.items():
        if day > status:
            expected = f"a day on or before the status date, {status}"
            hint = "write status in [decision], or correct the day"
            yield problem_at(table, ("schedule", key), expected, str(day), hint)
    for (first, before), (key, day) in pairwise(days.items()):
        if day < before:
            expected = f"a day on or after {first}, {before}"
            yield problem_at(table, ("schedule", key), expected, str(day))
    if schedule.finished and not schedule.started and schedule.finished < schedule.start:
        expected = "started, because the work was finished before the planned start"
        yield problem_at(table, ("schedule", "finished"), expected, str(schedule.finished))
    if schedule.weeks_left is not None and (schedule.finished or not schedule.started):
        why = "the work is finished" if schedule.finished else "the work has not started"
        hint = "it has no effect; remove it, or write started"
        path = ("schedule", "weeks_left")
        yield problem_at(table, path, "no weeks_left", f"one while {why}", hint, "warning")
