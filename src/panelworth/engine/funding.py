"""How the club pays: loan, surcharges, the reserve month by month, and raises that hold a floor.

Payments and interest are whole cents, as a lender's are; all else is unrounded.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from typing import Any

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.calendar import Whole
from panelworth.engine.cashflow import Flows
from panelworth.engine.course import Course, finally_
from panelworth.engine.project import month_of
from panelworth.engine.results import Bill, Funded, LoanCourse
from panelworth.engine.worlds import Array
from panelworth.model.case import Case
from panelworth.model.option import Loan
from panelworth.model.scenario import MONTHS, Club

CENT = Decimal("0.01")
NO_INTEREST = Decimal("1e-30")  # a month: less moves no cent of any sum
ROUNDING = 1e-6  # of a cent: what floating point may be off without meaning anything
SAME = 1e-12  # of the reserve's size: lows nearer to one another than this are equal
HALF_A_CENT = 0.005  # less money than this is none


@dataclass(frozen=True, kw_only=True)
class Repayment:
    """A loan's payments, interest and balance after each payment, in months from its drawing."""

    principal: float
    payment: float
    payments: tuple[float, ...]
    interest: float
    balances: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Raise:
    """What members pay on top: a month, an hour (both from month 1, flat), and once in month 0."""

    dues: float = 0.0
    hourly_rate: float = 0.0
    assessment: float = 0.0


def cents(amount: float | Decimal) -> Decimal:
    """Round to whole cents, half a cent up, as invoices do.

    Floating-point residue is cleared first, so that a sum that is half a cent on paper is one here.
    """
    exact = Decimal(str(round(amount, 6))) if isinstance(amount, float) else amount
    return exact.quantize(CENT, rounding=ROUND_HALF_UP)


def _level_share(monthly: Decimal, months: int) -> Decimal:
    """Return the share of a loan that is paid each month: i/(1 - (1+i)^-n), 1/n without interest.

    Digits enough for rates that hardly differ from none; less than that is none.
    """
    with localcontext(prec=60):
        if monthly < NO_INTEREST:
            return Decimal(1) / months
        return monthly / (1 - (1 + monthly) ** -months)


def repayment(principal: float, *, apr: float, months: int) -> Repayment:
    """Return the schedule of a level-payment loan, to the cent.

    payment = P·i/(1 - (1+i)^-n), i = apr/12, or P/n without interest; interest is charged on the
    balance each month, the last payment clears what is left. Annuity formula; checked against
    numpy-financial's pmt and published tables.

    >>> loan = repayment(32000, apr=0.06, months=36)
    >>> loan.payment, len(loan.payments), loan.balances[-1]
    (973.5, 36, 0.0)
    """
    balance, rate = cents(float(principal)), Decimal(str(apr))
    level = cents(balance * _level_share(rate / MONTHS, months))
    payments, balances, interest_paid = [], [], Decimal(0)
    for number in range(1, months + 1):
        interest = cents(balance * rate / MONTHS)  # in this order an exact half cent stays one
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


def principal_of(loan: Loan, likely_to_pay: float) -> float:
    """Return what is borrowed: the amount, or a share of the likely outlay still to pay."""
    return loan.amount if loan.amount is not None else (loan.share or 0.0) * likely_to_pay


def drawn_in(loan: Loan, flows: Flows) -> Whole:
    """Return the month in which the loan is drawn, shape (W or 1,).

    That of its `when`; else that of the first outlay for items, jobs or purchase, month 0 if none.
    """
    if loan.when is not None:
        return month_of(flows.course.dates, loan.when)
    paid = flows.rows["project"] + flows.rows["purchase"]
    first: Whole = np.argmax(paid > HALF_A_CENT, axis=1)
    return first


def loan_flows(plan: Repayment, drawn: Whole, months: int) -> Array:
    """Return the loan's cash to the borrower, shape (W or 1, months+1): drawn in, paid out.

    The first payment falls in the month after the drawing; those past the horizon are left out.
    """
    stream = np.array([plan.principal, *(-paid for paid in plan.payments)])
    since = np.arange(months + 1) - drawn[:, np.newaxis]
    inside = (since >= 0) & (since < len(stream))
    return np.where(inside, stream[np.clip(since, 0, len(stream) - 1)], 0.0)


