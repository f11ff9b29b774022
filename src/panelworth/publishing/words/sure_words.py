"""Sentences on the certainty of the comparison: counts of 20, floor, swings, sums to grant."""

from collections.abc import Iterator, Mapping, Sequence

from panelworth.engine.results.insight import (
    RankReversal,
)
from panelworth.engine.results.leading import LeadingFigures
from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import Formats, month, plural
from panelworth.publishing.language import N_, _, after_colon, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, raise_words
from panelworth.publishing.words.groups import names
from panelworth.publishing.words.level_words import FUTURES
from panelworth.publishing.words.outcome_words import outcome
from panelworth.publishing.words.rounding import input_value, rough_step, to_step
from panelworth.publishing.words.sentences import joined_sentences
from panelworth.publishing.words.sources import input_name, owner, roots_within

MOST_NAMED = 4  # options that a sentence names; more are counted
SHOWN = ("share", "people")  # units that are visible in the values or in the name of a range


def promise(club: Club | None) -> str:
    """Say in a few words what the page is for, where another page links to it."""
    if club:
        return _("Head to head, and what to grant")
    return _("Head to head, and what to set aside")


def lead(view: View) -> str:
    """Say which option leads, in how many futures, and in which range of outcomes."""
    if not view.others:
        return _("There is one option, and nothing to compare it with.")
    leading = level_words.bring_most(view)
    if len(leading) > 1:
        return _(
            "Money does not decide between {options}: none of them ends ahead of each other in "
            "{least} of {all} futures.",
            options=names(leading),
            least=level_words.AHEAD,
            all=FUTURES,
        )
    best = leading[0]
    rest = [tag for tag in view.tags.values() if tag is not best]
    least = min(level_words.count_ahead(view.leading(best), view.leading(tag)) for tag in rest)
    text = N_("{option} ends ahead of each other option in at least {count} of {all} futures.")
    if len(rest) == 1:
        text = N_("{option} ends ahead of {other} in {count} of {all} futures.")
    ahead = _(text, option=best.short, other=rest[0].short, count=least, all=FUTURES)
    return f"{ahead} {_open(view, best)}".strip()


def _open(view: View, tag: OptionTag) -> str:
    """Write the worst and the best of an option's outcomes."""
    if tag is view.baseline:
        return ""
    outcomes = view.leading(tag).trials.outcomes
    low, high = outcome(view, outcomes[0]), outcome(view, outcomes[-1])
    if low == high:
        return ""
    return _(
        "How much is uncertain: from {low} to {high} against {baseline}.",
        low=low,
        high=high,
        baseline=view.baseline.short,
    )


def key(view: View) -> str:
    """Explain the marks of the page."""
    return _(
        "Each mark is one of {all} equally likely futures over {years}. Filled ends ahead of "
        "{baseline}, hollow behind.",
        all=FUTURES,
        years=plural(view.figures.years, "year", "years"),
        baseline=view.baseline.short,
    )


def ends(view: View, tag: OptionTag) -> str:
    """Write the worst, the median and the best of an option's outcomes."""
    trials = view.leading(tag).trials
    low, high = outcome(view, trials.outcomes[0]), outcome(view, trials.outcomes[-1])
    if low == high:
        return _("{sum}; no range bears on it.", sum=low)
    return _(
        "Worst {low}, middle {middle}, best {high}.",
        low=low,
        middle=outcome(view, trials.range.net_benefit.p50),
        high=high,
    )


def shown_from(leading: LeadingFigures) -> str:
    """Warn that the figures shown are those of the first allowed start; "" if of the plan."""
    if leading.allowed_start is None:
        return _("Cannot start as planned.") if leading.refused else ""
    return _("Shown from {month}.", month=month(leading.start, 0))


def verdict(one: LeadingFigures, other: LeadingFigures) -> str:
    """Say that two options are level, or that a count of 20 of 20 is not quite all trials."""
    if level_words.level(one, other):
        return _("Level: too close to call.")
    share = one.ahead_of[other.option]
    if level_words.twentieths(share) == FUTURES and share < 1.0:
        return _("Nearly all.")
    return ""


def floor(view: View) -> str:
    """Explain the floor and the marks of its rows, and the chance that was asked for."""
    if view.club is None:
        return ""
    shown = _(
        "The floor is the cash that the club keeps back: {floor}. Hollow: futures in which the "
        "reserve falls under it within {years}, half of them by more than the sum shown.",
        floor=view.formats.money(view.club.reserve_floor),
        years=plural(view.case.scenario.floor_years, "year", "years"),
    )
    return joined_sentences(shown, *asked_for(view))


def asked_for(view: View) -> Iterator[str]:
    """Yield a sentence on solved raises, and on options for which no raise can hold the floor.

    A solved raise allows exactly the chance that was asked for, so that its count is no finding.
    """
    amounts = {
        tag: raise_words.solved_amount(view.case, view.leading(tag))
        for tag in view.tags.values()
        if raise_words.solved_kind(view.case, tag.id)
    }
    asked = [tag for tag, amount in amounts.items() if amount]
    if asked:
        yield ngettext(
            "The raise of {options} was set to accept its count.",
            "The raises of {options} were set to accept theirs.",
            len(asked),
        ).format(options=_named(asked))
    failed = [tag for tag, amount in amounts.items() if amount is None]
    if failed:
        yield _("No raise of the kind asked for holds it: {options}.", options=_named(failed))


