"""Which option ends ahead, counted in twentieths of the futures; level options are not ranked.

An option whose planned start is refused is compared from its first allowed start
(`LeadingFigures`).
"""

from panelworth.engine.results.leading import LeadingFigures
from panelworth.model.case import Case
from panelworth.model.option import Option
from panelworth.model.scenario import Aircraft
from panelworth.publishing.formats import number, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View

FUTURES = 20  # chances are counts of 20 futures
AHEAD = 13  # of them: an option that ends ahead in fewer is level with the other
BAND = ENOUGH = 16  # of them: between the 10th and the 90th percentile; at most the 80th
ABOVE = 2  # of them: above the 90th percentile
NEAR = 3  # of them: counts that differ by at most this are written as one range


def twentieths(share: float) -> int:
    """Round a share to twentieths, so that the two counts of a pair add up to 20.

    >>> twentieths(0.6249), twentieths(0.625), twentieths(0.375)
    (12, 13, 7)
    """
    if share < 0.5:  # noqa: PLR2004 (the smaller count is the rest of the larger)
        return FUTURES - twentieths(1.0 - share)
    # Not round(), which rounds halves to the even number: 12.5 must become 13.
    return int(share * FUTURES + 0.5)


def count_ahead(one: LeadingFigures, other: LeadingFigures) -> int:
    """Return in how many of 20 futures one option ends ahead of the other."""
    return twentieths(one.ahead_of[other.option])


def count_behind(one: LeadingFigures, other: LeadingFigures) -> int:
    """Return in how many of 20 futures one option ends behind the other."""
    return FUTURES - count_ahead(one, other)


def count_without(share: float) -> int:
    """Return in how many of 20 futures something does not happen, if it does in this share."""
    return FUTURES - twentieths(share)


def far_apart(fewer: int, more: int) -> bool:
    """Return whether two counts of 20 differ enough to be written separately."""
    return more - fewer > NEAR


def is_ahead(one: LeadingFigures, other: LeadingFigures) -> bool:
    """Say whether one option ends ahead of the other in at least 13 of 20 futures."""
    return count_ahead(one, other) >= AHEAD


def level(one: LeadingFigures, other: LeadingFigures) -> bool:
    """Say whether neither option ends ahead of the other in 13 of 20 futures."""
    return not (is_ahead(one, other) or is_ahead(other, one))


def standing(view: View, tag: OptionTag) -> str:
    """Return an option's position against the baseline: "ahead", "behind" or "level"."""
    option, baseline = view.leading(tag), view.leading(view.baseline)
    if level(option, baseline):
        return "level"
    return "ahead" if is_ahead(option, baseline) else "behind"


def bring_most(view: View) -> list[OptionTag]:
    """Return the options that no other is ahead of, and those level with one of them.

    A single result is ahead of all others. If each option has another ahead of it, all are
    returned.
    """
    options = {tag: view.leading(tag) for tag in view.tags.values()}
    unbeaten = [
        one
        for one in options.values()
        if not any(is_ahead(other, one) for other in options.values() if other is not one)
    ]
    return [
        tag
        for tag, option in options.items()
        if not unbeaten or option in unbeaten or any(level(option, other) for other in unbeaten)
    ]


def futures(share: float) -> str:
    """Write a share of the futures: "12 of 20 futures".

    >>> futures(0.61), futures(0.002), futures(0.999), futures(1.0)
    ('12 of 20 futures', 'fewer than 1 of 20 futures', 'nearly all futures', 'all futures')
    """
    if share in (0.0, 1.0):
        return _("all futures") if share else _("none of the futures")
    count = twentieths(share)
    if count == FUTURES:
        return _("nearly all futures")
    return _("{count} futures", count=of_twenty(share))


def count_text(share: float) -> str:
    """Write a share as a count of 20, without the 20: "12"; "fewer than 1" for a small share."""
    count = twentieths(share)
    if share > 0.0 and count == 0:
        return _("fewer than 1")
    if share < 1.0 and count == FUTURES:
        return _("nearly all")
    return str(count)


def of_twenty(share: float) -> str:
    """Write a share as a count of 20: "12 of 20"; "fewer than 1 of 20" for a small share.

    >>> of_twenty(0.61), of_twenty(0.002), of_twenty(0.0), of_twenty(0.999)
    ('12 of 20', 'fewer than 1 of 20', '0 of 20', 'nearly all')
    """
    count = twentieths(share)
    if share > 0.0 and count == 0:
        return _("fewer than 1 of {all}", all=FUTURES)
    if share < 1.0 and count == FUTURES:
        return _("nearly all")
    return _("{count} of {all}", count=count, all=FUTURES)


def without_worth(case: Case) -> str:
    """Warn an owner whose file says no worth of an hour that lost time counts as nothing."""
    aircraft = case.scenario.aircraft
    if case.scenario.club or aircraft.worth_per_hour is not None:
        return ""
    keys = ("hours_lost_per_year", "hours_per_year_change")
    changed = [option.after.new(key) for option in case.options.values() for key in keys]
    hours = [quantity for quantity in (aircraft.hours_lost_per_year, *changed) if quantity]
    if not any(quantity.low or quantity.high for quantity in hours):
        return ""
    return _(
        "Time lost on the ground counts as nothing here, since no worth of an hour is given beyond "
        "what it costs to fly it: worth_per_hour would change these figures."
    )


def cautions(case: Case, option_id: str) -> list[str]:
    """Warn of assumptions of an option file that a reader might not expect."""
    option, aircraft = case.options[option_id], case.scenario.aircraft
    members = _members_leave(option, aircraft) if case.scenario.club else ""
    return [text for text in (members, _flies_more(option, aircraft)) if text]


def _members_leave(option: Option, aircraft: Aircraft) -> str:
    """Warn if members leave but the hours stay the same."""
    hours, left = option.after.new("hours_per_year"), option.members.left
    fewer = hours is not None and hours.likely < aircraft.hours_per_year.likely
    if left <= 0 or option.after.hours_per_year_change.likely < 0 or fewer:
        return ""
    return _(
        "Caution: this counts on {members} fewer, but on no fewer hours. Those who leave would "
        "take their flying with them; the option's hours_per_year_change can say so.",
        members=plural(left, "member", "members"),
    )


def _flies_more(option: Option, aircraft: Aircraft) -> str:
    """Warn if an option states more hours than today's, which are not counted as growth."""
    hours, today = option.after.new("hours_per_year"), aircraft.hours_per_year.likely
    if hours is None or hours.likely <= today:
        return ""
    return _(
        "Caution: this counts on {hours} a year, more than today's {today}, even where more flying "
        "is left out.",
        hours=plural(hours.likely, "hour", "hours"),
        today=number(today),
    )
