"""The finance engine against numpy-financial and pyxirr, and against the laws of discounting.

numpy-financial and pyxirr count whole periods, or days of a year of 365, where the engine counts
months or takes times in years; each test says which definition it holds the two to.
"""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import accumulate

import numpy as np
import numpy_financial
import pytest
import pyxirr
from hypothesis import assume, example, given
from hypothesis import strategies as st

from laws import law
from panelworth.engine.cash_flow.discounting import (
    discount_factors,
    equivalent_annual,
    present_value,
)
from panelworth.engine.cash_flow.loans import Repayment, repayment
from panelworth.engine.returns.rates_of_return import (
    HIGHEST_RATE,
    LOWEST_RATE,
    adjusted_rate,
    internal_rates,
    modified_rate,
    savings_to_investment,
)
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

REPEATABLE = law(60)
DAYS_IN_A_YEAR = 365
PER_CENT = 100
HALF_A_CENT = 0.005
ROUNDING = 1e-12  # of the gross flow: what adding up a few dozen doubles may be off
ROOT_NOISE = 1e-11  # of the gross flow: the rate found is itself rounded

AMOUNTS = st.integers(-10_000, 10_000).map(float)
POSITIVE = st.integers(1, 10_000).map(float)
FLOWS = st.lists(AMOUNTS, min_size=2, max_size=12)
RATES = st.floats(-0.5, 2.0)
# numpy-financial's pmt takes (1 + r)^n - 1, which keeps few digits at rates very close to 0.
NOTABLE_RATES = st.one_of(st.just(0.0), st.floats(-0.5, -1e-4), st.floats(1e-4, 2.0))


@st.composite
def pairs_of_flows(draw: st.DrawFn) -> tuple[list[float], list[float]]:
    """Draw two rows of flows of one length."""
    rows = draw(st.lists(st.tuples(AMOUNTS, AMOUNTS), min_size=2, max_size=12))
    return [one for one, _ in rows], [other for _, other in rows]


@st.composite
def conventional_flows(draw: st.DrawFn) -> list[float]:
    """Draw flows whose sign changes once: an investment's, or turned around a loan's."""
    before = draw(st.lists(POSITIVE, min_size=1, max_size=3))
    after = draw(st.lists(POSITIVE, min_size=1, max_size=8))
    sign = draw(st.sampled_from([1.0, -1.0]))
    return [*(-sign * flow for flow in before), *(sign * flow for flow in after)]


@st.composite
def roots_in_percent(draw: st.DrawFn) -> dict[int, int]:
    """Draw whole percentages a tenth or more apart, each with how often it is a root."""
    tens = draw(st.lists(st.integers(-5, 15), min_size=1, max_size=3, unique=True))
    return {10 * ten: draw(st.integers(1, 2)) for ten in tens}


@st.composite
def loans(draw: st.DrawFn) -> tuple[float, float, int]:
    """Draw a principal in whole cents, a yearly rate from 0 to 36 %, and a number of months."""
    cents = draw(st.integers(10_000, 50_000_000))
    return cents / 100, draw(st.integers(0, 3600)) / 10_000, draw(st.integers(1, 360))


def period_factors(rate: float, periods: int) -> Array:
    """Return the discount factors at the ends of whole periods, with 1 for the start."""
    return discount_factors(np.array([rate]), MONTHS * periods)[:, ::MONTHS]


def worth(rate: float, flows: Sequence[float] | Array) -> float:
    """Return the present value of flows a whole period apart, the first undiscounted."""
    row = np.array([flows], dtype=float)
    return float(present_value(row, period_factors(rate, row.shape[1] - 1))[0])


def gross(rate: float, flows: Sequence[float] | Array) -> float:
    """Return the present value with every flow made positive: the scale of rounding."""
    return worth(rate, np.abs(flows))


def worth_by_month(rate: float, flows: Sequence[float] | Array) -> tuple[float, float]:
    """Return the present value of flows a month apart, and that with every flow positive."""
    row = np.array([flows], dtype=float)
    factors = discount_factors(np.array([rate]), row.shape[1] - 1)
    return float(present_value(row, factors)[0]), float(present_value(np.abs(row), factors)[0])


