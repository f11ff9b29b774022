"""When the airplane is best away, in sentences: what a start loses, risks, and why not."""

from collections.abc import Sequence
from datetime import date

from panelworth.engine.results_airplane import Planner, StartWeek
from panelworth.engine.results_start import Refusal
from panelworth.publishing.formats import about, day, joined, percent, plural, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.risk_words import chance
from panelworth.publishing.view import OptionTag, View

BEST = 6  # weeks that are told as the best
LATE = (1, 4, 8)  # weeks late whose cost is told
RARE = 0.005
REFUSALS = {
    "order": noted("it is before the order on {first}"),
    "arrival": noted("the equipment likely arrives on {first}"),
    "fleet": noted("too many airplanes would be down ({what}, {span})"),
    "blackout": noted("the airplane is wanted ({what}, {span})"),
    "horizon": noted("it would be back only on {last}, past the years looked at"),
}
# In the table of starts, beside the chart that has the days.
IN_BRIEF = {
    "fleet": noted("too many airplanes would be down ({what})"),
    "blackout": noted("the airplane is wanted ({what})"),
}
# The best starts, by what planners are ranked by.
LEAST_LOST = {
    "lost_hours": noted("Least flying lost by a start on a Monday: {starts}."),
    "lost_worth": noted("Least lost, in worth of flying, by a start on a Monday: {starts}."),
}
LEAST_BOTH = {
    "lost_hours": noted("Least flying lost and least risk by a start on a Monday: {starts}."),
    "lost_worth": noted(
        "Least lost, in worth of flying, and least risk by a start on a Monday: {starts}."
    ),
}


def lost(view: View, planner: Planner, week: StartWeek) -> str:
    """Say what a start loses: hours, and money where an hour is worth more than it costs."""
    hours = plural(week.lost_hours, "hour", "hours")
    if planner.ranked_by == "lost_hours":
        return say("{hours} of flying", hours=hours)
    return say(
        "{hours} of flying, worth {money} more than it costs",
        hours=hours,
        money=view.formats.money(week.lost_worth),
    )


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say how many hours the starts as planned lose, and which of them cannot be."""
    planners = view.figures.airplane.planners
    may = [tag for tag in tags if not planners[tag.id].own.refusals] or tags
    hours = sorted(planners[tag.id].own.lost_hours for tag in may)
    most = plural(hours[-1], "hour", "hours")
    if about(hours[0]) != about(hours[-1]):
        most = say("{low} to {high}", low=about(hours[0]), high=most)
    refused = [quoted(tag.title) for tag in tags if planners[tag.id].own.refusals]
    if not refused:
        return say("Starting as planned loses {hours} of flying.", hours=most)
    return say(
        "Starting as planned loses {hours} of flying; {options} cannot start as planned.",
        hours=most,
        options=joined(refused),
    )


def own_start(view: View, tag: OptionTag, planner: Planner) -> str:
    """Say what the start as planned loses, against the best one."""
    own = planner.own
    told = {"option": tag.title, "day": day(own.start), "loss": lost(view, planner, own)}
    if not planner.best_by_cost:
        return say(
            "“{option}” as planned, from {day}, loses {loss}; every start looked at is refused.",
            **told,
        )
    gain = _gain(view, planner)
    if not gain:
        return say(
            "“{option}” as planned, from {day}, loses {loss}; no start looked at loses less.",
            **told,
        )
    return say(
        "“{option}” as planned, from {day}, loses {loss}; the best start, {best}, loses {gain} "
        "less.",
        best=day(planner.weeks[planner.best_by_cost[0]].start),
        gain=gain,
        **told,
    )


def _gain(view: View, planner: Planner) -> str:
    """Word what the best start saves; nothing where that is none."""
    hours, money = planner.own_extra_hours or 0.0, planner.own_extra_worth or 0.0
    if planner.ranked_by == "lost_hours":
        return plural(hours, "hour", "hours") if hours > 0 and about(hours) != "0" else ""
    text = view.formats.money(max(money, 0.0))
    return "" if text == view.formats.money(0) else text


def refusal(found: Refusal, *, brief: bool = False) -> str:
    """Say why a start is refused; in brief without the days of what is in its way."""
    reasons = REFUSALS | IN_BRIEF if brief else REFUSALS
    return say(
        reasons[found.why],
        first=day(found.first),
        last=day(found.last),
        span=span(found.first, found.last),
        what=found.what.replace(": ", ", ") or say("closed days"),
    )


def span(first: str | date, last: str | date) -> str:
    """Write a stretch of days."""
    return say("{first} to {last}", first=day(first), last=day(last))


def planned_refused(view: View, tag: OptionTag) -> str:
    """Say that an option's start as planned is refused, and why, for any page that names it."""
    planner = view.figures.airplane.planners.get(tag.id)
    return own_refused(planner) if planner else ""


