"""Which option ends ahead, counted in twentieths of the drawn futures; level ones are not ranked.

An option whose planned start is refused is compared from its first allowed start.
"""

from panelworth.engine.results.figures import AllowedStart, Bill, Funded
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.publishing.formats import number, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View

FUTURES = 20  # chances of ending ahead are told in twentieths
AHEAD = 13  # of them: an option that ends ahead in fewer is level with the other
CLOSE = 1.0  # of a unit of money


def allowed(view: View, tag: OptionTag) -> AllowedStart | None:
    """Return an option's figures from its first allowed start, None where its plan stands."""
    return view.option(tag.id).allowed_start


def refused(view: View, tag: OptionTag) -> bool:
    """Say whether an option cannot start as planned."""
    planner = view.figures.airplane.planners.get(tag.id)
    return allowed(view, tag) is not None or bool(planner and planner.own.refusals)


def net_benefit(view: View, tag: OptionTag) -> float:
    """Return the likely net benefit, from the first allowed start where the plan is refused."""
    later = allowed(view, tag)
    return later.net_benefit if later else view.option(tag.id).likely.net_benefit


def drawn(view: View, tag: OptionTag) -> OptionUncertainty:
    """Return what the futures say of an option, from its first allowed start likewise."""
    return view.figures.uncertainty.moved.get(tag.id) or view.uncertain(tag.id)


def funded(view: View, tag: OptionTag) -> Funded | None:
    """Return how an option is paid for, from its first allowed start likewise."""
    later = allowed(view, tag)
    return later.funded if later else view.option(tag.id).funded


def bills(view: View, tag: OptionTag) -> tuple[Bill, ...]:
    """Return members' bills under an option, from its first allowed start likewise."""
    later = allowed(view, tag)
    return later.bills if later else view.option(tag.id).bills


def ahead_share(view: View, one: OptionTag, other: OptionTag) -> float:
    """Return the share of paired futures in which one option brings more than the other.

    A tie counts half. An option that is refused as planned counts from its allowed start, and the
    figures of that start compare it with all others.
    """
    mine, theirs = allowed(view, one), allowed(view, other)
    if mine is None and theirs is not None:
        return 1.0 - theirs.ahead_of[one.id]
    ahead_of = mine.ahead_of if mine else view.uncertain(one.id).ahead_of
    return ahead_of[other.id]


def twentieths(share: float) -> int:
    """Round a share to twentieths, so that the two counts of a pair add up to 20.

    >>> twentieths(0.6249), twentieths(0.625), twentieths(0.375)
    (12, 13, 7)
    """
    if share < 0.5:  # noqa: PLR2004 (the smaller count is the rest of the larger)
        return FUTURES - twentieths(1.0 - share)
    return int(share * FUTURES + 0.5)


def count_ahead(view: View, one: OptionTag, other: OptionTag) -> int:
    """Return in how many of 20 futures one option ends ahead of the other."""
    return twentieths(ahead_share(view, one, other))


def is_ahead(view: View, one: OptionTag, other: OptionTag) -> bool:
    """Say whether one option ends ahead of the other in at least 13 of 20 futures."""
    return count_ahead(view, one, other) >= AHEAD


def level(view: View, one: OptionTag, other: OptionTag) -> bool:
    """Say whether neither option ends ahead of the other in 13 of 20 futures."""
    return not (is_ahead(view, one, other) or is_ahead(view, other, one))


def standing(view: View, tag: OptionTag) -> str:
    """Say how an option stands against the baseline: "ahead", "behind" or "level"."""
    if level(view, tag, view.baseline):
        return "level"
    return "ahead" if is_ahead(view, tag, view.baseline) else "behind"


def bring_most(view: View) -> list[OptionTag]:
    """Return the options that no other is ahead of, and those level with one of them.

    One alone is ahead of all others. Where each has another ahead of it, all are returned.
    """
    tags = list(view.tags.values())
    first = [tag for tag in tags if not any(_beats(view, each, tag) for each in tags)]
    return [
        tag
        for tag in tags
        if not first or tag in first or any(level(view, tag, each) for each in first)
    ]


def _beats(view: View, one: OptionTag, other: OptionTag) -> bool:
    return one is not other and is_ahead(view, one, other)


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


def of_twenty(share: float) -> str:
    """Write a share as a count of 20: "12 of 20"; "fewer than 1 of 20" where some are left.

    >>> of_twenty(0.61), of_twenty(0.002), of_twenty(0.0), of_twenty(0.999)
    ('12 of 20', 'fewer than 1 of 20', '0 of 20', 'nearly all')
    """
    count = twentieths(share)
    if share > 0.0 and count == 0:
        return _("fewer than 1 of {all}", all=FUTURES)
    if share < 1.0 and count == FUTURES:
        return _("nearly all")
    return _("{count} of {all}", count=count, all=FUTURES)


def below_floor(view: View, tag: OptionTag) -> float:
    """Return the share of futures in which the reserve falls below its floor; 0 for an owner."""
    return drawn(view, tag).chance_below_floor or 0.0


def without_worth(view: View) -> str:
    """Warn an owner whose file says no worth of an hour that lost time counts as nothing."""
    aircraft = view.case.scenario.aircraft
    if view.club or aircraft.worth_per_hour is not None:
        return ""
    keys = ("hours_lost_per_year", "hours_per_year_change")
    changed = [each.after.new(key) for each in view.case.options.values() for key in keys]
    hours = [each for each in (aircraft.hours_lost_per_year, *changed) if each]
    if not any(each.low or each.high for each in hours):
        return ""
    return _(
        "Time lost on the ground counts as nothing here, since no worth of an hour is given beyond "
        "what it costs to fly it: worth_per_hour would change these figures."
    )


def cautions(view: View, tag: OptionTag) -> list[str]:
    """Warn of what an option's file leaves in its net benefit, and its reader might not expect."""
    said = (_members_leave(view, tag), _flies_more(view, tag))
    return [each for each in said if each]


def _members_leave(view: View, tag: OptionTag) -> str:
    """Warn where members leave and take no hours with them."""
    if view.club is None:
        return ""
    option, aircraft = view.case.options[tag.id], view.case.scenario.aircraft
    flown = option.after.new("hours_per_year")
    fewer = flown is not None and flown.likely < aircraft.hours_per_year.likely
    if option.members.joined.likely >= 0 or option.after.hours_per_year_change.likely < 0 or fewer:
        return ""
    return _(
        "Caution: this counts on {members} fewer, but on no fewer hours. Those who leave would "
        "take their flying with them; the option's hours_per_year_change can say so.",
        members=plural(-option.members.joined.likely, "member", "members"),
    )


def _flies_more(view: View, tag: OptionTag) -> str:
    """Warn where an option states more hours than today's, which count as promised."""
    today = view.case.scenario.aircraft.hours_per_year.likely
    flown = view.case.options[tag.id].after.new("hours_per_year")
    if flown is None or flown.likely <= today:
        return ""
    return _(
        "Caution: this counts on {hours} a year, more than today's {today}, even where more flying "
        "is left out.",
        hours=plural(flown.likely, "hour", "hours"),
        today=number(today),
    )
