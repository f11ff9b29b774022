"""The figures of each option that lead on every page.

Where a planned start is refused, they are those of the first start that the planner allows.
Otherwise they are those of the plan. Only this module chooses between the two.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from panelworth.engine.results.figures import AllowedStart, Bill, Figures, Funded
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.model.dates import month_index


@dataclass(frozen=True, kw_only=True)
class LeadingFigures:
    """An option's figures from its first allowed start, or from its plan if that is allowed.

    `refused` says that the planned start is not allowed; `allowed_start` is None where the plan is
    allowed, and where no start is. `start` and `finish` are the days without the airplane, with
    likely weeks. `loan_months` are the months in which its loan is drawn and last paid, None
    without a loan. `ahead_of` is the share of paired trials in which this option brings more, by
    the other's id, each option from its own leading start; a tie counts half.
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
        """The share of trials in which the reserve breaks its floor; 0 for an owner."""
        return self.trials.chance_below_floor or 0.0


def leading_figures(figures: Figures, option_id: str) -> LeadingFigures:
    """Return the figures that lead: those of the first allowed start, or else those as planned."""
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
    """Return when the plan's loan is drawn and last paid, moved by as many months as the start."""
    plan, as_of = figures.series[option_id], date.fromisoformat(figures.as_of)
    if plan.loan is None or not plan.loan.payments:
        return None
    later = month_index(as_of, start) - month_index(as_of, date.fromisoformat(plan.start))
    drawn = plan.loan.drawn_month + later
    return drawn, drawn + len(plan.loan.payments)


def _ahead_of(figures: Figures, option_id: str) -> dict[str, float]:
    """Return the shares of trials ahead of each other option.

    A pair is compared in the trials of whichever option was moved to its allowed start: the trials
    of the plan know nothing of that start. The two shares of a pair add up to 1.
    """
    mine = figures.options[option_id].allowed_start
    shares = mine.ahead_of if mine else figures.uncertainty.options[option_id].ahead_of
    others = {key: option.allowed_start for key, option in figures.options.items()}
    return {
        key: 1.0 - later.ahead_of[option_id] if later and mine is None else shares[key]
        for key, later in others.items()
        if key != option_id
    }