def debt_at_end(plan: Repayment, drawn: int, months: int) -> float:
    """Return what is still owed at the horizon."""
    paid = months - drawn
    return plan.principal if paid == 0 else plan.balances[min(paid, len(plan.balances)) - 1]


def balances(flows: Flows, club: Club, loan: Array, added: Raise) -> Array:
    """Return the reserve at the end of each month, shape (W or 1, H+1).

    B(0) = reserve + net(0) + assessment·members(0) + loan; then each month's net, loan cash,
    dues increase·members and rate increase·hours on top. Surcharges are flat.
    """
    people = flows.members
    monthly = flows.net + loan
    if added.dues:
        dues = added.dues * people
        dues[:, 0] = 0.0
        monthly = monthly + dues
    if added.hourly_rate:
        monthly = monthly + added.hourly_rate * flows.hours
    monthly[:, 0] += club.reserve + added.assessment * people[:, 0]
    return np.cumsum(monthly, axis=1, out=monthly)


def basis_of(solve: str, flows: Flows) -> Array:
    """Return what a raise of one unit has brought in by each month, in the one likely world."""
    if solve == "assessment":
        return np.full(flows.course.months.last + 1, flows.members[0, 0])
    per_month = flows.members[0] if solve == "dues" else flows.hours[0]
    return np.cumsum(np.concatenate([[0.0], per_month[1:]]))


def solved(balance: Array, floor: float, basis: Array) -> tuple[float | None, int | None]:
    """Return the smallest raise >= 0, up to the cent, that holds the floor, and its deciding month.

    `balance` without the raise and `basis` have shape (H+1,). (None, None) if no raise does;
    (0.0, None) if none is needed.
    """
    short = floor - balance
    lacking = short > HALF_A_CENT
    if not lacking.any():
        return 0.0, None
    if (basis[lacking] <= 0.0).any():
        return None, None
    needed = np.where(lacking, short / np.where(basis > 0.0, basis, 1.0), 0.0)
    return float(np.ceil(needed.max() * 100.0 - ROUNDING) / 100.0), int(np.argmax(needed))


@dataclass(frozen=True, kw_only=True)
class Plan:
    """How an option is paid, settled in the likely view and held whatever comes.

    `asked` is what members pay on top, by the fields of Raise; None for a raise that was to be
    solved and that nothing solves, which is then not asked. `solve_month` decides a solved raise.
    """

    loan: Repayment | None
    asked: Mapping[str, float | None]
    solve_month: int | None

    @property
    def added(self) -> Raise:
        """The raises as members pay them."""
        return Raise(**{key: each or 0.0 for key, each in self.asked.items()})


def plan_of(case: Case, flows: Flows) -> Plan:
    """Settle an option's loan and raises from its flows in the one likely world."""
    club, terms = case.scenario.club, flows.course.option.funding
    asked: dict[str, float | None] = {
        "dues": terms.dues_increase,
        "hourly_rate": terms.hourly_rate_increase,
        "assessment": terms.assessment_per_member,
    }
    loan = None
    if terms.loan is not None:
        principal = principal_of(terms.loan, float(flows.project.to_pay[0]))
        loan = repayment(principal, apr=terms.loan.apr, months=terms.loan.months)
    unsolved = Plan(loan=loan, asked=asked, solve_month=None)
    if club is None or terms.solve is None:
        return unsolved
    balance = balances(flows, club, loan_cash(unsolved, flows), unsolved.added)[0]
    needed, month = solved(balance, club.reserve_floor, basis_of(terms.solve, flows))
    return Plan(loan=loan, asked={**asked, terms.solve: needed}, solve_month=month)


def loan_cash(plan: Plan, flows: Flows) -> Array:
    """Return a plan's loan month by month, drawn in each world's own month; 0 without one."""
    last, loan = flows.course.months.last, flows.course.option.funding.loan
    if plan.loan is None or loan is None:
        return np.zeros((1, last + 1))
    return loan_flows(plan.loan, drawn_in(loan, flows), last)


