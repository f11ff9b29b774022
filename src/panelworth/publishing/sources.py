"""Where each input came from: its words, value with range, source, and place in the files."""

from typing import Any

from panelworth.model.case import Input, option_prefix
from panelworth.publishing.ledger_words import stands_on
from panelworth.publishing.view import OptionTag, View

MOST_SWINGS = 8
LEFT_OUT = "left out: counts as 0"


def input_rows(view: View, paths: list[str]) -> list[dict[str, str]]:
    """Return the rows of a list of inputs: label, value, source; those left out are skipped."""
    inputs = view.inputs
    return [
        _row(view, inputs[path])
        for path in paths
        if path in view.case.places or _by_ledger(view, path)
    ]


def _by_ledger(view: View, path: str) -> bool:
    """Say whether the ledger gives the value of an input."""
    standing = view.case.standings.get(path.rpartition(".")[0])
    return standing is not None and bool(standing.papers) and path.endswith((".cost", ".amount"))


def source_of(view: View, each: Input) -> str:
    """Say where an input's value comes from: the ledger's rows, or its source, note and place."""
    if _by_ledger(view, each.path):
        return stands_on(view, each.path.rpartition(".")[0], "")
    quantity, place = each.quantity, view.case.places.get(each.path)
    if place is None:
        return LEFT_OUT
    told = [
        quantity.source or "no source given",
        quantity.note,
        "" if quantity.certain or quantity.shape == "pert" else f"{quantity.shape} range",
        f"{place.file}, line {place.line}",
    ]
    return "; ".join(part for part in told if part)


def _row(view: View, each: Input) -> dict[str, str]:
    unit = view.formats.unit(each.unit)
    shown_unit = f", {unit}" if unit not in ("share", view.formats.currency) else ""
    return {
        "label": f"{input_name(each)}{shown_unit}",
        "value": view.formats.quantity(each.quantity, each.unit),
        "source": source_of(view, each),
    }


def input_name(each: Input) -> str:
    """Name an input with the entry it belongs to: "Display: cost"."""
    _, _, name = each.section.partition(": ")
    return f"{name}: {each.label.lower()}" if name else each.label


def swing_rows(view: View, tag: OptionTag) -> list[list[Any]]:
    """Word the widest swings: which range, alone, moves the option most against the baseline."""
    inputs, formats, rows = view.inputs, view.formats, []
    for swing in view.option(tag.id).swings[:MOST_SWINGS]:
        each = inputs[swing.input]
        span = f"{formats.measure(each.quantity.low, each.unit)} to "
        span += formats.measure(each.quantity.high, each.unit)
        name = {"value": input_name(each), "note": f"{span}{_whose(view, tag, each.path)}"}
        rows.append([name, formats.change(swing.low), formats.change(swing.high)])
    return rows


def _whose(view: View, tag: OptionTag, path: str) -> str:
    """Say whose a range is: the option's own, the baseline's, or, unsaid, everybody's."""
    if path.startswith(option_prefix(tag.id)):
        return "; of this option"
    return f"; of “{view.baseline.title}”" if path.startswith("options.") else ""
