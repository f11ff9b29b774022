"""The comparison: cost over time, cash against the baseline, hours flown, every figure in a row."""

import math
from collections.abc import Callable, Mapping, Sequence
from itertools import accumulate, pairwise
from typing import Any

from panelworth.model.scenario import MONTHS
from panelworth.publishing import charts, level_words, sentences
from panelworth.publishing.caution_lines import money_cautions
from panelworth.publishing.charts import Chart
from panelworth.publishing.figure_names import BREAK_EVENS, LIKELY
from panelworth.publishing.formats import NONE, about, duration, joined, plotted, plural, quoted
from panelworth.publishing.language import carried_on, say
from panelworth.publishing.ledger_words import headed
from panelworth.publishing.made_of import made_of
from panelworth.publishing.risk_words import gap_cell
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.whatif import SCRIPT, whatif, whatif_script

STEP = 3  # months between the points of a line over time


def compare_page(view: View) -> Page:
    """Make the page on which options are compared figure by figure."""
    against = [made_of(view), ahead(view)] if view.others else []
    hours = by_hours(view)
    # A member of a club finds the cost of own hours on the page of the own bill.
    drawn = [*against, *(hours[:1] if view.club else hours), spent(view)]
    sliders = whatif(view)
    return Page(
        file="compare.html",
        template="compare.html",
        title=say("The options compared"),
        nav=say("Compare"),
        door=(say("What if?"), say("Move prices, hours, members; every figure")),
        description=say(
            "Cost over time, by hours flown and year by year: {title}",
            title=view.case.scenario.title,
        ),
        later={SCRIPT: whatif_script(view)} if sliders else {},
        content={
            "lead": _lead(view),
            "options": list(view.tags.values()),
            "charts": drawn,
            "whatif": sliders,
            "head": [say("Figure"), *headed(view, view.tags.values())],
            "figures": figure_rows(view),
            "break_evens": break_evens(view, view.others),
            "others": [say("What would have to be"), *headed(view, view.others)],
            "cautions": money_cautions(view),
        },
    )


def _lead(view: View) -> list[str]:
    said = [_fares(view, tag) for tag in view.others]
    years = plural(view.figures.years, "year", "years")
    first = say(
        "What each option brings over {years} against “{baseline}”, in today's money.",
        years=years,
        baseline=view.baseline.title,
    )
    lead = [first if said else say("One option over {years}.", years=years), *said]
    asked = [
        f"{quoted(tag.title)}: {each}"
        for tag in view.tags.values()
        for each in level_words.cautions(view, tag)
    ]
    return [each for each in (*lead, level_words.without_worth(view), *asked) if each]


def _fares(view: View, tag: OptionTag) -> str:
    """Say an option's net benefit with its range, how sure it is, what it is without growth."""
    cell = gap_cell(view, tag)
    beside = f" ({cell['note']})" if cell["note"] else ""
    return sentences.joined_sentences(
        f"{quoted(tag.title)}: {cell['value']}{beside}.",
        level_words.sure(view, tag),
        level_words.without_growth(view, tag),
        sentences.payback(view, tag),
    )


def figure_rows(view: View) -> list[list[str]]:
    """Write every likely figure, an option a column; a dash where the baseline has none."""
    rows = []
    for figure in LIKELY:
        cells = [say(figure.label)]
        for tag in view.tags.values():
            absent = figure.against and tag.id == view.figures.baseline
            value = getattr(view.option(tag.id).likely, figure.key)
            cells.append(NONE if absent else figure.write(view.formats, value))
        if any(cell != NONE for cell in cells[1:]):
            rows.append(cells)
    return rows


def break_evens(view: View, tags: Sequence[OptionTag]) -> list[list[str]]:
    """Word the break-evens of these options, one row a kind; kinds that apply to none left out."""
    rows = []
    for key, label, write in BREAK_EVENS:
        figures = [view.option(tag.id) for tag in tags]
        texts = [sentences.break_even_text(view.formats, each, key, write) for each in figures]
        if any(text != NONE for text in texts):
            rows.append([say(label), *texts])
    return rows


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


def ahead(view: View) -> Chart:
    """Draw the running sum of what an option brings more: above zero it has paid back."""

    def gap(tag: OptionTag) -> list[float]:
        mine, baseline = _benefit(view, tag), _benefit(view, view.baseline)
        return list(accumulate(a - b for a, b in zip(mine, baseline, strict=True)))

    said = [
        f"{quoted(tag.title)}: {duration(view.option(tag.id).likely.payback_months)}"
        for tag in view.others
    ]
    summary = say(
        "What each has brought so far against “{baseline}”, counting what the hours are worth, "
        "without an airplane's resale or a loan: where a line stays above zero what was put in is "
        "back. Payback: {paybacks}.",
        baseline=view.baseline.title,
        paybacks=joined(said),
    )
    axis = say("Ahead, {symbol}", symbol=view.formats.symbol)
    words = (say("From when on it is ahead"), summary, axis)
    return over_time(view, "ahead", words, gap, view.others, [charts.level(0.0, "")])


