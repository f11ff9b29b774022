"""Rounding of figures by their uncertainty.

A step is 1, 2 or 5 times a power of ten. An outcome that spreads over 40,000 is rounded to 500.
"""

import math
from dataclasses import dataclass

from panelworth.model.case import Input
from panelworth.model.scenario import MONTHS
from panelworth.publishing.formats import Formats

CLOSE = 1.0  # unit of money: a smaller sum is treated as 0
FINENESS = 50  # steps between p10 and p90 of a figure
NICE = (1.0, 2.0, 5.0)  # times a power of ten: the round numbers of axes and scales
ROUGHNESS = 10  # steps within a sum whose spread is not known
FINER = 5  # steps of a sum that a slider changes, within a step of a fixed sum
RESIDUE = 1e-9  # of a step: the tolerance for floating-point errors


def step_below(size: float) -> float:
    """Return the largest 1, 2 or 5 times a power of ten that is at most `size`, which is above 0.

    >>> step_below(860), step_below(0.3), step_below(5)
    (500.0, 0.2, 5.0)
    """
    # With a tolerance, since an error of log10 must not give the next smaller power.
    power: float = 10.0 ** math.floor(math.log10(size) + RESIDUE)
    return max(digit * power for digit in NICE if digit * power <= size * (1 + RESIDUE))


def step_above(size: float) -> float:
    """Return the smallest 1, 2 or 5 times a power of ten that is at least `size`, above 0.

    >>> step_above(860), step_above(5)
    (1000.0, 5.0)
    """
    below = step_below(size)
    return below if below >= size * (1 - RESIDUE) else step_below(below * 2.6)


def is_shown(amount: float) -> bool:
    """Return whether a sum, or a difference, is large enough to be written.

    >>> is_shown(-1.0), is_shown(0.99)
    (True, False)
    """
    return abs(amount) >= CLOSE


def money_step(spread: float) -> float:
    """Return the step of a sum of money by its spread from p10 to p90; at least 1."""
    return max(step_below(spread / FINENESS), 1.0) if spread > 0 else 1.0


def to_step(amount: float, step: float) -> float:
    """Round to a step, halves away from 0.

    >>> to_step(12_923, 500), to_step(-250, 500)
    (13000.0, -500.0)
    """
    # Not round(), which rounds halves to the even number.
    return math.copysign(math.floor(abs(amount) / step + 0.5 + RESIDUE) * step, amount)


def up_to_step(amount: float, step: float) -> float:
    """Round up to a step, for a sum that must be enough.

    >>> up_to_step(86_501.0, 500.0), up_to_step(86_500.0, 500.0)
    (87000.0, 86500.0)
    """
    return math.ceil(amount / step - RESIDUE) * step


def up_to_whole(amount: float) -> float:
    """Round up to whole units of money; floating-point errors below a cent are removed first.

    >>> up_to_whole(12.001), up_to_whole(12.01)
    (12, 13)
    """
    return math.ceil(round(amount, 2))


def apart_step(one: float, other: float) -> float:
    """Return the step of an amount by its distance from another."""
    return money_step(abs(one - other) * 2)


def rough_step(amount: float) -> float:
    """Return a step of about a tenth of a sum whose spread is not known."""
    return max(step_below(amount / ROUGHNESS), 1.0)


def finer_step(step: float) -> float:
    """Return a fifth of a step, so that each move of a slider changes the written sum."""
    return max(step / FINER, 1.0)


def percents(share: float) -> float:
    """Return a share in whole percents.

    >>> percents(0.625)
    63.0
    """
    return to_step(share * 100, 1.0)


def years_up(months: int) -> int:
    """Return months in whole years, rounded up, at least 1.

    >>> years_up(0), years_up(24), years_up(25)
    (1, 2, 3)
    """
    return max(math.ceil(months / MONTHS), 1)


def input_value(formats: Formats, value: float, declared: Input) -> str:
    """Write a value of an input rounded to a fiftieth of the input's range."""
    span = declared.quantity.high - declared.quantity.low
    step = step_below(span / FINENESS) if span > 0 else 0.0
    return formats.worked_out(to_step(value, step) if step else value, declared.unit)


@dataclass(frozen=True, kw_only=True)
class RoundedSum:
    """A rounded base and a rounded difference, and the total that is exactly their sum."""

    base: float
    difference: float

    @property
    def total(self) -> float:
        """The sum of the two rounded figures, as a reader would add them up."""
        return self.base + self.difference


def rounded_sum(base: float, total: float, step: float = 1.0) -> RoundedSum:
    """Round a base, and the difference of a total to it, each by itself.

    >>> rounded_sum(462.6, 467.6), rounded_sum(462.4, 467.6).total
    (RoundedSum(base=463.0, difference=5.0), 467.0)
    """
    return RoundedSum(base=to_step(base, step), difference=to_step(total - base, step))
