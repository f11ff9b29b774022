"""Risk: how sure the figures are, and what decides them; in words first."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from panelworth.engine.results import EvenPoints, Swing
from panelworth.model.case import option_prefix
from panelworth.publishing import charts, level_words, risk_words
from panelworth.publishing.caution_lines import money_cautions
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import about, joined, plural, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import lapsed_note
from panelworth.publishing.risk_words import chance, owned_name
from panelworth.publishing.sentences import REASONS, SIDES, joined_sentences
from panelworth.publishing.sources import MOST_SWINGS, input_name, swing_rows
from panelworth.publishing.view import OptionTag, Page, View

BINS = 36
ENDS = {
    "low": noted("{change} at its low, {value}"),
    "high": noted("{change} at its high, {value}"),
}


def risk_page(view: View) -> Page:
    """Make the page on what the ranges do."""
    tags = list(view.tags.values())
    drawn = [bill(view), spread(view), *(tornado(view, tag) for tag in view.others)]
    return Page(
        file="risk.html",
        template="risk.html",
        title=say("Risk"),
        nav=say("How sure"),
        door=(say("How sure is this?"), say("Head to head, and what to grant")),
        description=say(
            "How sure the figures are, and what decides: {title}", title=view.case.scenario.title
        ),
        content={
            "lead": risk_words.lead(view),
            "basis": risk_words.basis(view),
            "charts": [chart for chart in drawn if chart],
            "budget_title": risk_words.budget_title(view),
            "budgets": [{"option": tag, "text": risk_words.budget(view, tag)} for tag in tags],
            "chance_head": _chance_head(view),
            "chances": [_chances(view, tag) for tag in tags],
            "notes": [
                each for each in (risk_words.on_average(view), risk_words.floor_note(view)) if each
            ],
            "turnings": [risk_words.turning(view, turn) for turn in view.insight.turnings],
            "decided": [
                {"option": tag, "text": risk_words.decided_by(view, tag)} for tag in view.others
            ],
            "evens": [
                {"option": tag, "rows": _evens(view, view.insight.even_points[tag.id])}
                for tag in view.others
            ],
            "cautions": money_cautions(view),
        },
    )


def _chance_head(view: View) -> list[Any]:
    ahead, often = noted("Ahead of “{baseline}”"), say("in how many of 100 futures")
    head = [
        say("Option"),
        {"label": say("Brings most of all"), "note": often},
        {"label": say(ahead, baseline=view.baseline.title), "note": often},
        {"label": say("Regret"), "note": say("what the best of all brings more, on average")},
    ]
    if view.club:
        below = say("Reserve below its floor")
        years = plural(view.case.scenario.floor_years, "year", "years")
        note = say("within {years}, as funded", years=years)
        head.append({"label": below, "note": note})
    return head


def _chances(view: View, tag: OptionTag) -> dict[str, Any]:
    found = view.uncertain(tag.id)
    errors = found.errors
    cells = [
        chance(found.chance_best, errors.best),
        chance(found.chance_beats_baseline, errors.beats_baseline),
        view.formats.money(found.regret),
    ]
    if view.club:
        floor = level_words.drawn(view, tag)
        cells.append(chance(floor.chance_below_floor, floor.errors.below_floor))
    notes = [lapsed_note(view, tag), level_words.start_note(view, tag)]
    return {"option": tag, "note": "; ".join(filter(None, notes)), "cells": cells}


def bill(view: View) -> Chart | None:
    """Draw the chance that the bill stays below a sum, with marks at 50 and 80 in 100.

    Across stands the bill in percent of the likely one, since options differ tenfold in size.
    """
    found = {tag.id: view.uncertain(tag.id) for tag in view.tags.values()}
    tags = [
        tag
        for tag in view.tags.values()
        if found[tag.id].outlay_quantiles[0] < found[tag.id].outlay_quantiles[-1]
    ]
    if not tags:
        return None
    money, data, rows = view.formats.money, [], []
    for tag in tags:
        quantiles, likely = found[tag.id].outlay_quantiles, found[tag.id].likely_outlay
        for share, value in enumerate(quantiles):
            told = say("{count} in 100 below {sum}", count=share, sum=money(value))
            at = {"option": tag.title, "x": round(100 * value / (likely or 1.0), 1), "y": share}
            data.append({**at, "told": told, "mark": share in (50, 80)})
        rows.append([{"option": tag}, *(money(quantiles[share]) for share in (10, 50, 80, 90))])
    spec = charts.lines(
        list(view.tags.values()),
        data,
        axes=(say("Bill, % of the likely one"), say("In 100 futures")),
        extra=[charts.upright(100.0, "")],
        tight=True,
    )
    return Chart(
        id="bill",
        title=say("How likely the bill stays below a sum"),
        summary=say(
            "Each line shows in how many of 100 futures all that is to be paid stays below so many "
            "percent of the sum of likely prices. Marks stand at 50 and at 80 in 100."
        ),
        spec=spec,
        head=[
            say("Option"),
            say("10 in 100 below"),
            say("50 in 100 below"),
            say("80 in 100"),
            say("90 in 100"),
        ],
        rows=rows,
        options=tags,
    )


def spread(view: View) -> Chart | None:
    """Draw how each option's difference to the baseline spreads, all over one another."""
    tags = [tag for tag in view.others if np.ptp(level_words.drawn(view, tag).gap_quantiles) > 0]
    if not tags:
        return None
    quantiles = {tag.id: np.array(level_words.drawn(view, tag).gap_quantiles) for tag in tags}
    low = min(values[1] for values in quantiles.values())
    high = max(values[-2] for values in quantiles.values())
    edges, money = np.linspace(low, high, BINS + 1), view.formats.change
    data, rows = [], []
    for tag in tags:
        reached = np.interp(edges, quantiles[tag.id], np.arange(101.0))
        middles = (edges[:-1] + edges[1:]) / 2
        shares = np.diff(reached)
        for middle, share in zip(middles, shares, strict=True):
            often, sum_ = about(float(share)), money(float(middle))
            told = say("{count} in 100 near {sum}", count=often, sum=sum_)
            at = {"x": round(float(middle), 2), "y": round(float(share), 2)}
            mark = bool(share == shares.max())
            data.append({"option": tag.title, **at, "told": told, "mark": mark})
        ends = level_words.drawn(view, tag).range.net_benefit
        cells = (ends.p10, ends.p50, ends.mean, ends.p80, ends.p90)
        rows.append([{"option": tag}, *(money(value) for value in cells)])
    spec = charts.lines(
        list(view.tags.values()),
        data,
        axes=(say("Ahead, {symbol}", symbol=view.formats.symbol), say("In 100 futures")),
        extra=[charts.upright(0.0, "")],
        tight=True,
    )
    spans = {tag.title: level_words.drawn(view, tag).range.net_benefit for tag in tags}
    ranges = [f"{quoted(title)}: {risk_words.middle(view, span)}" for title, span in spans.items()]
    return Chart(
        id="spread",
        title=say(
            "What each brings against “{baseline}”, in today's money", baseline=view.baseline.title
        ),
        summary=say("How often an option ends up where. {ranges}.", ranges="; ".join(ranges)),
        spec=spec,
        head=[
            say("Option"),
            say("10 in 100 below"),
            say("50 in 100 below"),
            say("On average"),
            "80",
            "90",
        ],
        rows=rows,
        options=tags,
    )


