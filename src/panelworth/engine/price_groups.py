"""What a project is made of: its likely prices, tax in, added up by the items' groups."""

import math
from collections.abc import Mapping

from panelworth.engine.course import course_of
from panelworth.engine.ledger import item_path
from panelworth.engine.project import item_price, job_price
from panelworth.engine.worlds import Worlds, likely_worlds
from panelworth.model.case import Case

JOBS = "small jobs"


def priced_by_group(case: Case) -> Mapping[str, Mapping[str, float]]:
    """Return each option's items by group, and its included small jobs; they sum to `project`."""
    worlds = likely_worlds(case)
    return {option_id: _groups(case, option_id, worlds) for option_id in case.options}


def _groups(case: Case, option_id: str, worlds: Worlds) -> dict[str, float]:
    course, sums = course_of(case, option_id, worlds), dict[str, float]()
    for item in course.option.items:
        tax = worlds.values[f"{item_path(course.prefix, item)}.tax"]
        taxed = float((item_price(course, item) * (1.0 + tax))[0])
        sums[item.group] = sums.get(item.group, 0.0) + taxed
    if course.option.jobs:
        prices = (job_price(course, name) for name in course.option.jobs)
        sums[JOBS] = math.fsum(float(price[0]) for price in prices)
    return sums
