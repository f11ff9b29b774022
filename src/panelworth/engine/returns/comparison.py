"""An option against the baseline at likely values: values, costs, paybacks, returns, raises."""

import math
from dataclasses import asdict
from typing import Any

import numpy as np

from panelworth.engine.cash_flow.discounting import equivalent_annual, present_value
from panelworth.engine.cash_flow.flows import PAID, RECEIVED, Flows
from panelworth.engine.cash_flow.loans import loan_value
from panelworth.engine.cash_flow.miles import miles
from panelworth.engine.results.figures import (
    EqualCashCharges,
    Likely,
    Parts,
)
from panelworth.engine.returns import rates_of_return as returns
from panelworth.engine.returns.benefit import benefit_parts, factors_of
from panelworth.engine.returns.scale import ROUNDING, scale_of
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS, Scenario


def npv(flows: Flows) -> Array:
    """Return the sum of net·d plus end·d(H), shape (T or 1,); money in is positive."""
    return flows.present.net + flows.present.end


def cost_npv(flows: Flows) -> Array:
    """Return value·(1-selling_cost) + Σ cost·d - end·d(H), shape (T or 1,); costs are positive.

    The first term is the sale price of today's airplane. It is a cost of every option, also of
    keeping the airplane: an opportunity cost, since it could be sold instead.
    """
    trials, aircraft = flows.context.trials, flows.context.scenario.aircraft
    capital = trials.of(aircraft.value) * (1.0 - trials.of(aircraft.selling_cost))
    return capital + flows.present.cost - flows.present.end


def likely_figures(option: Flows, baseline: Flows, *, without_growth: float) -> Likely:
    """Return an option's `likely` figures from its flows and the baseline's in one trial."""
    scenario, factors = option.context.scenario, factors_of(option)
    rate = option.context.trials.of(scenario.rates.discount)
    value, cost, paid = npv(option), cost_npv(option), option.project
    parts = _parts(option, baseline, factors)
    return Likely(
        upfront=scalar(paid.upfront),
        project=scalar(paid.project),
        outlay=scalar(paid.outlay),
        # The sum of the parts, so that they add up on a page to the last digit.
        net_benefit=math.fsum(asdict(parts).values()) + 0.0,
        without_growth=without_growth,
        loan_npv=scalar(loan_value(option.borrowing, factors)),
        parts=parts,
        npv=scalar(value),
        npv_vs_baseline=scalar(value - npv(baseline)),
        cost_npv=scalar(cost),
        cost_per_hour=_per(scalar(cost), option.hours, factors),
        cost_per_mile=None
        if (flown := miles(option.context, option.hours)) is None
        else _per(scalar(cost), flown, factors),
        cost_per_member_month=_per(scalar(cost), from_month_1(option.members), factors),
        equivalent_annual_cost=scalar(equivalent_annual(cost, rate, scenario.years)),
        end_value=scalar(option.end_value),
        **_paybacks(option, baseline, factors),
        **_returns(option, baseline, scenario, factors),
    )


def _parts(option: Flows, baseline: Flows, factors: Array) -> Parts:
    """Return the parts of the net benefit, each less the baseline's."""
    values, base_values = benefit_parts(option, factors), benefit_parts(baseline, factors)
    return Parts(**{key: scalar(values[key] - base_values[key]) for key in values})


def scalar(values: Array) -> float:
    """Return the value of the only trial; adding 0 turns -0 into 0, which pages would show."""
    return float(values[0]) + 0.0


def difference(option: Flows, baseline: Flows) -> Array:
    """Return benefit less the baseline's before loans, shape (H+1,), without rounding errors."""
    return _clean(option.benefit[0] - baseline.benefit[0], option, baseline)


def _paybacks(option: Flows, baseline: Flows, factors: Array) -> dict[str, Any]:
    """Return the four paybacks, simple and discounted, lasting and first; None for the baseline.

    From the last project flow on: a sale that is paid before the purchase pays nothing back.
    """
    gap, settled = difference(option, baseline), last_project_month(option)
    lasting, first = returns.payback(gap, settled)
    discounted, first_discounted = returns.payback(gap * factors[0], settled)
    paybacks = {
        "payback_months": lasting,
        "first_payback_months": first,
        "discounted_payback_months": discounted,
        "first_discounted_payback_months": first_discounted,
    }
    return dict.fromkeys(paybacks) if _same(option, baseline) else paybacks


def last_project_month(flows: Flows) -> int:
    """Return the month of the option's last project flow; 0 if there is none."""
    rows = [flows.rows[name][0] for name in PAID + RECEIVED]
    months = np.flatnonzero(np.any(np.stack(rows) != 0.0, axis=0))
    return int(months[-1]) if len(months) else 0


def _returns(option: Flows, baseline: Flows, scenario: Scenario, factors: Array) -> dict[str, Any]:
    """Return the rates of return on the difference of flows, with that of the end values at H.

    Positive flows are reinvested, and negative ones financed, at the discount rate (mirr).
    """
    rate, years = scenario.rates.discount.likely, scenario.years
    gap = difference(option, baseline)
    when = np.arange(len(gap)) / MONTHS
    with_end = gap.copy()
    with_end[-1] += scalar(option.end_value) - scalar(baseline.end_value)
    with_end = _clean(with_end, option, baseline)
    spent = _clean(option.invested[0] - baseline.invested[0], option, baseline)
    # `spent` is in the flows as money out: added back, it leaves the savings alone.
    savings, invested = float((with_end + spent) @ factors[0]), float(spent @ factors[0])
    ratio = returns.savings_to_investment(savings, invested)
    return {
        "irr": tuple(returns.internal_rates(with_end, when)) if gap.any() else (),
        "mirr": returns.modified_rate(with_end, when, finance_rate=rate, reinvest_rate=rate),
        "savings_to_investment": ratio,
        "adjusted_irr": returns.adjusted_rate(ratio, rate=rate, years=years),
    }


def _same(option: Flows, baseline: Flows) -> bool:
    return option.context.option_id == baseline.context.option_id


def _clean(gap: Array, option: Flows, baseline: Flows) -> Array:
    """Set differences to 0 that are only rounding errors.

    A tiny flow of the other sign would give an internal rate that does not exist.
    """
    return np.where(np.abs(gap) <= ROUNDING * scale_of(option, baseline), 0.0, gap)


def _per(cost: float, counts: Array, factors: Array) -> float | None:
    discounted = scalar(present_value(counts, factors))
    return cost / discounted if discounted > 0.0 else None


def from_month_1(people: Array) -> Array:
    """Return members by month with 0 in month 0, in which no dues are paid."""
    return np.concatenate([np.zeros((len(people), 1)), people[:, 1:]], axis=1)


def equal_cash_charges(option: Flows, baseline: Flows) -> EqualCashCharges:
    """Return the constant raises at which the club has as much cash as under the baseline.

    T = Σ Δnet·d + Δloan_npv, in present value; the end value is left out, since it brings no cash
    before a sale. Each raise alone has the present value -T, so a negative raise is a possible
    reduction. None where there is nobody to pay it. The project's method, section 4.
    """
    factors = factors_of(option)
    cash = [
        flows.present.net + loan_value(flows.borrowing, factors) for flows in (option, baseline)
    ]
    gain = scalar(cash[0] - cash[1])
    now = scalar(option.members[:, 0])
    return EqualCashCharges(
        dues_per_member_month=_per(-gain + 0.0, from_month_1(option.members), factors),
        hourly_rate=_per(-gain + 0.0, option.hours, factors),
        assessment_per_member=-gain / now + 0.0 if now > 0.0 else None,
    )
