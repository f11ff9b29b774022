"""Speed: hours of somebody who flies to get somewhere, and the cost of a nautical mile.

Source: the project's method, section 8.
"""

import numpy as np

from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.trials import Array
from panelworth.model.scenario import Aircraft


def slowness(context: OptionContext) -> list[Array] | None:
    """Return today's speed over the speed in each stretch, shape (T or 1, 1) each.

    None where hours do not follow the speed: without `same_miles`, or where a speed is missing.
    """
    if not context.option.same_miles:
        return None
    speeds = [_speed(context, aircraft) for aircraft in context.aircraft]
    if any(speed is None for speed in speeds):
        return None
    known = [speed[:, np.newaxis] for speed in speeds if speed is not None]
    return [known[0] / speed for speed in known]


def miles(context: OptionContext, hours: Array) -> Array | None:
    """Return the nautical miles of each month, hours·cruise_speed, shape (T or 1, H+1).

    None where the speed of today's airplane, or of one after a phase, is not known.
    """
    flown: Array = np.zeros((1, 1))
    for number, aircraft in enumerate(context.aircraft):
        speed = _speed(context, aircraft)
        if speed is None:
            return None
        here = _in_stretch(context, number, hours.shape[1])
        flown = flown + hours * speed[:, np.newaxis] * here
    return flown


def _speed(context: OptionContext, aircraft: Aircraft) -> Array | None:
    speed = aircraft.cruise_speed
    return None if speed is None else context.trials.of(speed)


def _in_stretch(context: OptionContext, number: int, months: int) -> Array:
    """Return 1 in the months of a stretch, 0 elsewhere, shape (T or 1, H+1)."""
    inside = np.ones((1, months))
    if number > 0:
        inside = inside * context.dates[number - 1].after
    if number < len(context.dates):
        inside = inside * ~context.dates[number].after
    return inside
