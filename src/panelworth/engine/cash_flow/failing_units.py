"""The units of an option that fail: today's, those that it installs, those of another airplane."""

from collections.abc import Iterator

from panelworth.engine.results.failing_units import FailingUnit
from panelworth.model.case import EQUIPMENT, Case, option_prefix
from panelworth.model.equipment import Equipment, Fails, Unit
from panelworth.model.streams import failure_count_path


def failing_units(case: Case, option_id: str) -> tuple[FailingUnit, ...]:
    """Return the units of an option that fail and have a rate."""
    return tuple(_units(case, option_id))


def _units(case: Case, option_id: str) -> Iterator[FailingUnit]:
    option, prefix = case.options[option_id], option_prefix(option_id)
    replaced = option.replaces_airplane
    for unit in _of(case.equipment):
        removed = 0 if replaced or unit.name in option.removes else None
        yield from _failing(unit, f"{EQUIPMENT}units", removed_in=removed, leaves_at_start=replaced)
    for unit in _of(case.replacements.get(option_id)) if replaced else ():
        yield from _failing(unit, f"{prefix}{EQUIPMENT}units", installed_in=0)
    for unit in option.installs:
        yield from _failing(unit, f"{prefix}installs", installed_in=0)


def _of(equipment: Equipment | None) -> tuple[Unit, ...]:
    return equipment.units if equipment else ()


def _failing(
    unit: Unit,
    where: str,
    *,
    installed_in: int | None = None,
    removed_in: int | None = None,
    leaves_at_start: bool = False,
) -> Iterator[FailingUnit]:
    fails: Fails | None = unit.fails
    if fails is None or fails.per_year is None:
        return
    yield FailingUnit(
        per_year=fails.per_year,
        growth=fails.growth,
        cost=fails.cost,
        days=fails.days,
        count_path=failure_count_path(where, unit),
        installed_in=installed_in,
        removed_in=removed_in,
        leaves_at_start=leaves_at_start,
    )
