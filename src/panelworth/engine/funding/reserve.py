"""The club's cash month by month, and the least raise that holds its floor in enough trials.

Balances are money of shape (T or 1, H+1), at the end of each month. A balance is a straight line in
the raise, so each trial's least raise follows from a division. The raise that holds the floor in a
share of the trials is an order statistic of these: no search is needed.
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

RESIDUE = 1e-6  # of a cent: a rounding error must not round a raise up to the next cent
NOTHING = 1e-6  # of a unit of money: a balance that far below the floor counts as at the floor
# Which month binds in one single trial is chance. So the most frequent one counts of the trials
# nearest in rank: a hundredth of all trials on either side. The project's method, section 4.
NEAR = 100


@dataclass(frozen=True, kw_only=True)
class Raise:
    """What members pay in addition: dues a month, a rate an hour, and an assessment in month 0.

    Dues and rate are constant, not escalated, and paid through the months `dues_months` and
    `rate_months`. The assessment is an amount a member, paid once.
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
    """Return the income from raises of dues and of the hourly rate; each runs for whole years."""
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
    """Return the cumulative sum over the months, shape (T or 1, H+1).

    It is added up month by month for all trials, since the trials of a month are adjacent in
    memory. That takes a quarter of the time of a cumulative sum along each trial, and later makes
    the least balance of a year as much quicker to find.
    """
    by_month = np.asarray(monthly.T, order="C")
    for before, now in itertools.pairwise(by_month):
        np.add(before, now, out=now)
    return by_month.T


def basis_of(solve: str, flows: Flows, months: int) -> Array:
    """Return the income from a raise of one unit up to each month, shape (T or 1, H+1).

    `months` is the last one in which the raise is paid; an assessment is paid once in month 0.
    """
    if solve == "assessment":
        return np.repeat(flows.members_now[:, np.newaxis], flows.hours.shape[1], axis=1)
    paid = (flows.members if solve == "dues" else flows.hours).copy(order="K")
    paid[:, 0], paid[:, months + 1 :] = 0.0, 0.0
    return running(paid)


def least_raises(balance: Array, basis: Array, floor: float) -> Array:
    """Return by month the least raise that holds the floor in that month; 0 where none is needed.

    Infinite where no raise could come in time. All of shape (T, M) or (1, M); `balance` is without
    the raise. A balance below the floor by a rounding error needs no raise, also in a month in
    which none could have come in yet.
    """
    return np.fmax(raises_to(balance, basis, floor), 0.0)  # NaN from 0/0 gives 0: nothing is short


def raises_to(balance: Array, basis: Array, floor: float) -> Array:
    """Return by month the raise that brings the balance to the floor: (floor - balance)/basis.

    Negative where the balance is above the floor; NaN for 0/0. Shapes as in least_raises.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        needed: Array = (floor - NOTHING - balance) / basis
    return needed


def held_in(needed: Array, chance: float) -> tuple[float, int]:
    """Return the raise that holds the floor in this share of the trials, and its rank from 1.

    The ⌈chance·trials⌉-th smallest of the least raises `needed`, shape (trials,), rounded up to the
    cent; infinite where it is. Each trial holds with every raise from its own least raise on, so
    exactly those up to this rank hold.
    """
    # 0.8·10,000 may come out a little above 8,000, which must not become rank 8,001.
    rank = max(1, math.ceil(chance * len(needed) - 1e-9))
    least = float(np.partition(needed, rank - 1)[rank - 1])
    return up_to_the_cent(least), rank


def up_to_the_cent(amount: float) -> float:
    """Round up to the cent, but for a rounding error above a cent; infinity stays.

    >>> up_to_the_cent(3.1000000000001), up_to_the_cent(3.101)
    (3.1, 3.11)
    """
    return math.ceil(amount * 100.0 - RESIDUE) / 100.0 if math.isfinite(amount) else amount


def binding_month(
    needed: Array, month_in: Callable[[Whole], Whole], raise_: float, rank: int
) -> int | None:
    """Return the month that binds most often in the trials near to the raise in rank.

    A month binds if it needs the largest raise of all months of its trial. Counted are the trials
    at most a hundredth of all trials away in rank, if they need a raise and a finite one is enough;
    of months that are equally frequent the earliest. `month_in` returns the binding month of each
    of these trials. None where the raise is 0 or infinite.
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
