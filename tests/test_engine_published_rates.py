"""Rates of return, savings ratios and payback against published examples.

Each case names its source in cases/finance.json. Other programs report one of several internal
rates; the engine reports all in its range.
"""

from fractions import Fraction
from math import ceil
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
)
from panelworth.engine.cash_flow.discounting import discount_factors
from panelworth.engine.returns.rates_of_return import (
    HIGHEST_RATE,
    LOWEST_RATE,
    adjusted_rate,
    internal_rates,
    modified_rate,
    payback,
    savings_to_investment,
)
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

EPSILON = float(np.finfo(float).eps)


def timed_flows(given: dict[str, Any]) -> tuple[Array, Array]:
    """Return flows and their times, in periods, or in years from the first date."""
    if "flows" in given:
        return np.array(given["flows"], dtype=float), np.arange(float(len(given["flows"])))
    if "timed" in given:
        pairs = np.array(given["timed"], dtype=float)
        return pairs[:, 1], pairs[:, 0]
    days, flows = dated_flows(given)
    return flows, days / int(given.get("day_count", "actual/365").split("/")[1])


@each_case("nominal")
def test_a_month_s_factor_holds_the_published_nominal_rate(case: Case) -> None:
    """An effective rate of the engine, seen through the factor of one compounding period."""
    effective, a_year = case.given["effective"], case.given["a_year"]
    factor = discount_factors(np.array([effective]), MONTHS)[0, MONTHS // a_year]
    # Some are printed to 15 places; taking 1 from a double near 1 leaves an error of EPSILON,
    # which the periods of a year multiply.
    found = a_year * (1.0 / float(factor) - 1.0)
    assert_published(case, found, tol=max(case.tol, a_year * EPSILON))


@each_case("effective")
def test_the_internal_rate_of_one_compounding_period_is_the_published_effective_rate(
    case: Case,
) -> None:
    """One unit lent for one compounding period at the nominal rate."""
    period = 1.0 / case.given["a_year"]
    flows = np.array([-1.0, 1.0 + case.given["nominal"] * period])
    (found,) = internal_rates(flows, np.array([0.0, period]))
    assert_published(case, found)


@each_case("rates", "dated_rates")
def test_every_published_internal_rate_is_among_those_found(case: Case) -> None:
    """Other programs report one of several roots, by their guess; ours are all roots."""
    found = internal_rates(*timed_flows(case.given))
    for root in case.given.get("roots", [case.expected]):
        nearest = min(found, key=lambda rate: abs(rate - root), default=np.nan)
        assert abs(nearest - root) <= case.tol, f"{root} is missing. {told(case, found)}"


@each_case("no_rates")
def test_flows_of_one_sign_have_no_rate_of_return(case: Case) -> None:
    """The published answer is that there is none, and never 0."""
    for flow_set in case.given["flow_sets"]:
        flows, years = np.array(flow_set, dtype=float), np.arange(float(len(flow_set)))
        assert internal_rates(flows, years) == [], told(case, flow_set)
        modified = modified_rate(flows, years, finance_rate=0.1, reinvest_rate=0.1)
        assert modified is None, told(case, flow_set)


def test_a_modified_rate_needs_flows_beyond_half_a_cent_on_both_sides() -> None:
    """What floating point or rounding leaves is no outlay: the project's method, section 4."""
    years = np.arange(3.0)
    for flows, known in (([-0.004, 50.0, 60.0], False), ([-0.006, 50.0, 60.0], True)):
        found = modified_rate(np.array(flows), years, finance_rate=0.1, reinvest_rate=0.1)
        assert (found is not None) == known


@each_case("out_of_range")
def test_a_published_rate_outside_the_range_is_not_reported(case: Case) -> None:
    """A return of millions of percent, or a loss of all but a billionth, says nothing."""
    assert not LOWEST_RATE < case.expected <= HIGHEST_RATE
    found = internal_rates(*timed_flows(case.given))
    assert found == [], told(case, found)


@each_case("apr")
def test_the_annual_percentage_rate_is_the_one_of_regulation_z(case: Case) -> None:
    """The internal rate a unit-period, times the unit-periods of a year, in percent."""
    payments = case.given["payments"]
    # REGZ-02: for the 19 odd days of 30 the regulation takes simple interest, 1 + f·i, where this
    # compounds, (1 + i)^f; that moves the rate by less than a thousandth of a percent.
    start = case.given["first_unit"] + float(Fraction(case.given["odd"]))
    times = np.concatenate([[0.0], start + np.arange(len(payments))])
    flows = np.array([case.given["amount"], *(-paid for paid in payments)], dtype=float)
    (rate,) = internal_rates(flows, times)
    assert_published(case, 100.0 * rate * float(Fraction(case.given["units_a_year"])))


@each_case("modified_rate")
def test_the_modified_rate_is_the_published_one(case: Case) -> None:
    """Gains grow at the reinvestment rate, outlays are discounted at the finance rate."""
    given = case.given
    flows, years = timed_flows(given)
    found = modified_rate(
        flows, years, finance_rate=given["finance_rate"], reinvest_rate=given["reinvest_rate"]
    )
    assert found is not None, told(case, found)
    assert_published(case, found)


def test_the_adjusted_rate_is_the_published_modified_rate_at_one_rate() -> None:
    """With all outlay at the start, (1 + r)·SIR^(1/n) - 1 is the modified rate at r."""
    case = CASES["OS-05"]
    rate, (outlay, *savings) = case.given["finance_rate"], case.given["flows"]
    saved = worth(rate, [0.0, *savings])
    # Erratum: the book prints a terminal value of 31,595.22; its own column adds to 31,589.22.
    terminal = saved / float(period_factors(rate, len(savings))[0, -1])
    assert round(terminal, 2) == case.given["terminal_value"], told(case, terminal)
    ratio = savings_to_investment(saved, -outlay)
    adjusted = adjusted_rate(ratio, rate=rate, years=len(savings))
    assert adjusted is not None
    assert_published(case, adjusted)
    # 12.0048 %: the corrected terminal value fixes more digits than the book prints.
    assert round(adjusted, 6) == 0.120048, told(case, adjusted)


@each_case("savings_ratio")
def test_savings_per_unit_invested_are_the_published_profitability_index(case: Case) -> None:
    """Present value of the savings over what is paid at the start."""
    saved = worth(case.given["rate"], [0.0, *case.given["savings"]])
    found = savings_to_investment(saved, case.given["invested"])
    assert found is not None, told(case, found)
    assert_published(case, found)


@each_case("payback")
def test_lasting_payback_is_the_published_one_in_whole_periods(case: Case) -> None:
    """Published inside a period as if flows were spread over it; ours is the period's end."""
    flows = np.array(case.given["flows"], dtype=float)
    factors = period_factors(case.given["rate"], len(flows) - 1)[0]
    lasting, _ = payback(flows * factors)
    assert lasting == ceil(case.expected), told(case, lasting)
