"""When the airplane is best away, in sentences: what a start loses, risks, and why not."""

from collections.abc import Sequence

from panelworth.engine.results_airplane import Planner, Refusal, StartWeek
from panelworth.publishing.formats import about, day, joined, percent, plural
from panelworth.publishing.risk_words import chance
from panelworth.publishing.view import OptionTag, View

BEST = 6  # weeks that are told as the best
RARE = 0.005


def lost(view: View, planner: Planner, week: StartWeek) -> str:
    """Say what a start loses: hours, and money where an hour brings in more than it costs."""
    hours = f"{plural(week.lost_hours, 'hour', 'hours')} of flying"
    if planner.ranked_by == "lost_hours":
        return hours
    return f"{hours} and the {view.formats.money(week.lost_contribution)} it would have left over"


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say how many hours the starts as planned lose, and which of them cannot be."""
    planners = view.figures.airplane.planners
    hours = sorted(planners[tag.id].own.lost_hours for tag in tags)
    span = plural(hours[-1], "hour", "hours")
    if about(hours[0]) != about(hours[-1]):
        span = f"{about(hours[0])} to {span}"
    refused = [f"“{tag.title}”" for tag in tags if planners[tag.id].own.refusals]
    cannot = f"; {joined(refused)} cannot start as planned" if refused else ""
    return f"Starting as planned loses {span} of flying{cannot}."


def own_start(view: View, tag: OptionTag, planner: Planner) -> str:
    """Say what the start as planned loses, against the best one."""
    own = planner.own
    said = f"“{tag.title}” as planned, from {day(own.start)}, loses {lost(view, planner, own)}"
    if not planner.best_by_cost:
        return f"{said}; every start looked at is refused."
    best = planner.weeks[planner.best_by_cost[0]]
    gain = _gain(view, planner)
    if not gain:
        return f"{said}; no start looked at loses less."
    return f"{said}; the best start, {day(best.start)}, loses {gain} less."


def _gain(view: View, planner: Planner) -> str:
    """Word what the best start saves; nothing where that is none."""
    hours, money = planner.own_extra_hours or 0.0, planner.own_extra_contribution or 0.0
    if planner.ranked_by == "lost_hours":
        return plural(hours, "hour", "hours") if hours > 0 and about(hours) != "0" else ""
    text = view.formats.money(max(money, 0.0))
    return "" if text == view.formats.money(0) else text


def refusal(found: Refusal) -> str:
    """Say why a start is refused."""
    span = f"{day(found.first)} to {day(found.last)}"
    what = found.what.replace(": ", ", ")
    return {
        "order": f"it is before {day(found.first)}, when the equipment is ordered",
        "arrival": f"the equipment likely arrives on {day(found.first)}",
        "fleet": f"too many airplanes would be down ({what}, {span})",
        "blackout": f"the airplane is wanted ({what or 'closed days'}, {span})",
        "horizon": f"it would be back only on {day(found.last)}, past the years looked at",
    }[found.why]


def own_refused(planner: Planner) -> str:
    """Say that the start as planned is refused, and why; nothing where it is not."""
    if not planner.own.refusals:
        return ""
    reasons = joined([refusal(each) for each in planner.own.refusals])
    return f"The start as planned is refused: {reasons}."


def windows(planner: Planner, order: Sequence[int]) -> str:
    """Word the best starts as stretches of neighbouring Mondays, the best stretch first."""
    picked = set(order[:BEST])
    told = []
    for number in order[:BEST]:
        if number not in picked:
            continue
        first = last = number
        while first - 1 in picked:
            first -= 1
        while last + 1 in picked:
            last += 1
        picked -= set(range(first, last + 1))
        told.append(_stretch(planner.weeks[first].start, planner.weeks[last].start))
    return joined(told, "or")


def _stretch(first: str, last: str) -> str:
    return day(first) if first == last else f"{day(first)} to {day(last)}"


def best_starts(planner: Planner) -> list[str]:
    """Say the best Mondays by cost, and by risk where there are closed days to run into."""
    if not planner.best_by_cost:
        return ["Every Monday looked at is refused; the table says why."]
    by = "flying lost" if planner.ranked_by == "lost_hours" else "money lost"
    cost, risk = windows(planner, planner.best_by_cost), windows(planner, planner.best_by_risk)
    if all(week.room_weeks is None for week in planner.weeks):
        return [f"Least {by}: start on a Monday from {cost}."]
    safest = planner.weeks[planner.best_by_risk[0]].chance_conflict
    if cost == risk:
        return [f"Least {by} and least risk both: start on a Monday from {cost}."]
    return [
        f"Least {by}: start on a Monday from {cost}.",
        f"Least risk: from {risk}; {_conflict(safest)}.",
    ]


def _conflict(share: float) -> str:
    if share < RARE:
        return "an overrun then meets no day on which it may not be down"
    return f"an overrun then meets a day on which it may not be down in {chance(share)}"


def risk(planner: Planner) -> str:
    """Say how likely the start as planned is still going on when it may not, and how much room."""
    own = planner.own
    if own.refusals:
        return ""
    if own.room_weeks is None:
        return "No day on which it may not be down follows in the time looked at."
    room = plural(max(own.room_weeks, 0.0), "week", "weeks")
    told = f"From the likely finish there are {room} until the next day it may not be down"
    share = chance(own.chance_conflict)
    return f"{told}; it is still down then in {share} futures."


def arrival(view: View, tag: OptionTag, planner: Planner) -> str:
    """Say how long the equipment takes to come, and how likely that is too long."""
    schedule = view.case.options[tag.id].schedule
    if schedule is None or not schedule.lead_weeks.high:
        return ""
    takes = view.formats.quantity(schedule.lead_weeks, "weeks")
    late = f"{chance(planner.own.chance_late)} futures"
    return f"The equipment comes {takes} weeks after the order; too late for this start in {late}."


def others(view: View, planner: Planner) -> str:
    """Say how much more the other aircraft fly meanwhile."""
    more, club = planner.others_more, view.club
    if not more or club is None:
        return ""
    moved = percent(club.moved_share.likely, 0)
    return (
        f"Members move {moved} of the flying lost to the other aircraft, which fly "
        f"{percent(more, 0)} more while it is away as planned."
    )


def slip(view: View, planner: Planner) -> str:
    """Say what coming back late costs."""
    costs, money = planner.own.slip_costs, view.formats.money
    if planner.ranked_by == "lost_hours":
        return "Coming back late loses flying, not money: an hour costs more than it brings in."
    late = [(1, costs[0]), (4, costs[3]), (8, costs[7])]
    told = [f"{money(cost)} for {plural(weeks, 'week', 'weeks')}" for weeks, cost in late]
    return f"Coming back later than likely costs {joined(told)}."


def spread(view: View, planner: Planner) -> str:
    """Say what the start as planned loses at the low and the high of the weeks down."""
    own, money = planner.own, view.formats.money
    low, high = own.lost_contribution_low, own.lost_contribution_high
    if planner.ranked_by == "lost_hours" or money(low) == money(high):
        return ""
    return f"With the fewest to the most weeks down it loses {money(low)} to {money(high)}."