def rates_of(flows: Sequence[float]) -> list[float]:
    """Return the internal rates of flows a whole period apart."""
    return internal_rates(np.array(flows), np.arange(float(len(flows))))


def flows_with_roots(percents: dict[int, int]) -> list[float]:
    """Multiply out (100 - (100 + p)·v) for each root p in percent: exact whole numbers."""
    flows = [1]
    for percent, times in percents.items():
        for _ in range(times):
            shifted = zip([*flows, 0], [0, *flows], strict=True)
            flows = [PER_CENT * one - (PER_CENT + percent) * other for one, other in shifted]
    return [float(flow) for flow in flows]


# numpy-financial npv and pyxirr npv: sum of flow·(1 + rate)^-t, the first flow at t = 0.


@REPEATABLE
@given(FLOWS, RATES)
def test_net_present_value_agrees_with_numpy_financial_and_pyxirr(
    flows: list[float], rate: float
) -> None:
    """Both libraries leave the first flow undiscounted, as the engine does."""
    allowed = ROUNDING * gross(rate, flows)
    found = worth(rate, flows)
    assert found == pytest.approx(numpy_financial.npv(rate, flows), rel=0.0, abs=allowed)
    assert found == pytest.approx(pyxirr.npv(rate, flows), rel=0.0, abs=allowed)


@REPEATABLE
@given(FLOWS, st.lists(RATES, min_size=2, max_size=5))
def test_each_world_has_the_present_value_of_its_own_rate(
    flows: list[float], rates: list[float]
) -> None:
    """Trials that share their flows but not their rates are valued side by side, as by pyxirr."""
    factors = discount_factors(np.array(rates), MONTHS * (len(flows) - 1))[:, ::MONTHS]
    found = present_value(np.array([flows]), factors)
    assert found.shape == (len(rates),)
    for value, rate in zip(found, rates, strict=True):
        allowed = ROUNDING * gross(rate, flows)
        assert value == pytest.approx(pyxirr.npv(rate, flows), rel=0.0, abs=allowed)


@REPEATABLE
@given(pairs_of_flows(), RATES, st.integers(-5, 5), st.integers(-5, 5))
def test_present_value_is_linear_in_the_flows(
    rows: tuple[list[float], list[float]], rate: float, times: int, others: int
) -> None:
    """Twice the flows are worth twice as much, and two rows together what they are worth apart."""
    one, other = (np.array(row) for row in rows)
    together = worth(rate, times * one + others * other)
    apart = times * worth(rate, one) + others * worth(rate, other)
    scale = abs(times) * gross(rate, one) + abs(others) * gross(rate, other)
    assert together == pytest.approx(apart, rel=0.0, abs=ROUNDING * scale)


@REPEATABLE
@given(FLOWS)
def test_present_value_at_rate_zero_is_the_plain_sum(flows: list[float]) -> None:
    """Without interest, when money comes does not matter."""
    assert worth(0.0, flows) == sum(flows)


# numpy-financial pmt: present·r / (1 - (1 + r)^-n), a level sum at the end of each period.


@REPEATABLE
@given(st.floats(-1e6, 1e6), NOTABLE_RATES, st.integers(1, 40))
def test_the_equivalent_annual_sum_is_numpy_financial_s_level_payment(
    present: float, rate: float, years: int
) -> None:
    """What is borrowed is positive in numpy-financial, so what is paid is negative."""
    (found,) = equivalent_annual(np.array([present]), np.array([rate]), years)
    assert found == pytest.approx(-numpy_financial.pmt(rate, years, present), rel=1e-10)


@REPEATABLE
@given(st.floats(-1e6, 1e6), st.one_of(st.just(0.0), RATES), st.integers(1, 40))
def test_equivalent_annual_sums_are_worth_what_they_stand_for(
    present: float, rate: float, years: int
) -> None:
    """The present value of the level sums is the present value they were made from."""
    (yearly,) = equivalent_annual(np.array([present]), np.array([rate]), years)
    assert worth(rate, [0.0, *[yearly] * years]) == pytest.approx(present, rel=1e-9)


