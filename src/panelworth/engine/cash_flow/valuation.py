"""The airplane's value in each month, and the proceeds of a sale at the horizon.

Values are money of shape (T or 1,) or (T or 1, H+1); nothing here is discounted.
Source of every equation: the project's method, section 3.
"""

from collections.abc import Sequence

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.cash_flow.option_context import OptionContext, final_value
from panelworth.engine.cash_flow.project import purchase_price
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS


def kept_value(context: OptionContext, months: Integers) -> Array:
    """Return the value of today's airplane without new equipment, shape (T or 1, M).

    value·Π (1+vc)^(months within a stretch/12): with one finish f, value·(1+vc)^(min(m, f)/12)
    ·(1+vc after)^(max(m-f, 0)/12). `months` has shape (M,).
    """
    trials = context.trials
    value = trials.column(context.scenario.aircraft.value)
    begins = np.zeros((1, 1), dtype=np.int64)
    ends = [*(dates.finish[:, np.newaxis] for dates in context.dates), None]
    for aircraft, end in zip(context.aircraft, ends, strict=True):
        until = months if end is None else np.minimum(months, end)
        passed = np.maximum(until - begins, 0) / MONTHS
        value = value * (1.0 + trials.column(aircraft.value_change)) ** passed
        begins = begins if end is None else end
    return value


def bought_value(context: OptionContext, months: Integers) -> Array:
    """Return price·(1+vc after)^((m-f)/12) of another airplane, 0 where none is bought.

    `months` has shape (M,), the result (T or 1, M). Before f the result has no meaning.
    """
    phase = context.phases[-1]
    if phase.step.buy is None:
        return np.zeros((1, len(months)))
    since = np.maximum(months - phase.dates.finish[:, np.newaxis], 0) / MONTHS
    change = 1.0 + context.trials.column(phase.aircraft.value_change)
    value: Array = purchase_price(context, phase, phase.step.buy)[:, np.newaxis] * change**since
    return value


def airplane_value(context: OptionContext) -> Array:
    """Return the value of the airplane that the option has in each month, shape (T or 1, H+1).

    In a replacement: today's airplane up to the finish, for the share 1 - down(m), and the new one
    after it.
    """
    months = context.months.index
    kept = kept_value(context, months)
    if not context.option.replaces_airplane:
        return kept
    owned = kept * (1.0 - context.down)
    return np.where(context.dates[-1].after, bought_value(context, months), owned)


def end_value(context: OptionContext, resale: Sequence[Array]) -> Array:
    """Return the end value: the proceeds of a sale at H after selling cost, shape (T or 1,).

    It makes options comparable that leave airplanes of different value at the horizon.

    (v(H) + Σ resale·recovery·(1-fade)^((H-f)/12))·(1-selling_cost), v(H) the value of the airplane
    that is kept, or of the one that is bought; `resale` is the equipment of each phase and f its
    finish.
    """
    last = np.array([context.months.last])
    value = bought_value if context.option.replaces_airplane else kept_value
    end = value(context, last)[:, 0]
    recovery = final_value(context, lambda aircraft: aircraft.resale_recovery)
    kept = 1.0 - final_value(context, lambda aircraft: aircraft.recovery_fade)
    for dates, equipment in zip(context.dates, resale, strict=True):
        end = end + equipment * recovery * kept ** ((context.months.last - dates.finish) / MONTHS)
    return end * (1.0 - final_value(context, lambda aircraft: aircraft.selling_cost))
