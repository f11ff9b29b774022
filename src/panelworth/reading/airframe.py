"""Checks equipment.toml against the units that options remove and install, and its loadings."""

from collections.abc import Iterator, Mapping
from typing import Literal

from panelworth.model.case import WrittenCase
from panelworth.model.equipment import Airplane, Equipment, Unit
from panelworth.model.names import folded
from panelworth.problems import Problem, did_you_mean
from panelworth.reading.checks import problem_at, unknown_names
from panelworth.reading.tables import KeyPath, TomlTable

Units = Literal["us", "metric"]
EQUIPMENT_SUFFIX = ".equipment"  # of the keys of tables that describe another airplane
KILOGRAMS, LITRES = 0.45359237, 3.785411784  # in a pound, in a US gallon; NIST SP 811, appendix B
# Avgas weighs 6.0 pounds a US gallon, turbine fuel 6.7 (FAA-H-8083-30, chapter 4, standard
# weights); by temperature and grade fuels for cars and airplanes keep within a tenth around these
# (common practice, no source).
FUEL_WEIGHT: dict[Units, tuple[float, float]] = {"us": (5.4, 7.2), "metric": (0.65, 0.86)}
STANDARD_WEIGHT: dict[Units, dict[str, str]] = {
    "us": {"avgas": "6.0", "turbine": "6.7"},
    "metric": {"avgas": "0.72", "turbine": "0.80"},
}
DENSITY_UNIT: dict[Units, str] = {"us": "pounds a gallon", "metric": "kilograms a litre"}
WRITTEN_IN = {  # how many kilograms and litres each unit has that a user may have used by mistake
    "kilograms a litre": (1.0, 1.0),
    "pounds a US gallon": (KILOGRAMS, LITRES),
    "kilograms a US gallon": (1.0, LITRES),
    "pounds a litre": (KILOGRAMS, 1.0),
    "grams a litre": (0.001, 1.0),
    "pounds an imperial gallon": (KILOGRAMS, 4.54609),
}


