"""Where each input came from: its words, value with range, source, and place in the files."""

from panelworth.engine.results.figures import Root
from panelworth.model.case import Input, option_prefix
from panelworth.model.ledger_targets import PRICE_KEYS
from panelworth.publishing.language import N_, _, carried_on
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.ledger_words import stands_on

PLAIN = ("share", "money")  # units that the value itself shows
SHAPES = {"triangular": N_("triangular range"), "uniform": N_("uniform range")}


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
    thing, _, key = path.rpartition(".")
    standing = view.case.standings.get(thing)
    return standing is not None and bool(standing.papers) and key in PRICE_KEYS.values()


def source_of(view: View, each: Input) -> str:
    """Say where an input's value comes from: the ledger's rows, or its source, note and place."""
    if _by_ledger(view, each.path):
        return stands_on(view, each.path.rpartition(".")[0], "")
    quantity, place = each.quantity, view.case.places.get(each.path)
    if place is None:
        return _("left out: counts as 0")
    told = [
        quantity.source or _("no source given"),
        quantity.note,
        "" if quantity.certain else _(SHAPES.get(quantity.shape, "")),
        _("{file}, line {line}", file=place.file, line=place.line),
    ]
    return "; ".join(part for part in told if part)


def _row(view: View, each: Input) -> dict[str, str]:
    shown_unit = "" if each.unit in PLAIN else f", {view.formats.unit(each.unit)}"
    return {
        "label": f"{input_name(each)}{shown_unit}",
        "value": view.formats.quantity(each.quantity, each.unit),
        "source": source_of(view, each),
    }


def owner(view: View, path: str) -> OptionTag | None:
    """Return the option that an input belongs to, None where it is all options'."""
    found = (tag for tag in view.tags.values() if path.startswith(option_prefix(tag.id)))
    return next(found, None)


def roots_within(view: View, tag: OptionTag, path: str) -> list[Root]:
    """Return the values within an input's range at which an option and the baseline are even."""
    points = (each for each in view.insight.even_points.get(tag.id, ()) if each.input == path)
    found, quantity = next(points, None), view.inputs[path].quantity
    roots = found.roots if found else ()
    return [root for root in roots if quantity.low <= root.value <= quantity.high]


def input_name(each: Input) -> str:
    """Name an input with the entry it belongs to: "Display: cost"."""
    name = each.section.partition(": ")[2]
    label = _(each.label)
    return f"{name}: {carried_on(label)}" if name else label
