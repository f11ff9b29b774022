"""What the airplane is worth month by month, and what it would bring at the horizon.

Values are money of shape (W or 1,) or (W or 1, H+1); nothing here is discounted.
Source of every equation: the project's method, section 3.
"""

import numpy as np

from panelworth.engine.calendar import Whole
from panelworth.engine.course import Course, finally_
from panelworth.engine.project import purchase_price
from panelworth.engine.worlds import Array
from panelworth.model.scenario import MONTHS


def kept_value(course: Course, months: Whole) -> Array:
    """Return value·(1+vc)^(min(m, f)/12)·(1+vc after)^(max(m-f, 0)/12), equipment left out.

    `months` has shape (M,); the answer (W or 1, M).
    """
    finish = course.dates.finish[:, np.newaxis]
    before = (1.0 + course.worlds.column("aircraft.value_change")) ** (
        np.minimum(months, finish) / MONTHS
    )
    after = (1.0 + finally_(course, "value_change")[:, np.newaxis]) ** (
        np.maximum(months - finish, 0) / MONTHS
    )
    value: Array = course.worlds.column("aircraft.value") * before * after
    return value


def bought_value(course: Course, months: Whole) -> Array:
    """Return price·(1+vc after)^((m-f)/12) of another airplane, 0 where none is bought.

    `months` has shape (M,); the answer (W or 1, M). Before f it has no meaning.
    """
    if course.option.buy is None:
        return np.zeros((1, len(months)))
    since = np.maximum(months - course.dates.finish[:, np.newaxis], 0) / MONTHS
    change = 1.0 + finally_(course, "value_change")[:, np.newaxis]
    value: Array = purchase_price(course)[:, np.newaxis] * change**since
    return value


def airplane_value(course: Course) -> Array:
    """Return the value of the airplane that the option has in each month, shape (W or 1, H+1).

    In a replacement: today's up to the finish, for the share 1 - down(m); the new one after it.
    """
    months = course.months.index
    kept = kept_value(course, months)
    if course.option.kind != "replace":
        return kept
    owned = kept * (1.0 - course.dates.down)
    return np.where(course.dates.after, bought_value(course, months), owned)


def end_value(course: Course, resale: Array) -> Array:
    """Return what the airplane would bring at H after selling cost, shape (W or 1,).

    (v(H) + resale·recovery·(1-fade)^((H-f)/12))·(1-selling_cost), v(H) the value of the airplane
    that is kept, or of the one that is bought.
    """
    last = np.array([course.months.last])
    value = bought_value if course.option.kind == "replace" else kept_value
    after = (course.months.last - course.dates.finish) / MONTHS
    fade = (1.0 - finally_(course, "recovery_fade")) ** after
    equipment = resale * finally_(course, "resale_recovery") * fade
    end: Array = value(course, last)[:, 0] + equipment
    return end * (1.0 - finally_(course, "selling_cost"))
