"""The answer under five short headings: differences, level options, what decides, risks, next day.

A heading has one fact with its figures, for all options to which it applies. A heading without one
is left out. Nothing here recommends an option.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import combinations

from panelworth.engine.results.airplane_sums import share_apart
from panelworth.engine.results.editions import Deadline
from panelworth.engine.results.leading import LeadingFigures
from panelworth.engine.results.trials import ReserveTrials
from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import about, joined, near_day, percent, plural, year_after
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import grant_words, level_words, pay_words, raise_words
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.level_words import ABOVE, AHEAD, FUTURES
from panelworth.publishing.words.milestones import days_to_decide
from panelworth.publishing.words.outcome_words import outcome_size
from panelworth.publishing.words.rounding import CLOSE, input_value
from panelworth.publishing.words.sentences import joined_sentences
from panelworth.publishing.words.sources import input_name, owner, roots_within

MOST_PAIRS = 2  # of level options that have a sentence each
APART = 0.05  # smaller differences between the shares of needs met are not mentioned
FLOOR_GROUPS = 3  # groups of options with the same count of futures below the floor
PEOPLE = ".members.joined"

Head = tuple[str, str]


def heads(view: View) -> list[Head]:
    """Return the headings that have a fact, in the order in which a decision needs them."""
    all_heads = (
        (_("What differs"), what_differs(view)),
        (_("Level in money"), level(view)),
        (_("What decides it"), decides(view)),
        (_("What could go wrong"), goes_wrong(view)),
        (_("Decide by"), decide_by(view)),
    )
    return [(head, text) for head, text in all_heads if text]


def what_differs(view: View) -> str:
    """Say who pays least and most, and what the options bring that are not level."""
    return joined_sentences(pay_words.least_and_most(view), *brings(view))


def brings(view: View) -> Iterator[str]:
    """Yield what options that are not level with the baseline bring on average."""
    groups = dict(grouped(view.others, lambda tag: level_words.standing(view, tag)))
    clauses: list[str] = []
    for standing in ("ahead", "behind"):
        tags = groups.get(standing, [])
        if tags:
            clauses.append(_group(view, tags, standing, first=not clauses))
    if not clauses:
        return
    years = plural(view.figures.years, "year", "years")
    yield _("On average over {years}, {brought}.", years=years, brought=", ".join(clauses))
    yield _("Counted together, in today's money: cash, the airplane's value, the hours flown.")


def _group(view: View, tags: Sequence[OptionTag], standing: str, *, first: bool) -> str:
    """Say what a group of options brings; a second group continues the same sentence."""
    if not first:
        text = N_("{options} {sums} less")
        return _(text, options=names(tags), sums=_means(view, tags))
    text = ngettext(
        "{options} brings {whom} {sums} more than {baseline}",
        "{options} bring {whom} {sums} more than {baseline}",
        len(tags),
    )
    if standing == "behind":
        text = ngettext(
            "{options} brings {whom} {sums} less than {baseline}",
            "{options} bring {whom} {sums} less than {baseline}",
            len(tags),
        )
    return text.format(
        options=names(tags),
        whom=_("members") if view.club else _("you"),
        sums=_means(view, tags),
        baseline=view.baseline.short,
    )


def _mean(leading: LeadingFigures) -> float:
    return leading.trials.range.net_benefit.mean


def _means(view: View, tags: Sequence[OptionTag]) -> str:
    """Write the means of some options: one sum, or the least and the most."""
    means = sorted((_mean(view.leading(tag)) for tag in tags), key=abs)
    low, high = outcome_size(view, means[0]), outcome_size(view, means[-1])
    return low if low == high else _("{low} to {high}", low=low, high=high)


def level(view: View) -> str:
    """Say which options are too close to call, and in what else they differ."""
    pairs = _level_pairs(view)
    if len(pairs) > MOST_PAIRS:
        return level_in_short(view)
    return joined_sentences(
        *(_close(view, one, other) for one, other in pairs),
        *(needs_met(view, pair) for pair in pairs[:1]),
    )


def level_in_short(view: View) -> str:
    """Say which options are too close to call, without a count for each pair."""
    pairs = _level_pairs(view)
    paired = [tag for tag in view.tags.values() if any(tag in pair for pair in pairs)]
    if not paired:
        return ""
    text = N_(
        "{options}: each is level with another of them, since neither ends ahead in {least} of "
        "{all} futures."
    )
    if len(pairs) == 1:
        text = N_("{options}: level, since neither ends ahead in {least} of {all} futures.")
    return joined_sentences(
        _(text, options=names(paired), least=AHEAD, all=FUTURES), needs_met(view, paired)
    )


def _level_pairs(view: View) -> list[tuple[OptionTag, OptionTag]]:
    return [
        (one, other)
        for one, other in combinations(view.tags.values(), 2)
        if level_words.level(view.leading(one), view.leading(other))
    ]


def _close(view: View, one: OptionTag, other: OptionTag) -> str:
    """Say how often one of two level options ends ahead of the other."""
    ahead, behind = (other, one) if one is view.baseline else (one, other)
    return _(
        "{option} ends ahead of {other} in {count} of {all} futures: too close to call.",
        option=ahead.short,
        other=behind.short,
        count=level_words.count_ahead(view.leading(ahead), view.leading(behind)),
        all=FUTURES,
    )


def needs_met(view: View, tags: Sequence[OptionTag]) -> str:
    """Say which share of the needs options meet, if the shares differ."""
    capability = view.figures.airplane.capability
    if capability is None or not all(tag.id in capability.share for tag in tags):
        return ""
    if share_apart(capability, [tag.id for tag in tags]) < APART:
        return ""
    shares = {tag: percent(capability.share[tag.id], 0) for tag in tags}
    best, *others = sorted(tags, key=lambda tag: capability.share[tag.id], reverse=True)
    text = N_("What they give differs: {option} meets {share} of what was asked for, {others}.")
    if view.club:
        text = N_(
            "What they give differs: {option} meets {share} of what members asked for, {others}."
        )
    rest = [_("{option} {share}", option=tag.short, share=shares[tag]) for tag in others]
    return _(text, option=best.short, share=shares[best], others=joined(rest))


def decides(view: View) -> str:
    """Say what the best options depend on: assumed growth, and one input."""
    leading = [tag for tag in view.others if level_words.standing(view, tag) != "behind"]
    best = max(leading, key=lambda tag: _mean(view.leading(tag)), default=None)
    growth = [_growth(view, tag) for tag in leading]
    turn = _turned(view, best) if best else ""
    return joined_sentences(*growth, turn, level_words.without_worth(view.case))


def _growth(view: View, tag: OptionTag) -> str:
    """Name the growth without which an option would not be ahead."""
    likely, option = view.option(tag.id).likely, view.case.options[tag.id]
    # Growth and break-evens are calculated for the plan alone: nothing to say from a later start.
    later = view.leading(tag).allowed_start
    if later or likely.net_benefit < 0 or likely.without_growth >= 0:
        return ""
    people, hours = option.members.joined.likely, option.after.hours_per_year_change.likely
    growth = [plural(people, "new member", "new members")] if people > 0 else []
    if hours > 0:
        growth.append(_("{hours} more hours a year", hours=about(hours)))
    return _(
        "{option} counts on {growth}; without that it likely brings {sum} less than {baseline}.",
        option=tag.short,
        growth=joined(growth) or _("more flying"),
        sum=outcome_size(view, likely.without_growth),
        baseline=view.baseline.short,
    )


def _turned(view: View, tag: OptionTag) -> str:
    """Say at which value the input with the largest effect reverses the order; "" if none does.

    Numbers of people are left out, since a fraction of a member has no meaning.
    """
    paths = [points.input for points in view.insight.break_even_points.get(tag.id, ())]
    texts = (_turned_by(view, tag, path) for path in paths if not path.endswith(PEOPLE))
    return next(filter(None, texts), "")


def _turned_by(view: View, tag: OptionTag, path: str) -> str:
    """Say at which value within its range an input reverses the order; "" if at none."""
    declared, roots = view.inputs[path], roots_within(view, tag, path)
    if len(roots) != 1 or not roots[0].side or view.leading(tag).allowed_start:
        return ""
    text = N_("{input}: at {value} instead of {likely}, {option} is as good as {baseline}.")
    if view.option(tag.id).likely.net_benefit > 0:
        text = N_("{input}: at {value} instead of {likely}, {option} is no better than {baseline}.")
    value = input_value(view.formats, roots[0].value, declared)
    likely = view.formats.measure(declared.quantity.likely, declared.unit)
    if value == likely:
        return ""
    return _(
        text,
        input=_named(view, path),
        value=value,
        likely=likely,
        option=tag.short,
        baseline=view.baseline.short,
    )


def _named(view: View, path: str) -> str:
    """Name an input with the option that it belongs to."""
    name, option = input_name(view.inputs[path]), owner(view.tags.values(), path)
    return _("{input} ({option})", input=name, option=option.short) if option else name


def goes_wrong(view: View) -> str:
    """Say how often the reserve breaks its floor, and how large the largest bill may become."""
    return joined_sentences(*_floor(view), _bill(view))


def _floor(view: View) -> Iterator[str]:
    """Yield in how many futures the club's cash falls below its floor, option by option."""
    tags = [tag for tag in view.tags.values() if view.leading(tag).trials.reserve]
    if view.club is None or not tags:
        return
    yield _below_floor(view, view.club, tags)
    solved = [tag for tag in tags if raise_words.solved_amount(view.case, view.leading(tag))]
    if solved:
        yield ngettext(
            "The raise of {options} was set to accept as much.",
            "The raises of {options} were set to accept as much.",
            len(solved),
        ).format(options=names(solved))
    yield from _later(view, tags)


