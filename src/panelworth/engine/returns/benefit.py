"""What an option brings to today's members, all taken together: the figure options are ranked by.

A rate or dues that members pay their club is no gain and no loss here: it passes between them.
HM Treasury, The Green Book (2022), 6.8: transfers are left out. Net benefits: ASTM E1074.
"""

import numpy as np

from panelworth.engine.cash_flow.discounting import present_value
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.loans import loan_value
from panelworth.engine.trials import Array, Trials, likely_trial, trials_with
from panelworth.model.case import Case
from panelworth.model.option import Option
from panelworth.model.value import Quantity


def factors_of(flows: Flows) -> Array:
    """Return the discount factors of an option's trials, shape (T or 1, H+1)."""
    return flows.context.discount


def total_benefit(flows: Flows) -> Array:
    """Return B = Σ benefit·d + end·d(H) + loan_npv, shape (T or 1,); money in is positive."""
    present, borrowed = flows.present, loan_value(flows.borrowing, factors_of(flows))
    total: Array = present.gains - present.cost + present.end + borrowed
    return total


def benefit_parts(flows: Flows, factors: Array) -> dict[str, Array]:
    """Return what B is the sum of, each of shape (T or 1,), by the names of figures.json.

    running: -Σ running costs·d; project: -Σ (items, jobs, purchase - credits - sale)·d;
    airplane_value: end·d(H); hours: Σ worth·d; members: Σ newcomers·d; loan: loan_npv.
    """
    rows = flows.rows
    return {
        "running": -present_value(flows.running, factors),
        "project": -present_value(flows.invested, factors),
        "airplane_value": flows.present.end,
        "hours": present_value(rows["worth"], factors),
        "members": present_value(rows["newcomers"], factors),
        "loan": loan_value(flows.borrowing, factors),
    }


def benefits(
    case: Case, option_id: str, trials: Trials, *, likely_loan_month: bool = False
) -> Array:
    """Return an option's B in each trial, shape (T,): full width also where all trials agree."""
    flows = flows_of(case, option_id, trials, likely_loan_month=likely_loan_month)
    return np.broadcast_to(total_benefit(flows), (trials.size,))


def without_growth(case: Case, option_id: str) -> float:
    """Return net_benefit at likely values with what is hoped for taken out.

    Members joining and a change of hours become min(0, the option's own - the baseline's), the
    baseline's own become 0. Loans keep their likely months.
    """
    trials, baseline = likely_trial(case), case.scenario.baseline
    changed = {}
    option, base = (case.options[one] for one in (option_id, baseline))
    for growth, base_growth in zip(_hoped_for(option), _hoped_for(base), strict=True):
        changed[growth.path] = np.minimum(trials.of(growth) - trials.of(base_growth), 0.0)
        changed[base_growth.path] = np.zeros(1)
    without = trials_with(trials, changed)
    gap = np.subtract(
        *(benefits(case, one, without, likely_loan_month=True) for one in (option_id, baseline))
    )
    return float(gap[0]) + 0.0


def _hoped_for(option: Option) -> tuple[Quantity, Quantity]:
    """Return the inputs that count on more members or more flying."""
    return option.members.joined, option.after.hours_per_year_change