def _named(tags: Sequence[OptionTag]) -> str:
    """Name options, or give their number if they are many."""
    return names(tags) if len(tags) <= MOST_NAMED else plural(len(tags), "option", "options")


def depth(view: View, tag: OptionTag) -> str:
    """Say how far the reserve falls in half of the futures that break the floor; "" if none does.

    Also "" if they are too few for a mark.
    """
    reserve = view.leading(tag).trials.reserve
    if reserve is None or not reserve.shortfall_p50:
        return ""
    marks = level_words.twentieths(reserve.chance_below_floor)
    return _("by {sum}", sum=roughly(view.formats, reserve.shortfall_p50)) if marks else ""


def roughly(formats: Formats, amount: float) -> str:
    """Write a sum rounded to about a tenth of itself: "$1,700"."""
    return formats.money(to_step(amount, rough_step(amount)))


def watched(view: View) -> OptionTag | None:
    """Return the option whose swings are shown: the best one besides the baseline."""
    leading = [tag for tag in level_words.bring_most(view) if tag is not view.baseline]

    def brings(tag: OptionTag) -> float:
        return view.leading(tag).trials.range.net_benefit.mean

    return max(leading or view.others, key=brings, default=None)


def swings_key(view: View, tag: OptionTag) -> str:
    """Explain the bars."""
    text = _(
        "Each guess alone, from one end of its range to the other. Right of the line {option} is "
        "ahead of {baseline}, on it they are even.",
        option=tag.short,
        baseline=view.baseline.short,
    )
    if view.leading(tag).allowed_start:
        return f"{text} {_('The start is as planned.')}"
    return text


def range_names(view: View, paths: Sequence[str]) -> list[str]:
    """Name ranges briefly: option and entry, with the input only if two would be equal."""
    entries = [_entry(view, path) for path in paths]
    return [
        _called(view, path, entry[1] if entry[1] and entries.count(entry) == 1 else "")
        for path, entry in zip(paths, entries, strict=True)
    ]


def _entry(view: View, path: str) -> tuple[str, str]:
    """Return the option and the entry that an input belongs to; "" if there is none."""
    return _owned_by(view.tags, path), view.inputs[path].section.partition(": ")[2]


def _owned_by(tags: Mapping[str, OptionTag], path: str) -> str:
    option = owner(tags.values(), path)
    return option.short if option else ""


def _called(view: View, path: str, entry: str) -> str:
    owned_by, unit = _owned_by(view.tags, path), _unit(view.formats, view.inputs[path].unit)
    name = entry or input_name(view.inputs[path])
    if owned_by:
        name = _("{option}: {input}", option=owned_by, input=entry or after_colon(name))
    return _("{input}, {unit}", input=name, unit=unit) if unit else name


def _unit(formats: Formats, unit: str) -> str:
    """Return the part of a unit that the ends do not show: "a year" of "$ a year"."""
    if unit.startswith(SHOWN):
        return ""
    return formats.unit(unit).replace(formats.currency, "").strip()


def range_ends(view: View, path: str) -> tuple[str, str]:
    """Write the two ends of a range."""
    declared, measure = view.inputs[path], view.formats.measure
    low, high = declared.quantity.low, declared.quantity.high
    return measure(low, declared.unit), measure(high, declared.unit)


def turns(view: View, tag: OptionTag, path: str) -> str:
    """Say at which value within its range a single input makes an option and the baseline even."""
    roots = roots_within(view, tag, path)
    if len(roots) != 1:
        return ""
    return _("even at {value}", value=input_value(view.formats, roots[0].value, view.inputs[path]))


def others_take_over(view: View, tag: OptionTag) -> list[str]:
    """Say at which values within their ranges an option other than the baseline becomes best."""
    return [
        _(
            "{then} becomes the best at {value} ({input}).",
            input=range_names(view, [turn.input])[0],
            value=input_value(view.formats, turn.value or 0.0, view.inputs[turn.input]),
            then=view.tags[turn.then or ""].short,
        )
        for turn in view.insight.rank_reversals
        if turn.best == tag.id and _takes_over(view, turn)
    ]


def _takes_over(view: View, turn: RankReversal) -> bool:
    """Say whether a rank reversal is within the range, and its option can start as planned."""
    quantity = view.inputs[turn.input].quantity
    if turn.value is None or turn.then in (None, view.baseline.id):
        return False
    refused = view.leading(view.tags[turn.then or ""]).refused
    return quantity.low <= turn.value <= quantity.high and not refused


def budget(view: View, tag: OptionTag) -> dict[str, str]:
    """Write an option's likely bill, and what is enough in 16 of 20 futures, rounded up."""
    formats, trials = view.formats, view.leading(tag).trials
    enough = grant_words.enough(formats, trials) or formats.money(0)
    return {"likely": grant_words.likely(formats, trials), "enough": enough}


def left_out(club: Club | None) -> str:
    """Say which risks no range includes."""
    who = N_("an accident, a new rule or a shop that closes")
    if club:
        who = N_("an accident, a new rule, a shop that closes or a quarrel in the club")
    return _("No range covers {events}: of such things these futures know nothing.", events=_(who))
