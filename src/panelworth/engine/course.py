"""One option's course in many worlds: what every row of its cash flow is worked out from."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.calendar import Dates, Months, dates_of, months_of, weeks_down_of
from panelworth.engine.discounting import discount_factors
from panelworth.engine.rows import Yearly, changing
from panelworth.engine.worlds import Array, Worlds
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import Standing
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Scenario


@dataclass(frozen=True, kw_only=True)
class Rise:
    """The factors on prices when an option starts later than planned, shape (W or 1,); 1 if not.

    Items and another airplane rise by (1+equipment_inflation)^(s/12), a sale's price moves by
    (1+value_change)^(s/12), jobs rise by (1+inflation)^(s/12), s the months of delay.
    """

    equipment: Array
    sale: Array
    jobs: Array


@dataclass(frozen=True, kw_only=True)
class Course:
    """An option, its dates and the worlds it is looked at in.

    `costs` is e = (1+inflation)^y by the year, `fuel` is ef likewise, (W or 1, years).
    `standings` hold what the ledger says of its items and money in, by path.
    """

    option_id: str
    option: Option
    scenario: Scenario
    worlds: Worlds
    months: Months
    dates: Dates
    costs: Array
    fuel: Array
    standings: Mapping[str, Standing]
    rise: "Rise"

    @property
    def discount(self) -> Array:
        """The discount factors of month 0 to H, shape (W or 1, H+1)."""
        rate, last = self.worlds.values["rates.discount"], self.months.last
        return self.worlds.once(f"discount {last}", lambda: discount_factors(rate, last))

    @property
    def prefix(self) -> str:
        """How the paths of the option's own inputs begin."""
        return option_prefix(self.option_id)


def course_of(case: Case, option_id: str, worlds: Worlds) -> Course:
    """Set out an option's course in these worlds."""
    option, prefix = case.options[option_id], option_prefix(option_id)
    months = months_of(case.scenario)
    weeks = weeks_down_of(option, prefix, worlds)
    inflation, years = worlds.values["rates.inflation"], case.scenario.years
    fuel = worlds.values.get("rates.fuel_inflation", inflation)
    return Course(
        option_id=option_id,
        option=option,
        scenario=case.scenario,
        worlds=worlds,
        months=months,
        dates=dates_of(option, case.scenario, weeks_down=weeks, months=months),
        costs=worlds.once(f"costs {years}", lambda: grown(inflation, years)),
        fuel=worlds.once(f"fuel {years}", lambda: grown(fuel, years)),
        standings=case.standings,
        rise=_rise(worlds, case.delays.get(option_id, 0.0) / MONTHS),
    )


def _rise(worlds: Worlds, years: float) -> Rise:
    """Return what a delay of so many years does to prices."""
    if years == 0.0:
        return Rise(equipment=np.ones(1), sale=np.ones(1), jobs=np.ones(1))
    values = worlds.values
    inflation = values["rates.inflation"]
    equipment = values.get("rates.equipment_inflation", inflation)
    growth = (equipment, values["aircraft.value_change"], inflation)
    equipment, sale, jobs = ((1.0 + each) ** years for each in growth)
    return Rise(equipment=equipment, sale=sale, jobs=jobs)


def grown(rate: Array, years: int) -> Array:
    """Return (1 + rate)^y for y = 0, 1, … years-1: from shape (W,) to (W, years).

    >>> grown(np.array([0.5]), 3).tolist()
    [[1.0, 1.5, 2.25]]
    """
    powers: Array = (1.0 + rate) ** np.arange(years)[:, np.newaxis]
    return powers.T


def in_force(course: Course, key: str) -> Yearly:
    """Return a key of [aircraft]: today's value, then [after]'s from the month after the finish."""
    return changing(initially(course, key), finally_(course, key))


def initially(course: Course, key: str) -> Array:
    """Return a key of [aircraft] as it stands on as_of, shape (W or 1,)."""
    return course.worlds.values[f"aircraft.{key}"]


def finally_(course: Course, key: str) -> Array:
    """Return a key of [aircraft] as it stands at the end, shape (W or 1,)."""
    changed = course.option.after.new(key) is not None
    where = f"{course.prefix}after.{key}" if changed else f"aircraft.{key}"
    return course.worlds.values[where]


def listed(values: Mapping[str, Array], prefix: str, names: list[str], key: str) -> Array:
    """Add up one key over list entries by name, shape (W or 1,); 0 for an empty list."""
    return sum((values[f"{prefix}[{name}].{key}"] for name in names), np.zeros(1))