# numpy-financial irr and pyxirr irr: the rate at which npv, as above, is 0.


@REPEATABLE
@given(conventional_flows())
def test_the_one_rate_of_conventional_flows_agrees_with_numpy_financial_and_pyxirr(
    flows: list[float],
) -> None:
    """With one change of sign there is one rate, so no guess decides which is returned."""
    found = rates_of(flows)
    assume(found)
    (rate,) = found
    allowed = 1e-9 * (1.0 + rate)
    assert rate == pytest.approx(numpy_financial.irr(flows), rel=0.0, abs=allowed)
    assert rate == pytest.approx(pyxirr.irr(flows), rel=0.0, abs=allowed)


@REPEATABLE
@given(conventional_flows())
def test_conventional_flows_have_one_rate_if_it_lies_in_the_range_and_else_none(
    flows: list[float],
) -> None:
    """Descartes' rule of signs; it lies in the range if the ends' present values differ in sign."""
    ends = [worth(rate, flows) / gross(rate, flows) for rate in (LOWEST_RATE, HIGHEST_RATE)]
    assume(min(np.abs(ends)) > ROOT_NOISE)  # a rate at the very end is in or out by rounding
    within = ends[0] * ends[1] < 0.0
    assert len(rates_of(flows)) == (1 if within else 0)


@REPEATABLE
@given(st.lists(AMOUNTS, min_size=2, max_size=60).filter(any), RATES)
def test_present_value_at_every_internal_rate_is_zero(later: list[float], rate: float) -> None:
    """Whatever the signs of the flows, here a month apart, the first worth minus the others."""
    value, _ = worth_by_month(rate, [0.0, *later])
    flows = np.array([-value, *later])
    found = internal_rates(flows, np.arange(len(flows)) / MONTHS)
    assert found, "the rate that the first flow was made with is missing"
    for each in found:
        value, scale = worth_by_month(each, flows)
        assert abs(value) <= ROOT_NOISE * scale


@REPEATABLE
@given(roots_in_percent())
@example({40: 2, 70: 2})  # a rate tried near the second root is worth nearly nothing too
def test_flows_made_from_known_rates_give_back_each_of_them_once(percents: dict[int, int]) -> None:
    """A double root touches zero without crossing and counts once; there is no other root."""
    found = rates_of(flows_with_roots(percents))
    # A double root is known to the square root of what a single one is.
    assert found == pytest.approx([percent / PER_CENT for percent in sorted(percents)], abs=1e-6)


@REPEATABLE
@given(conventional_flows(), st.integers(2, 9))
def test_internal_rates_do_not_depend_on_the_unit_of_money(flows: list[float], scale: int) -> None:
    """Cents have the rate that dollars have, and so has the other side of the deal."""
    found = rates_of(flows)
    assume(found)
    assert rates_of([-scale * flow for flow in flows]) == pytest.approx(found, rel=1e-9, abs=1e-9)


# pyxirr xirr: the rate at which the sum of flow·(1 + rate)^-(days/365) is 0.


@REPEATABLE
@given(conventional_flows(), st.lists(st.integers(30, 500), min_size=10, max_size=10), st.data())
def test_the_rate_of_dated_flows_agrees_with_pyxirr_in_any_order(
    flows: list[float], gaps: list[int], data: st.DataObject
) -> None:
    """Times are actual days over 365 from the first date; the order of the flows is free."""
    days = list(accumulate(gaps, initial=0))[: len(flows)]
    mixed = data.draw(st.permutations(list(zip(days, flows, strict=True))))
    years = np.array([day for day, _ in mixed]) / DAYS_IN_A_YEAR
    found = internal_rates(np.array([flow for _, flow in mixed]), years)
    assume(found)
    (rate,) = found
    dates = [date(2026, 1, 1) + timedelta(days=day) for day in days]
    # pyxirr stops iterating some nine digits in.
    assert rate == pytest.approx(pyxirr.xirr(dates, flows), rel=0.0, abs=1e-7 * (1.0 + rate))