def below_floor(case: Case, flows: Flows, plan: Plan) -> NDArray[np.bool_]:
    """Say in which worlds the reserve is below the club's floor in any month, shape (W or 1,)."""
    club = case.scenario.club
    if club is None:
        return np.zeros(1, dtype=np.bool_)
    balance = balances(flows, club, loan_cash(plan, flows), plan.added)
    low: NDArray[np.bool_] = balance.min(axis=1) < club.reserve_floor - HALF_A_CENT
    return low


def funded_figures(case: Case, flows: Flows) -> tuple[Funded | None, Array | None]:
    """Return an option's funding in its one likely world and, for a club, the reserve by month.

    An owner has the loan's figures alone, and None without a loan.
    """
    club, terms = case.scenario.club, flows.course.option.funding
    plan, borrowed = plan_of(case, flows), _no_loan()
    if terms.loan is not None and plan.loan is not None:
        drawn = int(drawn_in(terms.loan, flows)[0])
        borrowed = {
            "loan_payment": plan.loan.payment,
            "loan_interest": plan.loan.interest,
            "debt_at_end": debt_at_end(plan.loan, drawn, flows.course.months.last),
        }
    if club is not None:
        figures, balance = _reserve(club, flows, plan)
        return Funded(**figures, **borrowed), balance
    absent = dict.fromkeys(set(Funded.__dataclass_fields__) - set(borrowed))
    return (Funded(**absent, **borrowed) if terms.loan else None), None


def loan_course(case: Case, flows: Flows) -> LoanCourse | None:
    """Return an option's loan in its one likely world, payment by payment; None without one."""
    plan, terms = plan_of(case, flows), flows.course.option.funding
    if plan.loan is None or terms.loan is None:
        return None
    return LoanCourse(
        drawn_month=int(drawn_in(terms.loan, flows)[0]),
        principal=plan.loan.principal,
        payments=plan.loan.payments,
        balances=plan.loan.balances,
    )


def _no_loan() -> dict[str, Any]:
    return {"loan_payment": None, "loan_interest": None, "debt_at_end": None}


def _reserve(club: Club, flows: Flows, plan: Plan) -> tuple[dict[str, Any], Array]:
    balance = balances(flows, club, loan_cash(plan, flows), plan.added)[0]
    asked, same = plan.asked, SAME * float(np.abs(balance).max())
    below = np.flatnonzero(balance < club.reserve_floor - HALF_A_CENT)
    return {
        "lowest_balance": float(balance.min()),
        "lowest_balance_month": int(np.argmax(balance <= balance.min() + same)),
        "below_floor_month": int(below[0]) if len(below) else None,
        "balance_at_end": float(balance[-1]),
        "solve_month": plan.solve_month,
        "dues_increase": asked["dues"],
        "hourly_rate_increase": asked["hourly_rate"],
        "assessment_per_member": asked["assessment"],
    }, balance


def bills(case: Case, flows: Flows, funded: Funded | None) -> tuple[Bill, ...]:
    """Return each profile's bill a month once the option is in force, and the assessment."""
    club = case.scenario.club
    if club is None or funded is None:
        return ()
    return tuple(
        Bill(
            name=profile.name,
            per_month=bill_a_month(club, flows.course, funded, profile.hours_per_year),
            assessment=funded.assessment_per_member or 0.0,
        )
        for profile in club.profiles
    )


def bill_a_month(club: Club, course: Course, funded: Funded, hours: float) -> float:
    """Return what a member who flies so many hours a year is billed a month, at today's prices.

    dues + hours/12·rate, both with their raise: a straight line in `hours`.
    """
    dues, rate = tariff(club, course, funded)
    return dues + hours / MONTHS * rate


def tariff(club: Club, course: Course, funded: Funded) -> tuple[float, float]:
    """Return dues a month and the rate an hour once an option is in force, raises included."""
    dues = club.dues_per_month.likely + (funded.dues_increase or 0.0)
    rate = float(finally_(course, "hourly_rate")[0]) + (funded.hourly_rate_increase or 0.0)
    return dues, rate
