"""How large a scenario's money is, and from where on a sum of it is only a rounding error.

A currency may count in units a thousand times smaller or larger than another: no threshold may
rest on the unit. Where the project's method states one in units of money (half a cent), it is in
the function that uses it.
"""

import math

import numpy as np

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case

ROUNDING = 1e-12  # of the scale: some thousand times what adding up doubles may be off
WITHOUT_MONEY = 1e6  # the scale where no money moves at all: any will do


def scale_of(*flows: Flows) -> float:
    """Return the power of ten nearest to the most money that any of these options moves.

    Money moved in the likely trial: the sum of the sizes of all rows of the cash flow, not
    discounted, and the size of the end value.
    """
    most = max((_moved(one) for one in flows), default=0.0)
    return 10.0 ** round(math.log10(most)) if most > 0.0 else WITHOUT_MONEY


def scale_of_case(case: Case) -> float:
    """Return the scale of a case: that of all its options in the likely view."""
    trials = likely_trial(case)
    return scale_of(*(flows_of(case, option_id, trials) for option_id in case.options))


def nothing_of(case: Case) -> float:
    """Return the money up to which a figure of a case counts as 0: a rounding error.

    It takes the flows of all options: those who ask for many figures ask for this once.
    """
    return ROUNDING * scale_of_case(case)


def _moved(flows: Flows) -> float:
    rows = math.fsum(float(np.abs(row[0]).sum()) for row in flows.rows.values())
    return rows + abs(float(flows.end_value[0]))
