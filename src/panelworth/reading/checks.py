"""What no single key can tell: names that must match, days in order, sections that must fit."""

from collections.abc import Iterable, Iterator, Mapping

from panelworth.model.case import Case
from panelworth.model.dates import day_after_weeks, month_index
from panelworth.model.names import folded
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Scenario
from panelworth.model.value import Quantity
from panelworth.problems import Problem, Severity, did_you_mean, listed
from panelworth.reading.tables import KeyPath, Table


def check_case(case: Case, tables: Mapping[str, Table]) -> Iterator[Problem]:
    """Yield every problem that shows only when the folder is looked at as a whole."""
    yield from _check_scenario(case.scenario, tables["scenario"])
    for option_id, option in case.options.items():
        table = tables[option_id]
        yield from _check_sections(table, option)
        yield from _check_items(table, option)
        yield from _check_names(table, option, case.scenario)
        yield from _check_days(table, option, case.scenario)
        yield from _check_people(table, option, case.scenario)


def found_at(
    table: Table,
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
    table: Table, path: KeyPath, names: Iterable[str], known: Iterable[str], what: str
) -> Iterator[Problem]:
    """Yield a problem for each listed name that names nothing."""
    known = list(known)
    for number, name in enumerate(names):
        if name not in known:
            others = f"known: {', '.join(known)}" if known else "there are none"
            hint = did_you_mean(name, known, others)
            yield found_at(table, (*path, number), f"the name of {what}", f'"{name}"', hint)


def check_baseline(table: Table, ids: list[str]) -> Iterator[Problem]:
    """Yield a problem where scenario.toml names no option as the baseline, whatever else it says.

    `ids` names every option file, also one that could not be read, which is no stranger.
    """
    baseline = table.data.get("baseline")
    if isinstance(baseline, str) and baseline not in ids:
        hint = did_you_mean(baseline, ids, f"there is {listed(ids)}")
        expected = "the id of an option, which is its file's name without .toml"
        yield found_at(table, ("baseline",), expected, f'"{baseline}"', hint)


def _check_scenario(scenario: Scenario, table: Table) -> Iterator[Problem]:
    if not scenario.question:
        yield found_at(
            table,
            ("question",),
            "the question members are asked",
            "nothing",
            "write it in one sentence",
            "warning",
        )
    if scenario.club is None:
        rate = scenario.aircraft.hourly_rate
        yield from _check_no_rate(table, ("aircraft", "hourly_rate"), rate)


def _check_no_rate(table: Table, path: KeyPath, rate: Quantity | None) -> Iterator[Problem]:
    """Refuse what an owner would be charged: it would be counted as money that comes in."""
    if rate is not None and rate.high > 0:
        expected = "no hourly rate without a [club]: an owner charges nobody"
        hint = "take it out, or add [club] to scenario.toml"
        yield found_at(table, path, expected, f"{rate.likely:g}", hint)


def _check_sections(table: Table, option: Option) -> Iterator[Problem]:
    replaces = option.kind == "replace"
    for key in ("sell", "buy"):
        if getattr(option, key) is not None and not replaces:
            hint = f'take [{key}] out, or set kind = "replace"'
            yield found_at(table, (key,), "no such table here", f"[{key}]", hint)
    if replaces and option.jobs:
        hint = "take jobs out: the airplane they belong to is sold"
        yield found_at(table, ("jobs",), "no jobs in a replacement", listed(option.jobs), hint)
    if replaces and option.buy is None:
        hint = "add [buy] with a price if another airplane is bought"
        yield found_at(table, (), "a purchase", "no [buy]", hint, "warning")
    if option.sell and any("trade" in credit.name.casefold() for credit in option.credits):
        hint = "make sure that the old airplane is not sold twice"
        yield found_at(table, ("credits",), "either [sell] or a trade-in", "both", hint, "warning")


