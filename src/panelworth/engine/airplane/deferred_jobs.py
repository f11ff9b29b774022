"""Small jobs: the cost of doing them while the panel is open, and the cost of deferring them.

Both are present values. `now` is paid in the option's month f: now·d(f). A deferred job costs
later·e(m)·p·(1-p)^y(m)/12 in each month m, p the chance a year. Months up to f cost the same either
way, so only months f+1 to H count. The project's method, section 3.
"""

import math
from dataclasses import replace
from itertools import product

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates
from panelworth.engine.cash_flow.discounting import present_value
from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.cash_flow.rows import by_month
from panelworth.engine.cash_flow.small_jobs import deferred_cost
from panelworth.engine.results.airplane import (
    DeferredJob,
    DeferredJobs,
)
from panelworth.engine.trials import Array, Trials, likely_trial, trials_with
from panelworth.model.case import Case
from panelworth.model.scenario import Job

# The cost of deferring is not monotonic in p: with a high chance the job falls due early, and only
# once. So a grid finds the first of several roots before it is bisected.
GRID = 4001
HALVINGS = 60  # more than the 53 binary digits of a double


def deferred_jobs_of(case: Case, option_id: str) -> DeferredJobs | None:
    """Return every small job under an option at likely values; None in a replacement.

    A job's low and high saving are the least and the largest at the corners of its ranges of now,
    later and chance; rates stay likely. The low and high of the sum take all jobs at their low or
    high at the same time, so they are wider than those of independent draws.
    """
    option = case.options[option_id]
    if option.drops_jobs:
        return None
    context = option_context(case, option_id, likely_trial(case))
    jobs = tuple(_deferred_job(context, job) for job in case.scenario.jobs)
    return DeferredJobs(
        jobs=jobs,
        saving=math.fsum(job.saving for job in jobs),
        saving_low=math.fsum(job.saving_low for job in jobs),
        saving_high=math.fsum(job.saving_high for job in jobs),
        included_saving=math.fsum(job.saving for job in jobs if job.included),
    )


def savings(case: Case, option_id: str, trials: Trials) -> Array:
    """Return the saving of all small jobs in each trial, shape (T,); a saving is positive."""
    context = option_context(case, option_id, trials)
    saving = np.zeros(trials.size)
    for job in case.scenario.jobs:
        saving += later_value(context, job) - now_value(context, job)
    return saving


def now_value(context: OptionContext, job: Job) -> Array:
    """Return now·d(f), shape (T or 1,)."""
    factors, finish = context.discount, _done_in(context, job).finish
    finish = np.broadcast_to(finish, (max(len(factors), len(finish)),))
    rows = np.arange(len(finish)) if len(factors) > 1 else 0
    price: Array = context.trials.of(job.now) * factors[rows, finish]
    return price


def _done_in(context: OptionContext, job: Job) -> Dates:
    """Return the dates of the phase that includes a job; of the last phase where none does."""
    for phase in context.phases:
        if job.name in phase.step.jobs:
            return phase.dates
    return context.dates[-1]


def later_value(context: OptionContext, job: Job) -> Array:
    """Return the present value of a deferred job's cost after the finish, shape (T or 1,)."""
    yearly = deferred_cost(context, [job]) * context.costs
    monthly = by_month(context.months, yearly) * _done_in(context, job).after
    return present_value(monthly, context.discount)


def with_chance(context: OptionContext, job: Job, chance: Array) -> OptionContext:
    """Return the context with one trial for each of these yearly chances of a job."""
    values = {job.chance_per_year.path: chance}
    return replace(context, trials=trials_with(context.trials, values))


def equal_chance(context: OptionContext, job: Job) -> float | None:
    """Return the least yearly chance at which now and later cost the same in the likely trial.

    0 where the job costs nothing now; None where later costs less at every chance up to 1.
    """
    price = float(now_value(context, job)[0])
    if price <= 0:
        return 0.0
    chances = np.linspace(0.0, 1.0, GRID)
    dear = np.flatnonzero(later_value(with_chance(context, job, chances), job) >= price)
    if not dear.size:
        return None
    low, high = float(chances[dear[0] - 1]), float(chances[dear[0]])
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if later_value(with_chance(context, job, np.array([middle])), job)[0] < price:
            low = middle
        else:
            high = middle
    return high


def _deferred_job(context: OptionContext, job: Job) -> DeferredJob:
    now = float(now_value(context, job)[0])
    later = float(later_value(context, job)[0])
    corners = _corner_savings(context, job)
    return DeferredJob(
        name=job.name,
        included=job.name in context.option.jobs,
        now=now,
        later=later,
        saving=later - now,
        saving_low=min(later - now, float(corners.min())),
        saving_high=max(later - now, float(corners.max())),
        equal_chance=equal_chance(context, job),
    )


def _corner_savings(context: OptionContext, job: Job) -> Array:
    """Return the saving at the eight corners of now, later and chance."""
    quantities = (job.now, job.later, job.chance_per_year)
    corners = np.array(list(product(*((quantity.low, quantity.high) for quantity in quantities))))
    paths = [quantity.path for quantity in quantities]
    trials = trials_with(context.trials, dict(zip(paths, corners.T, strict=True)))
    wide = replace(context, trials=trials)
    return later_value(wide, job) - now_value(wide, job)
