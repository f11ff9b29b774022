"""How the club pays: an option's raises, its reserve and loan at likely values, and bills."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from panelworth.engine.cash_flow.flows import Flows
from panelworth.engine.cash_flow.option_context import OptionContext, final_value
from panelworth.engine.funding.reserve import (
    Raise,
    balances,
    basis_of,
    least_raises,
    raise_months,
    stated_raise,
    surcharges,
    up_to_the_cent,
)
from panelworth.engine.results.figures import (
    Bill,
    Funded,
    LoanSchedule,
)
from panelworth.engine.results.funded_months import CoverageMonths, FundedMonths, RaiseMonths
from panelworth.engine.results.trials import Solved
from panelworth.engine.trials import Array
from panelworth.model.case import Case
from panelworth.model.club import (
    Club,
)
from panelworth.model.scenario import (
    HALF_A_CENT,
    MONTHS,
)

SAME = 1e-12  # of the largest balance: a smaller difference of two balances is a rounding error


@dataclass(frozen=True, kw_only=True)
class Plan:
    """The raises of an option, the same in every trial.

    `solve` names the raise to solve for; `solved` is the result of the trials. Its amount is None
    where no raise holds the floor often enough. The balances are then those without it.
    """

    stated: Raise
    solve: str | None = None
    solved: Solved | None = None

    @property
    def unfunded(self) -> bool:
        """Whether there is a raise to solve for and none is enough."""
        return self.solved is not None and self.solved.amount is None

    @property
    def added(self) -> Raise:
        """All raises that members pay: the stated ones and the solved one."""
        amount = self.solved.amount if self.solved else None
        if amount is None or self.solve is None:
            return self.stated
        raised: dict[str, Any] = {self.solve: amount}  # `solve` is the name of a field of Raise
        return replace(self.stated, **raised)

    def asked(self, key: str) -> float | None:
        """Return one raise for figures.json; None if it is solved for and none is enough."""
        if self.unfunded and key == self.solve:
            return None
        return float(getattr(self.added, key))


def plan_of(case: Case, option_id: str, solved: Solved | None = None) -> Plan:
    """Return an option's raises: those of its file, and the one that is solved for."""
    terms = case.options[option_id].funding
    return Plan(stated=stated_raise(case.scenario, terms), solve=terms.solve, solved=solved)


def likely_months(row: Array) -> tuple[float, ...]:
    """Return a row of the likely trial, shape (1, M), as plain numbers by month."""
    return tuple(row[0].tolist())


def _raise_months(case: Case, club: Club, flows: Flows) -> RaiseMonths | None:
    """Return the effect by month of the raise to solve for, at likely values; None without one."""
    terms = flows.context.option.funding
    if terms.solve is None:
        return None
    until = MONTHS * case.scenario.floor_years + 1
    balance = balances(flows, club, stated_raise(case.scenario, terms))
    months = raise_months(case.scenario, terms, terms.solve)
    basis = basis_of(terms.solve, flows, months)
    needed = least_raises(balance[:, :until], basis[:, :until], club.reserve_floor)
    return RaiseMonths(
        unit=likely_months(basis),
        balance=likely_months(balance),
        needed=tuple(amount if math.isfinite(amount) else None for amount in likely_months(needed)),
    )


def _likely_raise(solved: RaiseMonths | None) -> float | None:
    """Return the least raise that holds the floor for floor_years at likely values.

    Rounded up to the cent; None where there is no raise to solve for, or none is enough.
    """
    amounts = solved.needed if solved else ()
    held = [amount for amount in amounts if amount is not None]
    return up_to_the_cent(max(held)) if held and len(held) == len(amounts) else None


def funded_figures(
    case: Case, flows: Flows, solved: Solved | None
) -> tuple[Funded | None, FundedMonths | None]:
    """Return an option's funding in the likely trial and, for a club, its figures by month.

    `solved` is the raise that the trials give. An owner has only the loan's figures; None without a
    loan.
    """
    club, borrowing = case.scenario.club, flows.borrowing
    borrowed: dict[str, Any] = dict.fromkeys(("loan_payment", "loan_interest", "debt_at_end"))
    if borrowing is not None:
        borrowed = {
            "loan_payment": borrowing.plan.payment,
            "loan_interest": borrowing.plan.interest,
            "debt_at_end": float(borrowing.debt[0]),
        }
    if club is None:
        absent = dict.fromkeys(set(Funded.__dataclass_fields__) - set(borrowed))
        return (Funded(**absent, **borrowed) if borrowing else None), None
    plan = plan_of(case, flows.context.option_id, solved)
    raised = flows.by_month(surcharges(flows, plan.added))
    months = FundedMonths(
        balance=likely_months(balances(flows, club, plan.added)),
        surcharges=likely_months(raised),
        solved=_raise_months(case, club, flows),
        coverage=_coverage(case, flows, raised),
    )
    return Funded(**_reserve(club, months, plan), **borrowed, **_lowest(months.coverage)), months


