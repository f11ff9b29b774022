"""The phases of an option: each has its dates, its work, and the airplane afterwards.

A scenario folder gives an option one phase: its own schedule, items and [after]. An option without
a schedule has a phase that is finished on as_of. All rows of the cash flow take a list of phases,
so that a project in several steps needs no other equations.
"""

import itertools
from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates, Months, dates_of
from panelworth.engine.cash_flow.surprises import weeks_of
from panelworth.engine.trials import Array, Trials
from panelworth.model.case import Case
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS, Aircraft, Scenario
from panelworth.model.value import Quantity

AirplaneInput = Callable[[Aircraft], Quantity]  # lambda aircraft: aircraft.fuel_price


@dataclass(frozen=True, kw_only=True)
class PriceRise:
    """The factors on prices if a phase starts later than planned, shape (T or 1,); otherwise 1.

    With s months of delay: (1+equipment_inflation)^(s/12) for items and another airplane,
    (1+value_change)^(s/12) for a sale, (1+inflation)^(s/12) for jobs. The project's method,
    section 9.
    """

    equipment: Array
    sale: Array
    jobs: Array


@dataclass(frozen=True, kw_only=True)
class Phase:
    """One step of an option: `step` has its schedule, what is bought and done, and its [after].

    `before` is the airplane up to the finish, `aircraft` from the month after it.
    """

    step: Option
    dates: Dates
    rise: PriceRise
    before: Aircraft
    aircraft: Aircraft

    @property
    def restarts_repairs(self) -> bool:
        """Whether [after] changes repairs, in part or whole: their growth then starts again.

        New equipment ages from its own finish.
        """
        # Records are frozen: another object means that [after] has replaced it.
        return self.aircraft.repairs is not self.before.repairs

    @property
    def replaces_recurring(self) -> bool:
        """Whether [after] has a recurring list of its own."""
        return self.aircraft.recurring is not self.before.recurring


def phases_of(case: Case, option_id: str, trials: Trials, months: Months) -> tuple[Phase, ...]:
    """Return the phases of an option in these trials, in the order in which they happen."""
    airplanes = itertools.pairwise(case.airplanes[option_id])
    return tuple(
        Phase(
            step=step,
            dates=dates_of(
                step.schedule,
                case.scenario,
                trials=trials,
                months=months,
                more_weeks=weeks_of(case, option_id, step, trials),
            ),
            rise=_rise(case.scenario, trials, case.delays.get(option_id, 0.0) / MONTHS),
            before=before,
            aircraft=aircraft,
        )
        for step, (before, aircraft) in zip((case.options[option_id],), airplanes, strict=True)
    )


def paths_everywhere(case: Case, option_ids: Iterable[str], wanted: AirplaneInput) -> list[str]:
    """Return the paths of an airplane's input: today's, and those of options that change it."""
    airplanes = (aircraft for one in option_ids for aircraft in case.airplanes[one])
    return list(dict.fromkeys(wanted(aircraft).path for aircraft in airplanes))


def _rise(scenario: Scenario, trials: Trials, years: float) -> PriceRise:
    """Return the factors on prices for a delay of so many years."""
    if years == 0.0:
        return PriceRise(equipment=np.ones(1), sale=np.ones(1), jobs=np.ones(1))
    rates = scenario.rates
    equipment, sale, jobs = (
        (1.0 + trials.of(rate)) ** years
        for rate in (
            rates.equipment_inflation or rates.inflation,
            scenario.aircraft.value_change,
            rates.inflation,
        )
    )
    return PriceRise(equipment=equipment, sale=sale, jobs=jobs)
