"""One option against the baseline in the likely view: values, costs, paybacks, returns, raises."""

from typing import Any

import numpy as np

from panelworth.engine import returns
from panelworth.engine.cashflow import Flows
from panelworth.engine.discounting import discount_factors, equivalent_annual, present_value
from panelworth.engine.results import Likely, ToBeWhole
from panelworth.engine.scale import ROUNDING, scale_of
from panelworth.engine.worlds import Array
from panelworth.model.scenario import MONTHS, Scenario


def factors_of(flows: Flows) -> Array:
    """Return the discount factors of an option's worlds, shape (W or 1, H+1)."""
    course = flows.course
    return discount_factors(course.worlds.values["rates.discount"], course.months.last)


def npv(flows: Flows, factors: Array) -> Array:
    """Return the sum of net·d plus end·d(H), shape (W or 1,); money in is positive."""
    return present_value(flows.net, factors) + flows.end_value * factors[:, -1]


def cost_npv(flows: Flows, factors: Array) -> Array:
    """Return value·(1-selling_cost) plus the sum of cost·d less end·d(H), shape (W or 1,).

    Today's airplane is capital that could be sold, in every option. Costs are positive.
    """
    values = flows.course.worlds.values
    capital = values["aircraft.value"] * (1.0 - values["aircraft.selling_cost"])
    left = flows.end_value * factors[:, -1]
    return capital + present_value(flows.cost, factors) - left


def likely_figures(mine: Flows, baseline: Flows) -> Likely:
    """Return one option's single figures from its flows and the baseline's in one world."""
    scenario, factors = mine.course.scenario, factors_of(mine)
    rate = mine.course.worlds.values["rates.discount"]
    value, cost, paid = npv(mine, factors), cost_npv(mine, factors), mine.project
    return Likely(
        upfront=only(paid.upfront),
        project=only(paid.project),
        outlay=only(paid.outlay),
        npv=only(value),
        npv_vs_baseline=only(value - npv(baseline, factors)),
        cost_npv=only(cost),
        cost_per_hour=_per(only(cost), mine.hours, factors),
        cost_per_member_month=_per(only(cost), from_month_1(mine.members), factors),
        equivalent_annual_cost=only(equivalent_annual(cost, rate, scenario.years)),
        end_value=only(mine.end_value),
        **_paybacks(mine, baseline, factors),
        **_returns(mine, baseline, scenario, factors),
    )


def only(values: Array) -> float:
    """Return the number of the one world there is; adding 0 turns -0 into 0."""
    return float(values[0]) + 0.0


def difference(mine: Flows, baseline: Flows) -> Array:
    """Return net less the baseline's net, shape (H+1,), floating-point residue cleared."""
    return _clean(mine.net[0] - baseline.net[0], mine, baseline)


def _paybacks(mine: Flows, baseline: Flows, factors: Array) -> dict[str, Any]:
    """Return the four paybacks, simple and discounted, lasting and first; None for the baseline."""
    gap = difference(mine, baseline)
    lasting, first = returns.payback(gap)
    discounted, first_discounted = returns.payback(gap * factors[0])
    found = {
        "payback_months": lasting,
        "first_payback_months": first,
        "discounted_payback_months": discounted,
        "first_discounted_payback_months": first_discounted,
    }
    return dict.fromkeys(found) if _same(mine, baseline) else found


def _returns(mine: Flows, baseline: Flows, scenario: Scenario, factors: Array) -> dict[str, Any]:
    """Return the rates of return on the difference, with the difference of end values at H."""
    rate, years = scenario.rates.discount.likely, scenario.years
    gap = difference(mine, baseline)
    when = np.arange(len(gap)) / MONTHS
    whole = gap.copy()
    whole[-1] += only(mine.end_value) - only(baseline.end_value)
    whole = _clean(whole, mine, baseline)
    spent = _clean(mine.invested[0] - baseline.invested[0], mine, baseline)
    savings, invested = float((whole + spent) @ factors[0]), float(spent @ factors[0])
    ratio = returns.savings_to_investment(savings, invested)
    return {
        "irr": tuple(returns.internal_rates(whole, when)) if gap.any() else (),
        "mirr": returns.modified_rate(whole, when, finance_rate=rate, reinvest_rate=rate),
        "savings_to_investment": ratio,
        "adjusted_irr": returns.adjusted_rate(ratio, rate=rate, years=years),
    }


def _same(mine: Flows, baseline: Flows) -> bool:
    return mine.course.option_id == baseline.course.option_id


def _clean(gap: Array, mine: Flows, baseline: Flows) -> Array:
    """Clear differences that are floating-point residue: they would make false roots."""
    return np.where(np.abs(gap) <= ROUNDING * scale_of(mine, baseline), 0.0, gap)


def _per(cost: float, counts: Array, factors: Array) -> float | None:
    whole = only(present_value(counts, factors))
    return cost / whole if whole > 0.0 else None


def from_month_1(people: Array) -> Array:
    """Clear month 0, in which members pay nothing monthly."""
    return np.concatenate([np.zeros((len(people), 1)), people[:, 1:]], axis=1)


def to_be_whole(flows: Flows, gain: float) -> ToBeWhole:
    """Return the flat raise whose present value makes up for -gain; None where nobody pays it."""
    factors = factors_of(flows)
    now = only(flows.members[:, 0])
    return ToBeWhole(
        dues_per_member_month=_per(-gain + 0.0, from_month_1(flows.members), factors),
        hourly_rate=_per(-gain + 0.0, flows.hours, factors),
        assessment_per_member=-gain / now + 0.0 if now > 0.0 else None,
    )
