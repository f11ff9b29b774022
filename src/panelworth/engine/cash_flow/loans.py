"""Loans: level payments in cents, the month in which a loan is drawn, and the cost of borrowing.

Payments and interest are rounded to cents as a lender rounds them, so that a schedule agrees with
the lender's. No other money of the engine is rounded. An apr is nominal, a twelfth of it a month;
the discount rate is effective, so an apr equal to it is not quite neutral.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from functools import lru_cache

import numpy as np
import numpy_financial as npf

from panelworth.engine.cash_flow.calendar import Integers
from panelworth.engine.cash_flow.discounting import present_value
from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.cash_flow.project import Project, outlays, project_of
from panelworth.engine.trials import Array, likely_trial
from panelworth.model.case import Case
from panelworth.model.option import Loan
from panelworth.model.scenario import HALF_A_CENT, MONTHS

CENT = Decimal("0.01")
NO_INTEREST = Decimal("1e-30")  # a month: a smaller rate changes no cent of any payment


@dataclass(frozen=True, kw_only=True)
class Repayment:
    """A loan's repayment schedule, in months from its drawing: payments and balances after them.

    `payment` is the level payment and `interest` the sum of all interest.
    """

    principal: float
    payment: float
    payments: tuple[float, ...]
    interest: float
    balances: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class LoanPlan:
    """A loan's schedule, the same in every trial, and the month of drawing at likely values.

    A loan is agreed before the costs are known. Therefore its amount follows from likely values,
    and an overrun is paid from the reserve.
    """

    repayment: Repayment
    month: int


@dataclass(frozen=True, kw_only=True)
class Borrowing:
    """A loan in T trials: `drawn` months and `debt` at the horizon of shape (T or 1,).

    `cash` has shape (T or 1, H+1): what is drawn is positive, payments are negative.
    """

    plan: Repayment
    drawn: Integers
    cash: Array
    debt: Array


def cents(amount: float | Decimal) -> Decimal:
    """Round to cents, half a cent up: the rule of invoices, not Python's rounding half to even.

    A double is first rounded to six decimals: half a cent whose binary value is a little smaller
    must still be rounded up.
    """
    exact = Decimal(str(round(amount, 6))) if isinstance(amount, float) else amount
    return exact.quantize(CENT, rounding=ROUND_HALF_UP)


def _level_payment(principal: Decimal, *, monthly: Decimal, months: int) -> Decimal:
    """Return the level monthly payment of a loan, not yet rounded.

    By numpy-financial's pmt, in decimals with 60 digits: near a rate of 0 its formula subtracts two
    almost equal numbers and loses digits. A rate below NO_INTEREST counts as 0.
    """
    with localcontext(prec=60):
        rate = monthly if monthly >= NO_INTEREST else Decimal(0)
        payment: Decimal = -npf.pmt(rate, months, principal)
    return payment


@lru_cache(maxsize=256)  # decimals are slow, and every evaluation of an option needs its schedule
def repayment(principal: float, *, apr: float, months: int) -> Repayment:
    """Return the schedule of a level-payment loan, to the cent.

    payment = P·i/(1 - (1+i)^-n), i = apr/12, or P/n without interest. Interest is charged on the
    balance each month; the last payment repays the rest, so it differs by the rounding of the
    others. Tests compare it with published tables.

    >>> loan = repayment(32000, apr=0.06, months=36)
    >>> loan.payment, len(loan.payments), loan.balances[-1]
    (973.5, 36, 0.0)
    """
    balance, rate = cents(float(principal)), Decimal(str(apr))
    level = cents(_level_payment(balance, monthly=rate / MONTHS, months=months))
    payments, balances, interest_paid = [], [], Decimal(0)
    for number in range(1, months + 1):
        interest = cents(balance * rate / MONTHS)  # multiplied first: half a cent stays exact
        owed = balance + interest
        paid = owed if number == months else min(level, owed)
        balance, interest_paid = owed - paid, interest_paid + interest
        payments.append(float(paid))
        balances.append(float(balance))
    return Repayment(
        principal=float(cents(float(principal))),
        payment=float(level),
        payments=tuple(payments),
        interest=float(interest_paid),
        balances=tuple(balances),
    )


def loan_plan(case: Case, option_id: str) -> LoanPlan | None:
    """Return an option's loan: amount, payments and month at likely values; None without one."""
    loan = case.options[option_id].funding.loan
    if loan is None:
        return None
    context = option_context(case, option_id, likely_trial(case))
    project = project_of(context)
    principal = principal_of(loan, float(project.to_pay[0]))
    return LoanPlan(
        repayment=repayment(principal, apr=loan.apr, months=loan.months),
        month=int(drawing_months(loan, context, project, otherwise=0)[0]),
    )


