"""The airplane as an option leaves it: the basis of weight, power and failures.

A retrofit removes units of equipment.toml and installs others. A replacement has an equipment file
of its own, to which its installs are added. Units that it removes come out of the airplane that is
sold, so they change nothing here.
"""

from dataclasses import dataclass

from panelworth.model.case import Case
from panelworth.model.equipment import Airplane, LoadingCase, Unit


@dataclass(frozen=True, kw_only=True)
class Configuration:
    """An airplane and its units, and the units that the option has removed and installed."""

    airplane: Airplane | None
    units: tuple[Unit, ...]
    loading_cases: tuple[LoadingCase, ...]
    removed: tuple[Unit, ...] = ()
    installed: tuple[Unit, ...] = ()


def configuration_today(case: Case) -> Configuration | None:
    """Return the airplane as equipment.toml describes it; None without this file."""
    equipment = case.equipment
    if equipment is None:
        return None
    return Configuration(
        airplane=equipment.airplane,
        units=equipment.units,
        loading_cases=equipment.loading_cases,
    )


def configuration_after(case: Case, option_id: str) -> Configuration | None:
    """Return the airplane after an option; None where its equipment is not described."""
    option = case.options[option_id]
    replaced = option.replaces_airplane
    equipment = case.replacements.get(option_id) if replaced else case.equipment
    if equipment is None:
        return None
    removes = () if replaced else option.removes
    kept = tuple(unit for unit in equipment.units if unit.name not in removes)
    return Configuration(
        airplane=equipment.airplane,
        units=kept + option.installs,
        loading_cases=equipment.loading_cases,
        removed=tuple(unit for unit in equipment.units if unit.name in removes),
        installed=option.installs,
    )
