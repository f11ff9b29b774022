"""The likely prices of a project, with tax, added up by the groups of its items."""

import math
from collections.abc import Mapping

from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import item_price, job_price
from panelworth.engine.trials import Trials, likely_trial
from panelworth.model.case import Case

JOBS = "small jobs"


def prices_by_group(case: Case) -> Mapping[str, Mapping[str, float]]:
    """Return the sums of each option's items by group, and of its included small jobs.

    Money with tax at likely values. The sums of an option add up to `project`.
    """
    trials = likely_trial(case)
    return {option_id: _groups(case, option_id, trials) for option_id in case.options}


def _groups(case: Case, option_id: str, trials: Trials) -> dict[str, float]:
    context, sums = option_context(case, option_id, trials), dict[str, float]()
    jobs: list[float] = []
    for phase in context.phases:
        for item in phase.step.items:
            taxed = item_price(context, phase, item) * (1.0 + trials.of(item.tax))
            sums[item.group] = sums.get(item.group, 0.0) + float(taxed[0])
        prices = (job_price(context, phase, job) for job in context.jobs_of(phase))
        jobs += [float(price[0]) for price in prices]
    if jobs:
        sums[JOBS] = math.fsum(jobs)
    return sums
