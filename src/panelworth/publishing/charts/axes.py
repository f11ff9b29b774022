"""Charts with axes as Vega-Lite specifications: one look, and each option has a colour and a mark.

A page contains its charts as SVG in its own colours and fonts, so that they follow the light and
the dark colour scheme and need no script. Channels are given as altair's classes (`alt.X("x:Q")`),
not as plain strings, because altair is slow to find the class of a string.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import altair as alt
from altair.utils.schemapi import debug_mode
from babel import Locale
from markupsafe import Markup

from panelworth.publishing.fonts import FAMILY
from panelworth.publishing.formats import number_marks
from panelworth.publishing.language import ENGLISH, current_language
from panelworth.publishing.view import OptionTag

SANS = f"{FAMILY}, Arial, Helvetica, sans-serif"
WIDTH, HEIGHT = 328, 240  # the width of a phone's page; up to 1.4 times as large elsewhere
LETTERS = 12  # font size in pixels
ENGLISH_MARKS = {"group": ",", "decimal": "."}
COLOUR = re.compile(r"#[0-9a-f]{6}")
ROOT = re.compile(r"<svg\b[^>]*>")
SIZE = re.compile(r' (?:width|height|font-family|xmlns(?::xlink)?)="[^"]*"')
CLIP = re.compile(r"\bclip\d+\b")
MARKS = (
    "circle", "square", "triangle-up", "diamond",
    "triangle-down", "cross", "triangle-right", "triangle-left",
)  # fmt: skip
DASHES = ([1, 0], [7, 3], [2, 2], [9, 3, 2, 3], [5, 5], [1, 3], [12, 3], [4, 1])
# The light colours of the stylesheet, by their names there; a test compares the two.
COLOURS = {
    "ink": "#1f241e", "soft": "#565e54", "rule": "#d5d9cc", "line": "#7b8578", "accent": "#7a2342",
    "option-1": "#1f241e", "option-2": "#a85c00", "option-3": "#12796b", "option-4": "#6a3aa8",
    "option-5": "#430561", "option-6": "#753007", "option-7": "#7c6ebe", "option-8": "#084c53",
}  # fmt: skip
# Two names have the same colour; the first one counts, therefore from the end to the start.
NAMES = {colour: name for name, colour in reversed(COLOURS.items())}

Layered = alt.LayerChart | alt.FacetChart  # the declared type of the result of alt.layer


@dataclass(frozen=True, kw_only=True)
class Chart:
    """A chart before it is rendered: its texts and its specification."""

    id: str
    title: str
    summary: str
    spec: Mapping[str, Any]
    options: Sequence[OptionTag] = ()
    height: int = HEIGHT

    @property
    def svg(self) -> str:
        """The file of its picture in light colours."""
        return f"charts/{self.id}.svg"


def script_json(value: object) -> Markup:
    """Return JSON for a script tag; "<" is escaped, so that no text can close the tag."""
    text = json.dumps(value, separators=(",", ":"), sort_keys=True, ensure_ascii=False)
    return Markup(text.replace("<", "\\u003c"))  # noqa: S704 (escaped above)


def option_colour(number: int) -> str:
    """Return the light colour of an option by its number, from 1."""
    return COLOURS[f"option-{number}"]


def theme() -> dict[str, Any]:
    """Return the Vega configuration of every chart, in light colours."""
    words = {"labelColor": COLOURS["soft"], "titleColor": COLOURS["soft"]}
    sizes = {"labelFontSize": LETTERS, "titleFontSize": LETTERS}
    lines = dict.fromkeys(("domainColor", "tickColor"), COLOURS["line"])
    axis = {"gridColor": COLOURS["rule"], "titleFontWeight": "normal", "labelLimit": 140}
    symbols = dict.fromkeys(("symbolBaseFillColor", "symbolBaseStrokeColor"), COLOURS["ink"])
    return {
        "background": None,
        "font": SANS,
        "view": {"stroke": None},
        "axis": {**words, **sizes, **lines, **axis, "labelFont": SANS, "titleFont": SANS},
        "legend": {**words, **sizes, "symbolSize": 90, "labelLimit": 300, **symbols},
        "text": {"color": COLOURS["ink"], "fontSize": LETTERS},
        "bar": {"color": COLOURS["line"]},
        **{mark: {"color": COLOURS["line"]} for mark in ("rule", "rect")},
        "range": {
            "category": [option_colour(number) for number in range(1, len(MARKS) + 1)],
            "symbol": list(MARKS),
        },
        **_locale_config(),
    }


def _locale_config() -> dict[str, Any]:
    """Return the number marks and the names of months, where they are not the English default."""
    config, marks, locale = {}, number_marks(), Locale.parse(current_language().locale)
    if marks != ENGLISH_MARKS:
        number = {"decimal": marks["decimal"], "thousands": marks["group"], "grouping": [3]}
        config["number"] = {**number, "currency": ["", ""]}
    if locale.language != ENGLISH:
        config["time"] = _calendar(locale)
    return {"locale": config} if config else {}


def _calendar(locale: Locale) -> dict[str, Any]:
    """Return the names of months and days in the form of d3-time-format, Sunday first."""
    months, days = locale.months["format"], locale.days["format"]
    year, sunday_first = range(1, 13), [6, *range(6)]
    return {
        "dateTime": "%x %X",
        "date": "%Y-%m-%d",
        "time": "%H:%M:%S",
        "periods": ["AM", "PM"],
        "days": [days["wide"][day] for day in sunday_first],
        "shortDays": [days["abbreviated"][day] for day in sunday_first],
        "months": [months["wide"][month] for month in year],
        "shortMonths": [months["abbreviated"][month] for month in year],
    }


def full_specification(chart: Chart) -> str:
    """Return the complete specification of a chart as JSON.

    It asks for no ARIA attributes: they are half of the bytes, and the page describes the picture
    in words.
    """
    specification = {**chart.spec, "width": WIDTH, "config": {**theme(), "aria": False}}
    return json.dumps(specification, separators=(",", ":"), ensure_ascii=False)


def for_page(chart_id: str, svg: str) -> Markup:
    """Return a picture as part of a page: in the page's colours and fonts, at any width.

    The ids of clip paths begin with the chart's id, since a page may have several charts. Screen
    readers skip the picture, because the page describes it in words.
    """
    root = ROOT.search(svg)
    start = SIZE.sub("", root[0]) if root else ""
    body = CLIP.sub(lambda match: f"{chart_id}-{match[0]}", svg[root.end() if root else 0 :])
    coloured = COLOUR.sub(lambda match: _css_colour(match[0]), body)
    return Markup(f'{start[:-1]} class="drawn" aria-hidden="true">{coloured}')  # noqa: S704 (ours)


def _css_colour(colour: str) -> str:
    return f"var(--{NAMES[colour]})" if colour in NAMES else colour


@contextmanager
def without_validation() -> Iterator[None]:
    """Make specifications without altair's validation, which is slow; a test validates them."""
    with debug_mode(arg=False):
        yield