def _reserve(club: Club, months: FundedMonths, plan: Plan) -> dict[str, Any]:
    """Return the figures of the reserve and of the raises."""
    balance = np.array(months.balance)
    solved, same = plan.solved, SAME * float(np.abs(balance).max())
    below = np.flatnonzero(balance < club.reserve_floor - HALF_A_CENT)
    return {
        "lowest_balance": float(balance.min()),
        "lowest_balance_month": int(np.argmax(balance <= balance.min() + same)),
        "below_floor_month": int(below[0]) if len(below) else None,
        "balance_at_end": float(balance[-1]),
        "solve_likely": _likely_raise(months.solved),
        "solve_month": solved.month if solved else None,
        "solve_once": solved.once if solved else None,
        "dues_increase": plan.asked("dues"),
        "hourly_rate_increase": plan.asked("hourly_rate"),
        "assessment_per_member": plan.asked("assessment"),
    }


def _coverage(case: Case, flows: Flows, raised: Array) -> CoverageMonths | None:
    """Return the debt-service coverage ratio of each year with its parts; None without a loan.

    (net without project flows + raises of dues and rate) / payments, both over the months of a year
    with a payment. Lenders ask for this ratio (DSCR). Project flows are left out, because the loan
    pays for them and not the income of the year.
    """
    if flows.borrowing is None:
        return None
    # Project flows are in net as money out, so adding `invested` takes them out of it.
    earned = (flows.net + flows.invested + raised)[0]
    paid = np.maximum(-flows.borrowing.cash[0], 0.0)
    ratios = {}
    for year in range(1, case.scenario.years + 1):
        months = np.arange(MONTHS * (year - 1) + 1, MONTHS * year + 1)
        months = months[paid[months] > 0.0]
        if len(months):
            ratios[year] = float(earned[months].sum() / paid[months].sum())
    return CoverageMonths(left=tuple(earned.tolist()), paid=tuple(paid.tolist()), ratios=ratios)


def _lowest(coverage: CoverageMonths | None) -> dict[str, Any]:
    """Return the lowest coverage ratio and its year, the earliest of several; None without any."""
    ratios = coverage.ratios if coverage else {}
    year = min(ratios, key=lambda year: ratios[year], default=None)
    return {"lowest_coverage": ratios.get(year or 0), "lowest_coverage_year": year}


def loan_schedule(flows: Flows) -> LoanSchedule | None:
    """Return an option's loan in the likely trial, payment by payment; None without a loan."""
    borrowing = flows.borrowing
    if borrowing is None:
        return None
    return LoanSchedule(
        drawn_month=int(borrowing.drawn[0]),
        principal=borrowing.plan.principal,
        payments=borrowing.plan.payments,
        balances=borrowing.plan.balances,
    )


def bills(case: Case, flows: Flows, funded: Funded | None) -> tuple[Bill, ...]:
    """Return each profile's bill a month once the option is in force, and the assessment.

    () for an owner.
    """
    club = case.scenario.club
    if club is None or funded is None:
        return ()
    return tuple(
        Bill(
            name=profile.name,
            per_month=bill_a_month(club, flows.context, funded, profile.hours_per_year),
            assessment=None if is_unfunded(funded) else funded.assessment_per_member,
        )
        for profile in club.profiles
    )


def is_unfunded(funded: Funded) -> bool:
    """Say whether there is a raise to solve for and none holds the floor often enough."""
    asked = (funded.dues_increase, funded.hourly_rate_increase, funded.assessment_per_member)
    return None in asked


def bill_a_month(club: Club, context: OptionContext, funded: Funded, hours: float) -> float | None:
    """Return a member's bill a month at today's prices, for `hours` a year.

    dues + hours/12·rate, both with their raise: a straight line in `hours`. None if no raise is
    enough to fund the option.
    """
    dues, rate = tariff(club, context, funded)
    return None if dues is None or rate is None else dues + hours / MONTHS * rate


def tariff(club: Club, context: OptionContext, funded: Funded) -> tuple[float | None, float | None]:
    """Return dues a month and the rate an hour once an option is in force, raises included."""
    if is_unfunded(funded):
        return None, None
    dues = club.dues_per_month.likely + (funded.dues_increase or 0.0)
    rate = float(final_value(context, lambda aircraft: aircraft.hourly_rate)[0]) + (
        funded.hourly_rate_increase or 0.0
    )
    return dues, rate
