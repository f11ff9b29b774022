"""Present values, annuities, loans and life-cycle cost against published examples.

Each case names its source in cases/finance.json. Spreadsheet cases keep the spreadsheets' sign:
money in is positive and present + payments + future, discounted, is 0.
"""

from math import ceil, floor
from typing import Any

import numpy as np

from finance_cases import (
    CASES,
    Case,
    assert_published,
    dated_flows,
    each_case,
    period_factors,
    told,
    worth,
    yearly,
)
from panelworth.engine.cash_flow.discounting import discount_factors, present_value
from panelworth.engine.cash_flow.loans import Repayment, repayment
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

CENT = 0.01
NOT_OF_A_LOAN = frozenset({"future", "in_advance"})  # a loan is paid in arrears, down to nothing


def period_rate(given: dict[str, Any]) -> float:
    """Return the rate a period of a nominal rate a year."""
    return float(given["rate"] / given["a_year"])


def annuity(given: dict[str, Any], periods: int, payment: float) -> Array:
    """Lay out a spreadsheet's present, payments and future over whole periods."""
    row = np.zeros(periods + 1)
    row[0] += given.get("present", 0.0)
    row[-1] += given.get("future", 0.0)
    # `in_advance` is the spreadsheets' type 1: a payment falls at its period's start.
    paid = slice(None, -1) if given.get("in_advance") else slice(1, None)
    row[paid] += payment
    return row


def delay(given: dict[str, Any]) -> float:
    """Return what turns a sum in arrears into one in advance: a period's discount, or 1."""
    return float(period_factors(period_rate(given), 1)[0, 1]) if given.get("in_advance") else 1.0


def level_payment(given: dict[str, Any]) -> float:
    """Return the payment in arrears that balances present and future; money out is negative."""
    rate, periods = period_rate(given), given["periods"]
    return yearly(-worth(rate, annuity(given, periods, 0.0)), rate, periods)


def interest_and_principal(given: dict[str, Any]) -> tuple[float, float]:
    """Return both parts of the payments from first to last, in arrears; money out is negative."""
    rate, payment = period_rate(given), level_payment(given)
    later = {key: value for key, value in given.items() if key in ("future", "a_year")}
    owed = [
        -worth(rate, annuity(later, given["periods"] - number + 1, payment))
        for number in range(given["first"], given["last"] + 1)
    ]
    interest = -rate * sum(owed)
    return interest, payment * len(owed) - interest


@each_case("npv")
def test_net_present_value_is_the_published_one(case: Case) -> None:
    """Spreadsheets' NPV puts its first value one period ahead: those rows start with a 0."""
    # OS-02: the book prints 2,835.63, a sum of rounded terms, and 2,835.62 elsewhere, which is
    # exact; the tolerance allows the cent.
    row = [0.0] * case.given["first"] + case.given["flows"]
    assert_published(case, worth(case.given["rate"], row))


@each_case("dated_npv")
def test_net_present_value_of_dated_flows_is_the_published_one(case: Case) -> None:
    """A day of the case, 1/365 year, stands for a month of the engine, 1/12 year."""
    days, flows = dated_flows(case.given)
    rate = np.array([(1.0 + case.given["rate"]) ** (MONTHS / 365) - 1.0])
    factors = discount_factors(rate, int(days.max()))[:, days.astype(int)]
    assert_published(case, float(present_value(flows[np.newaxis], factors)[0]))


@each_case("factor")
def test_compound_interest_factors_are_the_printed_ones(case: Case) -> None:
    """P is a present sum, F one at the end, A one at the end of each period."""
    rate, periods = case.given["rate"], case.given["periods"]
    single = float(period_factors(rate, periods)[0, -1])
    series = worth(rate, [0.0] + [1.0] * periods)
    level = yearly(1.0, rate, periods)
    factors = {
        "P/F": single,
        "F/P": 1.0 / single,
        "P/A": series,
        "F/A": series / single,
        "A/P": level,
        "A/F": level * single,
    }
    assert_published(case, factors[case.given["kind"]])


@each_case("equivalent_annual")
def test_the_equivalent_annual_sum_is_the_published_annuity(case: Case) -> None:
    """A present value spread over its years as a level sum."""
    given = case.given
    assert_published(case, yearly(given["present"], given["rate"], given["years"]))


