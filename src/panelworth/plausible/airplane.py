"""Warnings about today's airplane: its hours, hourly and yearly costs, and insured value."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS
from panelworth.plausible import limits
from panelworth.plausible.asking import ask, likely, plain
from panelworth.problems import Problem

PATH = "aircraft."


def questions(case: Case) -> Iterator[Problem]:
    """Warn of figures of today's airplane that contradict each other."""
    yield from _hours(case)
    yield from _hourly(case)
    yield from _worth(case)
    yield from _hangar(case)
    yield from _insured(case)
    yield from _named_twice(case)


def _hours(case: Case) -> Iterator[Problem]:
    aircraft, club = case.scenario.aircraft, case.scenario.club
    hours, lost = aircraft.hours_per_year.likely, aircraft.hours_lost_per_year.likely
    path = f"{PATH}hours_per_year"
    most = max((profile.hours_per_year for profile in club.profiles), default=0.0) if club else 0.0
    alone = case.fleet is None or not case.fleet.aircraft
    hint = f"if {plain(hours)} is one month's, write {plain(MONTHS * hours)}"
    if not hours:
        hint = "write hours_per_year: without hours nothing that flying costs or brings is counted"
        yield ask(case, path, "the hours of a year", "0", hint)
        return
    if club and hours < club.members * limits.HOURS_A_MEMBER:
        expected = f"the hours of a year, at least one for each of {club.members} members"
        yield ask(case, path, expected, plain(hours), hint)
    elif alone and hours < most:
        expected = f"at least the {plain(most)} hours that one member of [[club.profiles]] flies"
        yield ask(case, path, expected, plain(hours), f"{hint}; otherwise check the profiles")
    elif hours < limits.LEAST_HOURS:
        expected = f"the hours of a year, at least {limits.LEAST_HOURS:g}"
        yield ask(case, path, expected, plain(hours), hint)
    if lost > limits.LOST_SHARE * hours:
        expected = f"at most half of the {plain(hours)} hours that members would fly"
        hint = "write the hours lost, not those flown, or a year's hours_per_year"
        yield ask(case, f"{PATH}hours_lost_per_year", expected, plain(lost), hint)


def _hourly(case: Case) -> Iterator[Problem]:
    aircraft = case.scenario.aircraft
    fuel, _ = aircraft.hourly_cost(likely)
    if not fuel:
        return
    beside = f"{plain(fuel)} of fuel an hour"
    for cost in aircraft.hourly_besides_fuel:
        if cost.likely > limits.HOURLY_COSTS_IN_FUEL * fuel:
            expected = (
                f"the cost of one hour, at most {limits.HOURLY_COSTS_IN_FUEL:g} times the fuel"
            )
            hint = "if it is a year's, divide it by the hours of a year"
            yield ask(case, cost.path, expected, f"{plain(cost.likely)} beside {beside}", hint)
    rate = aircraft.hourly_rate.likely
    if case.scenario.club and 0 < rate < fuel:
        hint = "the hourly rate includes fuel: add the fuel to a rate without it"
        expected = "a rate that pays at least for the fuel"
        yield ask(case, f"{PATH}hourly_rate", expected, f"{plain(rate)} beside {beside}", hint)


def _worth(case: Case) -> Iterator[Problem]:
    """Warn if an hour is worth less than those who fly it pay for it."""
    aircraft = case.scenario.aircraft
    if aircraft.worth_per_hour is None:
        return
    worth, paid = aircraft.worth_per_hour.likely, aircraft.hourly_rate.likely
    if case.scenario.club is None:
        paid = sum(aircraft.hourly_cost(likely))
    if worth < paid - HALF_A_CENT:
        expected = f"at least what an hour costs those who fly it, {plain(paid)}"
        hint = "write what it is worth before its cost is taken off"
        yield ask(case, f"{PATH}worth_per_hour", expected, plain(worth), hint)


def _hangar(case: Case) -> Iterator[Problem]:
    """Warn if a hangar costs as much a year as others cost a month."""
    aircraft = case.scenario.aircraft
    fuel = aircraft.fuel_per_hour.likely * aircraft.fuel_price.likely
    for line in aircraft.fixed:
        cost = line.per_year.likely
        if "hangar" in line.name.casefold() and 0 < cost < limits.HANGAR_IN_FUEL_HOURS * fuel:
            path = f"{PATH}fixed[{line.name}].per_year"
            expected = (
                f"a year's price, above that of fuel for {limits.HANGAR_IN_FUEL_HOURS:g} hours"
            )
            hint = f"if {plain(cost)} is one month's, write {plain(MONTHS * cost)}"
            yield ask(case, path, expected, plain(cost), hint)


def _insured(case: Case) -> Iterator[Problem]:
    aircraft = case.scenario.aircraft
    agreed, value = aircraft.insurance.agreed_value.likely, aircraft.value.likely
    if apart(agreed, value, limits.AGREED_TIMES):
        path, times = f"{PATH}insurance.agreed_value", limits.AGREED_TIMES
        expected = f"a sum near the airplane's value, at most {times:g} times as much or as little"
        found = f"{plain(agreed)} with a value of {plain(value)}"
        yield ask(
            case,
            path,
            expected,
            found,
            "check that both are in whole units of money, not in thousands",
        )


def apart(one: float, other: float, times: float) -> bool:
    """Return whether two sums above 0 differ by more than this factor."""
    return one > 0 and other > 0 and not one / times <= other <= one * times


def _named_twice(case: Case) -> Iterator[Problem]:
    """Warn of a cost that is counted both by the year and when it falls due."""
    aircraft = case.scenario.aircraft
    due = {each.name.casefold() for each in aircraft.recurring}
    for each in aircraft.fixed:
        if each.name.casefold() in due:
            expected = "each cost once, under fixed or under recurring"
            found = f'"{each.name}" under fixed and under recurring'
            hint = "it is counted twice: remove one of the two"
            yield ask(case, f"{PATH}fixed[{each.name}]", expected, found, hint)