def borrowing_of(
    plan: LoanPlan | None, context: OptionContext, paid: Project, *, likely_month: bool = False
) -> Borrowing | None:
    """Return an option's loan in these trials; None without one.

    Amount and payments are those of the plan in every trial. The loan is drawn in the trial's own
    month of `when`; without `when` in the month of the trial's first outlay; without an outlay in
    the likely month. With `likely_month` it is drawn in the likely month in every trial.
    """
    loan = context.option.funding.loan
    if loan is None or plan is None:
        return None
    month = np.array([plan.month])
    months = month if likely_month else drawing_months(loan, context, paid, otherwise=plan.month)
    last = context.months.last
    return Borrowing(
        plan=plan.repayment,
        drawn=months,
        cash=loan_flows(plan.repayment, months, last),
        debt=_debt(plan.repayment, months, last),
    )


def principal_of(loan: Loan, likely_to_pay: float) -> float:
    """Return the principal: the stated amount, or a share of the likely outlay still to pay."""
    return loan.amount if loan.amount is not None else (loan.share or 0.0) * likely_to_pay


def drawing_months(
    loan: Loan, context: OptionContext, paid: Project, *, otherwise: int
) -> Integers:
    """Return the month of a loan's `when`, else of the first outlay, shape (T or 1,).

    `otherwise` is for trials without an outlay.
    """
    if loan.when is not None:
        return context.dates[0].month_of(loan.when)
    first: Integers = np.array([otherwise])
    # From the last month to the first, so that the earliest outlay remains.
    for month, spent in sorted(outlays(context, paid).dated.items(), reverse=True):
        first = np.where(spent > HALF_A_CENT, month, first)
    return first


def loan_flows(plan: Repayment, drawn: Integers, months: int) -> Array:
    """Return the loan's cash by month, shape (T or 1, months+1): drawing +, payments -.

    The first payment is in the month after the drawing. Payments past the horizon are left out: the
    debt at the horizon stands for them.
    """
    stream = np.array([plan.principal, *(-paid for paid in plan.payments)])
    first = int(drawn.min())
    since = np.arange(months + 1) - np.arange(first, int(drawn.max()) + 1)[:, np.newaxis]
    inside = (since >= 0) & (since < len(stream))
    rows = np.where(inside, stream[np.clip(since, 0, len(stream) - 1)], 0.0)
    return rows.T.take(drawn - first, axis=1).T  # all trials draw it in a few months


def _debt(plan: Repayment, drawn: Integers, months: int) -> Array:
    """Return what is still owed at the horizon, shape (T or 1,)."""
    owed = np.array([plan.principal, *plan.balances])
    left: Array = owed[np.minimum(months - drawn, len(owed) - 1)]
    return left


def loan_value(borrowing: Borrowing | None, factors: Array) -> Array:
    """Return the present value of borrowing: Σ (drawn - payment)·d - debt·d(H), shape (T or 1,).

    A cost is negative; 0 without a loan. A loan whose effective yearly rate equals the discount
    rate has the value 0, apart from the rounding of its payments.
    """
    if borrowing is None:
        return np.zeros(1)
    left: Array = present_value(borrowing.cash, factors) - borrowing.debt * factors[:, -1]
    return left
