"""Warnings about today's airplane: its hours, hourly and yearly costs, and insured value."""

from collections.abc import Iterator

from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS
from panelworth.plausible import limits
from panelworth.plausible.warning import likely, plain, warning_at
from panelworth.problems import Problem

PATH = "aircraft."


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of figures of today's airplane that contradict each other."""
    yield from _hours(case)
    yield from _hourly(case)
    yield from _worth(case)
    yield from _hangar(case)
    yield from _insured(case)
    yield from _named_twice(case)


def _hours(case: Case) -> Iterator[Problem]:
    """Warn of hours that look like one month's, and of lost hours that look like those flown."""
    aircraft, club = case.scenario.aircraft, case.scenario.club
    hours, lost = aircraft.hours_per_year.likely, aircraft.hours_lost_per_year.likely
    path = f"{PATH}hours_per_year"
    most = max((profile.hours_per_year for profile in club.profiles), default=0.0) if club else 0.0
    # With other aircraft in the fleet, a member of a profile may fly those hours on several.
    only_aircraft = case.fleet is None or not case.fleet.aircraft
    hint = f"if {plain(hours)} is one month's, write {plain(MONTHS * hours)}"
    if not hours:
        hint = "write hours_per_year: without hours nothing that flying costs or brings is counted"
        yield warning_at(case, path, "the hours of a year", "0", hint)
        return
    if club and hours < club.members * limits.HOURS_A_MEMBER:
        expected = f"the hours of a year, at least one for each of {club.members} members"
        yield warning_at(case, path, expected, plain(hours), hint)
    elif only_aircraft and hours < most:
        expected = f"at least the {plain(most)} hours that one member of [[club.profiles]] flies"
        yield warning_at(
            case, path, expected, plain(hours), f"{hint}; otherwise check the profiles"
        )
    elif hours < limits.LEAST_HOURS:
        expected = f"the hours of a year, at least {limits.LEAST_HOURS:g}"
        yield warning_at(case, path, expected, plain(hours), hint)
    if lost > limits.LOST_SHARE * hours:
        expected = f"at most half of the {plain(hours)} hours that would be flown"
        hint = "write the hours lost, not those flown, or a year's hours_per_year"
        yield warning_at(case, f"{PATH}hours_lost_per_year", expected, plain(lost), hint)


def _hourly(case: Case) -> Iterator[Problem]:
    """Warn of costs of an hour that look like those of a year, and of a rate below its fuel."""
    aircraft = case.scenario.aircraft
    fuel, _ = aircraft.hourly_cost(likely)
    if not fuel:
        return
    fuel_words = f"{plain(fuel)} of fuel an hour"
    for cost in aircraft.hourly_besides_fuel:
        if cost.likely > limits.HOURLY_COSTS_IN_FUEL * fuel:
            expected = (
                f"the cost of one hour, at most {limits.HOURLY_COSTS_IN_FUEL:g} times the fuel"
            )
            hint = "if it is a year's, divide it by the hours of a year"
            yield warning_at(
                case, cost.path, expected, f"{plain(cost.likely)} beside {fuel_words}", hint
            )
    rate = aircraft.hourly_rate.likely
    if case.scenario.club and 0 < rate < fuel:
        hint = "the hourly rate includes fuel: add the fuel to a rate without it"
        expected = "a rate that pays at least for the fuel"
        yield warning_at(
            case, f"{PATH}hourly_rate", expected, f"{plain(rate)} beside {fuel_words}", hint
        )


def _worth(case: Case) -> Iterator[Problem]:
    """Warn if an hour is worth less than those who fly it pay for it.

    They would not fly then. The worth is probably meant after the cost, but the engine takes the
    cost off itself.
    """
    aircraft = case.scenario.aircraft
    if aircraft.worth_per_hour is None:
        return
    worth, paid = aircraft.worth_per_hour.likely, aircraft.hourly_rate.likely
    if case.scenario.club is None:
        paid = sum(aircraft.hourly_cost(likely))
    if worth < paid - HALF_A_CENT:
        expected = f"at least what an hour costs those who fly it, {plain(paid)}"
        hint = "write what it is worth before its cost is taken off"
        yield warning_at(case, f"{PATH}worth_per_hour", expected, plain(worth), hint)


def _hangar(case: Case) -> Iterator[Problem]:
    """Warn if a year in the hangar costs as little as a month usually does.

    Prices differ from country to country. That of fuel serves as the measure of them.
    """
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
            yield warning_at(case, path, expected, plain(cost), hint)


def _insured(case: Case) -> Iterator[Problem]:
    """Warn if the agreed value is far from the airplane's value."""
    aircraft = case.scenario.aircraft
    agreed, value = aircraft.insurance.agreed_value.likely, aircraft.value.likely
    if apart(agreed, value, limits.AGREED_TIMES):
        path, times = f"{PATH}insurance.agreed_value", limits.AGREED_TIMES
        expected = f"a sum near the airplane's value, at most {times:g} times as much or as little"
        found = f"{plain(agreed)} with a value of {plain(value)}"
        yield warning_at(
            case,
            path,
            expected,
            found,
            "check that both are in whole units of money, not in thousands",
        )


def apart(one: float, other: float, times: float) -> bool:
    """Return whether two sums above 0 differ by more than a factor, in either direction."""
    return one > 0 and other > 0 and not one / times <= other <= one * times


def _named_twice(case: Case) -> Iterator[Problem]:
    """Warn of a cost that is counted both by the year and when it falls due."""
    aircraft = case.scenario.aircraft
    recurring = {item.name.casefold() for item in aircraft.recurring}
    for cost in aircraft.fixed:
        if cost.name.casefold() in recurring:
            expected = "each cost once, under fixed or under recurring"
            found = f'"{cost.name}" under fixed and under recurring'
            hint = "it is counted twice: remove one of the two"
            yield warning_at(case, f"{PATH}fixed[{cost.name}]", expected, found, hint)
