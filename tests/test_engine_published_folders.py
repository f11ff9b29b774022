"""Published examples as scenario folders, through the whole engine to the figures of the page.

Each case names its source in cases/finance.json. Yearly sums are paid once a year, twelve months
apart, so that the engine's months fall on the examples' years.
"""

from datetime import date
from math import ceil
from typing import Any

import numpy_financial as npf
import pytest

from finance_cases import CASES, Case, assert_published
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    Figures,
)
from strategies import case_of

AS_OF = date(2026, 1, 31)
SAVINGS = ("OS-02", "OS-10", "OS-11", "OS-15", "OS-17", "MS-12")  # net benefits of yearly savings


def published(*ids: str) -> pytest.MarkDecorator:
    """Run a test once for each of these cases."""
    return pytest.mark.parametrize("case", [CASES[each] for each in ids], ids=ids)


def figures_of(years: int, discount: float, **tables: dict[str, Any]) -> Figures:
    """Work out a refit, without a schedule: it is paid and in force at once."""
    scenario = {
        "title": "Published",
        "question": "Does it pay?",
        "as_of": AS_OF,
        "currency": "USD",
        "baseline": "keep",
        "years": years,
        "rates": {"discount": discount},
        "uncertainty": {"trials": 100},
        "aircraft": {"hours_per_year": 0, **tables.get("aircraft", {})},
    }
    if "club" in tables:
        scenario["club"] = {"members": 10, "reserve": 1e6, "reserve_floor": 0, **tables["club"]}
    refit = {"title": "Refit", "kind": "retrofit", **tables["refit"]}
    files = {"scenario.toml": scenario, "options/refit.toml": refit}
    return evaluate(case_of({**files, "options/keep.toml": {"title": "Keep", "kind": "keep"}}))


def saving(invested: float, yearly: list[float], rate: float) -> Figures:
    """Spend at once what does away with yearly upkeep; upkeep rises where the savings do."""
    steps = [later - before for before, later in zip([0.0, *yearly], yearly, strict=False)]
    upkeep = [
        {
            "name": f"From year {year + 1}",
            "cost": step,
            "every_months": 12,
            "last_done": AS_OF.replace(year=AS_OF.year + year),
        }
        for year, step in enumerate(steps)
    ]
    items = [{"name": "All of it", "cost": invested}]
    refit = {"items": items, "after": {"recurring": []}}
    return figures_of(len(yearly), rate, aircraft={"recurring": upkeep}, refit=refit)


def monthly(given: dict[str, Any]) -> tuple[int, float]:
    """Return a monthly annuity's years, and its nominal rate as the effective one."""
    return given["periods"] // 12, (1.0 + given["rate"] / 12) ** 12 - 1.0


@published(*SAVINGS)
def test_net_benefit_is_the_published_present_value_of_savings_less_cost(case: Case) -> None:
    outlay, *savings = case.given["flows"]
    option = saving(-outlay, savings, case.given["rate"]).options["refit"]
    assert_published(case, option.likely.net_benefit)
    assert option.likely.parts.project == pytest.approx(outlay)


@published("OS-06")
def test_savings_to_investment_is_the_published_profitability_index(case: Case) -> None:
    figures = saving(case.given["invested"], case.given["savings"], case.given["rate"])
    ratio = figures.options["refit"].likely.savings_to_investment
    assert ratio is not None
    assert_published(case, ratio)


@published("OS-05")
def test_the_modified_and_the_adjusted_rate_are_the_published_one(case: Case) -> None:
    outlay, *savings = case.given["flows"]
    likely = saving(-outlay, savings, case.given["finance_rate"]).options["refit"].likely
    assert likely.mirr is not None
    assert likely.adjusted_irr == pytest.approx(likely.mirr)  # all is spent at the start
    assert_published(case, likely.mirr)


@published("OS-01", "PB-6")
def test_payback_is_the_published_one_in_the_month_that_ends_its_year(case: Case) -> None:
    outlay, *savings = case.given["flows"]
    likely = saving(-outlay, savings, case.given["rate"]).options["refit"].likely
    assert likely.discounted_payback_months == 12 * ceil(case.expected)


