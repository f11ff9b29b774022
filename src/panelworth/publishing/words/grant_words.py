"""The cost of an option: likely, enough in 16 of 20 futures, and seldom exceeded.

Sums are rounded by their uncertainty; a sum that must be enough is rounded up. `trials` are those
of the first allowed start if the plan is refused, else those of the plan.
"""

from panelworth.engine.results.trials import OptionUncertainty
from panelworth.publishing.formats import Formats
from panelworth.publishing.words.rounding import CLOSE, money_step, to_step, up_to_step


def likely(formats: Formats, trials: OptionUncertainty) -> str:
    """Write the likely bill."""
    return as_sure_as(formats, trials, trials.likely_outlay)


def as_sure_as(formats: Formats, trials: OptionUncertainty, amount: float) -> str:
    """Write a sum of an option's bill, rounded by the uncertainty of the bill."""
    return formats.money(to_step(amount, money_step(trials.outlay_width)))


def enough(formats: Formats, trials: OptionUncertainty) -> str:
    """Write what to grant or set aside: the bill is not above it in 16 of 20 futures.

    "" where nothing is to be paid.
    """
    budget = trials.budget_p80
    return "" if budget < CLOSE else _up(formats, trials, budget)


def seldom_above(formats: Formats, trials: OptionUncertainty) -> str:
    """Write the sum that the bill exceeds in 2 of 20 futures."""
    return _up(formats, trials, trials.outlay_quantiles[90])


def _up(formats: Formats, trials: OptionUncertainty, amount: float) -> str:
    return formats.money(up_to_step(amount, money_step(trials.outlay_width)))
