"""How finely a figure is told: no finer than it is sure.

A step is 1, 2 or 5 times a power of ten. An outcome that spreads over 40,000 is told to 500.
"""

import math
from dataclasses import dataclass

from panelworth.engine.results.trials import Spread
from panelworth.model.case import Input
from panelworth.publishing.view import View
from panelworth.publishing.words import level_words

FINENESS = 50  # steps within the middle 8 in 10 of a figure's spread
NICE = (1.0, 2.0, 5.0)
RESIDUE = 1e-9  # of a step; what floating point leaves


def step_below(size: float) -> float:
    """Return the largest 1, 2 or 5 times a power of ten that is at most a size above 0.

    >>> step_below(860), step_below(0.3), step_below(5)
    (500.0, 0.2, 5.0)
    """
    power: float = 10.0 ** math.floor(math.log10(size) + RESIDUE)
    return max(each * power for each in NICE if each * power <= size * (1 + RESIDUE))


def step_above(size: float) -> float:
    """Return the smallest 1, 2 or 5 times a power of ten that is at least a size above 0.

    >>> step_above(860), step_above(5)
    (1000.0, 5.0)
    """
    below = step_below(size)
    return below if below >= size * (1 - RESIDUE) else step_below(below * 2.6)


def money_step(spread: float) -> float:
    """Return the step, in whole units of money, of a sum whose middle 8 in 10 spread so far."""
    return max(step_below(spread / FINENESS), 1.0) if spread > 0 else 1.0


def to_step(amount: float, step: float) -> float:
    """Round to a step, halves away from 0.

    >>> to_step(12_923, 500), to_step(-250, 500)
    (13000.0, -500.0)
    """
    return math.copysign(math.floor(abs(amount) / step + 0.5 + RESIDUE) * step, amount)


def up_to_step(amount: float, step: float) -> float:
    """Round up to a step: for a sum that must be enough.

    >>> up_to_step(86_501.0, 500.0), up_to_step(86_500.0, 500.0)
    (87000.0, 86500.0)
    """
    return math.ceil(amount / step - RESIDUE) * step


def outcome_step(view: View) -> float:
    """Return the step of every outcome of a site: that of the option that is surest."""
    found = [level_words.drawn(view, tag).range.net_benefit for tag in view.others]
    widths = [width(each) for each in found if width(each) > 0]
    return money_step(min(widths)) if widths else 1.0


def width(spread: Spread) -> float:
    """Return how far apart the ends of the middle 8 in 10 of a figure are."""
    return spread.p90 - spread.p10


def outcome(view: View, amount: float) -> str:
    """Write an outcome against the baseline: "+$12,500"."""
    return view.formats.change(to_step(amount, outcome_step(view)))


def outcome_size(view: View, amount: float) -> str:
    """Write how large an outcome is, without its sign: "$12,500"."""
    return view.formats.money(to_step(abs(amount), outcome_step(view)))


def as_sure(view: View, value: float, each: Input) -> str:
    """Write a value of an input no finer than a fiftieth of the input's range."""
    span = each.quantity.high - each.quantity.low
    step = step_below(span / FINENESS) if span > 0 else 0.0
    return view.formats.worked_out(to_step(value, step) if step else value, each.unit)


@dataclass(frozen=True, kw_only=True)
class Added:
    """A sum beside another: the difference and the total, in whole units, that add up."""

    base: float
    difference: float

    @property
    def total(self) -> float:
        """The sum that the reader would add up."""
        return self.base + self.difference


def added(base: float, total: float) -> Added:
    """Round a sum and its difference to another, each for itself.

    >>> added(462.6, 467.6), added(462.4, 467.6).total
    (Added(base=463.0, difference=5.0), 467.0)
    """
    return Added(base=to_step(base, 1.0), difference=to_step(total - base, 1.0))