def _benefit(view: View, tag: OptionTag) -> list[float]:
    """Return an option's benefit month by month: worth of hours and newcomers' money less costs."""
    series = view.series(tag.id)
    rows = zip(series.rows["worth"], series.rows["newcomers"], series.cost, strict=True)
    return [worth + newcomers - cost for worth, newcomers, cost in rows]


def by_hours(view: View) -> list[Chart]:
    """Draw how each option fares by the hours wanted a year, break-evens marked."""
    curve, formats = view.figures.by_hours, view.formats
    likely = view.case.scenario.aircraft.hours_per_year.likely
    now = charts.upright(likely, say("likely: {hours}", hours=about(likely)))
    head = [say("Option"), *(about(hours) for hours in curve.hours[:: len(curve.hours) // 4])]
    found = []
    if view.others:
        summary = " ".join(
            f"{quoted(tag.title)}: {carried_on(sentences.hours_needed(view, tag))}"
            for tag in view.others
        )
        axis = say("Ahead, {symbol}", symbol=formats.symbol)
        spec, rows = _hours_spec(view, view.others, curve.net_benefit, axis, [now], marks=True)
        title = say(
            "Better or worse than “{baseline}”, by hours flown", baseline=view.baseline.title
        )
        found.append(
            Chart(
                id="hours-npv", title=title, summary=summary, spec=spec,
                head=head, rows=rows, options=view.others,
            )
        )  # fmt: skip
    tags = list(view.tags.values())
    shown = {key: _from(values, likely, curve.hours) for key, values in curve.cost_per_hour.items()}
    axis = say("An hour, {symbol}", symbol=formats.symbol)
    spec, rows = _hours_spec(view, tags, shown, axis, [now])
    title = say("Cost of an hour, by hours flown")
    summary = _dearer_or_cheaper(view, shown)
    found.append(
        Chart(
            id="hours-cost", title=title, summary=summary, spec=spec,
            head=head, rows=rows, options=tags,
        )
    )  # fmt: skip
    return found


def _dearer_or_cheaper(view: View, shown: Mapping[str, Sequence[float | None]]) -> str:
    """Say whether an hour costs less, or more, the more it flies, where all curves drawn agree."""
    money, falls = view.formats.money, []
    for values in shown.values():
        there = [value for value in values if value is not None]
        steps = [after - before for before, after in pairwise(there)]
        falls.append(bool(there) and money(there[0]) != money(there[-1]) and max(steps) < 0)
    if all(falls):
        return say(
            "All costs spread over the hours flown: the more it flies, the less an hour costs."
        )
    return say("All costs spread over the hours flown.")


def _from(
    values: Sequence[float | None], likely: float, hours: Sequence[float]
) -> list[float | None]:
    """Leave out what lies below a quarter of the likely hours, where an hour costs any sum."""
    pairs = zip(values, hours, strict=True)
    return [value if at >= 0.25 * likely else None for value, at in pairs]


def _hours_spec(
    view: View,
    tags: Sequence[OptionTag],
    curves: Any,  # noqa: ANN401 (a mapping of option to values by hours)
    axis: str,
    extra: Sequence[Any],
    *,
    marks: bool = False,
) -> tuple[dict[str, Any], list[list[Any]]]:
    hours, money = view.figures.by_hours.hours, view.formats.money
    data, rows, places = [], [], {round(at, 2) for at in hours[:: len(hours) // 4]}
    for tag in tags:
        values = plotted(curves[tag.id])
        points = list(zip(hours, values, strict=True))
        even = view.option(tag.id).break_even.hours_per_year if marks else None
        if even is not None and even <= hours[-1]:
            points = sorted([*points, (round(even, 2), 0.0)])
            places.add(round(even, 2))
        for at, value in points:
            if value is not None:
                told = say("{sum} at {hours} hours a year", sum=money(value), hours=about(at))
                where = {"option": tag.title, "x": round(at, 2), "y": value}
                data.append({**where, "told": told, "mark": round(at, 2) in places})
        rows.append([{"option": tag, "value": ""}, *map(money, values[:: len(hours) // 4])])
    spec = charts.lines(
        list(view.tags.values()),
        data,
        axes=(say("Hours wanted a year"), axis),
        extra=[*extra, charts.level(0.0, "")] if marks else extra,
    )
    return spec, rows
