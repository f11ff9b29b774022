"""How long the work takes, given what is known of it on the status date.

Weeks are counted from the start of the work. Not started: the range as planned. Started and not
finished: the range, given that it is not finished yet; or `weeks_left`, which replaces it.
Finished: the weeks that it took.
"""

from datetime import date

import numpy as np

from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.distributions import chance_at_most
from panelworth.engine.uncertainty.quantiles import quantile
from panelworth.model.dates import DAYS_IN_A_WEEK
from panelworth.model.schedule import Schedule

HALF = np.full(1, 0.5)
BELOW_ONE = np.nextafter(1.0, 0.0)  # quantiles take no probability of 1


def weeks_between(start: date, day: date) -> float:
    """Return the weeks from one day to another, negative where the other is earlier.

    >>> weeks_between(date(2027, 1, 25), date(2027, 2, 10))
    2.2857142857142856
    """
    return (day - start).days / DAYS_IN_A_WEEK


def weeks_known(schedule: Schedule, day: date, found: float) -> bool:
    """Return whether the finish can be estimated on a day.

    It cannot where the weeks so far have reached the high end of the range, with the weeks `found`
    that work found on the way takes, and nobody has said how many are left.
    """
    if schedule.started is None or schedule.finished or schedule.weeks_left:
        return True
    return weeks_between(schedule.started, day) - found < schedule.weeks_down.high


def likely_weeks(schedule: Schedule, day: date, found: float) -> float:
    """Return the likely weeks from start to finish, as seen on a day.

    The likely weeks of the plan while they lie ahead; after that the median of the range, given
    that the work is not finished yet; with the weeks `found`. Only where `weeks_known`.
    """
    if schedule.started is None:
        return schedule.weeks_down.likely + found
    if schedule.finished is not None:
        return weeks_between(schedule.started, schedule.finished)
    so_far = weeks_between(schedule.started, day)
    if schedule.weeks_left is not None:
        return so_far + schedule.weeks_left.likely
    if schedule.weeks_down.likely + found > so_far:
        return schedule.weeks_down.likely + found
    return found + float(weeks_from(schedule, day, HALF, weeks_left=0.0, found=found)[0])


def weeks_from(
    schedule: Schedule, day: date, probability: Array, *, weeks_left: Array | float, found: float
) -> Array:
    """Return the weeks from start to finish in trials without those `found`, shape (T or 1,).

    `probability` is that of the draw of weeks_down, and `weeks_left` its own draw. Started and not
    finished: the quantile at F(x) + u·(1 - F(x)), F the distribution function of the range, x the
    weeks so far less those found, and u the probability. That is the range, given that it is above
    x. What is stated to be left, or finished, has the weeks found in it.
    """
    if schedule.started is None:
        return quantile(schedule.weeks_down, probability)
    if schedule.finished is not None:
        return np.full(1, weeks_between(schedule.started, schedule.finished))
    so_far = weeks_between(schedule.started, day)
    if schedule.weeks_left is not None:
        return np.atleast_1d(so_far + weeks_left)
    below = float(chance_at_most(schedule.weeks_down, np.full(1, so_far - found))[0])
    share = np.minimum(below + probability * (1.0 - below), BELOW_ONE)
    return quantile(schedule.weeks_down, share)