def check_airframe(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield unknown names of units, functions and stations, and fuel above the tanks' capacity."""
    today = case.equipment or Equipment()
    yield from _check_spelling(case, tables)
    if case.equipment:
        table = tables["equipment"]
        yield from _check_needs(table, ("units",), today.units, today.units)
        yield from _check_loadings(table, today, case.scenario.units)
    for option_id, option in case.options.items():
        table = tables[option_id]
        names = [unit.name for unit in today.units]
        yield from unknown_names(
            table, ("removes",), option.removes, names, "a unit of equipment.toml"
        )
        kept = [unit for unit in today.units if unit.name not in option.removes]
        yield from _check_new_names(table, option.installs, kept)
        replacement = case.replacements.get(option_id)
        if replacement:
            replacement_table = tables[f"{option_id}.equipment"]
            yield from _check_needs(
                replacement_table,
                ("units",),
                replacement.units,
                (*replacement.units, *option.installs),
            )
            yield from _check_loadings(replacement_table, replacement, case.scenario.units)
        installed = (*(replacement.units if replacement else kept), *option.installs)
        yield from _check_needs(table, ("installs",), option.installs, installed)


def _check_new_names(
    table: TomlTable, installs: tuple[Unit, ...], kept: list[Unit]
) -> Iterator[Problem]:
    """Yield each installed unit that has the name of a unit that stays in the airplane."""
    kept_names = {folded(unit.name) for unit in kept}
    for number, unit in enumerate(installs):
        if folded(unit.name) in kept_names:
            path: KeyPath = ("installs", number, "name")
            hint = "rename it, or list the old one under removes"
            yield problem_at(
                table, path, "a name that is not in the airplane", f'"{unit.name}"', hint
            )


def _check_needs(
    table: TomlTable, path: KeyPath, units: tuple[Unit, ...], installed: tuple[Unit, ...]
) -> Iterator[Problem]:
    """Yield each need that no installed unit meets, by its name or by what it provides."""
    known = {unit.name for unit in installed}
    known |= {name for unit in installed for name in unit.provides}
    for number, unit in enumerate(units):
        for position, need in enumerate(unit.needs):
            for name in (part.strip() for part in need.split("|")):
                if name not in known:
                    need_path: KeyPath = (*path, number, "needs", position)
                    hint = did_you_mean(name, known, "add a unit of that name")
                    yield problem_at(table, need_path, "a unit or a function", f'"{name}"', hint)


def _check_adverse(table: TomlTable, airplane: Airplane) -> Iterator[Problem]:
    """Check the stations and weights of the adverse loadings against the airplane."""
    adverse = airplane.adverse
    if adverse is None:
        return
    for key, weights in (("aboard", adverse.aboard), ("most", adverse.most)):
        for station in weights:
            if station not in airplane.stations:
                hint = did_you_mean(station, airplane.stations, "add it to stations")
                path: KeyPath = ("airplane", "adverse", key, station)
                yield problem_at(table, path, "a station", f'"{station}"', hint)
    for station, weight in adverse.aboard.items():
        most = adverse.most.get(station, weight)
        if weight > most:
            path = ("airplane", "adverse", "aboard", station)
            yield problem_at(
                table, path, f"at most what the station takes, {most:g}", f"{weight:g}"
            )
    usable = airplane.fuel.usable if airplane.fuel else 0.0
    if adverse.minimum_fuel > usable:
        path = ("airplane", "adverse", "minimum_fuel")
        expected = f"at most the usable fuel, {usable:g}"
        yield problem_at(table, path, expected, f"{adverse.minimum_fuel:g}")


def _check_hourly(table: TomlTable, airplane: Airplane) -> Iterator[Problem]:
    """Check that inspections by hours have today's tach hours, and were not done after them."""
    path: KeyPath = ("airplane", "hourly")
    if airplane.hourly and airplane.tach is None:
        yield problem_at(
            table, path, "tach together with inspections by hours", "none", "add tach = …"
        )
        return
    for number, inspection in enumerate(airplane.hourly):
        if airplane.tach is not None and inspection.done_at > airplane.tach:
            expected = f"at most today's tach hours, {airplane.tach:g}"
            yield problem_at(table, (*path, number, "done_at"), expected, f"{inspection.done_at:g}")


def _check_fuel(table: TomlTable, airplane: Airplane, units: Units) -> Iterator[Problem]:
    """Warn if the weight of a unit of fuel fits no fuel, and suggest what was probably meant."""
    weight = airplane.fuel.weight_per_unit if airplane.fuel else None
    low, high = FUEL_WEIGHT[units]
    if weight is None or low <= weight <= high:
        return
    hint = "check the units and the kind of fuel: avgas weighs {avgas}, turbine fuel {turbine}"
    for words, (rate, volume) in WRITTEN_IN.items():
        kilograms = weight * rate / volume  # in kilograms a litre
        if FUEL_WEIGHT["metric"][0] <= kilograms <= FUEL_WEIGHT["metric"][1]:
            converted = kilograms if units == "metric" else kilograms / KILOGRAMS * LITRES
            hint = f"{weight:g} is what it weighs in {words}; here that is {converted:.3g}"
            break
    expected = f"between {low:g} and {high:g} {DENSITY_UNIT[units]}, the weight of fuel"
    path: KeyPath = ("airplane", "fuel", "weight_per_unit")
    hint = hint.format(**STANDARD_WEIGHT[units])
    yield problem_at(table, path, expected, f"{weight:g}", hint, "warning")


def _check_spelling(case: WrittenCase, tables: Mapping[str, TomlTable]) -> Iterator[Problem]:
    """Yield each function whose name has two spellings.

    Two spellings would count as two functions. Then one unit could not replace the other, and the
    function would count as lost although it is not.
    """
    first_spelling: dict[str, str] = {}
    files = {"equipment": case.equipment} | {
        f"{option_id}{EQUIPMENT_SUFFIX}": equipment
        for option_id, equipment in case.replacements.items()
    }
    groups: list[tuple[str, str, tuple[Unit, ...]]] = [
        (key, "units", equipment.units) for key, equipment in files.items() if equipment
    ]
    groups += [(key, "installs", option.installs) for key, option in case.options.items()]
    for key, section, units in groups:
        for number, unit in enumerate(units):
            for position, name in enumerate(unit.provides):
                other = first_spelling.setdefault(folded(name), name)
                if other != name:
                    path: KeyPath = (section, number, "provides", position)
                    expected = f'one spelling of a function: "{other}" stands elsewhere'
                    hint = f'write "{other}" here too'
                    yield problem_at(tables[key], path, expected, f'"{name}"', hint)


def _check_loadings(table: TomlTable, equipment: Equipment, units: Units) -> Iterator[Problem]:
    """Check the airplane of an equipment file, and its loading cases against it."""
    airplane = equipment.airplane
    if airplane is not None:
        yield from _check_adverse(table, airplane)
        yield from _check_hourly(table, airplane)
        yield from _check_fuel(table, airplane, units)
    for number, loading in enumerate(equipment.loading_cases):
        path: KeyPath = ("loading_cases", number)
        if airplane is None:
            yield problem_at(table, path, "[airplane] together with loading cases", "none")
            return
        for station in loading.loads:
            if station not in airplane.stations:
                hint = did_you_mean(station, airplane.stations, "add it to stations")
                load_path = (*path, "loads", station)
                yield problem_at(table, load_path, "a station", f'"{station}"', hint)
        usable = airplane.fuel.usable if airplane.fuel else 0.0
        if loading.fuel > usable:
            expected = f"at most the usable fuel, {usable:g}"
            yield problem_at(table, (*path, "fuel"), expected, f"{loading.fuel:g}")
