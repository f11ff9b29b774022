"""Net benefit and cost per hour over the hours flown a year."""

import numpy as np

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.cash_flow.phases import paths_everywhere
from panelworth.engine.results.figures import (
    HoursCurve,
)
from panelworth.engine.returns.breakeven import net_benefit_over
from panelworth.engine.returns.comparison import cost_npv
from panelworth.engine.trials import Array, Trials, trials_with
from panelworth.model.bounds import HOURS_IN_A_YEAR
from panelworth.model.case import Case

POINTS = 41  # steps of a twentieth of the likely hours, from 0 to twice as many


def hours_curve(case: Case, trials: Trials) -> HoursCurve:
    """Return cost per hour and net benefit over hours_per_year, all else at likely.

    From 0 to twice the likely hours; the likely hours count as at least 50 here, so that the curve
    has a width. Cost per hour is None where nothing is flown.
    """
    likely = case.scenario.aircraft.hours_per_year.likely
    hours = np.linspace(0.0, min(HOURS_IN_A_YEAR, 2.0 * max(likely, 50.0)), POINTS)
    gaps, costs = {}, {}
    for option_id in case.options:
        both = (option_id, case.scenario.baseline)
        paths = paths_everywhere(case, both, lambda aircraft: aircraft.hours_per_year)
        tried = trials_with(trials, dict.fromkeys(paths, hours))
        gaps[option_id] = tuple(net_benefit_over(case, option_id, trials, paths)(hours).tolist())
        costs[option_id] = _cost_per_hour(case, option_id, tried)
    return HoursCurve(hours=tuple(hours.tolist()), net_benefit=gaps, cost_per_hour=costs)


def _cost_per_hour(case: Case, option_id: str, trials: Trials) -> tuple[float | None, ...]:
    flows = flows_of(case, option_id, trials)
    cost, flown = (_wide(values, trials) for values in (cost_npv(flows), flows.present.hours))
    pairs = zip(cost, flown, strict=True)
    return tuple(float(money / hours) if hours > 0.0 else None for money, hours in pairs)


def _wide(values: Array, trials: Trials) -> Array:
    return np.broadcast_to(values, (trials.size,))
