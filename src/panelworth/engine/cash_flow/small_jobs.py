"""The expected cost of deferred small jobs, which are cheap only while the panel is open.

Source of every equation: the project's method, section 3.
"""

from collections.abc import Iterable

import numpy as np

from panelworth.engine.cash_flow.option_context import OptionContext, grown
from panelworth.engine.cash_flow.rows import NOTHING, Row, in_stretches
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS, Job


def jobs_still_to_come(context: OptionContext) -> Row:
    """Return the expected cost of the small jobs that are not done yet.

    later·e·p·(1-p)^y/12 a month until the job is done: up to month f of its phase in an option that
    includes it. In a replacement up to the month of start, for the days on which today's airplane
    is still owned: its jobs leave with it.
    """
    if not context.scenario.jobs:
        return NOTHING
    if context.option.drops_jobs:
        monthly = deferred_cost(context, context.scenario.jobs) * context.costs
        year, owned = context.months.year, 1.0 - context.down
        until = range(1, int(context.dates[0].start[0]) + 1)
        return Row(dated={month: monthly[:, year[month]] * owned[:, month] for month in until})
    done = {name for phase in context.phases for name in phase.step.jobs}
    never = [job for job in context.scenario.jobs if job.name not in done]
    # From the last stretch to the first: going back, each phase adds the jobs that it will do.
    stretches = [deferred_cost(context, never) * context.costs]
    for phase in reversed(context.phases):
        included = [job for job in context.scenario.jobs if job.name in phase.step.jobs]
        deferred = deferred_cost(context, included) * context.costs
        stretches.append(stretches[-1] + deferred if included else stretches[-1])
    return Row(level=in_stretches(reversed(stretches)))


def deferred_cost(context: OptionContext, jobs: Iterable[Job]) -> Array:
    """Return later·p·(1-p)^y/12 summed over jobs, shape (T or 1, years), not escalated.

    (1-p)^y is the chance that a job has not fallen due in the years before (geometric
    distribution). p is a chance a year, so a year's expected cost is spread evenly over its months.
    """
    return sum((_deferred_cost(context, job) for job in jobs), np.zeros((1, 1)))


def _deferred_cost(context: OptionContext, job: Job) -> Array:
    trials, years = context.trials, context.scenario.years

    def work() -> Array:
        chance = trials.of(job.chance_per_year)
        yearly = trials.of(job.later) * chance / MONTHS
        return yearly[:, np.newaxis] * grown(-chance, years)

    return trials.once(("deferred cost", job.name, years), work)
