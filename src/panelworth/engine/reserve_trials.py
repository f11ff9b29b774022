"""The club's cash in every trial: the raise that holds its floor, and how often the floor breaks.

Filled block by block. Kept a trial and option: a balance a year, and for an option whose raise is
solved the months in which the floor must hold, so that each trial is worked out once.
"""

from dataclasses import dataclass

import numpy as np

from panelworth.engine.calendar import Whole
from panelworth.engine.cashflow import Flows
from panelworth.engine.reserve import (
    balances,
    basis_of,
    binding_month,
    held_in,
    least_raises,
    raise_months,
    stated_raise,
)
from panelworth.engine.results_trials import Band, ReserveTrials, Solved
from panelworth.engine.worlds import Array
from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS


@dataclass(frozen=True, kw_only=True)
class RaiseTally:
    """What the least raise of each trial follows from; arrays end with the trials.

    `least` by year's end is taken half a cent below the floor, `needed` at it, over floor_years;
    `once` is the payment a member in month 0. `balance` and `basis` run over the months of
    floor_years, `yearly_basis` over the years.
    """

    least: Array
    needed: Array
    once: Array
    balance: Array
    basis: Array
    yearly_basis: Array


@dataclass(frozen=True, kw_only=True)
class ReserveTally:
    """An option's cash in every trial, without a raise that is to be solved.

    `yearly`: the balance in month 0 and at each year's end, shape (years+1, trials). `lowest`: the
    lowest balance up to each year's end, (years, trials).
    """

    yearly: Array
    lowest: Array
    raises: RaiseTally | None


def reserve_tally(case: Case, option_id: str, trials: int) -> ReserveTally | None:
    """Make room for the trials; None for an owner."""
    if case.scenario.club is None:
        return None
    years, until = case.scenario.years, MONTHS * case.scenario.floor_years + 1
    raises = None
    if case.options[option_id].funding.solve is not None:
        raises = RaiseTally(
            least=np.empty((years, trials)),
            needed=np.empty(trials),
            once=np.empty(trials),
            balance=np.empty((until, trials)),
            basis=np.empty((until, trials)),
            yearly_basis=np.empty((years + 1, trials)),
        )
    return ReserveTally(
        yearly=np.empty((years + 1, trials)), lowest=np.empty((years, trials)), raises=raises
    )


def fill_reserve(flows: Flows, tally: ReserveTally, here: slice) -> None:
    """Write a block of trials into an option's tally."""
    scenario, terms = flows.course.scenario, flows.course.option.funding
    club = scenario.club
    if club is None:
        return
    balance = balances(flows, club, stated_raise(scenario, terms))
    tally.yearly[:, here] = balance.T[::MONTHS]
    lowest = _by_year(balance, np.minimum)
    tally.lowest[:, here] = lowest
    if tally.raises is None or terms.solve is None:
        return
    raises, until = tally.raises, len(tally.raises.balance)
    basis = basis_of(terms.solve, flows, raise_months(scenario, terms, terms.solve))
    floor = club.reserve_floor
    raises.least[:, here] = _by_year(least_raises(balance, basis, floor - HALF_A_CENT), np.maximum)
    raises.needed[here] = least_raises(balance[:, :until], basis[:, :until], floor).max(axis=1)
    raises.once[here] = least_raises(lowest[scenario.floor_years - 1], flows.members[:, 0], floor)
    raises.balance[:, here], raises.basis[:, here] = balance.T[:until], basis.T[:until]
    raises.yearly_basis[:, here] = basis.T[::MONTHS]


def _by_year(monthly: Array, extreme: np.ufunc) -> Array:
    """Return the extreme from month 0 up to each year's end, shape (years, W)."""
    by_month = monthly.T
    years = by_month[1:].reshape(-1, MONTHS, by_month.shape[1])
    found = extreme.reduce(years, axis=1)
    found[0] = extreme(found[0], by_month[0])
    so_far: Array = extreme.accumulate(found, axis=0)
    return so_far


def solved_raise(case: Case, option_id: str, tally: ReserveTally) -> Solved | None:
    """Return the raise that holds the floor in this share of the trials; None if none is solved."""
    club, raises, chance = (
        case.scenario.club,
        tally.raises,
        case.options[option_id].funding.solve_chance,
    )
    if club is None or raises is None:
        return None

    def binding(near: Whole) -> Whole:
        needed = least_raises(raises.balance[:, near], raises.basis[:, near], club.reserve_floor)
        months: Whole = needed.argmax(axis=0)
        return months

    amount, rank = held_in(raises.needed, chance)
    once, _ = held_in(raises.once, chance)
    return Solved(
        amount=amount if np.isfinite(amount) else None,
        month=binding_month(raises.needed, binding, amount, rank),
        once=once if np.isfinite(once) else None,
    )


def reserve_trials(case: Case, tally: ReserveTally, solved: Solved | None) -> ReserveTrials:
    """Return how often the floor breaks, by how much, and the balances, with the raise held."""
    club = case.scenario.club
    floor = (club.reserve_floor if club else 0.0) - HALF_A_CENT
    within, added = case.scenario.floor_years - 1, (solved.amount if solved else None) or 0.0
    yearly, raises = tally.yearly, tally.raises
    if raises is None:
        below = tally.lowest < floor
        lowest = tally.lowest[within, below[within]]
    else:
        yearly = yearly + added * raises.yearly_basis
        below = raises.least > added
        low = below[within]
        lowest = (raises.balance[:, low] + added * raises.basis[:, low]).min(axis=0, initial=np.inf)
    shares = below.mean(axis=1)
    short = floor + HALF_A_CENT - lowest
    return ReserveTrials(
        chance_below_floor=float(shares[within]),
        chance_below_floor_by_year=tuple(shares.tolist()),
        shortfall_p50=float(np.median(short)) if len(short) else None,
        reserve_by_year=tuple(
            Band(p10=p10, p50=p50, p90=p90)
            for p10, p50, p90 in np.percentile(yearly, [10.0, 50.0, 90.0], axis=1).T.tolist()
        ),
    )
