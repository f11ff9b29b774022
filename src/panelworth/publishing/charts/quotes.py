"""What an option's sum rests on, as a bar in parts, and how its sums grew, as a chart."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
from babel import Locale

from panelworth.engine.results.figures import LedgerSnapshot
from panelworth.model.case import Case
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.formats import Formats, joined
from panelworth.publishing.language import ENGLISH, N_, _, spoken
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.quotes_words import comes_to, rests_on, shares_of

WIDTH = 320.0
HEIGHT = 240  # of a chart
FEWEST_STEPS = 2
APART = 0.1  # of the scale: lines nearer to one another than that have their words on two sides
LINES = {
    "committed": N_("quoted or invoiced"),
    "invoiced": N_("invoiced"),
    "paid": N_("paid"),
}
DASHES = ([1, 0], [7, 3], [2, 2])
# How d3 writes the parts of a day: CLDR's name of a part, d3's.
DAY_PARTS = {"d": "%-d", "dd": "%d", "MMM": "%b", "LLL": "%b", "M": "%-m", "MM": "%m"}

Datum = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True)
class PartsBar:
    """A bar of an option's likely sum: a path for each thing it rests on."""

    option: OptionTag
    paths: Mapping[str, str]
    text: str


def parts_bar(view: View, tag: OptionTag) -> PartsBar:
    """Draw the parts side by side, the surest first; the whole bar is the whole sum."""
    x, paths = 0.0, {}
    for kind, share in shares_of(view.figures.project_progress[tag.id]).items():
        wide = round(share * WIDTH, 1)
        paths[kind] = f"M{x:g} 1h{wide:g}v14h-{wide:g}z"
        x = round(x + wide, 1)
    text = _(
        "{option}, {sum}: {parts}",
        option=tag.short,
        sum=comes_to(view, tag),
        parts=rests_on(view.figures.project_progress[tag.id]),
    )
    return PartsBar(option=tag, paths=paths, text=text)


def over_time(view: View, tag: OptionTag) -> Chart | None:
    """Draw what has been quoted, invoiced and paid by each day; None where it moved only once."""
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
    """Draw one line for each sum, with its own dashes and its label at its end."""
    names = [_(name) for name in LINES.values()]
    titles = alt.Scale(domain=[tag.title for tag in view.tags.values()])
    across = alt.X(
        "x:T",
        title=None,
        scale=alt.Scale(type="utc"),
        axis=alt.Axis(grid=False, format=_day_of_month(), tickCount=4, labelOverlap=True),
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


def _day_of_month() -> str:
    """Return how an axis writes days, as d3 takes it: "%b %-d"; in German "%-d. %b"."""
    locale = Locale.parse(spoken().locale)
    if locale.language == ENGLISH:
        return "%b %-d"
    written: str = locale.datetime_skeletons["MMMd"].format % DAY_PARTS
    return written


def _lines(history: Sequence[LedgerSnapshot]) -> list[tuple[str, str]]:
    """Return the lines that are not always 0."""
    return [
        (key, name) for key, name in LINES.items() if any(getattr(sums, key) for sums in history)
    ]


def _points(case: Case, tag: OptionTag, history: Sequence[LedgerSnapshot]) -> Iterator[Datum]:
    """Yield each step of the lines; they run on to the day of the figures."""
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
    """Yield the words of the lines: those that stand above their line, then those below theirs.

    Lines that end at one sum share their words; one too near below another has them below.
    """
    names: dict[float, list[str]] = {total: [_("likely total")]}
    for key, name in _lines([last]):
        names.setdefault(round(getattr(last, key), 2), []).append(_(name))
    above: list[Datum] = []
    below: list[Datum] = []
    before = 2 * max(names)
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
