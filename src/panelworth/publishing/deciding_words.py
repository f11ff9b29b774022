"""By when to decide, what can go wrong and what chances are, for the first page and the handout.

Facts in sentences; no advice.
"""

from datetime import date

from panelworth.engine.results_loop import Deadline
from panelworth.publishing import level_words, raise_words
from panelworth.publishing.date_words import named
from panelworth.publishing.formats import day, joined, number, plural, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.sentences import joined_sentences, others_remain
from panelworth.publishing.view import OptionTag, View


def by_when(view: View) -> list[str]:
    """Say by when to decide: the nearest day on which a price lapses or an order is due."""
    quotes = [each for each in view.loop.deadlines if each.kind == "quote"]
    ahead = [each for each in quotes if not each.past]
    planned = [each for each in view.loop.deadlines if each.kind == "order" and not each.past]
    orders = sorted(_order(view, each) for each in planned)
    said = []
    if ahead or orders:
        days = [*(each.first for each in ahead), *(each for each, _ in orders)]
        nearest = day(min(days))
        said.append(say("Up to {day} no price lapses and no order day passes.", day=nearest))
    if ahead:
        first = _named(view, [each for each in ahead if each.first == ahead[0].first])
        last = day(ahead[0].first)
        said.append(say("Prices lapse after {day}: {prices}.", day=last, prices=first))
    if orders:
        told = "; ".join(each for _, each in orders)
        said.append(say("To be ordered by: {days}.", days=told))
    lapsed = [each for each in quotes if each.past]
    if lapsed:
        named = _named(view, lapsed)
        said.append(say("Lapsed already, ask again before ordering: {prices}.", prices=named))
    return said


def _order(view: View, each: Deadline) -> tuple[date, str]:
    """Return an option's order day and its name, from the first allowed start where refused."""
    tag = view.tags[each.option]
    later = level_words.allowed(view, tag)
    if later is None:
        return each.first, f"{day(each.first)}, {quoted(tag.title)}"
    told = say(
        "{day}, “{option}” (for the first start that is allowed; as planned, which is refused: "
        "{planned})",
        day=day(later.order),
        option=tag.title,
        planned=day(each.first),
    )
    return date.fromisoformat(later.order), told


def _named(view: View, quotes: list[Deadline]) -> str:
    return joined(
        [f"{quoted(named(view, each))} ({view.tags[each.option].title})" for each in quotes]
    )


def can_go_wrong(view: View, tag: OptionTag) -> str:
    """Say in a line how often, and how far, an option turns out badly."""
    found = level_words.drawn(view, tag)
    told = [_behind(view, tag)]
    if found.outlay_quantiles[10] < found.outlay_quantiles[90]:
        high = view.formats.money(found.outlay_quantiles[90])
        told.append(say("1 in 10 that more than {sum} is to be paid", sum=high))
    if found.chance_below_floor is not None:
        below = chance(found.chance_below_floor)
        falls = noted("{chance} that the reserve falls below its floor")
        if raise_words.solved_amount(view, tag):
            falls = noted("{chance} that the reserve falls below its floor, as was asked for")
        told.append(say(falls, chance=below))
    said = "; ".join([*told, *_longest(view, tag)])
    return f"{said[0].upper()}{said[1:]}."


def _behind(view: View, tag: OptionTag) -> str:
    found = view.uncertain(tag.id)
    if found.chance_beats_baseline is None:
        other = level_words.futures(1 - found.chance_best)
        return say("in {futures} another option brings more", futures=other)
    behind = level_words.ahead_share(view, view.baseline, tag)
    return say(
        "in {futures} it ends behind “{baseline}”",
        futures=level_words.futures(behind),
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
    counted = say(
        "“12 of 20 futures” and “46 in 100” are counted in {trials} possible futures, drawn from "
        "the ranges.",
        trials=number(view.figures.uncertainty.trials),
    )
    return joined_sentences(counted, level_words.rule())
