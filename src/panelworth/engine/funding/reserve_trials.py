"""The club's cash in every trial: the raise that holds the floor, and the chance to go below it.

Arrays are filled block by block. For each trial and option they have a balance a year, and the
values from which the least raise follows. Balances by month would take twelve times the memory.
Once the raise is known, the few trials whose months are needed are evaluated again.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.cash_flow.flows import Flows
from panelworth.engine.funding.reserve import (
    balances,
    basis_of,
    binding_month,
    held_in,
    least_raises,
    raise_months,
    raises_to,
    stated_raise,
)
from panelworth.engine.results.trials import Band, ReserveTrials, Solved
from panelworth.engine.trials import PART, Array
from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS, Scenario

Reevaluation = Callable[
    [Integers], Flows
]  # returns the flows of an option in the trials at these indices


@dataclass(frozen=True, kw_only=True)
class RaiseResults:
    """The least raise of each trial; the last axis of each array is the trials.

    `least`, (years, trials): the least raise that holds the floor less half a cent up to each
    year's end. One comparison with it tells whether a given raise holds. `needed`, (trials,): the
    least raise that holds the floor over floor_years. `once`: the same as an assessment a member in
    month 0. `yearly_basis`, (years+1, trials): the income from a raise of one unit up to month 0
    and up to each year's end.
    """

    least: Array
    needed: Array
    once: Array
    yearly_basis: Array


@dataclass(frozen=True, kw_only=True)
class ReserveResults:
    """An option's cash in every trial, without the raise that is solved for.

    `yearly`: the balance in month 0 and at each year's end, shape (years+1, trials). `lowest`: the
    lowest balance up to each year's end, (years, trials).
    """

    yearly: Array
    lowest: Array
    raises: RaiseResults | None


def empty_reserve_results(case: Case, option_id: str, trials: int) -> ReserveResults | None:
    """Return empty arrays for so many trials; None for an owner."""
    if case.scenario.club is None:
        return None
    years, raises = case.scenario.years, None
    if case.options[option_id].funding.solve is not None:
        raises = RaiseResults(
            least=np.empty((years, trials)),
            needed=np.empty(trials),
            once=np.empty(trials),
            yearly_basis=np.empty((years + 1, trials)),
        )
    return ReserveResults(
        yearly=np.empty((years + 1, trials)), lowest=np.empty((years, trials)), raises=raises
    )


def fill_reserve(flows: Flows, results: ReserveResults, block: slice) -> None:
    """Write a block of trials into an option's results."""
    balance, basis = _unraised(flows)
    lowest = _by_year(balance, np.minimum)
    results.yearly[:, block], results.lowest[:, block] = balance.T[::MONTHS], lowest
    if results.raises is not None and basis is not None:
        _fill_raises(flows, results.raises, block, balance=balance, basis=basis, lowest=lowest)


def _fill_raises(
    flows: Flows, raises: RaiseResults, block: slice, *, balance: Array, basis: Array, lowest: Array
) -> None:
    scenario = flows.context.scenario
    floor, within, until = _floor(scenario), scenario.floor_years - 1, _until(scenario)
    raises.yearly_basis[:, block] = basis.T[::MONTHS]
    raises.once[block] = least_raises(lowest[within], flows.members_now, floor)
    if (
        flows.context.option.funding.solve == "assessment"
    ):  # it adds the same in all months, so the lowest balance decides
        raises.least[:, block] = least_raises(lowest, flows.members_now, floor - HALF_A_CENT)
        raises.needed[block] = raises.once[block]
    else:
        for_all = raises_to(balance, basis, floor - HALF_A_CENT)
        within_floor = raises_to(balance[:, :until], basis[:, :until], floor)
        raises.least[:, block] = np.fmax(_by_year(for_all, np.fmax), 0.0)
        raises.needed[block] = np.fmax(_by_year(within_floor, np.fmax)[-1], 0.0)


def _unraised(flows: Flows) -> tuple[Array, Array | None]:
    """Return the balance without the raise to solve for, and the income from one unit of it.

    Both by month, shape (T or 1, H+1); the second is None where no raise is solved for.
    """
    scenario, terms = flows.context.scenario, flows.context.option.funding
    if scenario.club is None:
        raise ValueError("an owner has no reserve")
    balance = balances(flows, scenario.club, stated_raise(scenario, terms))
    if terms.solve is None:
        return balance, None
    return balance, basis_of(terms.solve, flows, raise_months(scenario, terms, terms.solve))


