"""Sentences on a club's reserve in the futures."""

from panelworth.engine.results.trials import ReserveTrials
from panelworth.publishing.formats import Formats, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.level_words import BAND, FUTURES
from panelworth.publishing.words.rounding import money_step, to_step


def at_end(formats: Formats, reserve: ReserveTrials | None) -> str:
    """Write the median reserve at the end, rounded by its uncertainty."""
    if reserve is None:
        return ""
    last = reserve.reserve_by_year[-1]
    return formats.money(to_step(last.p50, money_step(last.width)))


def pane_text(view: View, tag: OptionTag) -> str:
    """Describe the picture of an option's reserve for screen readers."""
    reserve, money = view.leading(tag).trials.reserve, view.formats.money
    if reserve is None:
        return ""
    first, last = reserve.reserve_by_year[0], reserve.reserve_by_year[-1]
    step = money_step(last.width)
    return _(
        "{option}: the reserve starts at {start}; after {years} the middle future has {middle}, "
        "and {band} of {all} futures have from {low} to {high}.",
        option=tag.short,
        start=money(first.p50),
        years=plural(view.figures.years, "year", "years"),
        middle=at_end(view.formats, reserve),
        band=BAND,
        all=FUTURES,
        low=money(to_step(last.p10, step)),
        high=money(to_step(last.p90, step)),
    )
