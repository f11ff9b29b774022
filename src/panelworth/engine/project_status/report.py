"""All figures of the project under way: calls the other modules in order and nothing else."""

import math
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np

from panelworth.engine.cash_flow.calendar import Mask
from panelworth.engine.cash_flow.loans import loan_plan
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import project_of
from panelworth.engine.funding.funding_plan import plan_of
from panelworth.engine.project_status.accounts import (
    Line,
    history_of,
    lines_of,
    outlay_of,
    rows_of,
)
from panelworth.engine.project_status.cash import (
    Cash,
    CashPlan,
    below_floor,
    cash_from_here,
    cash_plan,
    is_held,
    raise_needed,
)
from panelworth.engine.project_status.close_out import close_out, without_final_invoice
from panelworth.engine.project_status.underway import Underway, underway
from panelworth.engine.project_status.weeks import weeks_between
from panelworth.engine.results.project_status import Forecast, ProjectReport, ProjectStatus
from panelworth.engine.results.trials import Uncertainty
from panelworth.engine.trials import PART, Array, likely_trial
from panelworth.engine.uncertainty.draws import draw_source_of, draws_of
from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT, MONTHS

NO_CASH: dict[str, Any] = dict.fromkeys(
    (
        "lowest_balance",
        "lowest_balance_month",
        "chance_below_floor_by_year",
        "raise_holds",
        "raise_needed",
    )
)


@dataclass(frozen=True, kw_only=True)
class Outcomes:
    """The trials of the project under way: outlay and weeks of shape (trials,), and the cash."""

    outlay: Array
    weeks: Array
    below: Mask | None
    needed: Array | None


def project_report(case: Case, uncertainty: Uncertainty) -> ProjectReport | None:
    """Return the project under way on the status date; None before a decision.

    `uncertainty` has the raise that the members voted for.
    """
    project = underway(case)
    if project is None:
        return None
    option_id = project.option_id
    voted = uncertainty.moved.get(option_id) or uncertainty.options[option_id]
    plan = cash_plan(
        project,
        plan_of(case, option_id, voted.solved).added,
        loan_plan(case, option_id),
    )
    if not project.can_estimate:
        plan = None
    outcomes = _outcomes(project, plan, uncertainty.trials)
    lines, schedule, planned = lines_of(project), project.schedule, project.planned
    status = _status(project, plan, outcomes, lines)
    return ProjectReport(
        option=option_id,
        decided=project.decision.on,
        day=project.day,
        status=status,
        accounts=tuple(line.account for line in lines),
        history=tuple(history_of(project, lines)),
        planned_finish=planned.likely_finish if planned else None,
        ordered=planned.ordered if planned else None,
        started=schedule.started if schedule else None,
        finished=schedule.finished if schedule else None,
        raise_kind=plan.kind if plan else None,
        outlay_width=_width(outcomes.outlay),
        announced=len([row for row in rows_of(project) if row.date > project.day]),
        without_final_invoice=without_final_invoice(project, lines),
        close_out=close_out(project, lines, uncertainty.trials),
    )


def _outcomes(project: Underway, plan: CashPlan | None, trials: int) -> Outcomes:
    """Evaluate the chosen option in the trials, block by block."""
    source = draw_source_of(project.case)
    outlay, weeks = np.empty(trials), np.empty(trials)
    below: list[Array] = []
    needed: list[Array] = []
    for first in range(0, trials, PART):
        draws = draws_of(source, first, min(PART, trials - first))
        part, here = project.trials_of(draws), slice(first, first + draws.trials.size)
        context = option_context(project.case, project.option_id, part)
        outlay[here] = project_of(context).outlay
        weeks[here] = project.weeks(draws)
        if plan is None:
            continue
        cash, ones = cash_from_here(plan, part), np.ones(draws.trials.size)
        below.append(below_floor(plan, cash.balance) * ones)
        if cash.needed is not None:
            needed.append(cash.needed * ones)
    return Outcomes(
        outlay=outlay,
        weeks=weeks,
        below=np.concatenate(below, axis=1) > 0.0 if below else None,
        needed=np.concatenate(needed) if needed else None,
    )


def _status(
    project: Underway, plan: CashPlan | None, outcomes: Outcomes, lines: list[Line]
) -> ProjectStatus:
    budget, likely = project.decision.budget, outlay_of(lines)
    p50, p80 = np.percentile(outcomes.outlay, [50.0, 80.0]).tolist()
    within = None if budget is None else float(np.mean(outcomes.outlay <= budget + HALF_A_CENT))
    bound = math.fsum(line.committed for line in lines) if project.ordered else 0.0
    return ProjectStatus(
        status=project.day.isoformat(),
        budget=budget,
        forecast=Forecast(likely=likely, p50=p50, p80=p80),
        committed=bound,
        invoiced=math.fsum(line.account.invoiced for line in lines),
        paid=math.fsum(line.account.paid for line in lines),
        still_to_pay=math.fsum(line.account.still_to_pay for line in lines),
        against_budget=None if budget is None else likely - budget,
        chance_within_budget=within,
        **_finish(project, outcomes.weeks),
        **_cash(project, plan, outcomes),
        items=tuple(line.item for line in lines),
    )


def _finish(project: Underway, weeks: Array) -> dict[str, Any]:
    """Return the finish, its 80th percentile and the slip; None where they cannot be estimated."""
    schedule, planned = project.schedule, project.planned
    if schedule is None or planned is None or not project.can_estimate:
        return dict.fromkeys(("finish", "finish_p80", "slip_weeks"))
    likely = project.likely_weeks
    late = weeks_between(planned.start, schedule.start) + likely - planned.weeks_down.likely
    return {
        "finish": _iso(project.finish_after(likely)),
        "finish_p80": _iso(project.finish_after(float(np.percentile(weeks, 80.0)))),
        "slip_weeks": late,
    }


def _width(outlay: Array) -> float:
    p10, p90 = np.percentile(outlay, [10.0, 90.0]).tolist()
    return float(p90 - p10)


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _cash(project: Underway, plan: CashPlan | None, outcomes: Outcomes) -> dict[str, Any]:
    if plan is None or outcomes.below is None:
        return NO_CASH
    likely: Cash = cash_from_here(plan, project.likely_trial(likely_trial(project.case)))
    balance, held = likely.balance[0], is_held(plan, outcomes.below)
    over = plan.since // MONTHS  # years of floor_years that are over on the status date
    chances = outcomes.below.mean(axis=1).tolist()
    needed = None if held or outcomes.needed is None else raise_needed(plan, outcomes.needed)
    return {
        "lowest_balance": float(balance.min()),
        "lowest_balance_month": plan.since + 1 + int(balance.argmin()),
        "chance_below_floor_by_year": (*[None] * over, *chances[over:]),
        "raise_holds": held,
        "raise_needed": needed,
    }
