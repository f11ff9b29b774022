"""The reserve of each option by year over the drawn trials: one pane for each, all on one scale.

The pane has a band and a line in its middle. Words beside it explain the ends of the band, since
readers take the edge of a band for a limit (Joslyn, Savelli 2021).
"""

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import altair as alt

from panelworth.engine.results.trials import ReserveTrials
from panelworth.model.scenario import MONTHS
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import COLOURS, Chart, Layered
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import cash_words, reserve_words
from panelworth.publishing.words.rounding import step_above

HEIGHT = 150
DAYS_A_YEAR = 365.25
# Shares of the range of money.
ROOM = 0.06  # empty room above and below the bands
FOOT = 0.35  # room below the bands for the weeks away and the loan
APART = 0.12  # a label of money that is nearer to the floor's label is left out
TICKS = 2  # the most steps between labels of money
# Shares of the years.
RIGHT = 0.22  # room on the right for the figure at the end of the line
SHORTEST = 0.012  # the least length of a period
TURN = 0.7  # the words of a period that begins later are on its left
AWAY_AT, LOAN_AT = -22, -6  # pixels from the bottom of the pane


@dataclass(frozen=True, kw_only=True)
class Scale:
    """The common scale of all panes: its least and its most money, and the labels by place."""

    low: float
    high: float
    ticks: Mapping[float, str]


def reserve_charts(view: View) -> list[Chart]:
    """Return a chart of each option's band from p10 to p90 by year; empty for an owner."""
    reserves = [
        (tag, trials)
        for tag in view.tags.values()
        if (trials := view.leading(tag).trials.reserve) is not None
    ]
    scale = _scale(view, [trials for _, trials in reserves]) if reserves else None
    return [_pane(view, tag, trials, scale) for tag, trials in reserves if scale]


def _scale(view: View, reserves: Sequence[ReserveTrials]) -> Scale:
    floor = view.club.reserve_floor if view.club else 0.0
    bands = [band for reserve in reserves for band in reserve.reserve_by_year]
    ends = [0.0, floor, *(end for band in bands for end in (band.p10, band.p90))]
    low, high = min(ends), max(ends)
    size = (high - low) or 1.0
    step = step_above(size / TICKS)
    places = [step * place for place in range(math.ceil(low / step), math.floor(high / step) + 1)]
    money = view.formats.money
    ticks = {place: money(place) for place in places if abs(place - floor) > APART * size}
    foot = FOOT if any(cash_words.time_away(view, tag) for tag in view.tags.values()) else ROOM
    return Scale(
        low=round(low - foot * size, 2),
        high=round(high + ROOM * size, 2),
        ticks=ticks | {floor: _("floor")},
    )


def _pane(view: View, tag: OptionTag, trials: ReserveTrials, scale: Scale) -> Chart:
    return Chart(
        id=f"reserve-{tag.id}",
        title=tag.short,
        summary=reserve_words.pane_text(view, tag),
        spec=_spec(view, tag, trials, scale),
        options=[tag],
        height=HEIGHT,
    )


def _spec(view: View, tag: OptionTag, trials: ReserveTrials, scale: Scale) -> dict[str, Any]:
    """Return the specification: the band and its median, the floor, and the periods."""
    rows = [
        {
            "option": tag.title,
            "x": year,
            "low": round(band.p10, 2),
            "middle": round(band.p50, 2),
            "high": round(band.p90, 2),
        }
        for year, band in enumerate(trials.reserve_by_year)
    ]
    colour, _, dash = charts.scales(list(view.tags.values()))
    up = alt.Y(
        "low:Q",
        title=None,
        scale=alt.Scale(domain=[scale.low, scale.high], zero=False, nice=False),
        axis=alt.Axis(
            values=list(scale.ticks),
            labelExpr=_label_expression(scale.ticks),
            labelOverlap=False,
            ticks=False,
            domain=False,
        ),
    )
    base = alt.Chart(charts.inline(rows)).encode(x=_years(view))
    band = base.mark_area(opacity=0.25).encode(y=up, y2=alt.Y2("high:Q"), color=colour)
    middle = base.mark_line(strokeWidth=2.5).encode(
        y=alt.Y("middle:Q"), color=colour, strokeDash=dash
    )
    layers = (band, _floor(view), middle, _end(view, tag, rows[-1]), *_periods(view, tag))
    return charts.finished(alt.layer(*layers), HEIGHT)


