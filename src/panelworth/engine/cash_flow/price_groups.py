"""What a project is made of: its likely prices, tax in, added up by the items' groups."""

import math
from collections.abc import Mapping

from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import item_price, job_price
from panelworth.engine.ledger.settlement import item_path
from panelworth.engine.trials import Trials, likely_trial
from panelworth.model.case import Case

JOBS = "small jobs"


def priced_by_group(case: Case) -> Mapping[str, Mapping[str, float]]:
    """Return each option's items by group, and its included small jobs; they sum to `project`."""
    trials = likely_trial(case)
    return {option_id: _groups(case, option_id, trials) for option_id in case.options}


def _groups(case: Case, option_id: str, trials: Trials) -> dict[str, float]:
    context, sums = option_context(case, option_id, trials), dict[str, float]()
    for item in context.option.items:
        tax = trials.values[f"{item_path(context.prefix, item)}.tax"]
        taxed = float((item_price(context, item) * (1.0 + tax))[0])
        sums[item.group] = sums.get(item.group, 0.0) + taxed
    if context.option.jobs:
        prices = (job_price(context, name) for name in context.option.jobs)
        sums[JOBS] = math.fsum(float(price[0]) for price in prices)
    return sums
