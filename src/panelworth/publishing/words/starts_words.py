"""The best weeks to be without the airplane, in sentences: losses, risks, and refused starts."""

from collections.abc import Sequence
from datetime import date

from panelworth.engine.results.downtime import (
    Planner,
)
from panelworth.engine.results.start import Refusal
from panelworth.publishing.formats import day, joined
from panelworth.publishing.language import N_, _
from panelworth.publishing.words import level_words

BEST = 6  # the number of starts that are called the best
RARE = 0.005  # a smaller chance is written as none
REFUSALS = {
    "order": N_("it is before the order on {first}"),
    "arrival": N_("the equipment likely arrives on {first}"),
    "fleet": N_("too many airplanes would be down ({what}, {span})"),
    "blackout": N_("the airplane is wanted ({what}, {span})"),
    "horizon": N_("it would be back only on {last}, past the years looked at"),
}
# In the table of starts, beside the chart that has the days.
IN_BRIEF = {
    "fleet": N_("too many airplanes would be down ({what})"),
    "blackout": N_("the airplane is wanted ({what})"),
}
# Sentences on the best starts, by the figure that ranks them.
LEAST_LOST = {
    "lost_hours": N_("Least flying lost by a start on a Monday: {starts}."),
    "lost_worth": N_("Least lost, in worth of flying, by a start on a Monday: {starts}."),
}
LEAST_BOTH = {
    "lost_hours": N_("Least flying lost and least risk by a start on a Monday: {starts}."),
    "lost_worth": N_(
        "Least lost, in worth of flying, and least risk by a start on a Monday: {starts}."
    ),
}


def refusal(refused: Refusal, *, brief: bool = False) -> str:
    """Say why a start is refused; `brief` leaves out the days."""
    reasons = REFUSALS | IN_BRIEF if brief else REFUSALS
    return _(
        reasons[refused.why],
        first=day(refused.first),
        last=day(refused.last),
        span=span(refused.first, refused.last),
        what=refused.what.replace(": ", ", ") or _("closed days"),
    )


def span(first: str | date, last: str | date) -> str:
    """Write a period of days."""
    return _("{first} to {last}", first=day(first), last=day(last))


def planned_refused(planner: Planner | None) -> str:
    """Say why the start as planned is refused; "" if it is not."""
    if planner is None or not planner.planned.refusals:
        return ""
    reasons = joined([refusal(reason) for reason in planner.planned.refusals])
    return _("The start as planned is refused: {reasons}.", reasons=reasons)


def windows(planner: Planner, order: Sequence[int]) -> str:
    """Write the best starts as periods of consecutive Mondays."""
    stretches: list[list[int]] = []
    for place in sorted(order[:BEST]):
        if stretches and place == stretches[-1][-1] + 1:
            stretches[-1].append(place)
        else:
            stretches.append([place])
    days = [
        (planner.weeks[places[0]].start, planner.weeks[places[-1]].start) for places in stretches
    ]
    return joined([_stretch(first, last) for first, last in days], "or")


def _stretch(first: str, last: str) -> str:
    return day(first) if first == last else span(first, last)


def best_starts(planner: Planner) -> list[str]:
    """Name the best Mondays by cost, and by risk if there are closed days after them."""
    if not planner.best_by_cost:
        return [_("Every Monday looked at is refused; the table says why.")]
    cost, risk = windows(planner, planner.best_by_cost), windows(planner, planner.best_by_risk)
    least = _(LEAST_LOST[planner.ranked_by], starts=cost)
    if all(week.room_weeks is None for week in planner.weeks):
        return [least]
    if cost == risk:
        return [_(LEAST_BOTH[planner.ranked_by], starts=cost)]
    return [least, _safest(risk, planner.weeks[planner.best_by_risk[0]].chance_conflict)]


def _safest(starts: str, share: float) -> str:
    if share < RARE:
        return _(
            "Least risk: {starts}; an overrun then meets no day on which it may not be down.",
            starts=starts,
        )
    return _(
        "Least risk: {starts}; an overrun then meets a day on which it may not be down in "
        "{futures}.",
        starts=starts,
        futures=level_words.futures(share),
    )
