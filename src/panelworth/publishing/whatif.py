"""The box of inputs a reader may move, with the engine's figures at its corners."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from panelworth.engine.results import Axis
from panelworth.publishing import level_words
from panelworth.publishing.charts import script_json
from panelworth.publishing.formats import NONE, Formats, fixed, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import flags
from panelworth.publishing.view import OptionTag, View


@dataclass(frozen=True, kw_only=True)
class Words:
    """How a slider is named and its value told: text before, decimals, text after."""

    label: str
    note: str
    after: str
    scale: float = 1.0
    offset: bool = True
    signed: bool = False


SCRIPT = "whatif-data.js"
WORDS = {
    "overrun": Words(
        label=noted("Price of every project"),
        note=noted("against the likely prices"),
        after=" %",
        scale=100.0,
        offset=False,
        signed=True,
    ),
    "hours": Words(label=noted("Hours wanted a year"), note=noted("under every option"), after=""),
    "joined": Words(
        label=noted("Members joining"),
        note=noted("more or fewer than each option counts on"),
        after="",
        signed=True,
        offset=False,
    ),
    "fuel": Words(label=noted("Fuel price"), note=noted("today's, for one unit"), after=""),
    "recovery": Words(
        label=noted("Resale recovery"),
        note=noted("of the equipment's cost"),
        after=" %",
        scale=100.0,
    ),
}


def whatif(view: View) -> dict[str, Any]:
    """Return the sliders, the table they move, and where their script's figures lie."""
    axes = view.insight.whatif.axes
    if not axes:
        return {}
    spread = say("A member a month") if view.club else say("A year")
    against = say("Against “{baseline}”", baseline=view.baseline.title)
    return {
        "sliders": [_slider(view.formats, axis) for axis in axes],
        "columns": [say("Option"), say("Up front"), spread, say("An hour"), against],
        "rows": [_row(view, tag) for tag in view.tags.values()],
        "script": SCRIPT,
    }


def whatif_script(view: View) -> str:
    """Return what the sliders' script reads, handed over under its name."""
    return f"window.whatifData = {script_json(_data(view))};\n"


def _slider(formats: Formats, axis: Axis) -> dict[str, Any]:
    """Describe a slider: its ends, step and likely value as the page shows them."""
    words = WORDS[axis.key]
    low, here, high = (_shown(axis, shift) for shift in (axis.points[0], 0.0, axis.points[-1]))
    told = _told(formats, axis, here)
    return {
        "key": axis.key,
        "label": say(words.label),
        "note": say("{note}; likely {value}", note=say(words.note), value=told),
        "min": f"{low:.12g}",
        "max": f"{high:.12g}",
        "value": f"{here:.12g}",
        "step": f"{axis.step * words.scale:.12g}",
        "told": told,
    }


def _offset(axis: Axis) -> float:
    return axis.likely if WORDS[axis.key].offset else 0.0


def _shown(axis: Axis, shift: float) -> float:
    return round((shift + _offset(axis)) * WORDS[axis.key].scale, 6)


def _told(formats: Formats, axis: Axis, value: float) -> str:
    words, digits = WORDS[axis.key], _digits(axis)
    sign = "+" if words.signed and value > 0 else ""
    before, after = _around(formats, axis)
    return f"{sign}{before}{fixed(value, digits)}{after}"


def _digits(axis: Axis) -> int:
    return 2 if axis.key == "fuel" else 0


def _around(formats: Formats, axis: Axis) -> tuple[str, str]:
    """Return what stands before and after a slider's number."""
    after = WORDS[axis.key].after
    if axis.key != "fuel":
        return "", after
    return formats.writing["before"], formats.writing["after"] + after


def _row(view: View, tag: OptionTag) -> dict[str, Any]:
    """Return an option's likely figures, each cell named for the script."""
    likely, formats = view.option(tag.id).likely, view.formats
    baseline = tag.id == view.figures.baseline
    spread = likely.cost_per_member_month if view.club else likely.equivalent_annual_cost
    texts = {
        "upfront": formats.money(likely.upfront),
        "spread": formats.money(spread),
        "hour": formats.cents(likely.cost_per_hour),
        "gap": NONE if baseline else formats.change(likely.net_benefit),
    }
    return {"option": tag, "note": flags(view, tag), "cells": list(texts.items())}


def _data(view: View) -> dict[str, Any]:
    """Return what the script reads: axes, the figures at every grid point, how to write them."""
    axes = [
        {
            "key": axis.key,
            "label": say(WORDS[axis.key].label),
            "points": list(axis.points),
            "scale": WORDS[axis.key].scale,
            "offset": _offset(axis),
            "digits": _digits(axis),
            "around": _around(view.formats, axis),
            "signed": WORDS[axis.key].signed,
        }
        for axis in view.insight.whatif.axes
    ]
    return {
        "axes": axes,
        "options": {
            option_id: {key: _said_once(row) for key, row in figures.items()}
            for option_id, figures in view.insight.whatif.figures.items()
        },
        "baseline": view.figures.baseline,
        "titles": {tag.id: _named(view, tag) for tag in view.tags.values()},
        "alike": {"close": level_words.CLOSE, "near": level_words.NEAR},
        "writing": view.formats.writing,
        "club": view.club is not None,
        "years": view.figures.years,
        "rate": view.case.scenario.rates.discount.likely,
        "texts": {
            "best": say("Here {option} likely brings most, in today’s money."),
            "with": say("With {moved}: {option} likely brings most, in today’s money."),
            "bestAlike": say("Here {option} and {other} likely bring as much, in today’s money."),
            "withAlike": say(
                "With {moved}: {option} and {other} likely bring as much, in today’s money."
            ),
            "moved": say("{label} {value}"),
        },
    }


def _named(view: View, tag: OptionTag) -> str:
    """Name an option in the status, with what its start meets where the plan is refused."""
    if not level_words.refused(view, tag):
        return quoted(tag.title)
    return say("{option} (start refused as planned)", option=quoted(tag.title))


def _said_once(row: Sequence[float]) -> dict[str, list[Any]]:
    """Return a row's different values, and where in them each of its values stands.

    >>> _said_once([2.5, 7.0, 2.5])
    {'values': [2.5, 7.0], 'at': [0, 1, 0]}
    """
    values = list(dict.fromkeys(row))
    places = {value: place for place, value in enumerate(values)}
    return {"values": values, "at": [places[value] for value in row]}
