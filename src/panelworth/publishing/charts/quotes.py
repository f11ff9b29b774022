"""The papers behind an option's price as a bar in parts, and the ledger's sums over time."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
from babel import Locale

from panelworth.engine.results.figures import (
    LedgerSnapshot,
)
from panelworth.model.case import Case
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.formats import Formats, joined
from panelworth.publishing.language import ENGLISH, N_, _, current_language
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.quotes_words import likely_cost, rests_on, shares_of

WIDTH = 320.0
HEIGHT = 240  # of a chart
FEWEST_STEPS = 2
APART = 0.1  # share of the scale: of two lines that are nearer, the lower one has its words below
LINES = {
    "committed": N_("quoted or invoiced"),
    "invoiced": N_("invoiced"),
    "paid": N_("paid"),
}
DASHES = ([1, 0], [7, 3], [2, 2])
# The parts of a day in CLDR's patterns, and in d3's.
DAY_PARTS = {"d": "%-d", "dd": "%d", "MMM": "%b", "LLL": "%b", "M": "%-m", "MM": "%m"}

Datum = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class PartsBar:
    """A bar of an option's likely price: one path for each kind of paper behind it."""

    option: OptionTag
    paths: Mapping[str, str]
    text: str


def parts_bar(view: View, tag: OptionTag) -> PartsBar:
    """Return the parts side by side, the surest paper first; the whole bar is the whole price."""
    x, paths = 0.0, {}
    for kind, share in shares_of(view.figures.project_progress[tag.id]).items():
        width = round(share * WIDTH, 1)
        paths[kind] = f"M{x:g} 1h{width:g}v14h-{width:g}z"
        x = round(x + width, 1)
    text = _(
        "{option}, {sum}: {parts}",
        option=tag.short,
        sum=likely_cost(view, tag),
        parts=rests_on(view.figures.project_progress[tag.id]),
    )
    return PartsBar(option=tag, paths=paths, text=text)


def over_time(view: View, tag: OptionTag) -> Chart | None:
    """Return a chart of what is quoted, invoiced and paid by each day.

    None where the sums changed only once: one step is no course over time.
    """
    history = view.figures.project_progress[tag.id].history
    if len({(sums.committed, sums.invoiced, sums.paid) for sums in history}) < FEWEST_STEPS:
        return None
    money, last = view.formats.money, history[-1]
    return Chart(
        id=f"ledger-{tag.id}",
        title=_(
            "{option}: {sum} of {total} is quoted or invoiced",
            option=tag.short,
            sum=money(last.committed),
            total=money(view.option(tag.id).likely.outlay),
        ),
        summary="",
        spec=_spec(view, tag, history),
        height=HEIGHT,
    )


def _spec(view: View, tag: OptionTag, history: Sequence[LedgerSnapshot]) -> dict[str, Any]:
    """Return the specification: one line for each sum, with its own dashes and a label."""
    names = [_(name) for name in LINES.values()]
    titles = alt.Scale(domain=[tag.title for tag in view.tags.values()])
    across = alt.X(
        "x:T",
        title=None,
        scale=alt.Scale(type="utc"),
        axis=alt.Axis(grid=False, format=day_of_month(), tickCount=4, labelOverlap=True),
    )
    up = alt.Y("y:Q", title=None, axis=alt.Axis(format="~s", tickCount=4))
    line = (
        alt.Chart(charts.inline(list(_points(view.case, tag, history))))
        .mark_line(strokeWidth=2, interpolate="step-after")
        .encode(
            x=across,
            y=up,
            color=alt.Color("option:N", scale=titles, legend=None),
            strokeDash=alt.StrokeDash(
                "series:N", scale=alt.Scale(domain=names, range=list(DASHES)), legend=None
            ),
        )
    )
    total = round(view.option(tag.id).likely.outlay, 2)
    level = alt.Chart(charts.inline([{"y": total}])).mark_rule(strokeDash=[4, 4]).encode(y=up)
    ends = list(_ends(view.formats, total, history[-1]))
    words = [_words(rows, dy) for dy, rows in ends if rows]
    return charts.finished(alt.layer(level, line, *words), HEIGHT)


def day_of_month() -> str:
    """Return d3's pattern for day and month: "%b %-d"; in German "%-d. %b"."""
    locale = Locale.parse(current_language().locale)
    if locale.language == ENGLISH:
        return "%b %-d"
    pattern: str = locale.datetime_skeletons["MMMd"].format % DAY_PARTS
    return pattern


def _lines(history: Sequence[LedgerSnapshot]) -> list[tuple[str, str]]:
    """Return key and name of the lines that are not always 0."""
    return [
        (key, name) for key, name in LINES.items() if any(getattr(sums, key) for sums in history)
    ]


def _points(case: Case, tag: OptionTag, history: Sequence[LedgerSnapshot]) -> Iterator[Datum]:
    """Yield each step of the lines; they continue to as_of, the day of the figures."""
    as_of = case.scenario.as_of
    for key, name in _lines(history):
        steps = [(sums.day, getattr(sums, key)) for sums in history]
        if steps[-1][0] < as_of:
            steps.append((as_of, steps[-1][1]))
        for day, value in steps:
            yield {
                "option": tag.title,
                "series": _(name),
                "x": day.isoformat(),
                "y": round(value, 2),
            }


def _ends(
    formats: Formats, total: float, last: LedgerSnapshot
) -> Iterator[tuple[int, list[Datum]]]:
    """Yield the labels of the lines with their offset: those above their line, then those below.

    Lines with the same last sum share a label. A line close below another has its label below it.
    """
    names: dict[float, list[str]] = {total: [_("likely total")]}
    for key, name in _lines([last]):
        names.setdefault(round(getattr(last, key), 2), []).append(_(name))
    above: list[Datum] = []
    below: list[Datum] = []
    before = 2 * max(names)  # far above, so that the first label is above its line
    for value in sorted(names, reverse=True):
        text = _("{lines}: {sum}", lines=joined(names[value]), sum=formats.money(value))
        near = before - value < APART * max(names)
        (below if near else above).append({"y": value, "words": text})
        before = value
    yield -7, above
    yield 9, below


def _words(rows: list[Datum], dy: int) -> alt.Chart:
    base = alt.Chart(charts.inline(rows)).mark_text(align="right", dy=dy, x="width")
    words: alt.Chart = base.encode(y=alt.Y("y:Q"), text=alt.Text("words:N"))
    return words
