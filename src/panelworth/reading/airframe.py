"""Checks across equipment.toml, fleet.toml and the units an option removes and installs."""

from collections.abc import Iterator, Mapping

from panelworth.model.case import Case
from panelworth.model.equipment import Airplane, Equipment, Unit
from panelworth.problems import Problem, did_you_mean
from panelworth.reading.checks import found_at, unknown_names
from panelworth.reading.tables import KeyPath, Table


def check_airframe(case: Case, tables: Mapping[str, Table]) -> Iterator[Problem]:
    """Yield names of units, functions and stations that match nothing, and fuel past the tanks."""
    today = case.equipment or Equipment()
    if case.equipment:
        table = tables["equipment"]
        yield from _check_needs(table, ("units",), today.units, today.units)
        yield from _check_loadings(table, today)
    for option_id, option in case.options.items():
        table = tables[option_id]
        names = [unit.name for unit in today.units]
        yield from unknown_names(
            table, ("removes",), option.removes, names, "a unit of equipment.toml"
        )
        kept = [unit for unit in today.units if unit.name not in option.removes]
        yield from _check_twice(table, option.installs, kept)
        own = case.replacements.get(option_id)
        if own:
            whole = tables[f"{option_id}.equipment"]
            yield from _check_needs(whole, ("units",), own.units, (*own.units, *option.installs))
            yield from _check_loadings(whole, own)
        left = (*(own.units if own else kept), *option.installs)
        yield from _check_needs(table, ("installs",), option.installs, left)


def _check_twice(table: Table, installs: tuple[Unit, ...], kept: list[Unit]) -> Iterator[Problem]:
    there = {unit.name for unit in kept}
    for number, unit in enumerate(installs):
        if unit.name in there:
            path: KeyPath = ("installs", number, "name")
            hint = "rename it, or list the old one under removes"
            yield found_at(
                table, path, "a name that is not in the airplane", f'"{unit.name}"', hint
            )


def _check_needs(
    table: Table, path: KeyPath, units: tuple[Unit, ...], there: tuple[Unit, ...]
) -> Iterator[Problem]:
    known = {unit.name for unit in there} | {name for unit in there for name in unit.provides}
    for number, unit in enumerate(units):
        for place, need in enumerate(unit.needs):
            for name in (part.strip() for part in need.split("|")):
                if name not in known:
                    where: KeyPath = (*path, number, "needs", place)
                    hint = did_you_mean(name, known, "add a unit of that name")
                    yield found_at(table, where, "a unit or a function", f'"{name}"', hint)


def _check_adverse(table: Table, airplane: Airplane) -> Iterator[Problem]:
    adverse = airplane.adverse
    if adverse is None:
        return
    for key, weights in (("aboard", adverse.aboard), ("most", adverse.most)):
        for station in weights:
            if station not in airplane.stations:
                hint = did_you_mean(station, airplane.stations, "add it to stations")
                path: KeyPath = ("airplane", "adverse", key, station)
                yield found_at(table, path, "a station", f'"{station}"', hint)
    for station, weight in adverse.aboard.items():
        most = adverse.most.get(station, weight)
        if weight > most:
            path = ("airplane", "adverse", "aboard", station)
            yield found_at(table, path, f"at most what the station takes, {most:g}", f"{weight:g}")
    usable = airplane.fuel.usable if airplane.fuel else 0.0
    if adverse.minimum_fuel > usable:
        path = ("airplane", "adverse", "minimum_fuel")
        expected = f"at most the usable fuel, {usable:g}"
        yield found_at(table, path, expected, f"{adverse.minimum_fuel:g}")


def _check_hourly(table: Table, airplane: Airplane) -> Iterator[Problem]:
    path: KeyPath = ("airplane", "hourly")
    if airplane.hourly and airplane.tach is None:
        yield found_at(table, path, "tach beside inspections by hours", "none", "add tach = …")
        return
    for number, each in enumerate(airplane.hourly):
        if airplane.tach is not None and each.done_at > airplane.tach:
            expected = f"at most today's tach hours, {airplane.tach:g}"
            yield found_at(table, (*path, number, "done_at"), expected, f"{each.done_at:g}")


def _check_loadings(table: Table, equipment: Equipment) -> Iterator[Problem]:
    airplane = equipment.airplane
    if airplane is not None:
        yield from _check_adverse(table, airplane)
        yield from _check_hourly(table, airplane)
    for number, loading in enumerate(equipment.loading_cases):
        path: KeyPath = ("loading_cases", number)
        if airplane is None:
            yield found_at(table, path, "[airplane] beside loading cases", "none")
            return
        for station in loading.loads:
            if station not in airplane.stations:
                hint = did_you_mean(station, airplane.stations, "add it to stations")
                where = (*path, "loads", station)
                yield found_at(table, where, "a station", f'"{station}"', hint)
        usable = airplane.fuel.usable if airplane.fuel else 0.0
        if loading.fuel > usable:
            expected = f"at most the usable fuel, {usable:g}"
            yield found_at(table, (*path, "fuel"), expected, f"{loading.fuel:g}")