def _floor(scenario: Scenario) -> float:
    return scenario.club.reserve_floor if scenario.club else 0.0


def _until(scenario: Scenario) -> int:
    """Return the number of months, month 0 included, for which a raise must hold the floor."""
    return MONTHS * scenario.floor_years + 1


def _by_year(monthly: Array, extreme: np.ufunc) -> Array:
    """Return the extreme from month 0 up to each year's end, shape (years, T)."""
    by_month = monthly.T
    years = by_month[1:].reshape(-1, MONTHS, by_month.shape[1])
    extremes = extreme.reduce(years, axis=1)
    # Month 0 is in no year; it counts with the first one.
    extremes[0] = extreme(extremes[0], by_month[0])
    so_far: Array = extreme.accumulate(extremes, axis=0)
    return so_far


def solved_raise(
    case: Case, option_id: str, results: ReserveResults, reevaluate: Reevaluation
) -> Solved | None:
    """Return the raise that holds the floor in solve_chance of the trials.

    None where the option has no raise to solve for. `reevaluate` evaluates the option again in the
    trials near to the raise in rank: they give the month that binds.
    """
    raises, chance = results.raises, case.options[option_id].funding.solve_chance
    if raises is None:
        return None

    def binding(near: Integers) -> Integers:
        balance, basis = _until_floor_ends(reevaluate(near))
        months: Integers = least_raises(balance, basis, _floor(case.scenario)).argmax(axis=1)
        return months

    amount, rank = held_in(raises.needed, chance)
    once, _ = held_in(raises.once, chance)
    return Solved(
        amount=amount if np.isfinite(amount) else None,
        month=binding_month(raises.needed, binding, amount, rank),
        once=once if np.isfinite(once) else None,
    )


def _until_floor_ends(flows: Flows) -> tuple[Array, Array]:
    """Return balance and basis over the months for which the raise must hold the floor."""
    until = _until(flows.context.scenario)
    balance, basis = _unraised(flows)
    if basis is None:
        raise ValueError("no raise is to be solved")
    return balance[:, :until], basis[:, :until]


def reserve_trials(
    case: Case,
    option_id: str,
    results: ReserveResults,
    solved: Solved | None,
    reevaluate: Reevaluation,
) -> ReserveTrials:
    """Return the chance to go below the floor, the shortfall and the balances, with the raise.

    `shortfall_p50` is the median of floor - lowest balance over the trials that go below it within
    floor_years. A monthly raise adds a different amount to the balance of each month, so the lowest
    balance with it needs all months: the trials below the floor, and only these, are evaluated
    again.
    """
    floor, within = _floor(case.scenario), case.scenario.floor_years - 1
    added = (solved.amount if solved else None) or 0.0
    yearly, below = results.yearly, results.lowest < floor - HALF_A_CENT
    if results.raises is not None:
        yearly = yearly + added * results.raises.yearly_basis
        below = results.raises.least > added
    low = np.flatnonzero(below[within])
    if added == 0.0:
        lowest = results.lowest[within, low]
    elif case.options[option_id].funding.solve == "assessment":  # it adds the same in all months
        lowest = yearly[0, low] - results.yearly[0, low] + results.lowest[within, low]
    else:
        lowest = _lowest_held(reevaluate, low, added)
    shares = below.mean(axis=1)
    return ReserveTrials(
        chance_below_floor=float(shares[within]),
        chance_below_floor_by_year=tuple(shares.tolist()),
        shortfall_p50=float(np.median(floor - lowest)) if len(low) else None,
        reserve_by_year=tuple(
            Band(p10=p10, p50=p50, p90=p90)
            for p10, p50, p90 in np.percentile(yearly, [10.0, 50.0, 90.0], axis=1).T.tolist()
        ),
    )


def _lowest_held(reevaluate: Reevaluation, trials: Integers, added: float) -> Array:
    """Return the lowest balance of these trials with a raise, shape (len(trials),)."""
    lowest = np.empty(len(trials))
    for first in range(0, len(trials), PART):
        block = slice(first, first + PART)
        balance, basis = _until_floor_ends(reevaluate(trials[block]))
        lowest[block] = (balance + added * basis).min(axis=1)
    return lowest
