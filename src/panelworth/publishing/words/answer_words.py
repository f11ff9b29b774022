"""The answer in five short heads: what differs, what is level, what decides, goes wrong, is due.

Each head is a fact with its figures, said once of all options it is true of; one that has nothing
to say is left out. Nothing here recommends anything.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from panelworth.engine.results.editions import Deadline
from panelworth.publishing.formats import joined, near_day, percent, plural
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words, pay_words, raise_words
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.rounding import as_sure, money_step, outcome_size, up_to_step
from panelworth.publishing.words.sentences import joined_sentences
from panelworth.publishing.words.sources import input_name, owner, roots_within

MOST_PAIRS = 2
APART = 0.05  # shares of needs that are nearer to one another are not told as a difference
FLOOR_GROUPS = 3
NEAR = 3  # of 20 futures: chances no further apart are told as one range
PEOPLE = ".members.joined"

Head = tuple[str, str]


def heads(view: View) -> list[Head]:
    """Return the heads that have something to say, in the order of a decision."""
    found = (
        (_("What differs"), what_differs(view)),
        (_("Level in money"), level(view)),
        (_("What decides it"), decides(view)),
        (_("What could go wrong"), goes_wrong(view)),
        (_("Decide by"), decide_by(view)),
    )
    return [(head, text) for head, text in found if text]


def what_differs(view: View) -> str:
    """Say who pays least and most, and what the options bring that are not level."""
    return joined_sentences(pay_words.least_and_most(view), *_brings(view))


def _brings(view: View) -> Iterator[str]:
    """Yield what options that are not level with the baseline bring on average."""
    groups = dict(grouped(view.others, lambda tag: level_words.standing(view, tag)))
    told: list[str] = []
    for standing in ("ahead", "behind"):
        tags = groups.get(standing, [])
        if tags:
            told.append(_group(view, tags, standing, first=not told))
    if not told:
        return
    years = plural(view.figures.years, "year", "years")
    yield _("On average over {years}, {brought}.", years=years, brought=", ".join(told))
    yield _("Counted together, in today's money: cash, the airplane's value, the hours flown.")


def _group(view: View, tags: Sequence[OptionTag], standing: str, *, first: bool) -> str:
    """Say what a group of options brings; a second group goes on where the first ended."""
    if not first:
        less = N_("{options} {sums} less")
        return _(less, options=names(tags), sums=_means(view, tags))
    told = ngettext(
        "{options} brings {whom} {sums} more than {baseline}",
        "{options} bring {whom} {sums} more than {baseline}",
        len(tags),
    )
    if standing == "behind":
        told = ngettext(
            "{options} brings {whom} {sums} less than {baseline}",
            "{options} bring {whom} {sums} less than {baseline}",
            len(tags),
        )
    return told.format(
        options=names(tags),
        whom=_("members") if view.club else _("you"),
        sums=_means(view, tags),
        baseline=view.baseline.short,
    )


def _means(view: View, tags: Sequence[OptionTag]) -> str:
    """Write the means of some options as one sum, or from the least to the most."""
    sizes = sorted(abs(level_words.drawn(view, tag).range.net_benefit.mean) for tag in tags)
    low, high = outcome_size(view, sizes[0]), outcome_size(view, sizes[-1])
    return low if low == high else _("{low} to {high}", low=low, high=high)


def level(view: View) -> str:
    """Say which options are too close to call, and what else sets them apart."""
    tags = list(view.tags.values())
    pairs = [
        (one, other)
        for place, one in enumerate(tags)
        for other in tags[place + 1 :]
        if level_words.level(view, one, other)
    ]
    if not pairs:
        return ""
    if len(pairs) > MOST_PAIRS:
        found = [tag for tag in tags if any(tag in pair for pair in pairs)]
        return joined_sentences(
            _(
                "{options}: each is level with another of them, since neither ends ahead in 13 of "
                "20 futures.",
                options=names(found),
            ),
            gives(view, found),
        )
    return joined_sentences(
        *(_close(view, one, other) for one, other in pairs),
        *(gives(view, pair) for pair in pairs[:1]),
    )


def _close(view: View, one: OptionTag, other: OptionTag) -> str:
    """Say of two level options how often the later one ends ahead."""
    ahead, behind = (other, one) if one is view.baseline else (one, other)
    count = level_words.count_ahead(view, ahead, behind)
    return _(
        "{option} ends ahead of {other} in {count} of {all} futures: too close to call.",
        option=ahead.short,
        other=behind.short,
        count=count,
        all=level_words.FUTURES,
    )


def gives(view: View, tags: Sequence[OptionTag]) -> str:
    """Say how much of what was asked for options give, where that sets them apart."""
    found = view.figures.airplane.capability
    shares = {tag.id: found.share[tag.id] for tag in tags if found and tag.id in found.share}
    if len(shares) < len(tags) or max(shares.values()) - min(shares.values()) < APART:
        return ""
    best = sorted(tags, key=lambda tag: -shares[tag.id])
    told = [
        _("{option} {share}", option=tag.short, share=percent(shares[tag.id], 0))
        for tag in best[1:]
    ]
    first = N_("What they give differs: {option} meets {share} of what was asked for, {others}.")
    if view.club:
        first = N_(
            "What they give differs: {option} meets {share} of what members asked for, {others}."
        )
    return _(
        first,
        option=best[0].short,
        share=percent(shares[best[0].id], 0),
        others=joined(told),
    )


def decides(view: View) -> str:
    """Say what the best options hang on: growth that nobody promised, and one input's value."""
    leading = [tag for tag in view.others if level_words.standing(view, tag) != "behind"]
    best = sorted(leading, key=lambda tag: -level_words.drawn(view, tag).range.net_benefit.mean)
    said = [_growth(view, tag) for tag in leading]
    return joined_sentences(*said, *_turned(view, best[:1]), level_words.without_worth(view))


