"""Recurring costs by the calendar, such as inspections, and how an option changes their due dates.

Source of every equation: the project's method, section 3.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.cash_flow.calendar import (
    Counts,
    Mask,
    due_after,
    due_after_restart,
    due_from_clock,
)
from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.cash_flow.phases import Phase
from panelworth.engine.cash_flow.rows import Row
from panelworth.engine.trials import Array
from panelworth.model.scenario import Recurring

Due = list[tuple[int, NDArray[Any]]]  # month, and how often an item falls due in it, (T or 1,)
Bill = tuple[Recurring, Due]


def recurring(context: OptionContext) -> Row:
    """Return the cost of recurring items: cost·e(m) in each month m >= 1 in which one is due."""
    months, ended = context.months, list[Bill]()
    listed = [
        (item, _by_months(due_from_clock(item, context.scenario, months)[np.newaxis, :]))
        for item in context.scenario.aircraft.recurring
    ]
    for phase in context.phases:
        listed = [(item, _in_phase(context, phase, item, due)) for item, due in listed]
        if phase.replaces_recurring:
            ended += [(item, _until_finish(phase, due)) for item, due in listed]
            listed = [
                (item, _from_phase(context, phase, item)) for item in phase.aircraft.recurring
            ]
    total: dict[int, Array] = {}
    for item, due in ended + listed:
        for month, times in due:
            cost = context.trials.of(item.cost) * times * context.costs[:, months.year[month]]
            total[month] = total.get(month, 0.0) + cost
    return Row(dated=total)


def _in_phase(context: OptionContext, phase: Phase, item: Recurring, due: Due) -> Due:
    """Return how often an item of the current list falls due, as a phase changes it.

    An item in `recurring_done` is done during the work. It is paid if it is due before the month of
    start, not from there to the finish, and its next interval begins at the likely finish. In a
    replacement no item falls due after the month of start up to the finish, because there is no
    airplane.
    """
    start = phase.dates.start
    if item.name in phase.step.after.recurring_done:
        return _counted(due, lambda month: month < start) + _restarted(context, phase, item)
    if context.option.no_airplane_while_down:
        return _counted(due, lambda month: _past(phase, month) | (month <= start))
    return due


def _from_phase(context: OptionContext, phase: Phase, item: Recurring) -> Due:
    """Return how often an item of a phase's own list falls due, from the month after the finish."""
    if item.name in phase.step.after.recurring_done:
        return _restarted(context, phase, item)
    finish = phase.dates.finish
    return _by_months(due_after(item, context.scenario, finish, context.months))


def _until_finish(phase: Phase, due: Due) -> Due:
    """Return only the months up to that of a phase's finish."""
    return _counted(due, lambda month: ~_past(phase, month))


def _restarted(context: OptionContext, phase: Phase, item: Recurring) -> Due:
    """Return how often an item that is done at the likely finish falls due after the finish."""
    restarted = _by_months(due_after_restart(item, phase.dates, context.months))
    return _counted(restarted, lambda month: _past(phase, month))


def _by_months(due: Counts) -> Due:
    """Return the months in which an item falls due in some trial, from shape (T or 1, H+1).

    Most months have nothing due: a list of the others is quicker than rows of all months.
    """
    months = np.flatnonzero(due.any(axis=0)).tolist()
    # Month 0 has dated flows only, so nothing recurring.
    return [(month, due[:, month]) for month in months if month]


def _counted(due: Due, rule: Callable[[int], Mask]) -> Due:
    """Return the due months for which a rule is true, in the trials in which it is."""
    counted = ((month, times * rule(month)) for month, times in due)
    return [(month, times) for month, times in counted if times.any()]


def _past(phase: Phase, month: int) -> Mask:
    """Return in which trials a month is past the phase's finish, shape (T or 1,)."""
    return phase.dates.finish < month