def _below_floor(view: View, club: Club, tags: Sequence[OptionTag]) -> str:
    """Say in how many futures the reserve falls below its floor: one range if counts are near."""
    floor = view.formats.money(club.reserve_floor)
    years = plural(view.case.scenario.floor_years, "year", "years")
    chances = {tag: view.leading(tag).chance_below_floor for tag in tags}
    counts = sorted(map(level_words.twentieths, chances.values()))
    if len(tags) > 1 and counts[0] > 0 and not level_words.far_apart(counts[0], counts[-1]):
        return _(
            "Under each option the reserve falls below its {floor} floor within {years} in {count} "
            "of {all} futures.",
            floor=floor,
            years=years,
            count=str(counts[0]) if counts[0] == counts[-1] else f"{counts[0]}–{counts[-1]}",
            all=FUTURES,
        )
    worst = sorted(tags, key=lambda tag: chances[tag], reverse=True)
    groups = grouped(worst, lambda tag: level_words.of_twenty(chances[tag]))
    counted = [
        _("{options} in {count}", options=names(group), count=count)
        for count, group in groups[:FLOOR_GROUPS]
    ]
    return _(
        "The reserve falls below its {floor} floor within {years}: {counts} futures.",
        floor=floor,
        years=years,
        counts=joined(counted),
    )


