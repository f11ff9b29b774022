"""Cost of a flying hour by the hours flown a year: one line for each option, named at its end."""

from collections.abc import Mapping, Sequence

import altair as alt

from panelworth.engine.results.figures import (
    HoursCurve,
)
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.formats import plotted
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.costs_words import dearer_or_cheaper

ID, HEIGHT = "hours-cost", 300
NAMES = 0.34  # share of the axis of hours: room for the names at the ends of the lines
# Share of the likely hours. Below it the cost of an hour grows without limit (fixed costs over few
# hours), and the scale would leave no room for the rest.
LEAST = 0.5
APART = 0.09  # share of the range of costs: the least distance from name to name


def hours_chart(view: View) -> Chart:
    """Draw the curves, with a mark on each at the likely hours."""
    tags, likely = list(view.tags.values()), view.case.scenario.aircraft.hours_per_year.likely
    curves = {tag: _curve(view.figures.by_hours, tag.id, likely) for tag in tags}
    data = []
    for tag, costs in curves.items():
        points = zip(view.figures.by_hours.hours, plotted(costs), strict=True)
        data += [_point(tag, hours, cost) for hours, cost in points if cost is not None]
    return Chart(
        id=ID,
        title=dearer_or_cheaper(view.formats, list(curves.values())),
        summary="",
        spec=_spec(view, tags, data, likely),
        height=HEIGHT,
    )


def _curve(by_hours: HoursCurve, option_id: str, likely: float) -> list[float | None]:
    """Return an option's cost an hour at the curve's hours; None below the least hours."""
    costs = zip(by_hours.cost_per_hour[option_id], by_hours.hours, strict=True)
    return [cost if hours >= LEAST * likely else None for cost, hours in costs]


def _point(tag: OptionTag, at: float, cost: float) -> dict[str, object]:
    return {"option": tag.title, "x": round(at, 2), "y": cost}


def _spec(
    view: View, tags: Sequence[OptionTag], data: Sequence[Mapping[str, object]], likely: float
) -> dict[str, object]:
    colour, shape, dash = charts.scales(tags)
    last = view.figures.by_hours.hours[-1]
    steps = alt.Axis(grid=False, tickCount=5, values=_tick_hours(last))
    room = alt.Scale(domain=[0, round(last * (1 + NAMES), 2)], nice=False)
    across = alt.X("x:Q", title=_("Hours a year"), axis=steps, scale=room)
    cost = _("An hour, {symbol}", symbol=view.formats.symbol)
    up = alt.Y(
        "y:Q", title=cost, axis=alt.Axis(format=",.0f", tickCount=5), scale=alt.Scale(zero=False)
    )
    base = alt.Chart().encode(x=across, y=up)
    line = base.mark_line(strokeWidth=2).encode(color=colour, strokeDash=dash)
    ends = alt.Chart(charts.inline(_names(tags, data))).encode(x=across, y=up)
    point = ends.mark_point(filled=True, size=70, opacity=1).encode(color=colour, shape=shape)
    name = ends.mark_text(align="left", dx=9).encode(y=alt.Y("place:Q"), text=alt.Text("name:N"))
    now = charts.vertical_line(likely, _("likely"))
    return charts.finished(alt.layer(now, line, point, name, data=charts.inline(data)), HEIGHT)


def _tick_hours(last: float) -> list[float]:
    """Return up to five labelled hours from 0 to the last; they do not go on below the names."""
    step = last / 4
    size = 10.0 if step >= 10 else 1.0  # noqa: PLR2004 (whole tens where there are some)
    return [
        size * round(step * n / size) for n in range(5) if size * round(step * n / size) <= last
    ]


def _names(
    tags: Sequence[OptionTag], data: Sequence[Mapping[str, object]]
) -> list[dict[str, object]]:
    """Return the end of each line and the place of its name; names do not overlap.

    From the lowest line upwards: each name is at least the gap above the name before.
    """
    last = {end["option"]: end for end in data}
    ends = sorted(
        ({**last[tag.title], "name": tag.short} for tag in tags if tag.title in last),
        key=lambda end: float(str(end["y"])),
    )
    costs = [float(str(end["y"])) for end in data]
    gap, place = APART * (max(costs) - min(costs)) if costs else 0.0, float("-inf")
    for end in ends:
        place = max(float(str(end["y"])), place + gap)
        end["place"] = round(place, 2)
    return ends
