"""Outcomes against the baseline as text, rounded by the spread of the most certain option."""

from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import finer_step, money_step, to_step


def outcome_step(view: View) -> float:
    """Return the step for all outcomes of a scenario, by the option with the smallest spread."""
    widths = [view.leading(tag).trials.range.net_benefit.width for tag in view.others]
    return money_step(min((width for width in widths if width > 0), default=0.0))


def moving_step(view: View) -> float:
    """Return the step of a sum that a slider changes: a fifth of an outcome's."""
    return finer_step(outcome_step(view))


def outcome(view: View, amount: float) -> str:
    """Write an outcome against the baseline: "+$12,500"."""
    return view.formats.change(to_step(amount, outcome_step(view)))


def outcome_size(view: View, amount: float) -> str:
    """Write the size of an outcome, without its sign: "$12,500"."""
    return view.formats.money(to_step(abs(amount), outcome_step(view)))