def _growth(view: View, tag: OptionTag) -> str:
    """Say of an option that comes out ahead only with growth what it counts on."""
    likely, option = view.option(tag.id).likely, view.case.options[tag.id]
    later = level_words.allowed(view, tag)
    if later or likely.net_benefit < 0 or likely.without_growth >= 0:
        return ""
    people, hours = option.members.joined.likely, option.after.hours_per_year_change.likely
    counted = [plural(people, "new member", "new members")] if people > 0 else []
    counted += [_("{hours} more hours a year", hours=round(hours))] if hours > 0 else []
    return _(
        "{option} counts on {growth}; without that it likely brings {sum} less than {baseline}.",
        option=tag.short,
        growth=joined(counted) or _("more flying"),
        sum=outcome_size(view, likely.without_growth),
        baseline=view.baseline.short,
    )


def _turned(view: View, tags: Sequence[OptionTag]) -> Iterator[str]:
    """Yield the value of the input that moves an option most at which it is no longer ahead.

    A number of people is no such input: a fraction of a member says nothing to anybody.
    """
    for tag in tags:
        paths = (each.input for each in view.insight.even_points.get(tag.id, ()))
        said = (_told(view, tag, path) for path in paths if not path.endswith(PEOPLE))
        yield from list(filter(None, said))[:1]


def _told(view: View, tag: OptionTag, path: str) -> str:
    """Say at which value within its range an input turns the comparison; "" where at none."""
    each, roots = view.inputs[path], roots_within(view, tag, path)
    if len(roots) != 1 or not roots[0].side or level_words.allowed(view, tag):
        return ""
    ahead = view.option(tag.id).likely.net_benefit > 0
    turns = N_("{input}: at {value} instead of {likely}, {option} is no better than {baseline}.")
    if not ahead:
        turns = N_("{input}: at {value} instead of {likely}, {option} is as good as {baseline}.")
    value = as_sure(view, roots[0].value, each)
    likely = view.formats.measure(each.quantity.likely, each.unit)
    if value == likely:
        return ""
    return _(
        turns,
        input=_named(view, path),
        value=value,
        likely=likely,
        option=tag.short,
        baseline=view.baseline.short,
    )


def _named(view: View, path: str) -> str:
    """Name an input, and the option whose it is."""
    name, own = input_name(view.inputs[path]), owner(view, path)
    return _("{input} ({option})", input=name, option=own.short) if own else name


def goes_wrong(view: View) -> str:
    """Say how often the reserve breaks its floor, and how large the largest bill may become."""
    return joined_sentences(*_floor(view), _bill(view))


