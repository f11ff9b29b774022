"""What an option's own page says: key figures, warnings, outcomes, what it gives and changes."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from panelworth.model.ledger import has_lapsed
from panelworth.publishing.formats import joined, near_day, percent, plural, signed
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, pay_words, sentences
from panelworth.publishing.words.failure_words import count_ending
from panelworth.publishing.words.ledger_words import standings_of, thing_name
from panelworth.publishing.words.price_words import Price
from panelworth.publishing.words.rounding import money_step, outcome, to_step
from panelworth.publishing.words.starts_words import best_starts, refusal

MOST_NAMED = 3  # wishes, lapsed papers: further ones are counted
RULE = "IFR"


@dataclass(frozen=True, kw_only=True)
class KeyFigure:
    """A figure at the head of the page: one value, or one for each kind of member."""

    label: str
    values: Sequence[str]


def key_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    """Return what is paid, by whom, and for how long the airplane is away."""
    figures = _member_figures(view, tag) if view.club else _owner_figures(view, tag)
    return [*figures, *_away(view, tag)]


def _member_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    once, granted = pay_words.once(view, tag), grant_words.enough(view, tag)
    month = [each.value for each in pay_words.pays(view, tag)]
    found = [KeyFigure(label=_("A month"), values=month)]
    if any(once):
        sums = [each or _("nothing") for each in once]
        found.append(KeyFigure(label=_("Once, each member"), values=sums))
    if granted:
        found.append(KeyFigure(label=_("To grant, enough in 16 of 20"), values=[granted]))
    return found


def _owner_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    paid = pay_words.pays(view, tag)[0]
    found = [KeyFigure(label=_("A year"), values=[paid.value])]
    likely = view.option(tag.id).likely
    if abs(likely.outlay) >= sentences.CLOSE or abs(likely.upfront) >= sentences.CLOSE:
        sum_ = grant_words.told(view, tag, likely.upfront)
        found.append(KeyFigure(label=_("Up front"), values=[sum_]))
    return found


def _away(view: View, tag: OptionTag) -> Iterator[KeyFigure]:
    option = view.case.options[tag.id]
    if option.schedule is None or option.schedule.weeks_down.high == 0:
        return
    label = N_("Away")
    if option.no_airplane_while_down:
        label = N_("One airplane less")
        if not sentences.others_remain(view):
            label = N_("Without an airplane")
    yield KeyFigure(label=_(label), values=[sentences.weeks(option.schedule)])


def warnings(view: View, tag: OptionTag, prices: Sequence[Price]) -> list[str]:
    """Warn of what keeps the option from being done as shown, and of what its file leaves out."""
    told = (_refused(view, tag), _lapsed(view, tag, prices), *level_words.cautions(view, tag))
    return [each for each in told if each]


def _refused(view: View, tag: OptionTag) -> str:
    planner, later = view.figures.airplane.planners.get(tag.id), level_words.allowed(view, tag)
    if not level_words.refused(view, tag):
        return ""
    as_of = view.case.scenario.as_of
    planned = near_day(date.fromisoformat(view.series(tag.id).start), as_of)
    why = joined([refusal(each, brief=True) for each in planner.own.refusals]) if planner else ""
    said = _("Cannot start on {day} as planned: {why}.", day=planned, why=why)
    if not later:
        return _("{refused} No start that was tried is allowed.", refused=said)
    return _(
        "{refused} First allowed start: {day}; what it brings and takes of members is from then.",
        refused=said,
        day=near_day(date.fromisoformat(later.start), as_of),
    )


def _lapsed(view: View, tag: OptionTag, prices: Sequence[Price]) -> str:
    """Name the quotes that have lapsed, with their share of the bill."""
    as_of = view.case.scenario.as_of
    found = {
        thing_name(standing): entry.expires
        for standing in standings_of(view, tag)
        for entry in standing.papers
        if entry.expires and has_lapsed(entry, as_of)
    }
    if not found:
        return ""
    told = [
        _("{thing} ({day})", thing=name, day=near_day(day, as_of))
        for name, day in list(found.items())[:MOST_NAMED]
    ]
    told += more(len(found) - MOST_NAMED)
    lapse = ngettext("Quote lapsed: {things}.", "Quotes lapsed: {things}.", len(found))
    said = lapse.format(things=joined(told))
    whole = math.fsum(each.likely for each in prices)
    part = math.fsum(each.likely for each in prices if each.lapsed)
    if whole < sentences.CLOSE or part < sentences.CLOSE:
        return said
    share = percent(part / whole, 0)
    return _("{lapsed} That is {share} of the bill: ask again.", lapsed=said, share=share)


def more(count: int) -> list[str]:
    """Count what is not named any more: "3 more"; nothing where all is."""
    return [_("{count} more", count=count)] if count > 0 else []


def comes_out(view: View, tag: OptionTag) -> dict[str, str]:
    """Say how often it ends ahead, what it brings on average, and where it stops being ahead."""
    if tag is view.baseline:
        return {}
    count = _(
        "Ahead of {baseline} in {count}.",
        count=level_words.of_twenty(level_words.ahead_share(view, tag, view.baseline)),
        baseline=view.baseline.short,
    )
    mean = level_words.drawn(view, tag).range.net_benefit.mean
    average = _(
        "On average {sum} after {years}, in today's money.",
        sum=outcome(view, mean),
        years=plural(view.figures.years, "year", "years"),
    )
    close = level_words.level(view, tag, view.baseline)
    told = (_("Too close to call.") if close else "", average, _stops(view, tag))
    return {"count": count, "rest": sentences.joined_sentences(*told)}


def _stops(view: View, tag: OptionTag) -> str:
    """Say at which price of the project it stops, or begins, to be ahead; "" as planned alone."""
    likely, even = view.option(tag.id).likely, view.option(tag.id).break_even.project
    side = view.option(tag.id).break_even_side.get("project")
    buys = view.case.options[tag.id].replaces_airplane  # the airplane is no part of the project
    if even is None or side != "at most" or buys or level_words.allowed(view, tag):
        return ""
    step = money_step(abs(even - likely.project) * 2)
    told = {"sum": view.formats.money(to_step(even, step))}
    if likely.net_benefit >= 0:
        return _("It stays ahead up to {sum} for the project.", **told)
    return _("It would be ahead below {sum} for the project.", **told)


def gets(view: View, tag: OptionTag) -> list[tuple[str, str]]:
    """Return what members asked for and would get, what single failures take, what it carries."""
    return [*_wishes(view, tag), *_failures(view, tag), *_load(view, tag)]


def _wishes(view: View, tag: OptionTag) -> Iterator[tuple[str, str]]:
    found = view.figures.airplane.capability
    if found is None or tag.id not in found.share:
        return
    ranked = sorted(found.weights, key=lambda need: -found.weights[need])
    met = [need for need in ranked if need in found.met[tag.id]]
    head = N_("{share} of what is wanted")
    if view.club:
        head = N_("{share} of what members asked for")
    share = percent(found.share[tag.id], 0)
    yield _(head, share=share), _named(met) or _("none of it")
    missed = [need for need in ranked if need not in met]
    if missed:
        yield _("Not"), _named(missed)


def _named(names: Sequence[str]) -> str:
    """Name wishes, the weightiest first, as many as a line or two hold."""
    return "; ".join([*names[:MOST_NAMED], *more(len(names) - MOST_NAMED)])


def _failures(view: View, tag: OptionTag) -> Iterator[tuple[str, str]]:
    """Yield how many failures alone take what instrument flight asks for, beside the baseline's."""
    found = view.figures.airplane.failures
    if tag.id not in found or not found[tag.id].failures:
        return
    head = _("Single failures that would end a flight in cloud")
    count = count_ending(found[tag.id], RULE)
    if count is None:
        yield head, _("Not all that flight in cloud (IFR) asks for is there to begin with.")
        return
    base = found.get(view.baseline.id)
    other = count_ending(base, RULE) if base and tag is not view.baseline else None
    if other is None:
        yield head, _("{count} of {all} units", count=count, all=len(found[tag.id].failures))
        return
    yield (
        head,
        _(
            "{count}; with {baseline} {other}",
            count=count,
            baseline=view.baseline.short,
            other=other,
        ),
    )


def _load(view: View, tag: OptionTag) -> Iterator[tuple[str, str]]:
    """Yield what it can carry, people, bags and fuel, beside today's."""
    found = view.figures.airplane.weight.get(tag.id)
    if found and found.useful_load_change:
        weight = view.formats.weight
        yield (
            _("Useful load"),
            _(
                "{weight}, {change} against today",
                weight=weight(found.useful_load),
                change=signed(weight(found.useful_load_change)),
            ),
        )


def starts(view: View, tag: OptionTag) -> str:
    """Say which starts lose least flying; "" where there is nothing to plan, or none is allowed."""
    planner = view.figures.airplane.planners.get(tag.id)
    if planner is None or not planner.best_by_cost:
        return ""
    return best_starts(planner)[0]
