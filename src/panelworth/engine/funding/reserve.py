"""The club's cash month by month, and the least raise that holds its floor in enough trials.

Balances are money of shape (T or 1, H+1), at the end of each month. A raise is found for every
trial at once: each trial has a least raise that holds the floor in it, and the raise that holds
it in a share of the trials is an order statistic of these. Nothing is searched by trial and error.
Source: the project's method, section 4.
"""

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Whole
from panelworth.engine.cash_flow.flows import Flows
from panelworth.engine.cash_flow.rows import Row, Yearly, added, unchanged
from panelworth.engine.trials import Array
from panelworth.model.option import Funding
from panelworth.model.scenario import MONTHS, Club, Scenario

RESIDUE = 1e-6  # of a cent: floating point must not round a raise up to the next cent
NOTHING = 1e-6  # of a unit of money: a balance that far below the floor is at it, but for rounding
NEAR = 100  # the binding month is taken from a hundredth of the trials on either side


@dataclass(frozen=True, kw_only=True)
class Raise:
    """What members pay on top: dues a month and an hour's rate, both flat, and once in month 0.

    `dues_months` and `rate_months` say through which month the first two run.
    """

    dues: float = 0.0
    hourly_rate: float = 0.0
    assessment: float = 0.0
    dues_months: int = 0
    rate_months: int = 0


def raise_months(scenario: Scenario, terms: Funding, key: str) -> int:
    """Return the last month of a raise of dues or of the hourly rate."""
    return MONTHS * terms.years_of(key, scenario)


def stated_raise(scenario: Scenario, terms: Funding) -> Raise:
    """Return the raises that an option's file states."""
    return Raise(
        dues=terms.dues_increase,
        hourly_rate=terms.hourly_rate_increase,
        assessment=terms.assessment_per_member,
        dues_months=raise_months(scenario, terms, "dues"),
        rate_months=raise_months(scenario, terms, "hourly_rate"),
    )


def surcharges(flows: Flows, raised: Raise) -> Row:
    """Return what raises of dues and of the hourly rate bring in: each for whole years."""
    club, years = flows.context.scenario.club, flows.context.scenario.years
    members = float(club.members if club else 0)
    dues = _for_years(raised.dues, raised.dues_months, years)
    return Row(
        level=dues and dues * members,
        newcomer=dues,
        hourly=_for_years(raised.hourly_rate, raised.rate_months, years),
    )


def _for_years(amount: float, months: int, years: int) -> Yearly | None:
    """Return an amount that is paid through the last month of a year; None where it is 0."""
    if amount == 0.0:
        return None
    return unchanged(np.where(MONTHS * np.arange(years) < months, amount, 0.0)[np.newaxis])


def balances(flows: Flows, club: Club, raised: Raise) -> Array:
    """Return the club's cash at the end of each month, shape (T or 1, H+1).

    B(0) = reserve + net(0) + assessment·members(0) + loan; B(m) = B(m-1) + net(m) + loan drawn
    - payment + surcharges.
    """
    cash = flows.by_month(added(flows.income, surcharges(flows, raised), flows.loan) - flows.costs)
    cash[:, 0] += club.reserve + raised.assessment * flows.members_now
    return running(cash)


def running(monthly: Array) -> Array:
    """Return the sum up to each month; in memory the trials of a month are adjacent.

    Added up month by month for all trials, which takes a quarter of the time of a sum along each
    trial's own months; the least of each year is as much quicker to find.
    """
    by_month = np.asarray(monthly.T, order="C")
    for before, now in itertools.pairwise(by_month):
        np.add(before, now, out=now)
    return by_month.T


def basis_of(solve: str, flows: Flows, months: int) -> Array:
    """Return what a raise of one unit has brought in by each month, shape (T or 1, H+1).

    `months` is the last one in which the raise is paid; an assessment is paid once in month 0.
    """
    if solve == "assessment":
        return np.repeat(flows.members_now[:, np.newaxis], flows.hours.shape[1], axis=1)
    paid = (flows.members if solve == "dues" else flows.hours).copy(order="K")
    paid[:, 0], paid[:, months + 1 :] = 0.0, 0.0
    return running(paid)


def least_raises(balance: Array, basis: Array, floor: float) -> Array:
    """Return by month what raise it takes to hold the floor there: 0 if none, infinite if none can.

    All of shape (T, M) or (1, M); `balance` is without the raise. A balance at the floor may be
    below it by what floating point leaves: that needs no raise, also where none could come in time.
    """
    return np.fmax(raises_to(balance, basis, floor), 0.0)  # 0 also for 0/0: nothing lacks


def raises_to(balance: Array, basis: Array, floor: float) -> Array:
    """Return by month what raise leaves the balance at the floor: negative if it is above, NaN 0/0.

    Shapes as in least_raises.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        needed: Array = (floor - NOTHING - balance) / basis
    return needed


def held_in(needed: Array, chance: float) -> tuple[float, int]:
    """Return the raise that holds in this share of the trials, and its rank, counted from 1.

    The ⌈chance·trials⌉-th smallest of the least raises of shape (trials,), up to the cent;
    infinite where that one is.
    """
    rank = max(1, math.ceil(chance * len(needed) - 1e-9))
    least = float(np.partition(needed, rank - 1)[rank - 1])
    return up_to_the_cent(least), rank


def up_to_the_cent(amount: float) -> float:
    """Round up to the cent, floating-point residue cleared first; infinity stays.

    >>> up_to_the_cent(3.1000000000001), up_to_the_cent(3.101)
    (3.1, 3.11)
    """
    return math.ceil(amount * 100.0 - RESIDUE) / 100.0 if math.isfinite(amount) else amount


def binding_month(
    needed: Array, month_in: Callable[[Whole], Whole], raise_: float, rank: int
) -> int | None:
    """Return the month that binds most often in the trials around the raise's own rank.

    Those at most a hundredth of the trials away in rank that need a raise and can be helped; the
    earliest month of equals. `month_in` returns the month that binds in each of some trials. None
    where the raise is 0 or infinite.
    """
    if raise_ == 0.0 or not math.isfinite(raise_):
        return None
    reach = len(needed) // NEAR
    first, last = max(rank - reach, 1) - 1, min(rank + reach, len(needed)) - 1
    least, most = np.partition(needed, (first, last))[[first, last]]
    around = np.flatnonzero((needed >= least) & (needed <= most))
    skipped = first - np.count_nonzero(needed < least)
    near = around[np.argsort(needed[around], kind="stable")][skipped:][: last - first + 1]
    near = near[(needed[near] > 0.0) & np.isfinite(needed[near])]
    return int(np.argmax(np.bincount(month_in(near)))) if len(near) else None
