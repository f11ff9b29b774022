"""Charts with axes, drawn to SVG while the site is built: one look, options by colour and mark.

A page holds its charts itself, in its own colours and fonts, so that they follow light and dark and
need no script. Channels are given as altair's classes (`alt.X("x:Q")`), not as plain strings: for
each string altair goes through all of its classes.
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
from panelworth.publishing.language import ENGLISH, spoken
from panelworth.publishing.view import OptionTag

SANS = f"{FAMILY}, Arial, Helvetica, sans-serif"
WIDTH, HEIGHT = 328, 240  # as wide as a phone's page; on a wide screen up to 1.4 times as large
LETTERS = 12
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
# The light colours of the stylesheet, by their names there; a test holds the two equal.
COLOURS = {
    "ink": "#1f241e", "soft": "#565e54", "rule": "#d5d9cc", "line": "#7b8578", "accent": "#7a2342",
    "option-1": "#1f241e", "option-2": "#a85c00", "option-3": "#12796b", "option-4": "#6a3aa8",
    "option-5": "#430561", "option-6": "#753007", "option-7": "#7c6ebe", "option-8": "#084c53",
}  # fmt: skip
NAMES = {colour: name for name, colour in reversed(COLOURS.items())}


Layered = alt.LayerChart | alt.FacetChart  # what altair says alt.layer returns


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
        """Where its light picture lies."""
        return f"charts/{self.id}.svg"


def script_json(value: object) -> Markup:
    """Write JSON for a script tag: "<" is escaped, so that no text can close the tag."""
    text = json.dumps(value, separators=(",", ":"), sort_keys=True, ensure_ascii=False)
    return Markup(text.replace("<", "\\u003c"))  # noqa: S704 (escaped above)


def option_colour(number: int) -> str:
    """Return the light colour of an option's number, which counts from 1."""
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
        **_marked(),
    }


def _marked() -> dict[str, Any]:
    """Return the marks of numbers and the names of months; the library's own are English ones."""
    written, marks, locale = {}, number_marks(), Locale.parse(spoken().locale)
    if marks != ENGLISH_MARKS:
        number = {"decimal": marks["decimal"], "thousands": marks["group"], "grouping": [3]}
        written["number"] = {**number, "currency": ["", ""]}
    if locale.language != ENGLISH:
        written["time"] = _calendar(locale)
    return {"locale": written} if written else {}


def _calendar(locale: Locale) -> dict[str, Any]:
    """Return the names of months and days as d3 takes them, Sunday first."""
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


def whole_specification(chart: Chart) -> str:
    """Write all that a chart's picture is drawn from, as JSON.

    It has no ARIA attributes: the page has the picture's words, and they are half of its bytes.
    """
    whole = {**chart.spec, "width": WIDTH, "config": {**theme(), "aria": False}}
    return json.dumps(whole, separators=(",", ":"), ensure_ascii=False)


def within_page(chart_id: str, svg: str) -> Markup:
    """Return a picture as a page holds it: in the page's colours and fonts, as wide as its place.

    Names within it begin with the chart's, since a page may hold several. The page's words say
    what it shows, so it is not read aloud.
    """
    root = ROOT.search(svg)
    start = SIZE.sub("", root[0]) if root else ""
    body = CLIP.sub(lambda match: f"{chart_id}-{match[0]}", svg[root.end() if root else 0 :])
    coloured = COLOUR.sub(lambda match: _named(match[0]), body)
    return Markup(f'{start[:-1]} class="drawn" aria-hidden="true">{coloured}')  # noqa: S704 (ours)


def _named(colour: str) -> str:
    return f"var(--{NAMES[colour]})" if colour in NAMES else colour


@contextmanager
def unchecked() -> Iterator[None]:
    """Make specifications without checking each part, which is slow; a test checks them whole."""
    with debug_mode(arg=False):
        yield


def scales(tags: Sequence[OptionTag]) -> tuple[alt.Color, alt.Shape, alt.StrokeDash]:
    """Give each option its colour, mark and dash; the page's own key stands in for a legend."""
    names = [tag.title for tag in tags]
    numbers = [(tag.number - 1) % len(MARKS) for tag in tags]
    shapes, dashes = [MARKS[number] for number in numbers], [DASHES[number] for number in numbers]
    colour = alt.Color("option:N", scale=alt.Scale(domain=names), legend=None)
    shape = alt.Shape("option:N", scale=alt.Scale(domain=names, range=shapes), legend=None)
    dash = alt.StrokeDash("option:N", scale=alt.Scale(domain=names, range=dashes), legend=None)
    return colour, shape, dash


def inline(rows: Sequence[Mapping[str, Any]]) -> alt.InlineData:
    """Hold a chart's rows; as a tuple, since lists are copied again and again by the library."""
    return alt.InlineData(values=tuple(rows))


def upright(value: float, words: str) -> Layered:
    """Draw an upright line with its words at the foot."""
    data = inline([{"at": round(value, 2), "words": words}])
    rule = alt.Chart(data).mark_rule(strokeDash=[4, 4]).encode(x=alt.X("at:Q"))
    text = (
        alt.Chart(data)
        .mark_text(align="left", dx=5, dy=-6, y="height")
        .encode(x=alt.X("at:Q"), text=alt.Text("words:N"))
    )
    return alt.layer(rule, text)


def finished(chart: alt.Chart | Layered, height: int = HEIGHT) -> dict[str, Any]:
    """Return the specification, as wide as its place and exactly as high as it says."""
    spec: dict[str, Any] = chart.to_dict(validate=False)  # a test holds the demos to the schema
    fit = {"type": "fit", "contains": "padding"}
    spec |= {"width": "container", "height": height, "autosize": fit}
    for inherited in ("config", "$schema"):
        spec.pop(inherited, None)
    return spec
