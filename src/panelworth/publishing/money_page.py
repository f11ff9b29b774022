"""The reserve over time in one chart, for the handout."""

from panelworth.publishing import charts, level_words, sentences
from panelworth.publishing.charts import Chart
from panelworth.publishing.compare_page import over_time
from panelworth.publishing.formats import joined, quoted
from panelworth.publishing.language import say
from panelworth.publishing.view import View


def reserve(view: View) -> Chart:
    """Draw the reserve month by month under each option's funding, with its floor."""
    club, formats = view.club, view.formats
    floor = club.reserve_floor if club else 0.0
    below = [
        tag.title
        for tag in view.tags.values()
        if (funded := view.option(tag.id).funded) and funded.below_floor_month is not None
    ]
    summary = say(
        "In the likely view every option keeps the reserve at or above its floor; the page on risk "
        "tells how often it does not."
    )
    if below:
        named = joined([quoted(title) for title in below])
        summary = say("Below the floor at some time: {options}.", options=named)
    if any(level_words.allowed(view, tag) for tag in view.tags.values()):
        summary = sentences.joined_sentences(summary, say("All starts are as planned."))
    axis = say("Reserve, {symbol}", symbol=formats.symbol)
    words = (say("The reserve over time"), summary, axis)
    return over_time(
        view,
        "reserve",
        words,
        lambda tag: list(view.series(tag.id).balance or ()),
        list(view.tags.values()),
        [charts.level(floor, say("floor {sum}", sum=formats.money(floor)))],
    )