def _later(view: View, tags: Sequence[OptionTag]) -> Iterator[str]:
    """Yield the options that fall below the floor far more often by the end of all years."""
    counts = []
    for tag in tags:
        first = level_words.twentieths(view.leading(tag).chance_below_floor)
        last = level_words.twentieths(by_the_end(view.leading(tag).trials.reserve))
        if level_words.far_apart(first, last):
            counts.append(_("{count} with {option}", option=tag.short, count=last))
    if counts:
        yield _(
            "By {year}, of {all}: {counts}.",
            year=year_after(view.case.scenario.as_of, view.figures.years),
            all=FUTURES,
            counts=joined(counts),
        )


def by_the_end(reserve: ReserveTrials | None) -> float:
    """Return the share of futures in which the reserve is below the floor in any counted year."""
    return reserve.chance_below_floor_by_year[-1] if reserve else 0.0


def _bill(view: View) -> str:
    """Say which sum the bill of the least certain option exceeds in 2 of 20 futures."""
    trials = {tag: view.leading(tag).trials for tag in view.tags.values()}
    widest = max(trials, key=lambda tag: trials[tag].outlay_overrun)
    if trials[widest].outlay_overrun < CLOSE:
        return ""
    return _(
        "In {count} of {all} futures more than {sum} is to be paid for {option}.",
        count=ABOVE,
        all=FUTURES,
        option=widest.short,
        sum=grant_words.seldom_above(view.formats, trials[widest]),
    )


def decide_by(view: View) -> str:
    """Say on which next day an option must be ordered or a price lapses, and of which option."""
    return next(iter(deadlines(view)), "")


def deadlines(view: View) -> list[str]:
    """Say on which days an option must be ordered or a price lapses, the next day first."""
    if view.figures.project is not None:  # decided: nothing is left to decide by
        return []
    return [_deadline(view, day, events) for day, events in sorted(days_to_decide(view).items())]


def _deadline(view: View, day: date, on_day: Sequence[Deadline]) -> str:
    orders = [view.tags[event.option] for event in on_day if event.kind == "order"]
    lapsing = [view.tags[event.option] for event in on_day if event.kind == "quote"]
    events = [_("{options} must be ordered that day", options=names(orders))] if orders else []
    for tag, count in Counter(lapsing).items():
        price = ngettext(
            "{count} price of {option} lapses", "{count} prices of {option} lapse", count
        )
        events.append(price.format(count=count, option=tag.short))
    when = near_day(day, view.case.scenario.as_of)
    return _("{day}: {events}.", day=when, events=joined(events))
