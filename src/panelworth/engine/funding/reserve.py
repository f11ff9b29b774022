"""The club's cash in each month, and the least raise that holds its floor in enough trials.

Balances are money of shape (T or 1, H+1), at the end of each month. A balance is a straight line in
the raise, so each trial's least raise follows from a division. The raise that holds the floor in a
share of the trials is an order statistic of these, and needs no search.
Source: the project's method, section 4.
"""

import itertools
import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.cash_flow.flows import Flows
from panelworth.engine.cash_flow.rows import Row, Yearly, added, unchanged
from panelworth.engine.trials import Array
from panelworth.model.club import (
    Club,
)
from panelworth.model.option import Funding
from panelworth.model.scenario import (
    MONTHS,
    Scenario,
)

RESIDUE = 1e-6  # of a cent: a rounding error must not raise the amount to the next cent
BALANCE_TOLERANCE = (
    1e-6  # of a unit of money: a balance this little below the floor is at the floor
)
# The month that binds in one single trial is a matter of chance. Therefore the most frequent month
# of the trials nearest in rank is taken, a hundredth of all trials on either side. The project's
# method, section 4.
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
    """Return the last month in which a raise of dues or of the hourly rate is paid."""
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
    """Return the income from raises of dues and of the hourly rate; each runs for whole years.

    A raise is assumed to lose no members and no hours. The project's method, section 4.
    """
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

    It is added up month by month for all trials, because the trials of a month are adjacent in
    memory. This takes a quarter of the time of a cumulative sum along each trial. Finding the
    lowest balance of a year is quicker too in this layout.
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

    Infinite where no raise could come in time. All arrays have shape (T, M) or (1, M); `balance` is
    without the raise. A balance that is below the floor only by a rounding error needs no raise,
    even in a month before the first payment of a raise.
    """
    return np.fmax(
        raises_to(balance, basis, floor), 0.0
    )  # fmax ignores the NaN of 0/0: nothing is missing there


def raises_to(balance: Array, basis: Array, floor: float) -> Array:
    """Return by month the raise that brings the balance to the floor: (floor - balance)/basis.

    Negative where the balance is above the floor; NaN for 0/0. Shapes as in least_raises. Divisions
    by 0 are meant (no income from a raise yet), so numpy's warnings are switched off.
    """
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        needed: Array = (floor - BALANCE_TOLERANCE - balance) / basis
    return needed


def held_in(needed: Array, chance: float) -> tuple[float, int]:
    """Return the raise that holds the floor in this share of the trials, and its rank from 1.

    The ⌈chance·trials⌉-th smallest of the least raises `needed`, shape (trials,), rounded up to the
    cent; infinite if that one is infinite. A trial's floor holds with every raise that is at least
    the trial's own least raise, so it holds in exactly the trials up to this rank.
    """
    # 0.8·10,000 may come out a little above 8,000, which must not become rank 8,001.
    rank = max(1, math.ceil(chance * len(needed) - 1e-9))
    least = float(np.partition(needed, rank - 1)[rank - 1])
    return up_to_the_cent(least), rank


def up_to_the_cent(amount: float) -> float:
    """Round up to the cent, apart from rounding errors above a cent; infinity stays infinite.

    >>> up_to_the_cent(3.1000000000001), up_to_the_cent(3.101)
    (3.1, 3.11)
    """
    return math.ceil(amount * 100.0 - RESIDUE) / 100.0 if math.isfinite(amount) else amount


def binding_month(
    needed: Array, month_in: Callable[[Integers], Integers], raise_: float, rank: int
) -> int | None:
    """Return the month that binds most often in the trials near to the raise in rank.

    A month binds if it needs the largest raise of all months of its trial. The trials that count
    are at most a hundredth of all trials away in rank, need a raise, and have a finite one. Of
    equally frequent months the earliest is returned. `month_in` returns the binding month of each
    of these trials. None where the raise is 0 or infinite.
    """
    if raise_ == 0.0 or not math.isfinite(raise_):
        return None
    reach = len(needed) // NEAR
    first, last = max(rank - reach, 1) - 1, min(rank + reach, len(needed)) - 1
    # Only the trials around the rank are sorted: a full sort of all trials would take longer.
    least, most = np.partition(needed, (first, last))[[first, last]]
    around = np.flatnonzero((needed >= least) & (needed <= most))
    skipped = first - np.count_nonzero(needed < least)
    near = around[np.argsort(needed[around], kind="stable")][skipped:][: last - first + 1]
    near = near[(needed[near] > 0.0) & np.isfinite(needed[near])]
    return int(np.argmax(np.bincount(month_in(near)))) if len(near) else None
