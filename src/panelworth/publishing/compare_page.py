"""Charts of sums over time, for the pages on money and on paper."""

import math
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import Any

from panelworth.model.scenario import MONTHS
from panelworth.publishing import charts
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import duration, plotted, plural
from panelworth.publishing.language import say
from panelworth.publishing.view import OptionTag, View

STEP = 3  # months between the points of a line over time


def over_time(
    view: View,
    chart_id: str,
    words: tuple[str, str, str],
    series: Callable[[OptionTag], Sequence[float]],
    tags: Sequence[OptionTag],
    extra: Sequence[Any] = (),
) -> Chart:
    """Make a chart of running sums, one line an option, with its table by years."""
    title, summary, axis = words
    data, rows = [], []
    years = view.figures.years
    every = max(1, years // 5)
    for tag in tags:
        sums = plotted(series(tag))
        for month in range(0, len(sums), STEP):
            at = {"option": tag.title, "x": round(month / MONTHS, 2), "y": sums[month]}
            mark = month % (MONTHS * every) == 0
            data.append({**at, "told": _told_after(view, sums[month], month), "mark": mark})
        ends = [view.formats.money(sums[year * MONTHS]) for year in range(years + 1)]
        rows.append([{"option": tag, "value": ""}, *ends])
    spec = charts.lines(
        list(view.tags.values()),
        data,
        axes=(say("Years from now"), axis),
        extra=extra,
    )
    head = [say("Option"), say("At the start"), *_numbered(years)]
    return Chart(
        id=chart_id, title=title, summary=summary, spec=spec, head=head, rows=rows, options=tags
    )


def _told_after(view: View, amount: float | None, months: int) -> str:
    money = view.formats.money(amount)
    if months == 0:
        return say("{sum} at the start", sum=money)
    return say("{sum} after {time}", sum=money, time=duration(months))


def _numbered(years: int) -> list[str]:
    return [say("Year {number}", number=year) for year in range(1, years + 1)]


def spent(view: View) -> Chart:
    """Draw the running sum of all costs, each month's money as it is paid."""
    totals = {tag.id: math.fsum(view.series(tag.id).cost) for tag in view.tags.values()}
    least, most = min(totals, key=totals.__getitem__), max(totals, key=totals.__getitem__)
    money = view.formats.money
    summary = say(
        "After {years} “{cheapest}” has cost {least} in cash, “{dearest}” {most}. What the "
        "airplane is then worth is not in it.",
        years=plural(view.figures.years, "year", "years"),
        cheapest=view.tags[least].title,
        least=money(totals[least]),
        dearest=view.tags[most].title,
        most=money(totals[most]),
    )
    axis = say("Spent, {symbol}", symbol=view.formats.symbol)
    words = (say("What has been spent so far"), summary, axis)
    return over_time(
        view,
        "spent",
        words,
        lambda tag: list(accumulate(view.series(tag.id).cost)),
        list(view.tags.values()),
    )
