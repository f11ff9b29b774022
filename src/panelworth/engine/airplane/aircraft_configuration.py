"""The airplane with an option's units in it: what weight, power and failures follow from.

A retrofit takes units out of equipment.toml and puts others in. A replacement has its own
equipment file, into which its installs go; its removes belong to the airplane that is sold and
change nothing here. An option without a described airplane has none.
"""

from dataclasses import dataclass

from panelworth.model.case import Case
from panelworth.model.equipment import Airplane, Equipment, LoadingCase, Unit


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """An airplane, its units, and what came out of and went into it."""

    airplane: Airplane | None
    units: tuple[Unit, ...]
    loading_cases: tuple[LoadingCase, ...]
    removed: tuple[Unit, ...] = ()
    installed: tuple[Unit, ...] = ()


def fitted_today(case: Case) -> Fitted | None:
    """Return the airplane as equipment.toml has it."""
    return _whole(case.equipment) if case.equipment else None


def fitted_with(case: Case, option_id: str) -> Fitted | None:
    """Return the airplane that an option leaves the club with."""
    option = case.options[option_id]
    replaced = option.replaces_airplane
    equipment = case.replacements.get(option_id) if replaced else case.equipment
    if equipment is None:
        return None
    removes = () if replaced else option.removes
    kept = tuple(unit for unit in equipment.units if unit.name not in removes)
    return Fitted(
        airplane=equipment.airplane,
        units=kept + option.installs,
        loading_cases=equipment.loading_cases,
        removed=tuple(unit for unit in equipment.units if unit.name in removes),
        installed=option.installs,
    )


def _whole(equipment: Equipment) -> Fitted:
    return Fitted(
        airplane=equipment.airplane,
        units=equipment.units,
        loading_cases=equipment.loading_cases,
    )
