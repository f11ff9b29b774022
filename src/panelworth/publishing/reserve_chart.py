"""The reserve of each option, year by year, over the drawn futures: a pane an option, one scale."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

import altair as alt

from panelworth.engine.results_trials import Band, ReserveTrials
from panelworth.model.scenario import MONTHS
from panelworth.publishing import charts, level_words, raise_words, reserve_words
from panelworth.publishing.charts import Chart, Layered
from panelworth.publishing.formats import percent
from panelworth.publishing.language import say
from panelworth.publishing.sentences import joined_sentences
from panelworth.publishing.view import OptionTag, View

HEIGHT = 260
DAYS_A_YEAR = 365.25
ROOM = 0.05  # of the scale, above and below what is drawn
FOOT, HEAD = 8, 12  # pixels from the pane's edge to a loan's line, and to a project's words


def reserve_charts(view: View) -> list[Chart]:
    """Draw each option's band from p10 to p90 by year, with its middle; none for an owner."""
    found = [
        (tag, trials)
        for tag in view.tags.values()
        if (trials := level_words.drawn(view, tag).reserve) is not None
    ]
    scale = _scale(view, [trials for _, trials in found])
    return [_pane(view, tag, trials, scale) for tag, trials in found]


def _scale(view: View, found: Sequence[ReserveTrials]) -> tuple[float, float]:
    """Return the least and the most of all panes, so that each is read on the same scale."""
    ends = [0.0, view.club.reserve_floor if view.club else 0.0]
    ends += [end for each in found for band in each.reserve_by_year for end in (band.p10, band.p90)]
    room = ROOM * ((max(ends) - min(ends)) or 1.0)
    return round(min(ends) - room, 2), round(max(ends) + room, 2)


def _pane(view: View, tag: OptionTag, trials: ReserveTrials, scale: tuple[float, float]) -> Chart:
    head = [say("Year"), say("1 in 10 below"), say("Middle"), say("1 in 10 above")]
    return Chart(
        id=f"reserve-{tag.id}",
        title=say("The reserve with “{option}”", option=tag.title),
        summary=summary(view, tag),
        spec=_drawn(view, tag, trials, scale),
        head=[*head, say("Floor broken by then")],
        rows=list(_rows(view, trials)),
        options=[tag],
        height=HEIGHT,
    )


def summary(view: View, tag: OptionTag) -> str:
    """Say what a pane shows: the band at the end, the floor, the project, the loan, the raise."""
    trials, club, money = level_words.drawn(view, tag).reserve, view.club, view.formats.money
    if trials is None or club is None:
        return ""
    last = trials.reserve_by_year[-1]
    band = say(
        "After {years} years 1 in 10 futures has less than {low}, 1 in 10 more than {high}; the "
        "middle is {middle}. The floor is {floor}.",
        years=view.figures.years,
        low=money(last.p10),
        high=money(last.p90),
        middle=money(last.p50),
        floor=money(club.reserve_floor),
    )
    project = reserve_words.project_days(view, tag)
    loan = reserve_words.paid_back(view, tag)
    since, ends = level_words.counted_from(view, tag), raise_words.raises_end(view, tag)
    return joined_sentences(since, band, project, loan, *ends)


def _rows(view: View, trials: ReserveTrials) -> Iterator[list[str]]:
    """Yield a row a year, month 0 first."""
    money, shares = view.formats.money, ("", *map(_share, trials.chance_below_floor_by_year))
    for year, (band, share) in enumerate(zip(trials.reserve_by_year, shares, strict=True)):
        told = say("At the start") if year == 0 else say("Year {number}", number=year)
        yield [told, money(band.p10), money(band.p50), money(band.p90), share]


def _share(share: float) -> str:
    return percent(share, 1)


