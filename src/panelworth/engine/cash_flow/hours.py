"""The hours flown in each month, and the hours lost to groundings and downtime.

Source of every equation: the project's method, section 3.
"""

import math
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.failures import Failures
from panelworth.engine.cash_flow.miles import slowness
from panelworth.engine.cash_flow.option_context import OptionContext, in_force
from panelworth.engine.cash_flow.rows import Yearly, monthly_product
from panelworth.engine.trials import Array


def lost_share(context: OptionContext) -> Array:
    """Return k = 1 - moved_share, shape (T or 1, 1); 1 for an owner.

    k is the share of lost flying that members do not move to another of the club's aircraft.
    """
    club = context.scenario.club
    return np.ones((1, 1)) if club is None else 1.0 - context.trials.column(club.moved_share)


def lost_hours(context: OptionContext) -> Yearly:
    """Return the hours a year that are not flown because of groundings: hours_lost_per_year·k."""
    return in_force(context, lambda aircraft: aircraft.hours_lost_per_year) * lost_share(context)


def wanted_hours(context: OptionContext) -> Yearly:
    """Return hours a year without planned downtime: max(0, hours_per_year + change - lost·k).

    lost·k is lost_hours. A phase's change counts from the month after its finish, in addition to
    the changes of earlier phases.
    """
    lost = lost_hours(context)
    flown = in_force(context, lambda aircraft: aircraft.hours_per_year) - lost
    changes = [
        context.trials.column(phase.step.after.hours_per_year_change) for phase in context.phases
    ]
    if any(change.any() for change in changes):
        amounts, so_far = list(flown.over(len(changes) + 1)), np.zeros((1, 1))
        for place, change in enumerate(changes, 1):
            so_far = so_far + change
            amounts[place] = amounts[place] + so_far
        flown = Yearly(tuple(amounts))
    flown = Yearly(tuple(np.maximum(amount, 0.0) for amount in flown.stretches))
    slow = slowness(context)
    return flown if slow is None else flown * Yearly(tuple(slow))


@dataclass(frozen=True, kw_only=True)
class HoursAYear:
    """Hours a year in one stretch, in the first trial: wanted, the option's change, and lost."""

    wanted: float
    change: float
    lost: float


def hours_a_year(context: OptionContext) -> list[HoursAYear]:
    """Return the components of the hours a year in each stretch.

    The hours flown reach 0 where wanted + change = lost. There, figures that are otherwise straight
    lines in the hours have a corner: break-even values and sliders need to know it.
    """
    count = len(context.phases) + 1
    wanted = in_force(context, lambda aircraft: aircraft.hours_per_year).over(count)
    changes = [
        context.trials.of(phase.step.after.hours_per_year_change) for phase in context.phases
    ]
    change = np.cumsum([0.0, *(float(change[0]) for change in changes)])
    return [
        HoursAYear(wanted=float(hours[0, 0]), change=float(more), lost=float(lost[0, 0]))
        for hours, more, lost in zip(wanted, change, lost_hours(context).over(count), strict=True)
    ]


def hours(context: OptionContext, failed: Failures | None) -> Array:
    """Return the members' hours on any of their aircraft, shape (T or 1, H+1).

    hours(m) = wanted_hours·s(month)·(1 - down(m)·k)·(1 - grounded(m)·k), s the season weights over
    their sum, grounded the share that failures of units take. Hours
    that members move to another aircraft are still flown, so only the share k of a downtime is
    lost.
    """
    down, k = context.down, lost_share(context)
    wanted, season = wanted_hours(context), _season(context)
    flown = monthly_product(context.dates, wanted, season)
    # Month 0 has hours too: a downtime in as_of's month loses them. Flows leave month 0 out.
    flown[:, 0] = wanted.first[:, 0] * season[:, 0]
    if len(flown) < max(len(down), len(k)):
        flown = np.repeat(flown, max(len(down), len(k)), axis=0)
    first, last = int(context.dates[0].start.min()), int(context.dates[-1].finish.max())
    months = slice(first, last + 1)  # the airplane is not down in other months
    flown[:, months] *= 1.0 - down[:, months] * k
    if failed is not None:
        flown = flown * (1.0 - failed.grounded * k)
    return flown


def _season(context: OptionContext) -> Array:
    """Return each month's share of a year's hours, shape (T or 1, H+1)."""
    of_year = context.months.of_year
    season = _weights(context.scenario.aircraft.season)[of_year][np.newaxis]
    for phase in context.phases:
        if phase.aircraft.season != phase.before.season:
            season = np.where(phase.dates.after, _weights(phase.aircraft.season)[of_year], season)
    return season


def _weights(season: tuple[float, ...]) -> Array:
    return np.array(season) / math.fsum(season)
