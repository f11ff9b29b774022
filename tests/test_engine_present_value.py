"""Present values that are added up by the year, against every flow discounted in its own month.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red. Trials are
drawn, so that finishes and lengths of downtime differ between them.
"""

import numpy as np
import pytest
from hypothesis import given

from laws import law
from panelworth.engine.cash_flow.flows import (
    GAINS,
    INCOME,
    PAID,
    RECEIVED,
    RUNNING,
    Flows,
    flows_of,
)
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS
from small_cases import drawn_trials
from strategies import Folder, case_of, folders

TRIALS = 25


def month_by_month(flows: Flows, monthly: Array) -> Array:
    """Return Σ flow·(1 + rate)^(-m/12), the standard definition of a present value."""
    rate = flows.context.trials.column(flows.context.scenario.rates.discount)
    factors = (1.0 + rate) ** (-np.arange(monthly.shape[1]) / MONTHS)
    return np.broadcast_to((monthly * factors).sum(axis=1), (TRIALS,))


def summed(flows: Flows, names: tuple[str, ...]) -> Array:
    """Add up the named rows month by month."""
    rows = [flows.rows[name] for name in names if name in flows.rows]
    return sum(rows, np.zeros((1, 1)))


@law(30)
@given(folders())
def test_present_values_are_those_of_the_flows_month_by_month(folder: Folder) -> None:
    case = case_of(folder)
    for option in case.options:
        flows = flows_of(case, option, drawn_trials(case, 0, TRIALS))
        cost = summed(flows, RUNNING + PAID) - summed(flows, RECEIVED)
        expected = {
            "cost": cost,
            "net": summed(flows, INCOME) - cost,
            "gains": summed(flows, GAINS),
            "hours": flows.hours,
        }
        size = sum(float(np.abs(row).sum(axis=1).max()) for row in flows.rows.values())
        for key, monthly in expected.items():
            found = np.broadcast_to(getattr(flows.present, key), (TRIALS,))
            assert found == pytest.approx(
                month_by_month(flows, monthly), rel=1e-9, abs=1e-12 * (1.0 + size)
            ), key


@law(30)
@given(folders())
def test_sums_of_rows_by_month_are_the_sums_of_their_months(folder: Folder) -> None:
    case = case_of(folder)
    for option in case.options:
        flows = flows_of(case, option, drawn_trials(case, 0, TRIALS))
        cost = summed(flows, RUNNING + PAID) - summed(flows, RECEIVED)
        size = sum(float(np.abs(row).max()) for row in flows.rows.values())
        for found, expected in (
            (flows.cost, cost),
            (flows.net, summed(flows, INCOME) - cost),
            (flows.benefit, summed(flows, GAINS) - cost),
        ):
            shape = np.broadcast_shapes(found.shape, expected.shape)
            assert np.broadcast_to(found, shape) == pytest.approx(
                np.broadcast_to(expected, shape), abs=1e-12 * (1.0 + size)
            )
