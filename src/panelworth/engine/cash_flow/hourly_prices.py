"""The cost of an hour of flying, the charge for it, and its worth to the members.

Amounts are money for an hour, by the year, escalated. Source of every equation: the project's
method, section 3.
"""

import numpy as np

from panelworth.engine.cash_flow.miles import slowness
from panelworth.engine.cash_flow.option_context import OptionContext, in_force
from panelworth.engine.cash_flow.rows import Yearly, in_stretches, unchanged
from panelworth.engine.trials import Array, Trials
from panelworth.model.scenario import Aircraft, Scenario
from panelworth.model.value import Quantity

TODAY = np.ones((1, 1))  # the factor on today's prices


def charges(context: OptionContext) -> Yearly:
    """Return the charge for an hour: hourly_rate·e."""
    return in_force(context, lambda aircraft: aircraft.hourly_rate) * context.costs


def hourly_cost(context: OptionContext) -> Yearly:
    """Return the cost of an hour in the airplane that is in force in each stretch."""
    return in_stretches(_hourly_cost(context, aircraft) for aircraft in context.aircraft)


def worth(context: OptionContext) -> Yearly:
    """Return the worth of an hour to those who fly it: the same in every option.

    An option may change the hourly rate. That is a transfer between members and their club and does
    not change what an hour is worth to the members.
    """
    if _stated_worth(context.scenario) is None:
        hour = unchanged(_hourly_cost(context, context.scenario.aircraft))
    else:
        worth_now = todays_worth(context.scenario, context.trials)
        hour = unchanged(worth_now[:, np.newaxis] * context.costs)
    slow = slowness(context)
    # The same miles in fewer hours are worth the same.
    return hour if slow is None else hour * Yearly(tuple(1.0 / share for share in slow))


def contribution(context: OptionContext) -> Yearly:
    """Return an hour's contribution to the club: charges less the hourly cost."""
    return charges(context) - hourly_cost(context)


def net_worth(context: OptionContext) -> Yearly:
    """Return an hour's net worth to the members: its worth less the hourly cost."""
    return worth(context) - hourly_cost(context)


def todays_worth(scenario: Scenario, trials: Trials) -> Array:
    """Return w, the worth of an hour at today's prices, shape (T or 1,).

    worth_per_hour if it is stated. Otherwise a club's hourly rate, or an owner's hourly cost:
    whoever pays this for an hour values the hour at least as much (revealed preference).
    """
    stated = _stated_worth(scenario)
    if stated is not None:
        return trials.of(stated)
    return cost_of_an_hour(trials, scenario.aircraft, fuel=TODAY, prices=TODAY)[:, 0]


def cost_of_an_hour(trials: Trials, aircraft: Aircraft, *, fuel: Array, prices: Array) -> Array:
    """Return fuel_per_hour·fuel_price·ef + (the costs besides fuel)·e, shape (T or 1, years).

    `fuel` is ef and `prices` e, by the year.
    """
    burnt, besides = aircraft.hourly_cost(trials.of)
    cost: Array = burnt[:, np.newaxis] * fuel + besides[:, np.newaxis] * prices
    return cost


def _stated_worth(scenario: Scenario) -> Quantity | None:
    """Return the input that gives the worth of an hour; None where an owner's cost gives it."""
    aircraft = scenario.aircraft
    return aircraft.worth_per_hour or (aircraft.hourly_rate if scenario.club else None)


def _hourly_cost(context: OptionContext, aircraft: Aircraft) -> Array:
    """Return an airplane's cost of an hour, computed once for all options that share its inputs."""
    inputs = (aircraft.fuel_per_hour, aircraft.fuel_price, *aircraft.hourly_besides_fuel)
    return context.trials.once(
        ("cost of an hour", context.scenario.years, *(input_.path for input_ in inputs)),
        lambda: cost_of_an_hour(context.trials, aircraft, fuel=context.fuel, prices=context.costs),
    )
