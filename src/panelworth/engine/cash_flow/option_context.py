"""One option's context in many trials: what every row of its cash flow is worked out from."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates, Months, dates_of, months_of, weeks_down_of
from panelworth.engine.cash_flow.discounting import discount_factors
from panelworth.engine.cash_flow.rows import Yearly, changing
from panelworth.engine.trials import Array, Trials
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import Standing
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Scenario


@dataclass(frozen=True, kw_only=True)
class Rise:
    """The factors on prices when an option starts later than planned, shape (T or 1,); 1 if not.

    Items and another airplane rise by (1+equipment_inflation)^(s/12), a sale's price moves by
    (1+value_change)^(s/12), jobs rise by (1+inflation)^(s/12), s the months of delay.
    """

    equipment: Array
    sale: Array
    jobs: Array


@dataclass(frozen=True, kw_only=True)
class OptionContext:
    """An option, its dates and the trials it is looked at in.

    `costs` is e = (1+inflation)^y by the year, `fuel` is ef likewise, (T or 1, years).
    `standings` hold what the ledger says of its items and money in, by path.
    """

    option_id: str
    option: Option
    scenario: Scenario
    trials: Trials
    months: Months
    dates: Dates
    costs: Array
    fuel: Array
    standings: Mapping[str, Standing]
    rise: "Rise"

    @property
    def discount(self) -> Array:
        """The discount factors of month 0 to H, shape (T or 1, H+1)."""
        rate, last = self.trials.values["rates.discount"], self.months.last
        return self.trials.once(f"discount {last}", lambda: discount_factors(rate, last))

    @property
    def prefix(self) -> str:
        """How the paths of the option's own inputs begin."""
        return option_prefix(self.option_id)


def option_context(case: Case, option_id: str, trials: Trials) -> OptionContext:
    """Set out an option's context in these trials."""
    option, prefix = case.options[option_id], option_prefix(option_id)
    months = months_of(case.scenario)
    weeks = weeks_down_of(option, prefix, trials)
    inflation, years = trials.values["rates.inflation"], case.scenario.years
    fuel = trials.values.get("rates.fuel_inflation", inflation)
    return OptionContext(
        option_id=option_id,
        option=option,
        scenario=case.scenario,
        trials=trials,
        months=months,
        dates=dates_of(option, case.scenario, weeks_down=weeks, months=months),
        costs=trials.once(f"costs {years}", lambda: grown(inflation, years)),
        fuel=trials.once(f"fuel {years}", lambda: grown(fuel, years)),
        standings=case.standings,
        rise=_rise(trials, case.delays.get(option_id, 0.0) / MONTHS),
    )


def _rise(trials: Trials, years: float) -> Rise:
    """Return what a delay of so many years does to prices."""
    if years == 0.0:
        return Rise(equipment=np.ones(1), sale=np.ones(1), jobs=np.ones(1))
    values = trials.values
    inflation = values["rates.inflation"]
    equipment = values.get("rates.equipment_inflation", inflation)
    growth = (equipment, values["aircraft.value_change"], inflation)
    equipment, sale, jobs = ((1.0 + each) ** years for each in growth)
    return Rise(equipment=equipment, sale=sale, jobs=jobs)


def grown(rate: Array, years: int) -> Array:
    """Return (1 + rate)^y for y = 0, 1, … years-1: from shape (T,) to (T, years).

    >>> grown(np.array([0.5]), 3).tolist()
    [[1.0, 1.5, 2.25]]
    """
    powers: Array = (1.0 + rate) ** np.arange(years)[:, np.newaxis]
    return powers.T


def in_force(context: OptionContext, key: str) -> Yearly:
    """Return a key of [aircraft]: today's value, then [after]'s from the month after the finish."""
    return changing(initial_value(context, key), final_value(context, key))


def initial_value(context: OptionContext, key: str) -> Array:
    """Return a key of [aircraft] as it stands on as_of, shape (T or 1,)."""
    return context.trials.values[f"aircraft.{key}"]


def final_value(context: OptionContext, key: str) -> Array:
    """Return a key of [aircraft] as it stands at the end, shape (T or 1,)."""
    changed = context.option.after.new(key) is not None
    where = f"{context.prefix}after.{key}" if changed else f"aircraft.{key}"
    return context.trials.values[where]


def listed(values: Mapping[str, Array], prefix: str, names: list[str], key: str) -> Array:
    """Add up one key over list entries by name, shape (T or 1,); 0 for an empty list."""
    return sum((values[f"{prefix}[{name}].{key}"] for name in names), np.zeros(1))