def _check_items(table: Table, option: Option) -> Iterator[Problem]:
    taken: set[str] = set()
    for number, item in enumerate(option.items):
        path: KeyPath = ("items", number)
        names = {folded(name): name for name in (item.name, item.ledger) if name}
        for key in sorted(names.keys() & taken):
            hint = "the ledger could not tell the two apart; change one"
            name = names[key]
            where = (*path, "ledger" if name == item.ledger else "name")
            yield found_at(table, where, "a name and a ledger key of its own", f'"{name}"', hint)
        taken |= names.keys()
        if item.hours is not None and item.rate is None:
            hint = "add rate, or write member_hours if nobody is paid"
            where = (*path, "hours")
            yield found_at(table, where, "a rate beside hours", "hours alone", hint, "warning")
        elif item.rate is not None and item.hours is None:
            where = (*path, "rate")
            yield found_at(table, where, "hours beside a rate", "a rate alone", "", "warning")


def _check_names(table: Table, option: Option, scenario: Scenario) -> Iterator[Problem]:
    jobs = [job.name for job in scenario.jobs]
    if option.kind != "replace":
        yield from unknown_names(table, ("jobs",), option.jobs, jobs, "a job of scenario.toml")
    aircraft, after = scenario.aircraft, option.after
    replaced = after.new("fixed")
    fixed = [cost.name for cost in (aircraft.fixed if replaced is None else replaced)]
    dropped = after.dropped_fixed
    yield from unknown_names(table, ("after", "dropped_fixed"), dropped, fixed, "a fixed cost")
    recurring = [each.name for each in (*aircraft.recurring, *(after.new("recurring") or ()))]
    path, done = ("after", "recurring_done"), after.recurring_done
    yield from unknown_names(table, path, done, recurring, "a recurring item")
    if done and option.schedule is None:
        hint = "add [schedule] with the day it is done, or take it out"
        yield found_at(table, path, "a schedule beside it", "no [schedule]", hint)
    inherits = after.new("recurring") is None and aircraft.recurring
    if option.kind == "replace" and inherits:
        hint = "list what is due on the other airplane under after.recurring, or recurring = []"
        expected = "the other airplane's own recurring items"
        yield found_at(table, ("after",), expected, "today's airplane's", hint, "warning")


def _check_days(table: Table, option: Option, scenario: Scenario) -> Iterator[Problem]:
    schedule = option.schedule
    if schedule is None:
        return
    days = {"order": schedule.order or scenario.as_of, "start": schedule.start}
    for key, day in days.items():
        if day < scenario.as_of:
            expected = f"a day on or after as_of, {scenario.as_of}"
            hint = "move the day, or set as_of back"
            yield found_at(table, ("schedule", key), expected, str(day), hint)
    if schedule.order and schedule.start < schedule.order:
        expected = f"a day on or after the order, {schedule.order}"
        yield found_at(table, ("schedule", "start"), expected, str(schedule.start))
    finish = day_after_weeks(schedule.start, schedule.weeks_down.likely)
    if month_index(scenario.as_of, finish) > MONTHS * scenario.years:
        expected = f"a finish within the {scenario.years} years counted"
        hint = "start earlier, or count more years"
        yield found_at(table, ("schedule",), expected, f"a finish on {finish}", hint)
    elif month_index(scenario.as_of, schedule.start) == 0 and schedule.weeks_down.likely:
        expected = "a start after the month of as_of"
        hint = "its downtime in that month is not counted; set as_of to an earlier month"
        yield found_at(table, ("schedule", "start"), expected, str(schedule.start), hint, "warning")


def _check_people(table: Table, option: Option, scenario: Scenario) -> Iterator[Problem]:
    club, joined = scenario.club, option.members.joined
    if club is None:
        asked = option.funding.model_copy(update={"loan": None}) != type(option.funding)()
        for key, there in (("members", not joined.certain or joined.likely), ("funding", asked)):
            if there:
                hint = "add [club] to scenario.toml, or take this out: it changes nothing"
                yield found_at(table, (key,), "a club beside it", "no [club]", hint, "warning")
        rate = option.after.new("hourly_rate")
        yield from _check_no_rate(table, ("after", "hourly_rate"), rate)
    elif club.members + joined.likely < 0:
        expected = f"at most {club.members} members to leave"
        yield found_at(table, ("members", "joined"), expected, f"{joined.likely:g}")
