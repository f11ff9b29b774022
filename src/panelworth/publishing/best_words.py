"""Which option is best depends on what matters: the least and the most, and what they rest on.

Facts, not advice: an option may lead in one view and trail in another. Options that are level, or
too near to one another to tell a winner by, are named together.
"""

from collections.abc import Callable, Mapping

from panelworth.publishing import level_words
from panelworth.publishing.formats import joined, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View

Worded = Callable[[float], str]
Best = tuple[str, list[OptionTag], str]
ALONE = noted("{figures}. It ends ahead of the next best in {futures}.")
LEVEL = noted(
    "{figures}. Level, and not ranked: none ends ahead of each other option in 13 of 20 futures."
)


def best_views(view: View) -> list[Best]:
    """Return, for each way of looking at it, the options that are best, and by what."""
    likely = {tag.id: view.option(tag.id).likely for tag in view.tags.values()}
    money = view.formats.money
    found = [
        _least(
            view,
            say("Least to pay up front"),
            {key: each.upfront for key, each in likely.items()},
            (money, noted("{figures}, at likely prices")),
        ),
        _most(view),
        _least(
            view,
            say("Least cost an hour flown"),
            {key: each.cost_per_hour for key, each in likely.items()},
            (money, noted("{figures} an hour, at likely prices and hours")),
        ),
        _least(
            view,
            say("Least time down"),
            {key: _weeks(view, key) for key in likely},
            (_down, noted("{figures}, likely")),
        ),
    ]
    return [best for best in found if best]


def _least(
    view: View, label: str, values: Mapping[str, float | None], words: tuple[Worded, str]
) -> Best | None:
    """Name the options with the least of a figure, and all that are too near to it to tell."""
    there = {key: value for key, value in values.items() if value is not None}
    lowest = min(there.values(), default=None)
    if lowest is None:
        return None
    tags = [
        tag
        for key, tag in view.tags.items()
        if key in there and level_words.alike(there[key], lowest)
    ]
    write, basis = words
    figures = joined(list(dict.fromkeys(write(there[tag.id]) for tag in tags)))
    return label, tags, _with_start(view, tags, say(basis, figures=figures))


def _most(view: View) -> Best:
    """Name the options that no other is ahead of: by pairs of futures, not by the likely view."""
    years = plural(view.figures.years, "year", "years")
    label = say("Brings you most over {years}", years=years)
    if view.club:
        label = say("Brings members most over {years}", years=years)
    tags, change = level_words.bring_most(view), view.formats.change
    likely = joined([change(level_words.net_benefit(view, tag)) for tag in tags])
    told = say("{sums} against “{baseline}”", sums=likely, baseline=view.baseline.title)
    if len(tags) == 1 and tags[0].id == view.figures.baseline:
        told = say("the option that the others are compared with")
    told = _with_start(view, tags, told)
    others = [each for each in view.tags.values() if each not in tags]
    if len(tags) > 1:
        return label, tags, say(LEVEL, figures=told)
    if not others:
        return label, tags, told
    least = min(level_words.ahead_share(view, tags[0], each) for each in others)
    return label, tags, say(ALONE, figures=told, futures=level_words.futures(least))


def _with_start(view: View, tags: list[OptionTag], told: str) -> str:
    """Add which of the options named cannot start as planned."""
    names = [tag.title for tag in tags if level_words.refused(view, tag)]
    if not names:
        return told
    if len(tags) == 1:
        return say("{figures}; it cannot start as planned", figures=told)
    named = joined([f"“{name}”" for name in names])
    return say("{figures}; not to be started as planned: {options}", figures=told, options=named)


def _down(span: float) -> str:
    return plural(span, "week", "weeks") if span else say("none")


def _weeks(view: View, option_id: str) -> float:
    schedule = view.case.options[option_id].schedule
    return schedule.weeks_down.likely if schedule else 0.0