def scales(tags: Sequence[OptionTag]) -> tuple[alt.Color, alt.Shape, alt.StrokeDash]:
    """Return each option's colour, mark and dash; without a legend, since the page has a key."""
    names = [tag.title for tag in tags]
    numbers = [(tag.number - 1) % len(MARKS) for tag in tags]
    shapes, dashes = [MARKS[number] for number in numbers], [DASHES[number] for number in numbers]
    colour = alt.Color("option:N", scale=alt.Scale(domain=names), legend=None)
    shape = alt.Shape("option:N", scale=alt.Scale(domain=names, range=shapes), legend=None)
    dash = alt.StrokeDash("option:N", scale=alt.Scale(domain=names, range=dashes), legend=None)
    return colour, shape, dash


def inline(rows: Sequence[Mapping[str, Any]]) -> alt.InlineData:
    """Return a chart's rows as data; as a tuple, because the library copies lists many times."""
    return alt.InlineData(values=tuple(rows))


def vertical_line(value: float, words: str) -> Layered:
    """Draw a vertical line with its words at the bottom."""
    data = inline([{"at": round(value, 2), "words": words}])
    rule = alt.Chart(data).mark_rule(strokeDash=[4, 4]).encode(x=alt.X("at:Q"))
    text = (
        alt.Chart(data)
        .mark_text(align="left", dx=5, dy=-6, y="height")
        .encode(x=alt.X("at:Q"), text=alt.Text("words:N"))
    )
    return alt.layer(rule, text)


def finished(chart: alt.Chart | Layered, height: int = HEIGHT) -> dict[str, Any]:
    """Return the specification: as wide as its place on the page, and `height` high."""
    spec: dict[str, Any] = chart.to_dict(validate=False)  # a test validates the demos' charts
    fit = {"type": "fit", "contains": "padding"}
    spec |= {"width": "container", "height": height, "autosize": fit}
    for inherited in ("config", "$schema"):
        spec.pop(inherited, None)
    return spec
