"""A member's own bill: its sums at given hours, and why it differs from the baseline's."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from panelworth.engine.results.leading import LeadingFigures
from panelworth.engine.results.members import MemberBills
from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.model.dates import month_index
from panelworth.publishing.formats import (
    NONE,
    Formats,
    counted_as,
    joined,
    month,
    number,
    plural,
    tenths,
)
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words, raise_words
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.outcome_words import outcome_size
from panelworth.publishing.words.rounding import RoundedSum, money_step, rounded_sum, to_step
from panelworth.publishing.words.sentences import joined_sentences

STANDINGS = {
    "ahead": N_("{options} {sums} ahead"),
    "level": N_("{options} level"),
    "behind": N_("{options} {sums} behind"),
}


@dataclass(frozen=True, kw_only=True)
class Kind:
    """A kind of member: the name of its profile ("" without one) and its hours a year."""

    name: str
    hours: float


def kinds(club: Club | None) -> list[Kind]:
    """Return the kinds of member to choose from: the profiles, or three round numbers of hours."""
    profiles = club.profiles if club else ()
    named = [Kind(name=profile.name, hours=profile.hours_per_year) for profile in profiles]
    # Without profiles: one hour a month, two and a half, five.
    return named or [Kind(name="", hours=hours) for hours in (12.0, 30.0, 60.0)]


def kind_text(kind: Kind) -> str:
    """Name a kind of member with its hours: "Flies once a month: 14"."""
    if not kind.name:
        return hours_text(kind.hours)
    return _("{kind}: {hours}", kind=kind.name, hours=number(kind.hours))


def sums_at(view: View, member_bills: MemberBills, hours: float) -> dict[str, RoundedSum]:
    """Return the bills a month at these hours a year, with their difference to the baseline's.

    Options without a bill are left out. If the baseline has none, all differences are 0.
    """
    base = member_bills.per_month(view.figures.baseline, hours)
    bills = {option_id: member_bills.per_month(option_id, hours) for option_id in view.tags}
    return {
        option_id: rounded_sum(bill if base is None else base, bill)
        for option_id, bill in bills.items()
        if bill is not None
    }


def compared(view: View, member_bills: MemberBills, tag: OptionTag) -> bool:
    """Say whether an option's bill can be compared with the baseline's."""
    return tag is not view.baseline and {tag.id, view.figures.baseline} <= set(member_bills.lines)


def hours_text(hours: float, write: Callable[[float], str] = number) -> str:
    """Write hours a year: "14 hours a year"."""
    text = write(hours)
    return hours_form(counted_as(hours, text)).format(hours=text)


def hours_form(count: int) -> str:
    """Return the plural form for a count of hours; `{hours}` in it is filled in later."""
    return ngettext("{hours} hour a year", "{hours} hours a year", count)


def least_form(count: int) -> str:
    """Return the plural form for the number of options that ask least, for the page's script."""
    return ngettext(
        "At {hours} {options} asks least: {least} a month.",
        "At {hours} {options} ask least: {least} a month.",
        count,
    )


def asks_least(view: View, member_bills: MemberBills, hours: float) -> str:
    """Say which options ask least at some hours, by the totals that are shown."""
    totals = {
        option_id: sums.total for option_id, sums in sums_at(view, member_bills, hours).items()
    }
    if not totals:
        return ""
    least = min(totals.values())
    best = [view.tags[option_id] for option_id, total in totals.items() if total == least]
    return least_form(len(best)).format(
        hours=hours_text(hours), options=names(best), least=view.formats.money(least)
    )


def unfunded(all_tags: Mapping[str, OptionTag], member_bills: MemberBills) -> str:
    """Name the options that no raise of the chosen kind can fund, so that they have no bill."""
    tags = [tag for tag in all_tags.values() if tag.id not in member_bills.lines]
    if not tags:
        return ""
    return ngettext(
        "{options} has no bill: no raise of the kind asked for funds it.",
        "{options} have no bill: no raise of the kind asked for funds them.",
        len(tags),
    ).format(options=names(tags))


def once(formats: Formats, member_bills: MemberBills, tag: OptionTag) -> str:
    """Write the assessment that an option asks of each member; "" without one."""
    line = member_bills.lines.get(tag.id)
    return raise_words.up(formats, line.assessment) if line and line.assessment else ""


def why_more(view: View, member_bills: MemberBills) -> tuple[str, str]:
    """Return a heading and the reasons to pay more than for the baseline."""
    dearer = [
        tag
        for tag in view.others
        if any(
            sums.difference > 0
            for kind in kinds(view.club)
            if (sums := sums_at(view, member_bills, kind.hours).get(tag.id))
        )
    ]
    head = _("What a bill leaves out")
    if dearer:
        head = _("Why pay more than {baseline} asks?", baseline=view.baseline.short)
    return head, joined_sentences(*_reserve_at_end(view), *_brings(view))


