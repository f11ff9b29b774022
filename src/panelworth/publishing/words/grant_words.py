"""What an option's bill comes to: likely, enough in 16 of 20 futures, seldom exceeded.

No finer than it is sure; a sum that must be enough is rounded up. From the first allowed start
where the plan is refused.
"""

from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.rounding import money_step, to_step, up_to_step

CLOSE = level_words.CLOSE


def likely(view: View, tag: OptionTag) -> str:
    """Write the likely bill."""
    return told(view, tag, level_words.drawn(view, tag).likely_outlay)


def told(view: View, tag: OptionTag, amount: float) -> str:
    """Write a sum of an option's bill as finely as that is sure."""
    return view.formats.money(to_step(amount, _step(view, tag)))


def enough(view: View, tag: OptionTag) -> str:
    """Write what to grant or set aside: the bill is not above it in 16 of 20 futures.

    "" where nothing is to be paid.
    """
    asked = level_words.drawn(view, tag).budget_p80
    return "" if asked < CLOSE else _up(view, tag, asked)


def seldom_above(view: View, tag: OptionTag) -> str:
    """Write the sum that the bill is above in 2 of 20 futures."""
    return _up(view, tag, level_words.drawn(view, tag).outlay_quantiles[90])


def _up(view: View, tag: OptionTag, amount: float) -> str:
    return view.formats.money(up_to_step(amount, _step(view, tag)))


def _step(view: View, tag: OptionTag) -> float:
    quantiles = level_words.drawn(view, tag).outlay_quantiles
    return money_step(quantiles[90] - quantiles[10])
