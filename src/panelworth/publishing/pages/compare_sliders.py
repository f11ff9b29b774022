"""Sliders for some inputs, with the engine's figures at the points of a grid."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from panelworth.engine.results.what_if import Axis
from panelworth.publishing.charts.axes import script_json
from panelworth.publishing.charts.tracks import Track, track_of
from panelworth.publishing.formats import Formats, fixed, percent_sign
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import compare_words
from panelworth.publishing.words.outcome_words import moving_step
from panelworth.publishing.words.rounding import to_step
from panelworth.publishing.words.script_texts import forms


@dataclass(frozen=True, kw_only=True)
class SliderWords:
    """The texts of a slider; a share is written in percent."""

    label: str
    percents: bool = False
    offset: bool = True
    signed: bool = False


SCRIPT = "whatif-data.js"
WORDS = {
    "overrun": SliderWords(
        label=N_("Price of every project"), percents=True, offset=False, signed=True
    ),
    "hours": SliderWords(label=N_("Hours wanted a year")),
    "joined": SliderWords(label=N_("Members beyond those counted on"), signed=True, offset=False),
    "fuel": SliderWords(label=N_("Fuel price")),
    "recovery": SliderWords(label=N_("Resale of new equipment"), percents=True),
}


def whatif(view: View) -> dict[str, Any]:
    """Return the sliders, the rows that they change, and the file of their data."""
    axes = view.insight.whatif.axes
    if not axes or not view.others:
        return {}
    track = track_of(view)
    return {
        "sliders": [_slider(view.formats, axis) for axis in axes],
        "track": track,
        "rows": [_row(view, tag, track) for tag in view.others],
        "status": compare_words.standing(view),
        "script": SCRIPT,
    }


def _row(view: View, tag: OptionTag, track: Track) -> dict[str, Any]:
    """Return an option's mark and sum as planned, with what prevents that plan."""
    gain = view.option(tag.id).likely.net_benefit
    return {
        "option": tag,
        "x": track.x(gain),
        "sum": view.formats.change(to_step(gain, moving_step(view))),
        "warn": _("planned start refused") if view.leading(tag).refused else "",
    }


def whatif_script(view: View) -> str:
    """Return the script that stores the data of the sliders in a global variable."""
    return f"window.whatifData = {script_json(_data(view))};\n"


def _slider(formats: Formats, axis: Axis) -> dict[str, Any]:
    """Describe a slider: its ends, step and likely value as the page shows them."""
    words = WORDS[axis.key]
    low, here, high = (_shown(axis, shift) for shift in (axis.points[0], 0.0, axis.points[-1]))
    text = _written(formats, axis, here)
    return {
        "key": axis.key,
        "label": _(words.label),
        "min": f"{low:.12g}",
        "max": f"{high:.12g}",
        "value": f"{here:.12g}",
        "step": f"{_scaled(axis, axis.step):.12g}",
        "value_text": text,
    }


def _offset(axis: Axis) -> float:
    return axis.likely if WORDS[axis.key].offset else 0.0


def _shown(axis: Axis, shift: float) -> float:
    # Without floating-point residues, which a browser would show in the attributes.
    return round(_scaled(axis, shift + _offset(axis)), 6)


def _scaled(axis: Axis, value: float) -> float:
    """Return a value in the unit of its slider: a share in percent."""
    return value * _scale(axis)


def _scale(axis: Axis) -> float:
    return 100.0 if WORDS[axis.key].percents else 1.0


def _written(formats: Formats, axis: Axis, value: float) -> str:
    words, digits = WORDS[axis.key], _digits(axis)
    sign = "+" if words.signed and value > 0 else ""
    before, after = _around(formats, axis)
    return f"{sign}{before}{fixed(value, digits)}{after}"


def _digits(axis: Axis) -> int:
    return 2 if axis.key == "fuel" else 0


def _around(formats: Formats, axis: Axis) -> tuple[str, str]:
    """Return the texts before and after a slider's number."""
    after = percent_sign() if WORDS[axis.key].percents else ""
    if axis.key != "fuel":
        return "", after
    return formats.writing["before"], f"{formats.writing['after']}{after}"


def _data(view: View) -> dict[str, Any]:
    """Return the data of the script: axes, figures at every grid point, formats."""
    axes = [
        {
            "key": axis.key,
            "label": _(WORDS[axis.key].label),
            "points": list(axis.points),
            "scale": _scale(axis),
            "offset": _offset(axis),
            "digits": _digits(axis),
            "around": _around(view.formats, axis),
            "signed": WORDS[axis.key].signed,
        }
        for axis in view.insight.whatif.axes
    ]
    track, baseline = track_of(view), view.figures.baseline
    grid = view.insight.whatif
    return {
        "axes": axes,
        "gains": {tag.id: _indexed(grid.gains(tag.id, baseline)) for tag in view.others},
        "track": {"low": track.low, "scale": track.scale, "start": track.x(track.low)},
        "step": moving_step(view),
        "order": list(view.tags),
        "baseline": baseline,
        "titles": {tag.id: tag.short for tag in view.tags.values()},
        "writing": view.formats.writing,
        "texts": {
            "most": forms(compare_words.most_form),
            "moved": _("{label} {value}"),
            "planned": _("{value} (planned {planned})"),
        },
    }


def _indexed(row: Sequence[float]) -> dict[str, list[Any]]:
    """Return the distinct values of a row, and for each value its index among them.

    Many grid points have the same value, so that the file becomes smaller.

    >>> _indexed([2.5, 7.0, 2.5])
    {'values': [2.5, 7.0], 'at': [0, 1, 0]}
    """
    values = list(dict.fromkeys(row))
    places = {value: place for place, value in enumerate(values)}
    return {"values": values, "at": [places[value] for value in row]}