def own_refused(planner: Planner) -> str:
    """Say that the start as planned is refused, and why; nothing where it is not."""
    if not planner.own.refusals:
        return ""
    reasons = joined([refusal(each) for each in planner.own.refusals])
    return say("The start as planned is refused: {reasons}.", reasons=reasons)


def windows(planner: Planner, order: Sequence[int]) -> str:
    """Word the best starts as stretches of neighbouring Mondays, by their days."""
    picked = set(order[:BEST])
    found = []
    for number in order[:BEST]:
        if number not in picked:
            continue
        first = last = number
        while first - 1 in picked:
            first -= 1
        while last + 1 in picked:
            last += 1
        picked -= set(range(first, last + 1))
        found.append((planner.weeks[first].start, planner.weeks[last].start))
    return joined([_stretch(*each) for each in sorted(found)], noted("or"))


def _stretch(first: str, last: str) -> str:
    return day(first) if first == last else span(first, last)


def best_starts(planner: Planner) -> list[str]:
    """Say the best Mondays by cost, and by risk where there are closed days to run into."""
    if not planner.best_by_cost:
        return [say("Every Monday looked at is refused; the table says why.")]
    cost, risk = windows(planner, planner.best_by_cost), windows(planner, planner.best_by_risk)
    least = say(LEAST_LOST[planner.ranked_by], starts=cost)
    if all(week.room_weeks is None for week in planner.weeks):
        return [least]
    if cost == risk:
        return [say(LEAST_BOTH[planner.ranked_by], starts=cost)]
    return [least, _safest(risk, planner.weeks[planner.best_by_risk[0]].chance_conflict)]


def _safest(starts: str, share: float) -> str:
    if share < RARE:
        return say(
            "Least risk: {starts}; an overrun then meets no day on which it may not be down.",
            starts=starts,
        )
    return say(
        "Least risk: {starts}; an overrun then meets a day on which it may not be down in "
        "{chance}.",
        starts=starts,
        chance=chance(share),
    )


def risk(planner: Planner) -> str:
    """Say how likely the start as planned is still going on when it may not, and how much room."""
    own = planner.own
    if own.refusals:
        return ""
    if own.room_weeks is None:
        return say("No day on which it may not be down follows in the time looked at.")
    return say(
        "From the likely finish it is {weeks} to the next day on which it may not be down; the "
        "chance that it is still down then: {chance}.",
        weeks=plural(max(own.room_weeks, 0.0), "week", "weeks"),
        chance=chance(own.chance_conflict),
    )


def arrival(view: View, tag: OptionTag, planner: Planner) -> str:
    """Say how long the equipment takes to come, and how likely that is too long."""
    schedule = view.case.options[tag.id].schedule
    if schedule is None or not schedule.lead_weeks.high:
        return ""
    return say(
        "The equipment comes {weeks} weeks after the order; the chance that this is too late for "
        "the start: {chance}.",
        weeks=view.formats.quantity(schedule.lead_weeks, "weeks"),
        chance=chance(planner.own.chance_late),
    )


def others(view: View, planner: Planner) -> str:
    """Say how much more the other aircraft fly meanwhile."""
    more, club = planner.others_more, view.club
    if not more or club is None:
        return ""
    return say(
        "Members move {moved} of the flying lost to the other aircraft, which fly {more} more "
        "while it is away as planned.",
        moved=percent(club.moved_share.likely, 0),
        more=percent(more, 0),
    )


def slip(view: View, planner: Planner) -> str:
    """Say what coming back late costs."""
    costs, money = planner.own.slip_costs, view.formats.money
    if planner.ranked_by == "lost_hours":
        return say(
            "Coming back late loses flying: an hour is counted as worth no more than it costs."
        )
    late = [(plural(weeks, "week", "weeks"), costs[weeks - 1]) for weeks in LATE]
    told = [say("{money} for {weeks}", money=money(cost), weeks=weeks) for weeks, cost in late]
    return say("Coming back later than likely costs {costs}.", costs=joined(told))


def spread(view: View, planner: Planner) -> str:
    """Say what the start as planned loses at the low and the high of the weeks down."""
    own, money = planner.own, view.formats.money
    low, high = money(own.lost_worth_low), money(own.lost_worth_high)
    if planner.ranked_by == "lost_hours" or low == high:
        return ""
    return say(
        "With the fewest to the most weeks down it loses {low} to {high}.", low=low, high=high
    )