def tornado(view: View, tag: OptionTag) -> Chart | None:
    """Draw the widest swings of an option: one bar a range, from its low to its high."""
    swings = view.option(tag.id).swings[:MOST_SWINGS]
    if not swings:
        return None
    money, data = view.formats.change, []
    for swing in swings:
        for end, value in (("low", swing.low), ("high", swing.high)):
            written = _written(view, swing, end)
            told = say(ENDS[end], change=money(value), value=written)
            at = {"name": _called(view, tag, swing.input), "end": end}
            data.append({**at, "x": round(value, 2), "told": told})
    likely = view.option(tag.id).likely.net_benefit
    axis = say("Ahead, {symbol}", symbol=view.formats.symbol)
    planned = say("The start is as planned.") if level_words.allowed(view, tag) else ""
    return Chart(
        id=f"swings-{tag.id}",
        title=say("What moves “{option}” most", option=tag.title),
        summary=joined_sentences(
            say(
                "Each range alone from its low to its high, all else likely: where the option then "
                "stands against “{baseline}”. The upright line is the likely view, {likely}; the "
                "part of a bar in the stronger colour leads to the range's high.",
                baseline=view.baseline.title,
                likely=money(likely),
            ),
            planned,
        ),
        spec=charts.swings(data, likely, axis, len(swings)),
        head=[say("Range"), say("At its low"), say("At its high")],
        rows=swing_rows(view, tag),
        height=charts.swings_height(len(swings)),
    )


def _called(view: View, tag: OptionTag, path: str) -> str:
    """Name a range on an option's own chart, where its title goes without saying."""
    if path.startswith(option_prefix(tag.id)):
        return say("{input}, this option", input=input_name(view.inputs[path]))
    return owned_name(view, path)


def _written(view: View, swing: Swing, end: str) -> str:
    each = view.inputs[swing.input]
    return view.formats.measure(getattr(each.quantity, end), each.unit)


def _evens(view: View, points: Sequence[EvenPoints]) -> list[list[str]]:
    """Word the break-even of each single input: every value, or why there is none."""
    rows = []
    for found in points:
        each = view.inputs[found.input]
        write, likely = view.formats.worked_out, view.formats.measure
        told = [say(SIDES[root.side], value=write(root.value, each.unit)) for root in found.roots]
        text = joined(told) or say(REASONS[found.why])
        was = likely(each.quantity.likely, each.unit)
        rows.append([owned_name(view, found.input), was, text])
    return rows
