"""The airplane's pictures as Vega-Lite specifications; the theme gives the colours.

Names stand above their bars, since a phone has no room beside them.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from panelworth.publishing.charts import (
    LEFT,
    WIDTH,
    Layered,
    finished,
    inline,
    level,
    scales,
    upright,
)
from panelworth.publishing.language import say
from panelworth.publishing.view import OptionTag

Rows = Sequence[Mapping[str, Any]]
BAR, ROW, EDGES = 12, 38, 60


def height_of(count: int) -> int:
    """Return how high a picture of so many named bars is."""
    return EDGES + ROW * count


def grouped(
    tags: Sequence[OptionTag], data: Rows, axis: str, *, limit: tuple[float, str] | None = None
) -> dict[str, Any]:
    """Draw bars in groups, one an option in each; fields group, option, y, told."""
    colour, _, _ = scales(tags)
    groups = list(dict.fromkeys(each["group"] for each in data))
    told = [alt.Tooltip("option:N", title=say("Option")), alt.Tooltip("told:N", title=say("Here"))]
    across = alt.Axis(labelAngle=0, labelExpr="split(datum.label, ' ')")
    bars = (
        alt.Chart(inline(data))
        .mark_bar()
        .encode(
            x=alt.X("group:N", title=None, sort=groups, axis=across),
            xOffset=alt.XOffset("option:N", sort=[tag.title for tag in tags]),
            y=alt.Y("y:Q", title=axis, axis=alt.Axis(tickCount=6, tickMinStep=1)),
            color=colour,
            tooltip=told,
        )
    )
    return finished(alt.layer(bars, level(*limit)) if limit else bars)


def strips(tags: Sequence[OptionTag], data: Rows) -> dict[str, Any]:
    """Draw a strip of weeks an option, darker where more is lost; refused weeks stay empty.

    Fields option, first, next (ISO dates), dark (0..1, None refused), own, best, told.
    """
    colour, _, _ = scales(tags)
    told = [
        alt.Tooltip("option:N", title=say("Option")),
        alt.Tooltip("told:N", title=say("Start")),
    ]
    base = alt.Chart(inline(data)).encode(y=_named_rows(data, "option"))
    weeks = base.mark_bar(height=BAR + 4, yOffset=8).encode(
        x=_days("first", data, "next"),
        x2=alt.X2("next:T", timeUnit="utcyearmonthdate"),
        color=colour,
        opacity=alt.Opacity("dark:Q", scale=alt.Scale(domain=[0, 1], range=[0.15, 1]), legend=None),
        tooltip=told,
    )
    spots = base.encode(x=_days("first", data, "next"), tooltip=told)
    own = spots.mark_point(shape="triangle-up", filled=True, size=90, opacity=1, yOffset=23)
    best = spots.mark_point(shape="circle", filled=True, size=80, opacity=1, yOffset=23)
    layers = [
        weeks.transform_filter("datum.dark !== null"),
        own.encode(color=colour).transform_filter("datum.own"),
        best.encode(color=colour).transform_filter("datum.best"),
        _names(data, "option", dy=-10),
    ]
    return finished(alt.layer(*layers), strips_height(len(tags)))


def strips_height(count: int) -> int:
    """Return how high a picture of so many strips is."""
    return EDGES + 52 * count


def timeline(tags: Sequence[OptionTag], data: Rows) -> dict[str, Any]:
    """Draw stretches of days, a named row each; fields name, first, next, option, faint, told."""
    colour, _, _ = scales(tags)
    base = alt.Chart(inline(data)).encode(
        y=_named_rows(data, "name"),
        tooltip=[
            alt.Tooltip("name:N", title=say("What")),
            alt.Tooltip("told:N", title=say("When")),
        ],
    )
    bar = base.mark_bar(height=BAR, yOffset=6).encode(
        x=_days("first", data, "next"),
        x2=alt.X2("next:T", timeUnit="utcyearmonthdate"),
        opacity=alt.condition("datum.faint", alt.value(0.35), alt.value(1.0)),
    )
    layers = [
        bar.encode(color=colour).transform_filter("datum.option"),
        bar.transform_filter("!datum.option"),
        _names(data, "name", dy=-8),
    ]
    count = len({each["name"] for each in data})
    return finished(alt.layer(*layers), height_of(count))


def shares(tags: Sequence[OptionTag], data: Rows, axis: str) -> dict[str, Any]:
    """Draw a level bar an option from 0 to 100 %; fields option, x, told."""
    colour, _, _ = scales(tags)
    told = [alt.Tooltip("option:N", title=say("Option")), alt.Tooltip("told:N", title=say("Here"))]
    base = alt.Chart(inline(data)).encode(y=_named_rows(data, "option"))
    scale = alt.Scale(domain=[0, 100])
    across = alt.X("x:Q", title=axis, scale=scale, axis=alt.Axis(grid=False, tickCount=6))
    bar = base.mark_bar(height=BAR, yOffset=6).encode(x=across, color=colour, tooltip=told)
    layers = alt.layer(bar, _text(base, "option", dy=-8))
    return finished(layers, height_of(len(data)))


def ranges(tags: Sequence[OptionTag], data: Rows, axis: str) -> dict[str, Any]:
    """Draw each range as a bar with a mark at its likely value.

    Fields name, option, low, likely, high, told.
    """
    colour, _, _ = scales(tags)
    told = [alt.Tooltip("name:N", title=say("Job")), alt.Tooltip("told:N", title=say("Saving"))]
    base = alt.Chart(inline(data)).encode(y=_named_rows(data, "name"))
    across = alt.X("low:Q", title=axis, axis=alt.Axis(grid=False, tickCount=6, format="~s"))
    bar = base.mark_bar(height=BAR, yOffset=6, opacity=0.45).encode(
        x=across, x2=alt.X2("high:Q"), color=colour, tooltip=told
    )
    tick = base.mark_point(shape="diamond", filled=True, size=90, opacity=1, yOffset=6)
    layers = [upright(0.0, ""), bar, tick.encode(x=alt.X("likely:Q"), color=colour, tooltip=told)]
    return finished(alt.layer(*layers, _text(base, "name", dy=-8)), height_of(len(data)))


def envelope(
    tags: Sequence[OptionTag], edges: Rows, paths: Rows, *, axes: tuple[str, str]
) -> dict[str, Any]:
    """Draw an envelope and each loading from full at its number to empty at its ring.

    `edges`: x, y, x2, y2; `paths`: option, name, number, step, x, y, first, last, told.
    """
    colour, _, _ = scales(tags)
    across = alt.X("x:Q", title=axes[0], scale=alt.Scale(zero=False), axis=alt.Axis(tickCount=6))
    up = alt.Y("y:Q", title=axes[1], scale=alt.Scale(zero=False), axis=alt.Axis(tickCount=6))
    outline = (
        alt.Chart(inline(edges))
        .mark_rule(strokeWidth=2)
        .encode(x=across, y=up, x2=alt.X2("x2:Q"), y2=alt.Y2("y2:Q"))
    )
    told = [alt.Tooltip("name:N", title=say("Loading")), alt.Tooltip("told:N", title=say("Here"))]
    base = alt.Chart(inline(paths)).encode(x=across, y=up)
    line = base.mark_line(strokeWidth=2).encode(
        color=colour, detail=alt.Detail("name:N"), order=alt.Order("step:Q")
    )
    points = base.encode(color=colour, tooltip=told)
    full = points.mark_point(filled=True, size=70, opacity=1).transform_filter("datum.first")
    none = points.mark_point(filled=False, size=60, opacity=1).transform_filter("datum.last")
    number = (
        base.mark_text(dx=11, dy=-5)
        .encode(text=alt.Text("number:N"))
        .transform_filter("datum.first")
    )
    return finished(alt.layer(outline, line, full, none, number))


def _named_rows(data: Rows, field: str) -> alt.Y:
    names = list(dict.fromkeys(each[field] for each in data))
    return alt.Y(f"{field}:N", sort=names, axis=None, scale=alt.Scale(paddingOuter=0.25))


def _days(field: str, data: Rows, end: str) -> alt.X:
    """Place days as dates without a zone, so that no reader's clock moves them."""
    span = [min(each[field] for each in data), max(each[end] for each in data)]
    return alt.X(
        f"{field}:T",
        timeUnit="utcyearmonthdate",
        title=None,
        scale=alt.Scale(domain=[_noted(day) for day in span]),
        axis=alt.Axis(grid=False, tickCount=5, format="%b %Y", labelOverlap=True),
    )


def _noted(iso: str) -> alt.DateTime:
    year, month, day = (int(part) for part in iso.split("-"))
    return alt.DateTime(year=year, month=month, date=day, utc=True)


def _names(data: Rows, field: str, *, dy: int) -> Layered | alt.Chart:
    """Write each row's name once, at the left."""
    once = list({each[field]: {field: each[field]} for each in data}.values())
    base = alt.Chart(inline(once)).encode(y=_named_rows(data, field))
    return _text(base, field, dy=dy)


def _text(base: alt.Chart, field: str, *, dy: int) -> alt.Chart:
    text = base.mark_text(align="left", dy=dy, limit=WIDTH)
    named: alt.Chart = text.encode(x=LEFT, text=alt.Text(f"{field}:N"))
    return named
