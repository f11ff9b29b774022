"""Inputs with their origin: name, value with range, source, and line in the files."""

from collections.abc import Iterable

from panelworth.engine.results.insight import (
    Root,
)
from panelworth.model.case import Case, Input, option_prefix
from panelworth.model.ledger_targets import PRICE_KEYS
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import N_, _, after_colon
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.ledger_words import price_basis

PLAIN = ("share", "money")  # the written value shows these units already
SHAPES = {"triangular": N_("triangular range"), "uniform": N_("uniform range")}


def input_rows(view: View, paths: Iterable[str]) -> list[dict[str, str]]:
    """Return the rows of a list of inputs: label, value, source; those left out are skipped."""
    return [
        _row(view, view.inputs[path])
        for path in paths
        if path in view.case.source_lines or _by_ledger(view.case, path)
    ]


def _by_ledger(case: Case, path: str) -> bool:
    """Say whether the ledger gives the value of an input."""
    thing, _, key = path.rpartition(".")
    status = case.ledger_statuses.get(thing)
    return status is not None and bool(status.price_rows) and key in PRICE_KEYS.values()


def source_of(case: Case, formats: Formats, declared: Input) -> str:
    """Say where an input's value comes from: the ledger's rows, or its source, note and place."""
    if _by_ledger(case, declared.path):
        return price_basis(case, formats, declared.path.rpartition(".")[0], "")
    quantity, place = declared.quantity, case.source_lines.get(declared.path)
    if place is None:
        return _("left out: counts as 0")
    parts = [
        quantity.source or _("no source given"),
        quantity.note,
        "" if quantity.certain else _(SHAPES.get(quantity.shape, "")),
        _("{file}, line {line}", file=place.file, line=place.line),
    ]
    return "; ".join(part for part in parts if part)


def _row(view: View, declared: Input) -> dict[str, str]:
    shown_unit = "" if declared.unit in PLAIN else f", {view.formats.unit(declared.unit)}"
    return {
        "label": f"{input_name(declared)}{shown_unit}",
        "value": view.formats.quantity(declared.quantity, declared.unit),
        "source": source_of(view.case, view.formats, declared),
    }


def owner(tags: Iterable[OptionTag], path: str) -> OptionTag | None:
    """Return the option that an input belongs to; None for an input of all options."""
    return next((tag for tag in tags if path.startswith(option_prefix(tag.id))), None)


def roots_within(view: View, tag: OptionTag, path: str) -> list[Root]:
    """Return the values within an input's range at which an option and the baseline are even."""
    quantity = view.inputs[path].quantity
    return [
        root
        for points in view.insight.break_even_points.get(tag.id, ())
        if points.input == path
        for root in points.roots
        if quantity.low <= root.value <= quantity.high
    ]


def input_name(declared: Input) -> str:
    """Name an input with the entry it belongs to: "Display: cost"."""
    name = declared.section.partition(": ")[2]
    label = _(declared.label)
    return f"{name}: {after_colon(label)}" if name else label