def _reserve_at_end(view: View) -> Iterator[str]:
    """Yield the median reserve at the end of the years."""
    ends = {
        tag: reserve.reserve_by_year[-1]
        for tag in view.tags.values()
        if (reserve := view.leading(tag).trials.reserve)
    }
    if not ends:
        return
    step = max(money_step(end.width) for end in ends.values())
    sums = [
        _("{sum} with {option}", sum=view.formats.money(to_step(end.p50, step)), option=tag.short)
        for tag, end in ends.items()
    ]
    yield _(
        "What members pay goes to the club: after {years} its reserve is about {sums}.",
        years=plural(view.figures.years, "year", "years"),
        sums=joined(sums),
    )


def _brings(view: View) -> Iterator[str]:
    """Yield the mean net benefits, grouped by ahead, level and behind."""
    groups = dict(grouped(view.others, lambda tag: level_words.standing(view, tag)))
    ends = [
        _(
            STANDINGS[standing],
            options=names(groups[standing]),
            sums=joined([_mean(view, tag) for tag in groups[standing]]),
        )
        for standing in STANDINGS
        if standing in groups
    ]
    if ends:
        yield _(
            "Against {baseline}, with the airplane's value and the hours flown, on "
            "average: {ends}.",
            baseline=view.baseline.short,
            ends="; ".join(ends),
        )


def _mean(view: View, tag: OptionTag) -> str:
    return outcome_size(view, view.leading(tag).trials.range.net_benefit.mean)


def parts(view: View, member_bills: MemberBills) -> list[tuple[str, list[str]]]:
    """Return the parts of the bill, one row each, with raises rounded up."""
    tags = list(view.tags.values())
    rows = [
        (_("Dues a month"), [_tariff(view, member_bills, tag, "dues") for tag in tags]),
        (_("An hour flown"), [_tariff(view, member_bills, tag, "hourly_rate") for tag in tags]),
        (_("Once"), [once(view.formats, member_bills, tag) or NONE for tag in tags]),
        (_("The raise runs for"), [_runs(view, member_bills, tag) for tag in tags]),
    ]
    return [row for row in rows if any(cell != NONE for cell in row[1])]


def _tariff(view: View, member_bills: MemberBills, tag: OptionTag, kind: str) -> str:
    """Write dues or the rate including the raise; in whole units if the raise was solved."""
    line = member_bills.lines.get(tag.id)
    if line is None:
        return NONE
    tariff: float = getattr(line, kind)
    if raise_words.solved_kind(view.case, tag.id) == kind:
        return raise_words.up(view.formats, tariff)
    return view.formats.rate(tariff)


def _runs(view: View, member_bills: MemberBills, tag: OptionTag) -> str:
    """Write for how many years an option's raises of dues or rate run."""
    years = (
        [_years(view.case, tag, kind) for kind in _raised(view.leading(tag))]
        if tag.id in member_bills.lines
        else []
    )
    return joined(list(dict.fromkeys(years))) or NONE


def _years(case: Case, tag: OptionTag, kind: str) -> str:
    terms = case.options[tag.id].funding
    return plural(terms.years_of(kind, case.scenario), "year", "years")


def _raised(leading: LeadingFigures) -> list[str]:
    """Return the kinds of an option's raises that are paid by month or hour."""
    amounts = raise_words.amounts(leading.funded)
    return [kind for kind in ("dues", "hourly_rate") if amounts.get(kind)]


def notes(view: View, member_bills: MemberBills) -> str:
    """Say which prices the bill uses, and which raises begin before their option starts."""
    early = [
        tag
        for tag in view.others
        if tag.id in member_bills.lines and _raised(view.leading(tag)) and _later(view, tag)
    ]
    runs = ngettext(
        "{options} asks for its raise from {month} on, before it starts.",
        "{options} ask for their raise from {month} on, before they start.",
        len(early),
    ).format(options=names(early), month=month(view.case.scenario.as_of, 1))
    return joined_sentences(_("Today's prices, once an option is in force."), runs if early else "")


def _later(view: View, tag: OptionTag) -> bool:
    """Say whether an option starts after month 1, from which a raise is asked."""
    return month_index(view.case.scenario.as_of, view.leading(tag).start) > 1


def crossings(tags: Mapping[str, OptionTag], member_bills: MemberBills, most: float) -> list[str]:
    """Say at which hours, below `most`, another option becomes the one that asks least."""
    turns = [
        (crossing.hours, crossing)
        for crossing in member_bills.crossings
        if crossing.hours is not None
        and crossing.hours < most
        and member_bills.is_cheapest(crossing.below, crossing.hours)
    ]
    return [
        _(
            "Below {hours} {below} asks least, above that {above}.",
            hours=hours_text(hours) if hours < 1 else hours_text(hours, tenths),
            below=tags[crossing.below].short,
            above=tags[crossing.above].short,
        )
        for hours, crossing in sorted(turns, key=lambda turn: turn[0])
    ]
