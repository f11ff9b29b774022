"""The forecast at completion over time, against the budget."""

from collections.abc import Iterator, Mapping
from typing import Any

import altair as alt

from panelworth.engine.results.project_status import ProjectReport
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.charts.quotes import day_of_month
from panelworth.publishing.formats import day
from panelworth.publishing.language import _
from panelworth.publishing.view import View

HEIGHT = 200
FEWEST_STEPS = 2
ABOVE, BELOW = -7, 14  # pixels from a line to its words

Datum = Mapping[str, Any]


def forecast_over_time(view: View, project: ProjectReport) -> Chart | None:
    """Return a chart of the likely outlay by each day that moved it, with the budget as a line.

    None where nothing has moved it since the decision: one step is no course over time.
    """
    if len(project.history) < FEWEST_STEPS:
        return None
    money, last, first = view.formats.money, project.history[-1], project.history[0]
    return Chart(
        id="forecast",
        title=_(
            "What it is likely to come to: {first} when it was decided, {last} on {day}",
            first=money(first.outlay),
            last=money(last.outlay),
            day=day(last.day),
        ),
        summary="",
        spec=_spec(view, project),
        height=HEIGHT,
    )


def _spec(view: View, project: ProjectReport) -> dict[str, Any]:
    across = alt.X(
        "x:T",
        title=None,
        scale=alt.Scale(type="utc"),
        axis=alt.Axis(grid=False, format=day_of_month(), tickCount=4, labelOverlap=True),
    )
    up = alt.Y(
        "y:Q", title=None, axis=alt.Axis(format="~s", tickCount=4), scale=alt.Scale(zero=False)
    )
    line = (
        alt.Chart(charts.inline(list(_points(project))))
        .mark_line(strokeWidth=2, interpolate="step-after", color=charts.COLOURS["accent"])
        .encode(x=across, y=up)
    )
    layers = [line, _label(project.history[-1].outlay, _("likely"), up, dy=ABOVE)]
    budget = project.status.budget
    if budget is not None:
        level = [{"y": round(budget, 2)}]
        layers.append(alt.Chart(charts.inline(level)).mark_rule(strokeDash=[4, 4]).encode(y=up))
        words = _("budget {sum}", sum=view.formats.money(budget))
        layers.append(_label(budget, words, up, dy=BELOW))
    return charts.finished(alt.layer(*layers), HEIGHT)


def _points(project: ProjectReport) -> Iterator[Datum]:
    """Yield each step; the line continues to the status date."""
    steps = [(point.day, point.outlay) for point in project.history]
    if steps[-1][0] < project.day:
        steps.append((project.day, steps[-1][1]))
    for when, outlay in steps:
        yield {"x": when.isoformat(), "y": round(outlay, 2)}


def _label(value: float, text: str, up: alt.Y, *, dy: int) -> alt.Chart:
    row = [{"y": round(value, 2), "words": text}]
    words: alt.Chart = (
        alt.Chart(charts.inline(row))
        .mark_text(align="right", dy=dy, x="width")
        .encode(y=up, text=alt.Text("words:N"))
    )
    return words