# numpy-financial mirr and pyxirr mirr: (FV of gains at the reinvestment rate / PV of outlays at
# the finance rate)^(1/n) - 1, n one less than the number of flows.


@pytest.mark.parametrize("library_mirr", [numpy_financial.mirr, pyxirr.mirr])
@REPEATABLE
@given(FLOWS, st.floats(0.0, 0.5), st.floats(0.0, 0.5))
def test_the_modified_rate_agrees_with_the_library(
    library_mirr: Callable[..., float | None], flows: list[float], finance: float, reinvest: float
) -> None:
    """With flows of both signs: the engine says None for others, the libraries NaN or None."""
    assume(min(flows) < 0.0 < max(flows))
    years = np.arange(float(len(flows)))
    found = modified_rate(np.array(flows), years, finance_rate=finance, reinvest_rate=reinvest)
    assert found == pytest.approx(library_mirr(flows, finance, reinvest), rel=1e-9, abs=1e-11)


@REPEATABLE
@given(st.lists(st.integers(0, 10_000).map(float), min_size=2, max_size=12))
def test_flows_of_one_sign_have_no_rate_and_no_modified_rate(flows: list[float]) -> None:
    """Gains without an outlay earn no rate of it, as numpy-financial's NaN says."""
    years = np.arange(float(len(flows)))
    assert rates_of(flows) == []
    assert modified_rate(np.array(flows), years, finance_rate=0.1, reinvest_rate=0.1) is None
    assert np.isnan(numpy_financial.mirr(flows, 0.1, 0.1))


@REPEATABLE
@given(POSITIVE, st.lists(POSITIVE, min_size=1, max_size=12), st.floats(0.0, 0.5))
def test_the_adjusted_rate_is_the_modified_rate_at_one_rate(
    outlay: float, savings: list[float], rate: float
) -> None:
    """NIST Handbook 135's AIRR is pyxirr's mirr when all is invested at the start."""
    ratio = savings_to_investment(worth(rate, [0.0, *savings]), outlay)
    found = adjusted_rate(ratio, rate=rate, years=len(savings))
    assert found == pytest.approx(pyxirr.mirr([-outlay, *savings], rate, rate), rel=1e-9, abs=1e-11)


# numpy-financial pmt with rate = apr/12: a loan's level payment at each month's end.


@REPEATABLE
@given(loans())
def test_a_loan_s_payment_is_numpy_financial_s_rounded_to_the_cent(
    loan: tuple[float, float, int],
) -> None:
    """The unrounded payment lies no more than half a cent away."""
    principal, apr, months = loan
    payment = repayment(principal, apr=apr, months=months).payment
    theirs = -numpy_financial.pmt(apr / MONTHS, months, principal)
    assert payment == pytest.approx(theirs, rel=0.0, abs=HALF_A_CENT + ROUNDING * principal)


@REPEATABLE
@given(loans())
def test_a_loan_s_payments_add_up_to_its_principal_and_interest(
    loan: tuple[float, float, int],
) -> None:
    """To the cent, and nothing is owed after the last payment."""
    plan = schedule_of(loan)
    paid = sum(Decimal(str(payment)) for payment in plan.payments)
    assert paid == Decimal(str(plan.principal)) + Decimal(str(plan.interest))
    assert len(plan.payments) == len(plan.balances) == loan[2]
    assert plan.balances[-1] == 0.0


@REPEATABLE
@given(loans())
def test_every_payment_of_a_loan_is_the_level_one_until_the_debt_is_cleared(
    loan: tuple[float, float, int],
) -> None:
    """Only the last that is due may differ, for what rounding has left; the debt never grows."""
    plan = schedule_of(loan)
    after = zip(plan.payments, plan.balances, strict=True)
    assert {payment for payment, balance in after if balance > 0.0} <= {plan.payment}
    balances = [plan.principal, *plan.balances]
    assert balances == sorted(balances, reverse=True)


def schedule_of(loan: tuple[float, float, int]) -> Repayment:
    """Return a loan's schedule in whole cents."""
    principal, apr, months = loan
    return repayment(principal, apr=apr, months=months)
