"""An option's context in many trials: the common inputs of all rows of its cash flow."""

import functools
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates, Months, months_of
from panelworth.engine.cash_flow.discounting import discount_factors
from panelworth.engine.cash_flow.failing_units import failing_units
from panelworth.engine.cash_flow.phases import AirplaneInput, Phase, phases_of
from panelworth.engine.cash_flow.rows import Yearly, in_stretches
from panelworth.engine.results.failing_units import FailingUnit
from panelworth.engine.trials import Array, Trials
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import LedgerStatus
from panelworth.model.ledger_targets import Target, job_target
from panelworth.model.option import Option
from panelworth.model.scenario import Aircraft, Job, Scenario
from panelworth.model.value import Quantity


@dataclass(frozen=True, kw_only=True)
class OptionContext:
    """An option, its phases, and the trials in which it is evaluated.

    `costs` is e = (1+inflation)^y by the year and `fuel` is ef = (1+fuel_inflation)^y, each of
    shape (T or 1, years): prices step once a year. `ledger_statuses` has the ledger's sums of
    items, credits and other targets, by path; `job_prices` has the prices that the ledger sets for
    included jobs.
    """

    option_id: str
    option: Option
    scenario: Scenario
    trials: Trials
    months: Months
    phases: tuple[Phase, ...]
    costs: Array
    fuel: Array
    ledger_statuses: Mapping[str, LedgerStatus]
    job_prices: Mapping[str, Quantity]
    failing_units: tuple[FailingUnit, ...]

    @property
    def discount(self) -> Array:
        """The discount factors of month 0 to H, shape (T or 1, H+1)."""
        rate, last = self.trials.of(self.scenario.rates.discount), self.months.last
        return self.trials.once(("discount", last), lambda: discount_factors(rate, last))

    @property
    def prefix(self) -> str:
        """The prefix of the paths of everything that a row of the ledger may name."""
        return option_prefix(self.option_id)

    @property
    def aircraft(self) -> tuple[Aircraft, ...]:
        """The airplane today, then as it is after each phase."""
        return (self.scenario.aircraft, *(phase.aircraft for phase in self.phases))

    @cached_property
    def dates(self) -> tuple[Dates, ...]:
        """The dates of each phase."""
        return tuple(phase.dates for phase in self.phases)

    @cached_property
    def down(self) -> Array:
        """The share of each month's days without an airplane, shape (T or 1, H+1)."""
        return functools.reduce(np.add, (dates.down for dates in self.dates))

    def ledger_status(self, target: Target) -> LedgerStatus | None:
        """Return the ledger status of a target; None where it has no rows."""
        return self.ledger_statuses.get(target.path)

    def price_now(self, job: Job) -> Quantity:
        """Return the price of an included job: the ledger's, else the file's `now`."""
        return self.job_prices.get(job_target(self.prefix, job.name).price_path, job.now)

    def jobs_of(self, phase: Phase) -> list[Job]:
        """Return the small jobs that are done in a phase, in the order of the option's file."""
        jobs = {job.name: job for job in self.scenario.jobs}
        return [jobs[name] for name in phase.step.jobs]


def option_context(case: Case, option_id: str, trials: Trials) -> OptionContext:
    """Return an option's context in these trials."""
    rates, years, months = case.scenario.rates, case.scenario.years, months_of(case.scenario)
    # By default fuel follows the drawn inflation of each trial, not the likely one.
    inflation, fuel = rates.inflation, rates.fuel_inflation or rates.inflation
    return OptionContext(
        option_id=option_id,
        option=case.options[option_id],
        scenario=case.scenario,
        trials=trials,
        months=months,
        phases=phases_of(case, option_id, trials, months),
        costs=trials.once(("prices", years), lambda: grown(trials.of(inflation), years)),
        fuel=trials.once(("fuel prices", years), lambda: grown(trials.of(fuel), years)),
        ledger_statuses=case.ledger_statuses,
        job_prices=case.job_prices,
        failing_units=failing_units(case, option_id),
    )


def grown(rate: Array, years: int) -> Array:
    """Return (1 + rate)^y for y = 0, 1, … years-1: from shape (T,) to (T, years).

    >>> grown(np.array([0.5]), 3).tolist()
    [[1.0, 1.5, 2.25]]
    """
    powers: Array = (1.0 + rate) ** np.arange(years)[:, np.newaxis]
    return powers.T


def in_force(context: OptionContext, wanted: AirplaneInput) -> Yearly:
    """Return an airplane's input: today's value, then each phase's from the month after it.

    `wanted` selects the input: `in_force(context, lambda aircraft: aircraft.fuel_price)`.
    """
    # An input that [after] leaves alone has the same array, so there is only one stretch.
    values = in_stretches(context.trials.of(wanted(aircraft)) for aircraft in context.aircraft)
    return Yearly(tuple(value[:, np.newaxis] for value in values.stretches))


def final_value(context: OptionContext, wanted: AirplaneInput) -> Array:
    """Return an airplane's input after the last phase, shape (T or 1,)."""
    return context.trials.of(wanted(context.aircraft[-1]))