def _years(view: View) -> alt.X:
    """Return the axis of years with room on its right; it labels the first and the last year."""
    years, first = view.figures.years, view.case.scenario.as_of.year
    places = (0, years)
    names = {float(place): str(first + place) for place in places}
    return alt.X(
        "x:Q",
        title=None,
        scale=alt.Scale(domain=[0, round(years * (1 + RIGHT), 2)], nice=False),
        axis=alt.Axis(grid=False, values=places, labelExpr=_label_expression(names), domain=False),
    )


def _label_expression(names: Mapping[float, str]) -> str:
    """Return the Vega expression that gives each place of an axis its label."""
    labels = {f"{place:g}" if place == round(place) else str(place): name
             for place, name in names.items()}  # fmt: skip
    return f"({json.dumps(labels, ensure_ascii=False)})[datum.value]"


def _floor(view: View) -> Layered:
    floor = view.club.reserve_floor if view.club else 0.0
    row = {"x": 0, "until": view.figures.years, "at": round(floor, 2)}
    rule = alt.Chart(charts.inline([row])).mark_rule(strokeWidth=1.5, color=COLOURS["accent"])
    return alt.layer(rule.encode(x=alt.X("x:Q"), x2=alt.X2("until:Q"), y=alt.Y("at:Q")))


def _end(view: View, tag: OptionTag, last: Mapping[str, Any]) -> Layered:
    """Write the median at the end of its line."""
    row = {**last, "words": reserve_words.at_end(view.formats, view.leading(tag).trials.reserve)}
    text = alt.Chart(charts.inline([row])).mark_text(align="left", dx=5, fontWeight=600)
    return alt.layer(text.encode(x=alt.X("x:Q"), y=alt.Y("middle:Q"), text=alt.Text("words:N")))


def _periods(view: View, tag: OptionTag) -> Iterator[Layered]:
    """Yield the weeks away and the months of the loan as thick lines at the bottom, with words."""
    as_of, years = view.case.scenario.as_of, view.figures.years
    leading, away_text = view.leading(tag), cash_words.time_away(view, tag)
    if away_text:
        start, finish = _in_years(as_of, leading.start), _in_years(as_of, leading.finish)
        yield _period(view, tag, (start, finish, AWAY_AT), away_text)
    if leading.loan_months:
        start, finish = (month / MONTHS for month in leading.loan_months)
        yield _period(view, tag, (start, min(finish, float(years)), LOAN_AT), _("loan"))


def _in_years(as_of: date, day: date) -> float:
    return (day - as_of).days / DAYS_A_YEAR


def _period(view: View, tag: OptionTag, at: tuple[float, float, int], words: str) -> Layered:
    """Draw a period at the bottom of the pane, with its words on the side where there is room."""
    start, finish, offset = at
    years = view.figures.years
    finish, left = max(finish, start + SHORTEST * years), start > TURN * years
    row = {"option": tag.title, "x": round(start, 3), "until": round(finish, 3), "words": words}
    row["beside"] = row["x"] if left else row["until"]
    colour, _, _ = charts.scales(list(view.tags.values()))
    base = alt.Chart(charts.inline([row]))
    line = base.mark_rule(strokeWidth=6, y="height", yOffset=offset)
    text = base.mark_text(
        align="right" if left else "left",
        baseline="middle",
        dx=-5 if left else 5,
        y="height",
        yOffset=offset,
    )
    return alt.layer(
        line.encode(x=alt.X("x:Q"), x2=alt.X2("until:Q"), color=colour),
        text.encode(x=alt.X("beside:Q"), text=alt.Text("words:N")),
    )
