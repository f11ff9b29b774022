"""How each option's difference to the baseline spreads, in one chart, for the handout."""

import numpy as np

from panelworth.publishing import charts, level_words, risk_words
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import about, quoted
from panelworth.publishing.language import say
from panelworth.publishing.view import View

BINS = 36


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
