"""The words of the handout before a vote: the draft motion, sums to grant, counts of pairs.

Facts and a question, worded for the club's members or for one owner; no advice to either.
"""

from panelworth.model.club import (
    Club,
)
from panelworth.publishing.formats import NONE, day, plural, year_after
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import (
    grant_words,
    level_words,
    pay_words,
    reserve_words,
    warning_words,
)
from panelworth.publishing.words.caution_lines import AIRPLANE, GUESSES, MAINTENANCE, MONEY, RULES
from panelworth.publishing.words.level_words import ABOVE, AHEAD, BAND, ENOUGH, FUTURES

MOTION = N_(
    "“That the club choose one of these options, and grant for it no more than the sum beside it:”"
)
DRAFT = N_(
    "A draft: the club's own rules say how a motion is put and how votes are counted. Each sum is "
    "before sales and credits, and enough in {count} of {all} futures."
)
CHOICE = N_(
    "One of these options. The sum beside it is before sales and credits, and enough in {count} of "
    "{all} futures."
)


def basis() -> str:
    """Explain the counts, and how often a sum is enough."""
    return _(
        "Counts are of {all} equally likely futures; a sum beside an option is enough in {count} "
        "of them.",
        all=FUTURES,
        count=ENOUGH,
    )


def motion(club: Club | None) -> str:
    """Word the draft motion of a club, or an owner's choice."""
    return _(MOTION) if club else _(CHOICE, count=ENOUGH, all=FUTURES)


def draft(club: Club | None) -> str:
    """Say that a motion is a draft, and how sure its sums are; "" for an owner."""
    return _(DRAFT, count=ENOUGH, all=FUTURES) if club else ""


def granted(view: View, tag: OptionTag) -> str:
    """Write what to ask for or set aside, so that it is enough in 16 of 20 futures."""
    return grant_words.enough(view.formats, view.leading(tag).trials) or _("nothing")


def granted_at(view: View, tag: OptionTag) -> str:
    """Write the sum to grant, with the day of the start if the plan is refused."""
    text, leading = granted(view, tag), view.leading(tag)
    if leading.allowed_start:
        text = _("{sum}, start on {day}", sum=text, day=day(leading.start))
    lapsed = warning_words.lapsed_note(view.case, tag.id)
    return _("{sum}, on a lapsed quote", sum=text) if lapsed else text


def bill_cells(view: View, tag: OptionTag) -> list[str]:
    """Write the likely cost of an option, what is enough, and what is seldom exceeded."""
    formats, trials = view.formats, view.leading(tag).trials
    above = grant_words.seldom_above(formats, trials)
    return [grant_words.likely(formats, trials), granted(view, tag), above]


def bill_head() -> list[str]:
    """Return the headings of these columns."""
    return [
        _("Likely"),
        _("Enough in {count} of {all}", count=ENOUGH, all=FUTURES),
        _("Above this in {count} of {all}", count=ABOVE, all=FUTURES),
    ]


def pairs_head() -> str:
    """Explain the counts of pairs."""
    return _(
        "In how many of {all} futures does a row's option end ahead of a column's? "
        "Where neither reaches {least}, the two are level.",
        all=FUTURES,
        least=AHEAD,
    )


def pairs(view: View, tag: OptionTag) -> list[str]:
    """Count in how many of 20 futures an option ends ahead of each; a dash against itself."""
    return [
        NONE
        if other is tag
        else str(level_words.count_ahead(view.leading(tag), view.leading(other)))
        for other in view.tags.values()
    ]


def reserve_basis(view: View) -> str:
    """Explain the panes of the reserve; "" if there are none."""
    if view.club is None or not any(view.leading(tag).trials.reserve for tag in view.tags.values()):
        return ""
    return _(
        "Over {years}: the middle line, and a band that holds {count} of {all} futures. The dashed "
        "line is the floor, {floor}.",
        years=plural(view.figures.years, "year", "years"),
        count=BAND,
        all=FUTURES,
        floor=view.formats.money(view.club.reserve_floor),
    )


def reserve_end(view: View, tag: OptionTag) -> str:
    """Say where an option's reserve ends, and how often it falls below its floor."""
    reserve, scenario = view.leading(tag).trials.reserve, view.case.scenario
    if reserve is None:
        return ""
    return _(
        "{sum} at the end; under the floor in {count} by {year}",
        year=year_after(scenario.as_of, scenario.floor_years),
        sum=reserve_words.at_end(view.formats, reserve),
        count=level_words.of_twenty(reserve.chance_below_floor),
    )


def bill_range(view: View, tag: OptionTag) -> str:
    """Write what members pay a month beside the baseline: from the least to the most.

    In full for the baseline, and for all options if the baseline has no bill. "" without kinds of
    member, or if no raise can fund the option.
    """
    kinds = range(len(pay_words.member_kinds(view)))
    bills = [bill for place in kinds if (bill := pay_words.monthly(view, tag, place))]
    if not bills:
        return ""
    known = all(pay_words.monthly(view, view.baseline, place) for place in kinds)
    in_full = tag is view.baseline or not known
    sums = [bill.total if in_full else bill.difference for bill in bills]
    write = view.formats.money if in_full else view.formats.change
    low, high = write(min(sums)), write(max(sums))
    return low if low == high else _("{low} to {high}", low=low, high=high)


def cautions(club: Club | None) -> list[str]:
    """Return the short cautions that every printed sheet has."""
    lines = [MONEY[0], GUESSES, *MAINTENANCE[:2], AIRPLANE[0]]
    return [_(line) for line in ([*lines, RULES] if club else lines)]
