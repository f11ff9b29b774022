"""Checks across keys: names that must match, days in order, tables that must fit together."""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from panelworth.model.case import WrittenCase
from panelworth.model.dates import month_index
from panelworth.model.names import folded
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Scenario
from panelworth.model.value import Quantity
from panelworth.problems import Problem, Severity, did_you_mean, listed
from panelworth.reading.linked_ranges import check_linked_ranges
from panelworth.reading.tables import KeyPath, TomlTable

OPTION_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


def check_case(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield the problems that concern more than one key or file of the folder."""
    yield from _check_scenario(case.scenario, tables["scenario"])
    yield from _check_worth(case, tables["scenario"])
    yield from check_linked_ranges(case)
    for option_id, option in case.options.items():
        table = tables[option_id]
        yield from _check_sections(table, option)
        yield from _check_items(table, option)
        yield from _check_names(table, option, case.scenario)
        yield from _check_days(table, option, case.scenario)
        yield from _check_people(table, option, case.scenario)
        yield from _check_growth(table, option, case.scenario)


def problem_at(
    table: TomlTable,
    path: KeyPath,
    expected: str,
    found: str,
    hint: str = "",
    severity: Severity = "error",
) -> Problem:
    """Make a problem at a key of a table."""
    return Problem(
        file=table.file,
        line=table.line(path),
        key=table.name(path),
        expected=expected,
        found=found,
        hint=hint,
        severity=severity,
    )


def unknown_names(
    table: TomlTable, path: KeyPath, names: Iterable[str], known: Iterable[str], what: str
) -> Iterator[Problem]:
    """Yield a problem for each unknown name in a list."""
    known = list(known)
    for number, name in enumerate(names):
        if name not in known:
            others = f"known: {', '.join(known)}" if known else "none is defined"
            hint = did_you_mean(name, known, others)
            yield problem_at(table, (*path, number), f"the name of {what}", f'"{name}"', hint)


def check_baseline(table: TomlTable, ids: list[str]) -> Iterator[Problem]:
    """Yield a problem if the baseline in scenario.toml is not an option.

    `ids` has every option file, also those that could not be read: a missing option would be a
    second message about the same file.
    """
    baseline = table.data.get("baseline")  # of the table: a record with an error does not exist
    if isinstance(baseline, str) and baseline not in ids:
        known = f"there is {listed(ids)}"
        deleted = f"put options/{baseline}.toml back, or name another option; {known}"
        hint = did_you_mean(baseline, ids, deleted if OPTION_ID.fullmatch(baseline) else known)
        expected = "the id of an option, which is its file's name without .toml"
        problem = problem_at(table, ("baseline",), expected, f'"{baseline}"', hint)
        yield replace(problem, missing=baseline)


def _check_scenario(scenario: Scenario, table: TomlTable) -> Iterator[Problem]:
    if not scenario.question:
        yield problem_at(
            table,
            ("question",),
            "the question to be decided",
            "nothing",
            "write it in one sentence",
            "warning",
        )
    if scenario.club is None:
        rate = scenario.aircraft.hourly_rate
        yield from _check_no_rate(table, ("aircraft", "hourly_rate"), rate)
    elif (years := scenario.club.floor_years) is not None and years > scenario.years:
        path = ("club", "floor_years")
        yield problem_at(table, path, _within_horizon(scenario), str(years))


def _within_horizon(scenario: Scenario) -> str:
    return f"at most the {scenario.years} years that are counted"


def _check_no_rate(table: TomlTable, path: KeyPath, rate: Quantity | None) -> Iterator[Problem]:
    """Refuse an hourly rate without a club: it would count as income."""
    if rate is not None and rate.high > 0:
        expected = "no hourly rate without a [club]: an owner charges nobody"
        hint = "remove it, or add [club] to scenario.toml"
        yield problem_at(table, path, expected, f"{rate.likely:g}", hint)


def _check_sections(table: TomlTable, option: Option) -> Iterator[Problem]:
    for key in ("sell", "buy"):
        if getattr(option, key) is not None and not option.replaces_airplane:
            hint = f'remove [{key}], or set kind = "replace"'
            expected, found = f'[{key}] only where kind = "replace"', f'kind = "{option.kind}"'
            yield problem_at(table, (key,), expected, found, hint)
    if option.drops_jobs and option.jobs:
        hint = "remove jobs: the airplane they belong to is sold"
        yield problem_at(table, ("jobs",), "no jobs in a replacement", listed(option.jobs), hint)
    if option.replaces_airplane and option.buy is None:
        hint = "add [buy] with a price if another airplane is bought"
        yield problem_at(table, (), "a purchase", "no [buy]", hint, "warning")
    yield from _check_trade_in(table, option)


def _check_trade_in(table: TomlTable, option: Option) -> Iterator[Problem]:
    """Check that a replacement says exactly once what happens to today's airplane."""
    traded = [number for number, credit in enumerate(option.credits) if credit.trade_in]
    if not option.replaces_airplane:
        for number in traded:
            where: KeyPath = ("credits", number, "trade_in")
            hint = 'remove it, or set kind = "replace"'
            expected = "no trade-in: the airplane stays"
            yield problem_at(table, where, expected, "trade_in = true", hint)
    elif option.sell is None and not traded:
        expected = "[sell], or a credit with trade_in = true"
        hint = "write [sell]; price = 0 gives it away, without a price it sells at its value"
        yield problem_at(table, (), expected, "neither", hint)
    elif option.sell is not None and traded:
        hint = "make sure that the old airplane is not sold twice"
        path = ("credits", traded[0], "trade_in")
        yield problem_at(table, path, "either [sell] or a trade-in", "both", hint, "warning")


def _check_items(table: TomlTable, option: Option) -> Iterator[Problem]:
    """Check that the ledger can name each item, and that hours and rate are given together.

    A row may use an item's name or its ledger key, so both must differ from those of all others.
    """
    taken: set[str] = set()
    for number, item in enumerate(option.items):
        path: KeyPath = ("items", number)
        names = {folded(name): name for name in (item.name, item.ledger) if name}
        for key in sorted(names.keys() & taken):
            hint = "the ledger could not tell the two apart; change one"
            name = names[key]
            where = (*path, "ledger" if name == item.ledger else "name")
            yield problem_at(
                table, where, "a name and a ledger key that no other item has", f'"{name}"', hint
            )
        taken |= names.keys()
        if item.hours is not None and item.rate is None:
            hint = "add rate, or write member_hours if nobody is paid"
            where = (*path, "hours")
            yield problem_at(
                table, where, "a rate together with hours", "hours alone", hint, "warning"
            )
        elif item.rate is not None and item.hours is None:
            where = (*path, "rate")
            yield problem_at(
                table, where, "hours together with a rate", "a rate alone", "", "warning"
            )


def _check_names(table: TomlTable, option: Option, scenario: Scenario) -> Iterator[Problem]:
    """Check the names of jobs, of dropped fixed costs and of recurring items that are done."""
    jobs = [job.name for job in scenario.jobs]
    if not option.drops_jobs:
        yield from unknown_names(table, ("jobs",), option.jobs, jobs, "a job of scenario.toml")
    aircraft, after = scenario.aircraft, option.after
    new_fixed = after.new("fixed")
    fixed = [cost.name for cost in (aircraft.fixed if new_fixed is None else new_fixed)]
    dropped = after.dropped_fixed
    yield from unknown_names(table, ("after", "dropped_fixed"), dropped, fixed, "a fixed cost")
    # What is done may be on today's list, which falls due until the finish, or on the new one.
    recurring = [item.name for item in (*aircraft.recurring, *(after.new("recurring") or ()))]
    path, done = ("after", "recurring_done"), after.recurring_done
    yield from unknown_names(table, path, done, recurring, "a recurring item")
    if done and option.schedule is None:
        hint = "add [schedule] with the day it is done, or remove it"
        yield problem_at(table, path, "a [schedule] too", "no [schedule]", hint)
    # Without a list of its own, another airplane would have the inspections of the one sold.
    inherits = after.new("recurring") is None and aircraft.recurring
    if option.replaces_airplane and inherits:
        hint = "list what is due on the other airplane under after.recurring, or recurring = []"
        expected = "the other airplane's own recurring items"
        yield problem_at(table, ("after",), expected, "today's airplane's", hint, "warning")


def _check_days(table: TomlTable, option: Option, scenario: Scenario) -> Iterator[Problem]:
    """Check the order of the days, and that the project ends within the horizon."""
    schedule = option.schedule
    if schedule is None:
        return
    days = {"order": schedule.order or scenario.as_of, "start": schedule.start}
    for key, day in days.items():
        if day < scenario.as_of:
            expected = f"a day on or after as_of, {scenario.as_of}"
            hint = "move the day, or set as_of back"
            yield problem_at(table, ("schedule", key), expected, str(day), hint)
    if schedule.order and schedule.start < schedule.order:
        expected = f"a day on or after the order, {schedule.order}"
        yield problem_at(table, ("schedule", "start"), expected, str(schedule.start))
    finish = schedule.likely_finish
    if month_index(scenario.as_of, finish) > MONTHS * scenario.years:
        expected = f"a finish within the {scenario.years} years counted"
        hint = "start earlier, or count more years"
        yield problem_at(table, ("schedule",), expected, f"a finish on {finish}", hint)
    elif month_index(scenario.as_of, schedule.start) == 0 and schedule.weeks_down.high:
        expected = "a start after the month of as_of"
        hint = "its downtime in that month is not counted; set as_of to an earlier month"
        yield problem_at(
            table, ("schedule", "start"), expected, str(schedule.start), hint, "warning"
        )


def _check_people(table: TomlTable, option: Option, scenario: Scenario) -> Iterator[Problem]:
    """Check the number of members who leave, and that an owner's option has no members."""
    club, joined = scenario.club, option.members.joined
    if club is None:
        yield from _check_no_club(table)
        rate = option.after.new("hourly_rate")
        yield from _check_no_rate(table, ("after", "hourly_rate"), rate)
    elif club.members + joined.likely < 0:
        expected = f"at most {club.members} members to leave"
        yield problem_at(table, ("members", "joined"), expected, f"{joined.likely:g}")
    elif joined.likely < 0 and _added_hours(option, scenario) >= 0:
        expected = "after.hours_per_year_change below 0 where members leave"
        hint = "now those who stay fly the hours of those who leave; check that you mean this"
        path = ("members", "joined")
        yield problem_at(table, path, expected, f"{joined.likely:g} members", hint, "warning")


def _check_no_club(table: TomlTable) -> Iterator[Problem]:
    """Refuse keys that only a club has. A loan is allowed: an owner can have one too."""
    for section in ("members", "funding"):
        for key in table.data.get(section, {}):  # only keys that are written; a record has defaults
            if (section, key) != ("funding", "loan"):
                hint = "add [club] to scenario.toml, or remove this"
                yield problem_at(
                    table, (section, key), "a [club] in scenario.toml", "no [club]", hint
                )


def _added_hours(option: Option, scenario: Scenario) -> float:
    """Return how many more hours a year members likely want to fly after the finish."""
    wanted = option.after.new("hours_per_year") or scenario.aircraft.hours_per_year
    change = option.after.hours_per_year_change.likely
    return float(wanted.likely + change - scenario.aircraft.hours_per_year.likely)


def _check_growth(table: TomlTable, option: Option, scenario: Scenario) -> Iterator[Problem]:
    """Check how long a raise runs, and warn of growth that `without_growth` does not leave out."""
    years = option.funding.raise_years
    if scenario.club and years is not None and years > scenario.years:
        yield problem_at(table, ("funding", "raise_years"), _within_horizon(scenario), str(years))
    aircraft, after = scenario.aircraft, option.after
    wanted = after.new("hours_per_year")
    if wanted is not None and wanted.likely > aircraft.hours_per_year.likely:
        expected = "more flying under hours_per_year_change"
        hint = "figures without growth leave out hours_per_year_change alone"
        path = ("after", "hours_per_year")
        yield problem_at(table, path, expected, f"{wanted.likely:g}", hint, "warning")


def _check_worth(case: WrittenCase, table: TomlTable) -> Iterator[Problem]:
    """Warn if an owner's lost hours count as 0, because an hour is worth only what it costs.

    That is the default of worth_per_hour for an owner. It matters only if some hours are lost, or
    if an option changes the hours flown.
    """
    aircraft = case.scenario.aircraft
    if case.scenario.club is not None or aircraft.worth_per_hour is not None:
        return
    afters = [option.after for option in case.options.values()]
    lost = [aircraft.hours_lost_per_year, *(after.new("hours_lost_per_year") for after in afters)]
    changes = [after.hours_per_year_change for after in afters]
    wanted = [after.new("hours_per_year") for after in afters]
    if (
        any(hours.high > 0 for hours in lost if hours)
        or any(hours.low or hours.high for hours in changes)
        or any(hours not in (None, aircraft.hours_per_year) for hours in wanted)
    ):
        expected = "worth_per_hour, what an hour aloft is worth to you"
        hint = "without it an hour is worth what it costs, so that time lost counts as nothing"
        yield problem_at(table, ("aircraft",), expected, "none", hint, "warning")
