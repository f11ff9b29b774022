"""The figures of each option that pages show first.

If the planned start is refused, they are those of the first allowed start; otherwise those of the
plan. Only this module chooses between the two, so that all pages agree.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from panelworth.engine.results.figures import (
    AllowedStart,
    Bill,
    Figures,
    Funded,
)
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.model.dates import month_index


@dataclass(frozen=True, kw_only=True)
class LeadingFigures:
    """An option's figures from its first allowed start, or from its plan if that is allowed.

    `refused` says that the planned start is not allowed. `allowed_start` is None if the plan is
    allowed, or if no start within the horizon is. `start` and `finish` are those of the downtime at
    likely weeks. `loan_months` are the months of the loan's drawing and of its last payment, None
    without a loan. `ahead_of` is the share of the trials in which this option's benefit is the
    higher one, by the other option's id; each option counts from its own leading start, and a tie
    counts half.
    """

    option: str
    refused: bool
    allowed_start: AllowedStart | None
    start: date
    finish: date
    net_benefit: float
    funded: Funded | None
    bills: tuple[Bill, ...]
    trials: OptionUncertainty
    loan_months: tuple[int, int] | None
    ahead_of: Mapping[str, float]

    @property
    def chance_below_floor(self) -> float:
        """The share of trials in which the reserve falls below its floor; 0 for an owner."""
        return self.trials.chance_below_floor or 0.0


def leading_figures(figures: Figures, option_id: str) -> LeadingFigures:
    """Return the figures of the first allowed start if the plan is refused, else of the plan."""
    option, later = figures.options[option_id], figures.options[option_id].allowed_start
    planner, uncertainty = figures.airplane.planners.get(option_id), figures.uncertainty
    days = later or figures.series[option_id]
    start = date.fromisoformat(days.start)
    return LeadingFigures(
        option=option_id,
        refused=later is not None or bool(planner and planner.planned.refusals),
        allowed_start=later,
        start=start,
        finish=date.fromisoformat(days.finish),
        net_benefit=later.net_benefit if later else option.likely.net_benefit,
        funded=later.funded if later else option.funded,
        bills=later.bills if later else option.bills,
        trials=uncertainty.moved.get(option_id) or uncertainty.options[option_id],
        loan_months=_loan_months(figures, option_id, start),
        ahead_of=_ahead_of(figures, option_id),
    )


def _loan_months(figures: Figures, option_id: str, start: date) -> tuple[int, int] | None:
    """Return the months of the loan's drawing and last payment, moved with the start.

    Both move by as many months as the start, since the loan is drawn in a month of the schedule.
    """
    plan, as_of = figures.series[option_id], date.fromisoformat(figures.as_of)
    if plan.loan is None or not plan.loan.payments:
        return None
    later = month_index(as_of, start) - month_index(as_of, date.fromisoformat(plan.start))
    drawn = plan.loan.drawn_month + later
    return drawn, drawn + len(plan.loan.payments)


def _ahead_of(figures: Figures, option_id: str) -> dict[str, float]:
    """Return the share of trials in which an option is ahead of each other option.

    If one of a pair was moved to its first allowed start, only its own shares are for that start.
    They serve for both options, because the two shares of a pair add up to 1 (a tie counts half).
    """
    mine = figures.options[option_id].allowed_start
    shares = mine.ahead_of if mine else figures.uncertainty.options[option_id].ahead_of
    others = {key: option.allowed_start for key, option in figures.options.items()}
    return {
        key: 1.0 - later.ahead_of[option_id] if later and mine is None else shares[key]
        for key, later in others.items()
        if key != option_id
    }