@published("OS-12")
def test_the_difference_of_equivalent_annual_costs_is_the_published_annuity(case: Case) -> None:
    outlay, *savings = CASES["OS-10"].given["flows"]
    options = saving(-outlay, savings, case.given["rate"]).options
    keep, refit = (options[each].likely.equivalent_annual_cost for each in ("keep", "refit"))
    assert_published(case, keep - refit)


ANNUITIES = {  # 500 a month, as each part of a net benefit that comes by the month
    "running": {
        "aircraft": {"fixed": [{"name": "Rent", "per_year": 6000}]},
        "refit": {"after": {"dropped_fixed": ["Rent"]}},
    },
    "hours": {
        "aircraft": {"worth_per_hour": 250},
        "refit": {"after": {"hours_per_year_change": 24}},
    },
    "members": {
        "club": {"dues_per_month": 125},
        "refit": {"members": {"joined": 4}},
    },
}


@pytest.mark.parametrize("part", ANNUITIES)
def test_each_part_by_the_month_is_the_published_present_value_of_an_annuity(part: str) -> None:
    case = CASES["MS-25"]
    likely = figures_of(*monthly(case.given), **ANNUITIES[part]).options["refit"].likely
    assert_published(case, -getattr(likely.parts, part))
    assert likely.net_benefit == pytest.approx(getattr(likely.parts, part))


@published("AM-01", "AM-04")
def test_a_loan_has_the_published_payment_and_costs_nothing_at_its_own_rate(case: Case) -> None:
    principal = case.given["present"]
    loan = {"amount": principal, "apr": case.given["rate"], "months": case.given["periods"]}
    refit = {"items": [{"name": "All of it", "cost": principal}], "funding": {"loan": loan}}
    option = figures_of(*monthly(case.given), club={}, refit=refit).options["refit"]
    assert option.funded is not None
    assert option.funded.loan_payment is not None
    assert_published(case, option.funded.loan_payment)
    assert option.likely.loan_npv == pytest.approx(0.0, abs=0.005 * case.given["periods"])
    assert option.likely.net_benefit == pytest.approx(option.likely.loan_npv - principal)


def test_a_loan_at_the_annual_percentage_rate_of_regulation_z_has_its_payments() -> None:
    """12 CFR 1026, appendix J (c)(1): 5,000 and 24 payments of 230 are 9.69 %, to two decimals."""
    case = CASES["REGZ-01"]
    payments = case.given["payments"]
    loan = {
        "amount": case.given["amount"],
        "apr": case.expected / 100,
        "months": len(payments),
    }
    refit = {"items": [{"name": "All of it", "cost": 5000}], "funding": {"loan": loan}}
    funded = figures_of(2, 0.0, club={}, refit=refit).options["refit"].funded
    assert funded is not None
    assert funded.loan_payment == pytest.approx(payments[0], abs=0.02)  # 0.005 % of the rate
    assert funded.loan_interest == pytest.approx(sum(payments) - 5000, abs=0.5)


def test_coverage_of_a_loan_is_net_operating_income_over_debt_service() -> None:
    """numpy-financial's pmt; the ratio as lenders define it (common practice, no source).

    Ten members at 30 a month, and 30 more through the first year only.
    """
    loan = {"amount": 9000, "apr": 0.09, "months": 36}
    refit = {
        "items": [{"name": "All of it", "cost": 9000}],
        "funding": {"loan": loan, "dues_increase": 30, "raise_years": 1},
    }
    funded = figures_of(3, 0.0, club={"dues_per_month": 30}, refit=refit).options["refit"].funded
    assert funded is not None
    payment = -npf.pmt(0.09 / 12, 36, 9000)
    assert funded.lowest_coverage == pytest.approx(300 / payment, rel=1e-4)
    assert funded.lowest_coverage_year in (2, 3)
