"""By when to decide, what can go wrong and what chances are, for the first page and the handout.

Facts in sentences; no advice.
"""

from panelworth.engine.results_loop import Deadline
from panelworth.publishing.formats import day, joined, number, plural, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.sentences import others_remain
from panelworth.publishing.view import OptionTag, View


def by_when(view: View) -> list[str]:
    """Say by when to decide: the nearest day on which a price lapses or an order is due."""
    quotes = [each for each in view.loop.deadlines if each.kind == "quote"]
    ahead = [each for each in quotes if not each.past]
    orders = [each for each in view.loop.deadlines if each.kind == "order" and not each.past]
    said = []
    if ahead or orders:
        nearest = day(min(each.first for each in (*ahead, *orders)))
        said.append(say("Up to {day} no price lapses and no order day passes.", day=nearest))
    if ahead:
        first = _named(view, [each for each in ahead if each.first == ahead[0].first])
        last = day(ahead[0].first)
        said.append(say("Prices lapse after {day}: {prices}.", day=last, prices=first))
    if orders:
        days = [f"{day(each.first)}, {quoted(view.tags[each.option].title)}" for each in orders]
        said.append(say("To be ordered by: {days}.", days="; ".join(days)))
    lapsed = [each for each in quotes if each.past]
    if lapsed:
        named = _named(view, lapsed)
        said.append(say("Lapsed already, ask again before ordering: {prices}.", prices=named))
    return said


def _named(view: View, quotes: list[Deadline]) -> str:
    return joined([f"{quoted(each.name)} ({view.tags[each.option].title})" for each in quotes])


def can_go_wrong(view: View, tag: OptionTag) -> str:
    """Say in a line how often, and how far, an option turns out badly."""
    found = view.uncertain(tag.id)
    told = [_behind(view, tag)]
    if found.outlay_quantiles[10] < found.outlay_quantiles[90]:
        high = view.formats.money(found.outlay_quantiles[90])
        told.append(say("1 in 10 that more than {sum} is to be paid", sum=high))
    if found.chance_below_floor is not None:
        below = chance(found.chance_below_floor)
        told.append(say("{chance} that the reserve falls below its floor", chance=below))
    said = "; ".join([*told, *_longest(view, tag)])
    return f"{said[0].upper()}{said[1:]}."


def _behind(view: View, tag: OptionTag) -> str:
    found = view.uncertain(tag.id)
    if found.chance_beats_baseline is None:
        other = chance(1 - found.chance_best)
        return say("{chance} that another option leaves more", chance=other)
    return say(
        "{chance} that it does not come out ahead of “{baseline}”",
        chance=chance(1 - found.chance_beats_baseline),
        baseline=view.baseline.title,
    )


def _longest(view: View, tag: OptionTag) -> list[str]:
    option = view.case.options[tag.id]
    if option.schedule is None or option.schedule.weeks_down.certain:
        return []
    weeks = plural(option.schedule.weeks_down.high, "week", "weeks")
    said = noted("up to {weeks} down")
    if option.kind == "replace":
        said = noted("up to {weeks} without an airplane")
        if others_remain(view):
            said = noted("up to {weeks} with one airplane less")
    return [say(said, weeks=weeks)]


def basis(view: View) -> str:
    """Say in a sentence what chances are counted in."""
    return say(
        "“46 in 100” means 46 of every 100 among {trials} possible futures, drawn from the ranges.",
        trials=number(view.figures.uncertainty.trials),
    )
