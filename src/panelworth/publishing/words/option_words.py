"""The words of an option's page: key figures, warnings, outcomes, benefits and changes."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from panelworth.engine.results.airplane_sums import count_ending
from panelworth.engine.results.downtime import (
    Planner,
)
from panelworth.engine.results.prices import PriceList
from panelworth.model.case import Case
from panelworth.model.ledger import has_lapsed
from panelworth.publishing.formats import joined, near_day, percent, plural, signed
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, pay_words
from panelworth.publishing.words.ledger_words import thing_name
from panelworth.publishing.words.level_words import ENOUGH, FUTURES
from panelworth.publishing.words.outcome_words import outcome
from panelworth.publishing.words.rounding import CLOSE, apart_step, is_shown, to_step
from panelworth.publishing.words.sentences import joined_sentences, others_remain, weeks
from panelworth.publishing.words.starts_words import best_starts, refusal

MOST_NAMED = 3  # needs or lapsed papers that are named; the others are counted
RULE = "IFR"  # the rule for flight in cloud


@dataclass(frozen=True, kw_only=True)
class KeyFigure:
    """A figure at the head of the page: one value, or one for each kind of member."""

    label: str
    values: Sequence[str]


def key_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    """Return what is paid, by whom, and for how long the airplane is away."""
    figures = _member_figures(view, tag) if view.club else _owner_figures(view, tag)
    return [*figures, *_away(view.case, tag)]


def _member_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    once = pay_words.once(view, tag)
    granted = grant_words.enough(view.formats, view.leading(tag).trials)
    month = [pay.value for pay in pay_words.pays(view, tag)]
    figures = [KeyFigure(label=_("A month"), values=month)]
    if any(once):
        sums = [sum_ or _("nothing") for sum_ in once]
        figures.append(KeyFigure(label=_("Once, each member"), values=sums))
    if granted:
        figures.append(_granted(view, tag, granted))
    return figures


def _granted(view: View, tag: OptionTag, enough: str) -> KeyFigure:
    """Return what to grant, or what was granted once the members have chosen the option."""
    project = view.figures.project
    if project and project.option == tag.id and project.status.budget is not None:
        return KeyFigure(label=_("Granted"), values=[view.formats.money(project.status.budget)])
    label = _("To grant, enough in {count} of {all}", count=ENOUGH, all=FUTURES)
    return KeyFigure(label=label, values=[enough])


def _owner_figures(view: View, tag: OptionTag) -> list[KeyFigure]:
    paid = pay_words.pays(view, tag)[0]
    figures = [KeyFigure(label=_("A year"), values=[paid.value])]
    likely = view.option(tag.id).likely
    if is_shown(likely.outlay) or is_shown(likely.upfront):
        sum_ = grant_words.as_sure_as(view.formats, view.leading(tag).trials, likely.upfront)
        figures.append(KeyFigure(label=_("Up front"), values=[sum_]))
    return figures


def _away(case: Case, tag: OptionTag) -> Iterator[KeyFigure]:
    option = case.options[tag.id]
    if option.schedule is None or option.schedule.weeks_down.high == 0:
        return
    label = N_("Away")
    if option.no_airplane_while_down:
        label = N_("One airplane less")
        if not others_remain(case):
            label = N_("Without an airplane")
    yield KeyFigure(label=_(label), values=[weeks(option.schedule)])


def warnings(view: View, tag: OptionTag) -> list[str]:
    """Return warnings: what prevents the option as planned, and unexpected assumptions."""
    lapsed = _lapsed(view.case, view.figures.prices[tag.id], tag.id)
    texts = (_refused(view, tag), lapsed, *level_words.cautions(view.case, tag.id))
    return [text for text in texts if text]


def _refused(view: View, tag: OptionTag) -> str:
    planner, leading = view.figures.airplane.planners.get(tag.id), view.leading(tag)
    if not leading.refused:
        return ""
    as_of = view.case.scenario.as_of
    planned = near_day(date.fromisoformat(view.series(tag.id).start), as_of)
    why = (
        joined([refusal(reason, brief=True) for reason in planner.planned.refusals])
        if planner
        else ""
    )
    text = _("Cannot start on {day} as planned: {why}.", day=planned, why=why)
    if not leading.allowed_start:
        return _("{refused} No start that was tried is allowed.", refused=text)
    return _(
        "{refused} First allowed start: {day}; what it brings and takes of members is from then.",
        refused=text,
        day=near_day(leading.start, as_of),
    )


def _lapsed(case: Case, price_list: PriceList, option_id: str) -> str:
    """Name the quotes that have lapsed, with their share of the bill."""
    as_of = case.scenario.as_of
    days = {
        thing_name(status): entry.expires
        for status in case.ledger_statuses_of(option_id)
        for entry in status.price_rows
        if entry.expires and has_lapsed(entry, as_of)
    }
    if not days:
        return ""
    named = [
        _("{thing} ({day})", thing=thing, day=near_day(day, as_of))
        for thing, day in list(days.items())[:MOST_NAMED]
    ]
    things = joined([*named, *more(days)])
    lapse = ngettext("Quote lapsed: {things}.", "Quotes lapsed: {things}.", len(days))
    text = lapse.format(things=things)
    if price_list.likely < CLOSE or price_list.lapsed < CLOSE:
        return text
    share = percent(price_list.lapsed_share, 0)
    return _("{lapsed} That is {share} of the bill: ask again.", lapsed=text, share=share)


def more(named: Iterable[str]) -> list[str]:
    """Return the number of names left out of a list: "3 more"; empty if none are."""
    count = len(list(named)[MOST_NAMED:])
    return [_("{count} more", count=count)] if count else []


def outcome_texts(view: View, tag: OptionTag) -> dict[str, str]:
    """Say how often it ends ahead, what it brings on average, and where it stops being ahead."""
    if tag is view.baseline:
        return {}
    leading, baseline = view.leading(tag), view.leading(view.baseline)
    count = _(
        "Ahead of {baseline} in {count}.",
        count=level_words.of_twenty(leading.ahead_of[view.baseline.id]),
        baseline=view.baseline.short,
    )
    average = _(
        "On average {sum} after {years}, in today's money.",
        sum=outcome(view, leading.trials.range.net_benefit.mean),
        years=plural(view.figures.years, "year", "years"),
    )
    close = _("Too close to call.") if level_words.level(leading, baseline) else ""
    return {"count": count, "rest": joined_sentences(close, average, _stops(view, tag))}


def _stops(view: View, tag: OptionTag) -> str:
    """Say up to which price of the project it is ahead; "" if it cannot start as planned."""
    option = view.option(tag.id)
    likely, even = option.likely, option.break_even.project
    buys = view.case.options[tag.id].replaces_airplane  # the airplane is no part of the project
    # The break-even is calculated for the plan, so that it does not apply to a later start.
    at_most = option.break_even_side.get("project") == "at most"
    if even is None or not at_most or buys or view.leading(tag).allowed_start:
        return ""
    sum_ = view.formats.money(to_step(even, apart_step(even, likely.project)))
    if likely.net_benefit >= 0:
        return _("It stays ahead up to {sum} for the project.", sum=sum_)
    return _("It would be ahead below {sum} for the project.", sum=sum_)


def benefits(view: View, tag: OptionTag) -> list[tuple[str, str]]:
    """Return the needs that are met, the single failures, and the useful load."""
    return [*_wishes(view, tag), *_failures(view, tag), *_load(view, tag)]


def _wishes(view: View, tag: OptionTag) -> Iterator[tuple[str, str]]:
    capability = view.figures.airplane.capability
    if capability is None or tag.id not in capability.share:
        return
    weights, all_met = capability.weights, capability.met[tag.id]
    ranked = sorted(weights, key=lambda need: weights[need], reverse=True)
    met = [need for need in ranked if need in all_met]
    head = N_("{share} of what is wanted")
    if view.club:
        head = N_("{share} of what members asked for")
    share = percent(capability.share[tag.id], 0)
    yield _(head, share=share), _named(met) or _("none of it")
    missed = [need for need in ranked if need not in met]
    if missed:
        yield _("Not"), _named(missed)


def _named(names: Sequence[str]) -> str:
    """Name the first `MOST_NAMED` needs, and count the others."""
    return "; ".join([*names[:MOST_NAMED], *more(names)])


def _failures(view: View, tag: OptionTag) -> Iterator[tuple[str, str]]:
    """Yield the number of single failures that end IFR flight, beside the baseline's."""
    failures = view.figures.airplane.failures.get(tag.id)
    if failures is None or not failures.failures:
        return
    head = _("Single failures that would end a flight in cloud")
    count = count_ending(failures, RULE)
    if count is None:
        yield head, _("Not all that flight in cloud (IFR) asks for is there to begin with.")
        return
    base = view.figures.airplane.failures.get(view.baseline.id)
    other = count_ending(base, RULE) if base and tag is not view.baseline else None
    if other is None:
        yield head, _("{count} of {all} units", count=count, all=len(failures.failures))
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
    """Yield the useful load (people, bags and fuel) and its change."""
    figures, weight = view.figures.airplane.weight.get(tag.id), view.formats.weight
    if figures and figures.useful_load_change:
        yield (
            _("Useful load"),
            _(
                "{weight}, {change} against today",
                weight=weight(figures.useful_load),
                change=signed(weight(figures.useful_load_change)),
            ),
        )


def starts(planner: Planner | None) -> str:
    """Say which starts lose least flying; "" if there is no schedule or no allowed start."""
    if planner is None or not planner.best_by_cost:
        return ""
    return best_starts(planner)[0]
