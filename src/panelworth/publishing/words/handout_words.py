"""What goes on paper before a vote, in words: the draft motion, sums to grant, counts of pairs.

Facts and a question, worded for the club's members or for one owner; no advice to either.
"""

from panelworth.publishing.formats import NONE, day, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import cash_words, grant_words, level_words, pay_words, row_words
from panelworth.publishing.words.caution_lines import AIRPLANE, GUESSES, MAINTENANCE, MONEY, RULES
from panelworth.publishing.words.level_words import AHEAD, FUTURES

ENOUGH, ABOVE = 16, 2  # of 20 futures: those in which the 80th percentile is enough; above the 90th
MOTION = N_(
    "“That the club choose one of these options, and grant for it no more than the sum beside it:”"
)
DRAFT = N_(
    "A draft: the club's own rules say how a motion is put and how votes are counted. Each sum is "
    "before sales and credits, and enough in 16 of 20 futures."
)
CHOICE = N_(
    "One of these options. The sum beside it is before sales and credits, and enough in 16 of 20 "
    "futures."
)


def basis() -> str:
    """Say what counts are counted in, and how sure a sum is."""
    return _(
        "Counts are of {all} equally likely futures; a sum beside an option is enough in {count} "
        "of them.",
        all=FUTURES,
        count=ENOUGH,
    )


def granted(view: View, tag: OptionTag) -> str:
    """Write what to ask for or set aside, so that it is enough in 16 of 20 futures."""
    return grant_words.enough(view, tag) or _("nothing")


def granted_at(view: View, tag: OptionTag) -> str:
    """Write that sum, and from when the work starts where the plan is refused."""
    told, later = granted(view, tag), level_words.allowed(view, tag)
    if later:
        told = _("{sum}, start on {day}", sum=told, day=day(later.start))
    return _("{sum}, on a lapsed quote", sum=told) if row_words.lapsed(view, tag) else told


def bill_cells(view: View, tag: OptionTag) -> list[str]:
    """Write what an option likely comes to, what is enough, and what is seldom exceeded."""
    above = grant_words.seldom_above(view, tag)
    return [grant_words.likely(view, tag), granted(view, tag), above]


def bill_head() -> list[str]:
    """Head the columns of those sums."""
    return [
        _("Likely"),
        _("Enough in {count} of {all}", count=ENOUGH, all=FUTURES),
        _("Above this in {count} of {all}", count=ABOVE, all=FUTURES),
    ]


def pairs_head() -> str:
    """Say how to read the counts of pairs."""
    return _(
        "In how many of {all} futures does a row's option end ahead of a column's? "
        "Where neither reaches {least}, the two are level.",
        all=FUTURES,
        least=AHEAD,
    )


def pairs(view: View, tag: OptionTag) -> list[str]:
    """Count in how many of 20 futures an option ends ahead of each; a dash against itself."""
    return [
        NONE if each is tag else str(level_words.count_ahead(view, tag, each))
        for each in view.tags.values()
    ]


def reserve_basis(view: View) -> str:
    """Say how to read the panes of the reserve; "" where there is none."""
    if view.club is None or not any(
        level_words.drawn(view, tag).reserve for tag in view.tags.values()
    ):
        return ""
    return _(
        "Over {years}: the middle line, and a band that holds {count} of {all} futures. The dashed "
        "line is the floor, {floor}.",
        years=plural(view.figures.years, "year", "years"),
        count=ENOUGH,
        all=FUTURES,
        floor=view.formats.money(view.club.reserve_floor),
    )


def reserve_end(view: View, tag: OptionTag) -> str:
    """Say where an option's reserve ends, and how often it falls below its floor."""
    found = level_words.drawn(view, tag).reserve
    if found is None:
        return ""
    return _(
        "{sum} at the end; under the floor in {count} by {year}",
        year=view.case.scenario.as_of.year + view.case.scenario.floor_years,
        sum=cash_words.at_end(view, tag),
        count=level_words.of_twenty(found.chance_below_floor),
    )


def bill_range(view: View, tag: OptionTag) -> str:
    """Write what members pay a month beside the baseline: from the least to the most.

    The baseline's own bills as such, and all where nobody knows those; "" without kinds of member,
    or where no raise pays for it.
    """
    kinds = range(len(pay_words.member_kinds(view)))
    found = [each for place in kinds if (each := pay_words.monthly(view, tag, place))]
    if not found:
        return ""
    known = all(pay_words.monthly(view, view.baseline, place) for place in kinds)
    own = tag is view.baseline or not known
    sums = [each.total if own else each.difference for each in found]
    write = view.formats.money if own else view.formats.change
    low, high = write(min(sums)), write(max(sums))
    return low if low == high else _("{low} to {high}", low=low, high=high)


def cautions(view: View) -> list[str]:
    """Return who decides instead, in short; every sheet of paper carries them."""
    lines = [MONEY[0], GUESSES, *MAINTENANCE[:2], AIRPLANE[0]]
    return [_(each) for each in ([*lines, RULES] if view.club else lines)]
