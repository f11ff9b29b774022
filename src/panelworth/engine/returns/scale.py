"""The scale of a scenario's money, and up to which amount a sum is only a rounding error.

A unit of one currency may be worth a thousand units of another. Therefore a tolerance is a share of
the scale and not an amount. The exception is half a cent, which the project's method states as an
amount: the functions that need it use it themselves.
"""

import math

import numpy as np

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case

ROUNDING = 1e-12  # of the scale: some thousand times the relative error of a double, 2^-53
WITHOUT_MONEY = 1e6  # the scale of a case without money, where any positive number is right


def scale_of(*flows: Flows) -> float:
    """Return the power of ten nearest to the largest sum of money of these options.

    An option's sum is that of the absolute values of its cash flow in the likely trial, not
    discounted, and of its end value. It is rounded to a power of ten so that a small change of an
    input does not change the tolerances.
    """
    most = max((_moved(one) for one in flows), default=0.0)
    return 10.0 ** round(math.log10(most)) if most > 0.0 else WITHOUT_MONEY


def scale_of_case(case: Case) -> float:
    """Return the scale of a case: that of all its options in the likely view."""
    trials = likely_trial(case)
    return scale_of(*(flows_of(case, option_id, trials) for option_id in case.options))


def tolerance_of(case: Case) -> float:
    """Return the amount of money up to which a figure of a case is only a rounding error.

    This evaluates all options, so it should be called once for many figures.
    """
    return ROUNDING * scale_of_case(case)


def _moved(flows: Flows) -> float:
    rows = math.fsum(float(np.abs(row[0]).sum()) for row in flows.rows.values())
    return rows + abs(float(flows.end_value[0]))
