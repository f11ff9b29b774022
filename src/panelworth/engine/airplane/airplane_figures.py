"""All figures of the airplane that pages show, by option."""

from collections.abc import Callable, Mapping
from typing import TypeVar

from panelworth.engine.airplane.capability import capability_of
from panelworth.engine.airplane.deferred_jobs import deferred_jobs_of
from panelworth.engine.airplane.downtime import planner_of
from panelworth.engine.airplane.electrical import electrical_of
from panelworth.engine.airplane.failures import failures_of
from panelworth.engine.airplane.inspections import due_after, due_today
from panelworth.engine.airplane.power_losses import power_losses_of
from panelworth.engine.airplane.weight import weight_of
from panelworth.engine.results.airplane import (
    AirplaneFigures,
)
from panelworth.model.case import Case

T = TypeVar("T")


def airplane_figures(case: Case) -> AirplaneFigures:
    """Return all figures of the airplane that pages show."""
    return AirplaneFigures(
        weight=_by_option(case, weight_of),
        electrical=_by_option(case, electrical_of),
        failures=_by_option(case, failures_of),
        power_losses=_by_option(case, power_losses_of),
        planners=_by_option(case, planner_of),
        deferred_jobs=_by_option(case, deferred_jobs_of),
        capability=capability_of(case),
        due_today=due_today(case),
        due_after=_by_option(case, due_after),
    )


def _by_option(case: Case, stage: Callable[[Case, str], T | None]) -> Mapping[str, T]:
    """Call a function for every option and leave out those for which it returns None."""
    figures = {option_id: stage(case, option_id) for option_id in case.options}
    return {option_id: result for option_id, result in figures.items() if result is not None}
