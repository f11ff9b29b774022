"""Warnings about units of measure: metric ones in a folder of US units, or the reverse.

The weight of fuel is checked in reading/airframe.py.
"""

from collections.abc import Iterator

from panelworth.model.case import Case, option_prefix
from panelworth.model.equipment import Airplane, Equipment
from panelworth.plausible import limits
from panelworth.plausible.warning import plain, warning_at
from panelworth.problems import Problem


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of measures that fit the other system of units."""
    yield from _burn(case)
    yield from _price(case)
    airplanes: dict[str, Equipment | None] = {"equipment.airplane": case.equipment}
    for option_id, replacement in case.replacements.items():
        airplanes[f"{option_prefix(option_id)}equipment.airplane"] = replacement
    for path, equipment in airplanes.items():
        if equipment and equipment.airplane:
            yield from _weight(case, path, equipment.airplane)
            yield from _arms(case, path, equipment.airplane)


def _burn(case: Case) -> Iterator[Problem]:
    """Warn of a fuel burn in the other unit, by its size or by the hours that the tanks last."""
    burn, us = case.scenario.aircraft.fuel_per_hour.likely, case.scenario.units == "us"
    path, airplane = "aircraft.fuel_per_hour", case.equipment and case.equipment.airplane
    usable = airplane.fuel.usable if airplane and airplane.fuel else 0.0
    hint = 'units = "us" asks for US gallons' if us else 'units = "metric" asks for litres'
    if us and burn > limits.MOST_GALLONS_AN_HOUR:
        expected = f"gallons an hour, at most {limits.MOST_GALLONS_AN_HOUR:g}"
        yield warning_at(case, path, expected, f"{plain(burn)}, which looks like litres", hint)
    elif not us and 0 < burn < limits.LEAST_LITRES_AN_HOUR:
        expected = f"litres an hour, at least {limits.LEAST_LITRES_AN_HOUR:g}"
        yield warning_at(case, path, expected, f"{plain(burn)}, which looks like gallons", hint)
    elif burn and usable and not _is_usual_endurance(usable / burn):
        least, most = limits.LEAST_HOURS_OF_FUEL, limits.MOST_HOURS_OF_FUEL
        expected = f"fuel for {least:g} to {most:g} hours in the tanks"
        found = f"{plain(usable)} usable at {plain(burn)} an hour: {plain(usable / burn)} hours"
        hint = f"{hint}, and the same in airplane.fuel.usable of equipment.toml"
        yield warning_at(case, path, expected, found, hint)


def _is_usual_endurance(hours: float) -> bool:
    return limits.LEAST_HOURS_OF_FUEL <= hours <= limits.MOST_HOURS_OF_FUEL


def _price(case: Case) -> Iterator[Problem]:
    """Warn of a fuel price for the other unit, in currencies for which a usual price is known."""
    scenario, price = case.scenario, case.scenario.aircraft.fuel_price.likely
    if scenario.currency not in limits.LIKE_A_DOLLAR:
        return
    if scenario.units == "us" and 0 < price < limits.LEAST_A_GALLON:
        expected = f"the price of a US gallon, at least {limits.LEAST_A_GALLON:g}"
        hint = "if it is a litre's, write 3.785 times as much"
    elif scenario.units == "metric" and price > limits.MOST_A_LITRE:
        expected = f"the price of a litre, at most {limits.MOST_A_LITRE:g}"
        hint = "if it is a US gallon's, divide it by 3.785"
    else:
        return
    yield warning_at(
        case, "aircraft.fuel_price", expected, f"{plain(price)} {scenario.currency}", hint
    )


def _weight(case: Case, path: str, airplane: Airplane) -> Iterator[Problem]:
    """Warn of a maximum weight in the other unit."""
    us, weight = case.scenario.units == "us", airplane.max_weight
    if us and weight < limits.LEAST_WEIGHT_US:
        expected = f"pounds, at least {limits.LEAST_WEIGHT_US:g}"
        found, hint = "which looks like kilograms", 'units = "us" asks for pounds and inches'
    elif not us and weight > limits.MOST_WEIGHT_METRIC:
        expected = f"kilograms, at most {limits.MOST_WEIGHT_METRIC:g}"
        found, hint = (
            "which looks like pounds",
            'units = "metric" asks for kilograms and millimetres',
        )
    else:
        return
    yield warning_at(case, f"{path}.max_weight", expected, f"{plain(weight)}, {found}", hint)


def _arms(case: Case, path: str, airplane: Airplane) -> Iterator[Problem]:
    """Warn of arms in the other unit. The longest decides: some are near the datum."""
    arms = {f"stations.{name}": abs(arm) for name, arm in airplane.stations.items()}
    arms["empty_arm"] = abs(airplane.empty_arm)
    if airplane.fuel:
        arms["fuel.arm"] = abs(airplane.fuel.arm)
    longest = max(arms, key=lambda key: arms[key])
    us, arm = case.scenario.units == "us", arms[longest]
    if us and arm > limits.MOST_ARM_US:
        expected = f"inches from the datum, at most {limits.MOST_ARM_US:g}"
        found, hint = "which looks like millimetres", 'units = "us" asks for pounds and inches'
    elif not us and 0 < arm < limits.LEAST_ARM_METRIC:
        expected = f"millimetres from the datum, the longest at least {limits.LEAST_ARM_METRIC:g}"
        found, hint = (
            "which looks like inches",
            'units = "metric" asks for kilograms and millimetres',
        )
    else:
        return
    yield warning_at(case, f"{path}.{longest}", expected, f"{plain(arm)}, {found}", hint)
