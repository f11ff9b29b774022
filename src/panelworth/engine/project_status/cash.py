"""The club's cash from the status date on, and the raise that would hold its floor from there.

Balances begin with the stated reserve at the end of the status date's month s, and run over months
s+1 to 12·floor_years of the comparison's calendar. What fell in months up to s is in that reserve.
Source: the project's method, section 7.
"""

from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Integers, Mask
from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.loans import LoanPlan, drawing_months, loan_flows
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import project_of
from panelworth.engine.funding.reserve import (
    Raise,
    basis_of,
    held_in,
    least_raises,
    running,
    surcharges,
)
from panelworth.engine.project_status.underway import Underway
from panelworth.engine.trials import Array, Trials
from panelworth.model.dates import month_index
from panelworth.model.option import Funding
from panelworth.model.scenario import HALF_A_CENT, MONTHS

KINDS = ("dues", "hourly_rate", "assessment")


@dataclass(frozen=True, kw_only=True)
class CashPlan:
    """What the cash from here is worked out with.

    `since` is the status date's month s and `until` the last month of floor_years. `voted` has the
    raises that were voted and `kind` the one that could be changed; `loan` is the loan as voted.
    """

    underway: Underway
    since: int
    until: int
    reserve: float
    floor: float
    voted: Raise
    kind: str | None
    loan: LoanPlan | None

    @property
    def terms(self) -> Funding:
        """The chosen option's funding."""
        return self.underway.case.options[self.underway.option_id].funding


def cash_plan(underway: Underway, voted: Raise, loan: LoanPlan | None) -> CashPlan | None:
    """Return the plan; None without a club, a reserve for that day, or months left to look at."""
    scenario, decision = underway.voted.scenario, underway.decision
    since = month_index(scenario.as_of, underway.day)
    until = MONTHS * scenario.floor_years
    if scenario.club is None or decision.reserve is None or since >= until:
        return None
    return CashPlan(
        underway=underway,
        since=since,
        until=until,
        reserve=decision.reserve,
        floor=scenario.club.reserve_floor,
        voted=voted,
        kind=_kind(underway.voted.options[underway.option_id].funding),
        loan=loan,
    )


def _kind(terms: Funding) -> str | None:
    """Return which raise was voted: the one solved for, else the first that is stated."""
    stated = (terms.dues_increase, terms.hourly_rate_increase, terms.assessment_per_member)
    return terms.solve or next(
        (kind for kind, amount in zip(KINDS, stated, strict=True) if amount), None
    )


@dataclass(frozen=True, kw_only=True)
class Cash:
    """The club's cash in some trials, over months s+1 to the end of floor_years.

    `balance` has shape (T or 1, months). `needed`, shape (T or 1,), is the least raise of the kind
    voted which holds the floor in a trial, None where no raise was voted.
    """

    balance: Array
    needed: Array | None


def cash_from_here(plan: CashPlan, trials: Trials) -> Cash:
    """Return the club's cash in these trials, B(m) = B(m-1) + net + loan + raises, B(s) stated.

    What is still to pay or to come in for the project, and fell in a month up to s, is due in month
    s+1. An assessment that is not collected comes in then, too.
    """
    here = slice(plan.since + 1, plan.until + 1)
    flows = flows_of(plan.underway.case, plan.underway.option_id, trials, loan=plan.loan)
    invested = flows.invested
    monthly = flows.net + _loan_cash(plan, trials, flows.context.months.last)
    monthly = monthly + flows.by_month(surcharges(flows, plan.voted))
    cash = monthly[:, here].copy()
    cash[:, 0] += plan.reserve - invested[:, : plan.since + 1].sum(axis=1)
    if not plan.underway.decision.assessment_collected:
        cash[:, 0] += plan.voted.assessment * flows.members_now
    balance = running(cash)
    return Cash(balance=balance, needed=_needed(plan, flows, balance))


def _loan_cash(plan: CashPlan, trials: Trials, last: int) -> Array:
    """Return the voted loan's cash by month, shape (T or 1, H+1): drawing +, payments -."""
    if plan.loan is None or plan.terms.loan is None:
        return np.zeros((1, last + 1))
    context = option_context(plan.underway.unpaid, plan.underway.option_id, trials)
    months: Integers = drawing_months(
        plan.terms.loan, context, project_of(context), otherwise=plan.loan.month
    )
    return loan_flows(plan.loan.repayment, months, last)


def _needed(plan: CashPlan, flows: Flows, balance: Array) -> Array | None:
    """Return the least raise of the kind voted in each trial, paid from month s+1 on.

    An assessment that is collected is in the reserve: then it is one more assessment.
    """
    if plan.kind is None:
        return None
    here = slice(plan.since + 1, plan.until + 1)
    if plan.kind == "assessment":
        basis = np.broadcast_to(flows.members_now[:, np.newaxis], balance.shape)
        collected = plan.underway.decision.assessment_collected
        paid = 0.0 if collected else plan.voted.assessment
    else:
        months = plan.voted.dues_months if plan.kind == "dues" else plan.voted.rate_months
        upto = basis_of(plan.kind, flows, months)
        basis = upto[:, here] - upto[:, plan.since : plan.since + 1]
        paid = float(getattr(plan.voted, plan.kind))
    needed: Array = least_raises(balance - paid * basis, basis, plan.floor).max(axis=1)
    return needed


def below_floor(plan: CashPlan, balance: Array) -> Mask:
    """Return in which trials the floor breaks up to each year's end, shape (floor_years, T or 1).

    False for years that are over: those months are not looked at any more.
    """
    below = balance < plan.floor - HALF_A_CENT
    ends = range(MONTHS - plan.since, plan.until - plan.since + 1, MONTHS)
    return np.array([below[:, : max(end, 0)].any(axis=1) for end in ends])


def raise_needed(plan: CashPlan, needed: Array) -> float | None:
    """Return the raise that holds the floor from here in solve_chance of the trials; None if none.

    The same rule as for the vote: the raise at that rank, rounded up to the cent.
    """
    amount, _ = held_in(needed, plan.terms.solve_chance)
    return amount if np.isfinite(amount) else None


def is_held(plan: CashPlan, below: Mask) -> bool:
    """Return whether the raise voted holds the floor from here in solve_chance of the trials."""
    return bool(np.mean(~below[-1]) >= plan.terms.solve_chance - 1e-9)
