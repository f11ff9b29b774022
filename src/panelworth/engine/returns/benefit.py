"""The benefit of an option to all of today's members together, by which options are ranked.

Rates and dues that members pay to their club are neither a gain nor a loss here, because they are
transfers between the members: HM Treasury, The Green Book (2022), 6.8, leaves transfers out. The
net benefit as a measure: ASTM E1074.
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
    """Return the parts of B, each of shape (T or 1,), by the names of figures.json.

    running: -Σ running costs·d; project: -Σ (items, jobs, purchase - credits - sale)·d;
    airplane_value: end·d(H); hours: Σ worth·d; members: Σ newcomers·d; loan: loan_npv. Their sum
    is B; a gain is positive.
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
    """Return an option's B in each trial, shape (T,), also if all trials agree."""
    flows = flows_of(case, option_id, trials, likely_loan_month=likely_loan_month)
    return np.broadcast_to(total_benefit(flows), (trials.size,))


def without_growth(case: Case, option_id: str) -> float:
    """Return net_benefit at likely values without new members and without more flying.

    Members joining and the change of hours become min(0, option - baseline) for the option and 0
    for the baseline. Why the minimum: more members or hours are only hoped for, but a loss of them
    is a cost and stays. Loans are drawn in their likely month.
    """
    trials, baseline = likely_trial(case), case.scenario.baseline
    changed = {}
    option, base = (case.options[one] for one in (option_id, baseline))
    for growth, base_growth in zip(_growth_inputs(option), _growth_inputs(base), strict=True):
        changed[growth.path] = np.minimum(trials.of(growth) - trials.of(base_growth), 0.0)
        changed[base_growth.path] = np.zeros(1)
    without = trials_with(trials, changed)
    gap = np.subtract(
        *(benefits(case, one, without, likely_loan_month=True) for one in (option_id, baseline))
    )
    return float(gap[0]) + 0.0


def _growth_inputs(option: Option) -> tuple[Quantity, Quantity]:
    """Return the two inputs of growth: members joining, and the change of hours."""
    return option.members.joined, option.after.hours_per_year_change
