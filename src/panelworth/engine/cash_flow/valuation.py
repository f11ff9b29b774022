"""What the airplane is worth month by month, and what it would bring at the horizon.

Values are money of shape (T or 1,) or (T or 1, H+1); nothing here is discounted.
Source of every equation: the project's method, section 3.
"""

import numpy as np

from panelworth.engine.cash_flow.calendar import Whole
from panelworth.engine.cash_flow.option_context import OptionContext, final_value
from panelworth.engine.cash_flow.project import purchase_price
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS


def kept_value(context: OptionContext, months: Whole) -> Array:
    """Return value·(1+vc)^(min(m, f)/12)·(1+vc after)^(max(m-f, 0)/12), equipment left out.

    `months` has shape (M,); the answer (T or 1, M).
    """
    finish = context.dates.finish[:, np.newaxis]
    before = (1.0 + context.trials.column(context.scenario.aircraft.value_change)) ** (
        np.minimum(months, finish) / MONTHS
    )
    after = (1.0 + final_value(context, "value_change")[:, np.newaxis]) ** (
        np.maximum(months - finish, 0) / MONTHS
    )
    value: Array = context.trials.column(context.scenario.aircraft.value) * before * after
    return value


def bought_value(context: OptionContext, months: Whole) -> Array:
    """Return price·(1+vc after)^((m-f)/12) of another airplane, 0 where none is bought.

    `months` has shape (M,); the answer (T or 1, M). Before f it has no meaning.
    """
    if context.option.buy is None:
        return np.zeros((1, len(months)))
    since = np.maximum(months - context.dates.finish[:, np.newaxis], 0) / MONTHS
    change = 1.0 + final_value(context, "value_change")[:, np.newaxis]
    value: Array = purchase_price(context)[:, np.newaxis] * change**since
    return value


def airplane_value(context: OptionContext) -> Array:
    """Return the value of the airplane that the option has in each month, shape (T or 1, H+1).

    In a replacement: today's up to the finish, for the share 1 - down(m); the new one after it.
    """
    months = context.months.index
    kept = kept_value(context, months)
    if not context.option.replaces_airplane:
        return kept
    owned = kept * (1.0 - context.dates.down)
    return np.where(context.dates.after, bought_value(context, months), owned)


def end_value(context: OptionContext, resale: Array) -> Array:
    """Return what the airplane would bring at H after selling cost, shape (T or 1,).

    (v(H) + resale·recovery·(1-fade)^((H-f)/12))·(1-selling_cost), v(H) the value of the airplane
    that is kept, or of the one that is bought.
    """
    last = np.array([context.months.last])
    value = bought_value if context.option.replaces_airplane else kept_value
    after = (context.months.last - context.dates.finish) / MONTHS
    fade = (1.0 - final_value(context, "recovery_fade")) ** after
    equipment = resale * final_value(context, "resale_recovery") * fade
    end: Array = value(context, last)[:, 0] + equipment
    return end * (1.0 - final_value(context, "selling_cost"))
