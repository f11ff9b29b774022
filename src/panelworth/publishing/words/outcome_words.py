"""What an option brings against the baseline, written no finer than the surest option is sure."""

from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import finer_step, money_step, to_step


def outcome_step(view: View) -> float:
    """Return the step of every outcome of a site: that of the option that is surest."""
    widths = [view.leading(tag).trials.range.net_benefit.width for tag in view.others]
    return money_step(min((width for width in widths if width > 0), default=0.0))


def moving_step(view: View) -> float:
    """Return the step of a sum that moves with a slider: a fifth of an outcome's."""
    return finer_step(outcome_step(view))


def outcome(view: View, amount: float) -> str:
    """Write an outcome against the baseline: "+$12,500"."""
    return view.formats.change(to_step(amount, outcome_step(view)))


def outcome_size(view: View, amount: float) -> str:
    """Write how large an outcome is, without its sign: "$12,500"."""
    return view.formats.money(to_step(abs(amount), outcome_step(view)))
