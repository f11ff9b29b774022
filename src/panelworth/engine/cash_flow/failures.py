"""Units that fail: the cost of their failures by month, and the share of it without the airplane.

rate(m) = per_year·(1+growth)^g·(1 - down(m)) is a unit's failures a year in month m; g is y(m), or
the full years since the finish for a unit that was installed. The likely view counts the rate
itself. In a drawn trial the failures of a unit in a scenario year are a Poisson number with the
year's mean; its cost and its days follow the number, spread over the months as the rate is.
Source: the project's method, section 8.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from panelworth.engine.cash_flow.calendar import Dates
from panelworth.engine.cash_flow.option_context import OptionContext, grown
from panelworth.engine.cash_flow.rows import NOTHING, Row, by_month, years_of
from panelworth.engine.results.failing_units import FailingUnit
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

DAYS_IN_A_YEAR = 365.0
HUGE = 1e8  # a Poisson mean from which the normal law is near enough
LARGE = 60.0  # a Poisson mean from which counting up from 0 takes too many steps


@dataclass(frozen=True, kw_only=True)
class Failures:
    """Failures of all units by month: their cost at today's prices, and the share grounded.

    Both of shape (T or 1, H+1), 0 in month 0; `grounded` is at most 1.
    """

    cost: Array
    grounded: Array


def failures(context: OptionContext) -> Failures | None:
    """Return the failures of an option's units; None where no unit of it fails."""
    if not context.failing_units:
        return None
    cost, days = np.zeros((1, 1)), np.zeros((1, 1))
    for unit in context.failing_units:
        number, profile = _numbers(context, unit)
        amounts = context.trials.column(unit.cost) if unit.cost else np.zeros((1, 1))
        lengths = context.trials.column(unit.days) if unit.days else np.zeros((1, 1))
        cost = cost + _spread(number * amounts, profile)
        days = days + _spread(number * lengths, profile)
    grounded = np.minimum(days * (MONTHS / DAYS_IN_A_YEAR), 1.0)
    return Failures(cost=cost, grounded=grounded)


def row_of(context: OptionContext, failed: Failures | None) -> Row:
    """Return the cost of failures as a row, escalated; nothing without units that fail."""
    if failed is None:
        return NOTHING
    money: Array = failed.cost * by_month(context.months, context.costs)
    return Row(monthly=money)


def _numbers(context: OptionContext, unit: FailingUnit) -> tuple[Array, Array]:
    """Return a unit's failures in each scenario year, and how a year's are spread over its months.

    Shapes (T or 1, years) and (T or 1, H+1); the months of a year add up to 1, or to 0.
    """
    rate = _rate(context, unit)
    yearly: Array = years_of(rate).sum(axis=1).T / MONTHS
    whole = by_month(context.months, yearly)
    profile = np.divide(
        rate / MONTHS, whole, out=np.zeros(np.broadcast(rate, whole).shape), where=whole > 0.0
    )
    uniform = context.trials.values.get(unit.count_path)
    number = yearly if uniform is None else poisson_number(uniform, yearly)
    return number, profile


def _rate(context: OptionContext, unit: FailingUnit) -> Array:
    """Return the failures a year in each month, shape (T or 1, H+1); 0 while it is not there."""
    trials, years = context.trials, context.scenario.years
    growth = grown(trials.of(unit.growth), years) * trials.column(unit.per_year)
    if unit.installed_in is None:
        rate = by_month(context.months, growth)
    else:
        rate = _since(context.dates[unit.installed_in], growth, context.months.last)
    rate = rate * (1.0 - context.down)
    if unit.removed_in is not None:
        dates = context.dates[unit.removed_in]
        last = dates.start if unit.leaves_at_start else dates.finish
        rate = rate * (context.months.index <= last[:, np.newaxis])
    rate[:, 0] = 0.0
    return rate


def _since(dates: Dates, yearly: Array, last: int) -> Array:
    """Return amounts by full years since a finish in the months after it; 0 up to it."""
    since = np.arange(last + 1) - dates.finish[:, np.newaxis] - 1
    years = np.clip(since // MONTHS, 0, yearly.shape[1] - 1)
    rows = np.broadcast_to(yearly, (max(len(yearly), len(since)), yearly.shape[1]))
    places = np.broadcast_to(years, (len(rows), last + 1))
    taken: Array = np.take_along_axis(rows, places, axis=1)
    return np.where(since >= 0, taken, 0.0)


def _spread(yearly: Array, profile: Array) -> Array:
    """Return a year's amount in each of its months, shape (T or 1, H+1); none in month 0."""
    years = profile[:, 1:].reshape(len(profile), -1, MONTHS)
    spread = yearly[:, :, np.newaxis] * years
    return np.concatenate([np.zeros((len(spread), 1)), spread.reshape(len(spread), -1)], axis=1)


def poisson_number(uniform: Array, mean: Array) -> Array:
    """Return Poisson numbers by the inverse of their law: the smallest k with F(k) >= u.

    Shapes are broadcast; a mean of 0 gives 0. Checked against scipy.stats.

    >>> poisson_number(np.array([0.2, 0.5, 0.95]), np.array([1.0])).tolist()
    [0.0, 1.0, 3.0]
    """
    uniform, mean = np.broadcast_arrays(uniform, mean)
    if mean.max(initial=0.0) > LARGE:
        return _large_number(uniform, mean)
    number, chance = np.zeros(mean.shape), np.exp(-mean)
    reached = chance.copy()
    step = 0
    open_ = np.flatnonzero(uniform > reached)
    flat_number, flat_mean = number.reshape(-1), np.ascontiguousarray(mean).reshape(-1)
    flat_uniform = np.ascontiguousarray(uniform).reshape(-1)
    flat_chance, flat_reached = chance.reshape(-1), reached.reshape(-1)
    while len(open_):
        step += 1
        flat_chance[open_] *= flat_mean[open_] / step
        flat_reached[open_] += flat_chance[open_]
        flat_number[open_] = step
        # Far in the tail the sum no longer grows in double precision: the rest ends there.
        still = (flat_uniform[open_] > flat_reached[open_]) & (
            (flat_chance[open_] > 0.0) & (step < flat_mean[open_] + LARGE * 4)
        )
        open_ = open_[still]
    return number


def _large_number(uniform: Array, mean: Array) -> Array:
    """Return Poisson numbers of large means from the inverse of the incomplete gamma function.

    From a hundred million on that inverse loses digits; there the law is normal to a part in 1e4.
    """
    huge = mean > HUGE
    near = np.ceil(special.pdtrik(uniform, np.minimum(mean, HUGE)))
    lower = np.maximum(near - 1.0, 0.0)
    number: Array = np.where(special.pdtr(lower, np.minimum(mean, HUGE)) >= uniform, lower, near)
    normal = np.rint(mean + np.sqrt(mean) * special.ndtri(uniform))
    return np.where(huge, normal, np.where(mean > 0.0, number, 0.0))