def _floor(view: View) -> Iterator[str]:
    """Yield in how many futures which options take the club's cash under its floor."""
    tags = [tag for tag in view.tags.values() if level_words.drawn(view, tag).reserve]
    if view.club is None or not tags:
        return
    floor = view.formats.money(view.club.reserve_floor)
    years = plural(view.case.scenario.floor_years, "year", "years")
    counts = sorted(level_words.twentieths(level_words.below_floor(view, tag)) for tag in tags)
    if len(tags) > 1 and counts[0] > 0 and counts[-1] - counts[0] <= NEAR:
        span = str(counts[0]) if counts[0] == counts[-1] else f"{counts[0]}–{counts[-1]}"
        yield _(
            "Under each option the reserve falls below its {floor} floor within {years} in {count} "
            "of {all} futures.",
            floor=floor,
            years=years,
            count=span,
            all=level_words.FUTURES,
        )
    else:
        worst = sorted(tags, key=lambda tag: -level_words.below_floor(view, tag))
        groups = grouped(
            worst, lambda tag: level_words.of_twenty(level_words.below_floor(view, tag))
        )
        told = [
            _("{options} in {count}", options=names(found), count=count)
            for count, found in groups[:FLOOR_GROUPS]
        ]
        yield _(
            "The reserve falls below its {floor} floor within {years}: {counts} futures.",
            floor=floor,
            years=years,
            counts=joined(told),
        )
    asked = [tag for tag in tags if raise_words.solved_amount(view, tag)]
    if asked:
        yield ngettext(
            "The raise of {options} was set to accept as much.",
            "The raises of {options} were set to accept as much.",
            len(asked),
        ).format(options=names(asked))
    yield from _later(view, tags)


def _later(view: View, tags: Sequence[OptionTag]) -> Iterator[str]:
    """Yield which options break the floor far more often by the end of all years."""
    counts = {
        tag: [
            level_words.twentieths(share)
            for share in (level_words.below_floor(view, tag), by_the_end(view, tag))
        ]
        for tag in tags
    }
    worse = [tag for tag, (first, last) in counts.items() if last - first > NEAR]
    if worse:
        told = [_("{count} with {option}", option=t.short, count=counts[t][1]) for t in worse]
        yield _(
            "By {year}, of {all}: {counts}.",
            year=view.case.scenario.as_of.year + view.figures.years,
            all=level_words.FUTURES,
            counts=joined(told),
        )


def by_the_end(view: View, tag: OptionTag) -> float:
    """Return the share of futures in which the floor breaks in any of the years looked at."""
    found = level_words.drawn(view, tag).reserve
    return found.chance_below_floor_by_year[-1] if found else 0.0


def _bill(view: View) -> str:
    """Say above what the bill of the least certain option comes in 2 of 20 futures."""
    found = {tag: level_words.drawn(view, tag).outlay_quantiles for tag in view.tags.values()}
    widest = max(found, key=lambda tag: found[tag][90] - found[tag][50])
    low, likely, high = (found[widest][share] for share in (10, 50, 90))
    if high - likely < 1.0:
        return ""
    step = money_step(high - low)
    return _(
        "In 2 of {all} futures more than {sum} is to be paid for {option}.",
        all=level_words.FUTURES,
        option=widest.short,
        sum=view.formats.money(up_to_step(high, step)),
    )


def days_to_decide(view: View) -> dict[date, list[Deadline]]:
    """Return the days on which an option must be ordered or a price lapses, and what does."""
    days: dict[date, list[Deadline]] = {}
    for each in view.loop.deadlines:
        if each.kind in ("quote", "order") and not each.past:
            days.setdefault(_day(view, each), []).append(each)
    return days


def decide_by(view: View) -> str:
    """Say the nearest day on which an option must be ordered or a price lapses, and which."""
    days = days_to_decide(view)
    if not days:
        return ""
    first = min(days)
    orders = [view.tags[each.option] for each in days[first] if each.kind == "order"]
    lapsing = [view.tags[each.option] for each in days[first] if each.kind == "quote"]
    told = [_("{options} must be ordered that day", options=names(orders))] if orders else []
    for tag, count in ((tag, lapsing.count(tag)) for tag in dict.fromkeys(lapsing)):
        price = ngettext(
            "{count} price of {option} lapses", "{count} prices of {option} lapse", count
        )
        told.append(price.format(count=count, option=tag.short))
    when = near_day(first, view.case.scenario.as_of)
    return _("{day}: {events}.", day=when, events=joined(told))


def _day(view: View, each: Deadline) -> date:
    """Return a deadline's day; an order's is that of the first start that is allowed."""
    later = level_words.allowed(view, view.tags[each.option]) if each.kind == "order" else None
    return date.fromisoformat(later.order) if later else each.first
