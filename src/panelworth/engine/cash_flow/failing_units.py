"""The units of an option that fail: today's, those that it installs, those of another airplane."""

from collections.abc import Iterator
from dataclasses import dataclass

from panelworth.model.case import EQUIPMENT, Case, option_prefix
from panelworth.model.equipment import Equipment, Fails, Unit
from panelworth.model.streams import failure_count_path
from panelworth.model.value import Quantity


@dataclass(frozen=True, kw_only=True)
class FailingUnit:
    """A unit that fails, and the phases in whose finish it comes in and goes out.

    `installed_in` is None for a unit that is there today, `removed_in` for one that stays to the
    end. With `leaves_at_start` it counts up to the month of that phase's start: it goes with the
    airplane that is sold. `count_path` is the path of its uniform numbers in drawn trials: the same
    in every option that has the unit.
    """

    per_year: Quantity
    growth: Quantity
    cost: Quantity | None
    days: Quantity | None
    count_path: str
    installed_in: int | None = None
    removed_in: int | None = None
    leaves_at_start: bool = False


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
