"""Trials: one value of every input in each of T trials, as arrays named by the inputs' paths.

The likely view is one trial, a swing two, a break-even search as many as it asks about: the
evaluation is the same for all of these.
"""

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from panelworth.model.case import Case, Input, option_prefix
from panelworth.model.value import Quantity

Array = NDArray[np.float64]
# Trials that are evaluated at once. A row of so many doubles has 32 kB for each month, so that the
# rows of a year stay in the processor's cache while they are added up.
PART = 4000


@dataclass(frozen=True, kw_only=True)
class Trials:
    """`values` maps a path to an array of shape (size,), or (1,) where all trials agree.

    `shared` stores arrays that are the same for all options of a case in these trials.
    """

    size: int
    values: Mapping[str, Array]
    shared: dict[Hashable, Array] = field(default_factory=dict, repr=False, compare=False)

    def once(self, key: Hashable, work: Callable[[], Array]) -> Array:
        """Return the array of this key, computed at the first call.

        It must follow from the trials and the key only, and the caller must not change it.
        Options share most of their inputs, so that most rows need to be worked out only once.
        """
        if key not in self.shared:
            self.shared[key] = work()
        return self.shared[key]

    def of(self, quantity: Quantity) -> Array:
        """Return an input's values, shape (size or 1,): `trials.of(aircraft.fuel_price)`."""
        return self.values[quantity.path]

    def column(self, quantity: Quantity) -> Array:
        """Return an input as a column, shape (size or 1, 1), to multiply a row of months."""
        return self.of(quantity)[:, np.newaxis]

    def overrun(self, option_id: str) -> Array:
        """Return the factor on an option's items and included jobs, shape (size or 1,)."""
        return self.values[overrun_path(option_id)]


def likely_trial(case: Case) -> Trials:
    """Return the likely view: one trial in which every input has its likely value."""
    likely = {input_.path: np.array([input_.quantity.likely]) for input_ in case.inputs}
    scales = {overrun_path(option_id): np.ones(1) for option_id in case.options}
    return Trials(size=1, values=likely | scales)


def trials_with(trials: Trials, values: Mapping[str, Array]) -> Trials:
    """Return the same trials with other values at some paths.

    All arrays of `values` have one common length or length 1.
    """
    size = max([trials.size, *(len(column) for column in values.values())])
    return Trials(size=size, values={**trials.values, **values})


def trials_between(trials: Trials, first: int, last: int) -> Trials:
    """Return trials first..last-1; an input on which all trials agree keeps its one value."""
    values = {
        path: column if len(column) == 1 else column[first:last]
        for path, column in trials.values.items()
    }
    return Trials(size=last - first, values=values)


def trials_at(trials: Trials, places: NDArray[np.int64]) -> Trials:
    """Return the trials at these indices; an input on which all agree keeps its one value."""
    values = {
        path: column if len(column) == 1 else column.take(places, axis=0)
        for path, column in trials.values.items()
    }
    return Trials(size=len(places), values=values)


def one_at_a_time(trials: Trials, groups: list[list[Input]]) -> Trials:
    """Return 2·R trials: each of R groups of ranges in turn at low and at high, others unchanged.

    Trial 2i has the ranges of group i at their low, trial 2i+1 at their high.
    """
    values = {}
    for number, group in enumerate(groups):
        for input_ in group:
            column = np.full(2 * len(groups), input_.quantity.likely)
            column[2 * number : 2 * number + 2] = input_.quantity.low, input_.quantity.high
            values[input_.path] = column
    return trials_with(trials, values)


def overrun_path(option_id: str) -> str:
    """Name the factor on all of an option's items and included jobs: 1 as budgeted."""
    return f"{option_prefix(option_id)}overrun"