@each_case("level_payment")
def test_the_equivalent_annual_sum_is_the_published_payment(case: Case) -> None:
    """A payment that balances a present and a future sum, in arrears or in advance."""
    assert_published(case, level_payment(case.given) * delay(case.given))


@each_case("present_worth")
def test_the_present_value_of_an_annuity_is_the_published_one(case: Case) -> None:
    """What balances level payments and a future sum today."""
    row = annuity(case.given, case.given["periods"], case.given["payment"])
    assert_published(case, -worth(period_rate(case.given), row))


@each_case("future_value")
def test_the_future_value_of_an_annuity_is_the_published_one(case: Case) -> None:
    """What balances a present sum and level payments at the end."""
    rate, periods = period_rate(case.given), case.given["periods"]
    today = worth(rate, annuity(case.given, periods, case.given["payment"]))
    assert_published(case, -today / float(period_factors(rate, periods)[0, -1]))


@each_case("periods")
def test_the_balance_changes_sign_in_the_published_period(case: Case) -> None:
    """Published as a fraction of a period: it lies between the whole ones around it."""
    before, after = (
        worth(period_rate(case.given), annuity(case.given, periods, case.given["payment"]))
        for periods in (floor(case.expected), ceil(case.expected))
    )
    assert before * after < 0.0, told(case, (before, after))


@each_case("interest_paid", "principal_paid")
def test_the_parts_of_a_payment_are_the_published_ones(case: Case) -> None:
    """Interest is the rate on what the payments still to come are worth."""
    interest, principal = interest_and_principal(case.given)
    part = interest if case.call == "interest_paid" else principal
    assert_published(case, part * delay(case.given))


@each_case("loan_interest")
def test_the_interest_of_a_loan_without_rounding_is_the_published_total(case: Case) -> None:
    """The book carries its payment unrounded."""
    # AM-02: the book's table foots to 3,046.08; 36 printed payments less the loan are 3,046.00.
    assert_published(case, -interest_and_principal(case.given)[0])


def schedule_of(given: dict[str, Any]) -> Repayment:
    """Return the schedule in whole cents; a period of the case stands for a month."""
    apr = given["rate"] * MONTHS / given["a_year"]
    return repayment(given["present"], apr=apr, months=given["periods"])


@each_case("loan_payment", "level_payment", without=NOT_OF_A_LOAN)
def test_a_loan_s_level_payment_is_the_published_one_to_the_cent(case: Case) -> None:
    """The schedule rounds its payment to whole cents, as the lender does."""
    found = schedule_of(case.given).payment
    assert found == round(abs(case.expected), 2), told(case, found)


@each_case("loan_interest", "interest_paid", without=NOT_OF_A_LOAN)
def test_interest_in_whole_cents_strays_no_more_than_a_cent_a_payment(case: Case) -> None:
    """Published interest is unrounded; ours is rounded monthly and charged on rounded balances."""
    plan, first, last = schedule_of(case.given), case.given["first"], case.given["last"]
    balances = (plan.principal, *plan.balances)
    repaid = balances[first - 1] - balances[last]
    found = sum(plan.payments[first - 1 : last]) - repaid
    allowed = CENT * (last - first + 1)
    assert abs(found - abs(case.expected)) <= allowed, told(case, found)


def life_cycle_cost(given: dict[str, Any]) -> float:
    """Return the present value of outlay and yearly costs at the handbook's own factors."""
    costs = [given["invested"], *(amount * price for amount, price, _ in given["yearly"])]
    factors = [1.0, *(factor for _, _, factor in given["yearly"])]
    return float(present_value(np.array([costs]), np.array([factors]))[0])


@each_case("life_cycle_cost")
def test_life_cycle_cost_is_the_handbook_s(case: Case) -> None:
    """Uniform present value factors with price escalation, as NIST tabulates them."""
    assert_published(case, life_cycle_cost(case.given))


@each_case("net_savings")
def test_net_savings_are_the_handbook_s(case: Case) -> None:
    """What doing nothing costs over a life, less what the option costs."""
    baseline, option = (CASES[case.given[side]].given for side in ("baseline", "option"))
    assert_published(case, life_cycle_cost(baseline) - life_cycle_cost(option))
