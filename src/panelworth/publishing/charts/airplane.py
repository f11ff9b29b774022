"""The weight and balance chart as a Vega-Lite specification, without the theme's colours."""

from collections.abc import Mapping, Sequence
from typing import Any

import altair as alt

from panelworth.publishing.charts.axes import finished, inline, scales
from panelworth.publishing.view import OptionTag

Data = Sequence[Mapping[str, Any]]


def envelope(
    tags: Sequence[OptionTag], edges: Data, paths: Data, *, axes: tuple[str, str]
) -> dict[str, Any]:
    """Return the chart of an envelope and of each loading as the fuel is used.

    A loading begins with full tanks at a filled mark with its number, and ends with empty tanks at
    a ring. Rows of `edges`: x, y, x2, y2; of `paths`: option, name, number, step, x, y, first,
    last.
    """
    colour, _, _ = scales(tags)
    plain = alt.Axis(tickCount=5, grid=False)
    across = alt.X("x:Q", title=axes[0], scale=alt.Scale(zero=False), axis=plain)
    up = alt.Y("y:Q", title=axes[1], scale=alt.Scale(zero=False), axis=plain)
    outline = (
        alt.Chart(inline(edges))
        .mark_rule(strokeWidth=2)
        .encode(x=across, y=up, x2=alt.X2("x2:Q"), y2=alt.Y2("y2:Q"))
    )
    base = alt.Chart(inline(paths)).encode(x=across, y=up)
    line = base.mark_line(strokeWidth=2).encode(
        color=colour, detail=alt.Detail("name:N"), order=alt.Order("step:Q")
    )
    points = base.encode(color=colour)
    full = points.mark_point(filled=True, size=70, opacity=1).transform_filter("datum.first")
    empty = points.mark_point(filled=False, size=60, opacity=1).transform_filter("datum.last")
    number = (
        base.mark_text(dx=11, dy=-5)
        .encode(text=alt.Text("number:N"))
        .transform_filter("datum.first")
    )
    return finished(alt.layer(outline, line, full, empty, number))
