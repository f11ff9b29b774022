"""The inputs of the airplane's figures: weights, power and units, with their lines in the files."""

from collections.abc import Iterable, Iterator
from typing import Any

from panelworth.model.case import Case, option_prefix
from panelworth.model.equipment import Airplane, Equipment, Unit
from panelworth.publishing.formats import amps, joined, tenths
from panelworth.publishing.language import _
from panelworth.publishing.view import View
from panelworth.publishing.words.airplane_names import listed, translated

TODAY = "equipment."


def airplane_inputs(view: View) -> list[dict[str, Any]]:
    """Return groups of rows: today's airplane, then the equipment of each option."""
    groups = []
    if view.case.equipment:
        rows = _equipment_rows(view, view.case.equipment, TODAY)
        groups.append({"heading": _("The airplane today"), "rows": rows})
    for tag in view.tags.values():
        prefix, replacement = option_prefix(tag.id), view.case.replacements.get(tag.id)
        rows = list(_units(view, view.case.options[tag.id].installs, f"{prefix}installs"))
        if replacement:
            rows = [*_equipment_rows(view, replacement, f"{prefix}equipment."), *rows]
        heading = _("The airplane with {option}", option=tag.title)
        groups.append({"heading": heading, "rows": rows})
    return [group for group in groups if group["rows"]]


def _equipment_rows(view: View, equipment: Equipment, prefix: str) -> list[dict[str, str]]:
    units = list(_units(view, equipment.units, f"{prefix}units"))
    if equipment.airplane is None:
        return units
    return [*_airplane(view, equipment.airplane, f"{prefix}airplane"), *units]


def _airplane(view: View, airplane: Airplane, path: str) -> Iterator[dict[str, str]]:
    formats = view.formats
    at = _at(formats.weight(airplane.empty_weight), formats.arm(airplane.empty_arm))
    yield _row(view.case, _("Empty weight and CG"), at, f"{path}.empty_weight")
    most = formats.weight(airplane.max_weight)
    yield _row(view.case, _("Maximum weight"), most, f"{path}.max_weight")
    if airplane.fuel:
        usable = _at(formats.fuel(airplane.fuel.usable), formats.arm(airplane.fuel.arm))
        yield _row(view.case, _("Usable fuel"), usable, f"{path}.fuel")
    if airplane.alternator:
        rating = amps(airplane.alternator.amps)
        yield _row(view.case, _("Alternator rating"), rating, f"{path}.alternator")
    if airplane.battery:
        hours = f"{tenths(airplane.battery.ampere_hours)} Ah"
        yield _row(view.case, _("Battery capacity"), hours, f"{path}.battery")


def _units(view: View, units: Iterable[Unit], path: str) -> Iterator[dict[str, str]]:
    for unit in units:
        texts = [_at(view.formats.weight(unit.weight), view.formats.arm(unit.arm))]
        if unit.amps.high:
            texts.append(f"{view.formats.quantity(unit.amps, 'amps')} A")
        if unit.provides:
            texts.append(_("provides {functions}", functions=listed(unit.provides)))
        if unit.needs:
            needs = joined([_either(need) for need in unit.needs])
            texts.append(_("needs {what}", what=needs))
        yield _row(view.case, unit.name, "; ".join(texts), f"{path}[{unit.name}]")


def _either(need: str) -> str:
    return " | ".join(translated(name.strip()) for name in need.split("|"))


def _at(size: str, arm: str) -> str:
    return _("{size} at {arm}", size=size, arm=arm)


def _row(case: Case, label: str, value: str, path: str) -> dict[str, str]:
    place = case.source_lines.get(path)
    source = "equipment.toml"
    if place:
        source = _("{file}, line {line}", file=place.file, line=place.line)
    return {"label": label, "value": value, "source": source}