def _drawn(
    view: View, tag: OptionTag, trials: ReserveTrials, scale: tuple[float, float]
) -> dict[str, Any]:
    """Draw the band and its middle over the years, and what happens when."""
    formats, club = view.formats, view.club
    rows = [_point(view, tag, year, band) for year, band in enumerate(trials.reserve_by_year)]
    ends = alt.Scale(domain=list(scale), zero=False, nice=False)
    axis = say("Reserve, {symbol}", symbol=formats.symbol)
    up = alt.Y("low:Q", title=axis, scale=ends, axis=alt.Axis(format="~s", tickCount=6))
    years = alt.Scale(domain=[0, view.figures.years], nice=False)
    ticks = alt.Axis(grid=False, tickCount=6)
    across = alt.X("x:Q", title=say("Years from now"), scale=years, axis=ticks)
    colour, shape, _ = charts.scales(list(view.tags.values()))
    told = [alt.Tooltip("told:N", title=say("Reserve"))]
    base = alt.Chart(charts.inline(rows)).encode(x=across)
    band = base.mark_area(opacity=0.25).encode(y=up, y2=alt.Y2("high:Q"), color=colour)
    middle = base.mark_line(strokeWidth=2).encode(y=alt.Y("middle:Q"), color=colour)
    points = base.mark_point(filled=True, size=50, opacity=1).encode(
        y=alt.Y("middle:Q"), color=colour, shape=shape, tooltip=told
    )
    floor = club.reserve_floor if club else 0.0
    level = charts.level(floor, say("floor {sum}", sum=formats.money(floor)))
    return charts.finished(alt.layer(*_events(view, tag), band, level, middle, points), HEIGHT)


def _point(view: View, tag: OptionTag, year: int, band: Band) -> Mapping[str, Any]:
    money = view.formats.money
    told = say(
        "year {year}: {middle} ({low} to {high})",
        year=year,
        middle=money(band.p50),
        low=money(band.p10),
        high=money(band.p90),
    )
    sums = {"low": band.p10, "middle": band.p50, "high": band.p90}
    return {"option": tag.title, "x": year, "told": told} | {
        key: round(value, 2) for key, value in sums.items()
    }


def _events(view: View, tag: OptionTag) -> Iterator[Layered]:
    """Yield the weeks of the project, the loan's life and the end of the raise, where there are."""
    series, as_of = view.series(tag.id), view.case.scenario.as_of
    start, finish = (_years(as_of, day) for day in reserve_words.away(view, tag))
    if finish > start:
        yield _stretch(start, finish, say("project"))
    if series.loan is not None:
        drawn = series.loan.drawn_month + reserve_words.months_later(view, tag)
        payments = len(series.loan.payments)
        last = min((drawn + payments) / MONTHS, float(view.figures.years))
        yield _life(drawn / MONTHS, last, say("loan"))
    for end in sorted(set(raise_words.raise_ends(view, tag).values())):
        yield _end(float(end), say("raise ends"))


def _years(as_of: date, day: str) -> float:
    return (date.fromisoformat(day) - as_of).days / DAYS_A_YEAR


def _stretch(start: float, finish: float, words: str) -> Layered:
    """Shade a stretch of time from top to foot, its words at the head."""
    row = {"at": round(start, 3), "until": round(finish, 3), "words": words}
    base = alt.Chart(charts.inline([row])).encode(x=alt.X("at:Q"))
    shade = base.mark_rect(opacity=0.3).encode(x2=alt.X2("until:Q"))
    text = base.mark_text(align="left", dx=4, y=HEAD).encode(text=alt.Text("words:N"))
    return alt.layer(shade, text)


def _end(at: float, words: str) -> Layered:
    """Draw an upright line with its words below the head, where none of a project stand."""
    row = {"at": at, "words": words}
    text = (
        alt.Chart(charts.inline([row]))
        .mark_text(align="left", dx=4, y=2 * HEAD + 4)
        .encode(x=alt.X("at:Q"), text=alt.Text("words:N"))
    )
    return alt.layer(charts.upright(at, ""), text)


def _life(start: float, finish: float, words: str) -> Layered:
    """Draw a thick line along the foot for as long as a loan runs, its words above it."""
    row = {"at": round(start, 3), "until": round(finish, 3), "words": words}
    base = alt.Chart(charts.inline([row])).encode(x=alt.X("at:Q"))
    line = base.mark_rule(strokeWidth=5, y="height", yOffset=-FOOT).encode(x2=alt.X2("until:Q"))
    text = base.mark_text(align="left", dx=4, dy=-2 * FOOT, y="height").encode(
        text=alt.Text("words:N")
    )
    return alt.layer(line, text)
