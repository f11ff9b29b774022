"""One option against the baseline in the likely view: values, costs, paybacks, returns, raises."""

import math
from dataclasses import asdict
from typing import Any

import numpy as np

from panelworth.engine.cash_flow.discounting import equivalent_annual, present_value
from panelworth.engine.cash_flow.flows import PAID, RECEIVED, Flows
from panelworth.engine.cash_flow.loans import loan_value
from panelworth.engine.results.figures import Likely, Parts, ToBeWhole
from panelworth.engine.returns import rates_of_return as returns
from panelworth.engine.returns.benefit import benefit_parts, factors_of
from panelworth.engine.returns.scale import ROUNDING, scale_of
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS, Scenario


def npv(flows: Flows) -> Array:
    """Return the sum of net·d plus end·d(H), shape (T or 1,); money in is positive."""
    return flows.present.net + flows.present.end


def cost_npv(flows: Flows) -> Array:
    """Return value·(1-selling_cost) plus the sum of cost·d less end·d(H), shape (T or 1,).

    Today's airplane is capital that could be sold, in every option. Costs are positive.
    """
    trials, aircraft = flows.context.trials, flows.context.scenario.aircraft
    capital = trials.of(aircraft.value) * (1.0 - trials.of(aircraft.selling_cost))
    return capital + flows.present.cost - flows.present.end


def likely_figures(mine: Flows, baseline: Flows, *, without_growth: float) -> Likely:
    """Return one option's single figures from its flows and the baseline's in one trial."""
    scenario, factors = mine.context.scenario, factors_of(mine)
    rate = mine.context.trials.of(scenario.rates.discount)
    value, cost, paid = npv(mine), cost_npv(mine), mine.project
    parts = _parts(mine, baseline, factors)
    return Likely(
        upfront=only(paid.upfront),
        project=only(paid.project),
        outlay=only(paid.outlay),
        net_benefit=math.fsum(asdict(parts).values()) + 0.0,
        without_growth=without_growth,
        loan_npv=only(loan_value(mine.borrowing, factors)),
        parts=parts,
        npv=only(value),
        npv_vs_baseline=only(value - npv(baseline)),
        cost_npv=only(cost),
        cost_per_hour=_per(only(cost), mine.hours, factors),
        cost_per_member_month=_per(only(cost), from_month_1(mine.members), factors),
        equivalent_annual_cost=only(equivalent_annual(cost, rate, scenario.years)),
        end_value=only(mine.end_value),
        **_paybacks(mine, baseline, factors),
        **_returns(mine, baseline, scenario, factors),
    )


def _parts(mine: Flows, baseline: Flows, factors: Array) -> Parts:
    """Return what the net benefit is made of, each part a difference to the baseline."""
    ours, theirs = benefit_parts(mine, factors), benefit_parts(baseline, factors)
    return Parts(**{key: only(ours[key] - theirs[key]) for key in ours})


def only(values: Array) -> float:
    """Return the number of the one trial there is; adding 0 turns -0 into 0."""
    return float(values[0]) + 0.0


def difference(mine: Flows, baseline: Flows) -> Array:
    """Return benefit less the baseline's, before any loan, shape (H+1,), residue cleared."""
    return _clean(mine.benefit[0] - baseline.benefit[0], mine, baseline)


def _paybacks(mine: Flows, baseline: Flows, factors: Array) -> dict[str, Any]:
    """Return the four paybacks, simple and discounted, lasting and first; None for the baseline."""
    gap, settled = difference(mine, baseline), last_project_month(mine)
    lasting, first = returns.payback(gap, settled)
    discounted, first_discounted = returns.payback(gap * factors[0], settled)
    paybacks = {
        "payback_months": lasting,
        "first_payback_months": first,
        "discounted_payback_months": discounted,
        "first_discounted_payback_months": first_discounted,
    }
    return dict.fromkeys(paybacks) if _same(mine, baseline) else paybacks


def last_project_month(flows: Flows) -> int:
    """Return the month of the option's last project flow, 0 where there is none."""
    rows = [flows.rows[name][0] for name in PAID + RECEIVED]
    months = np.flatnonzero(np.any(np.stack(rows) != 0.0, axis=0))
    return int(months[-1]) if len(months) else 0


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
    return mine.context.option_id == baseline.context.option_id


def _clean(gap: Array, mine: Flows, baseline: Flows) -> Array:
    """Clear differences that are floating-point residue: they would make false roots."""
    return np.where(np.abs(gap) <= ROUNDING * scale_of(mine, baseline), 0.0, gap)


def _per(cost: float, counts: Array, factors: Array) -> float | None:
    whole = only(present_value(counts, factors))
    return cost / whole if whole > 0.0 else None


def from_month_1(people: Array) -> Array:
    """Clear month 0, in which members pay nothing monthly."""
    return np.concatenate([np.zeros((len(people), 1)), people[:, 1:]], axis=1)


def to_be_whole(mine: Flows, baseline: Flows) -> ToBeWhole:
    """Return the flat raise that leaves the club's cash no worse than under the baseline.

    T = Σ Δnet·d + Δloan_npv, no resale counted; the raise's present value makes up for -T.
    None where nobody pays it.
    """
    factors = factors_of(mine)
    cash = [flows.present.net + loan_value(flows.borrowing, factors) for flows in (mine, baseline)]
    gain = only(cash[0] - cash[1])
    now = only(mine.members[:, 0])
    return ToBeWhole(
        dues_per_member_month=_per(-gain + 0.0, from_month_1(mine.members), factors),
        hourly_rate=_per(-gain + 0.0, mine.hours, factors),
        assessment_per_member=-gain / now + 0.0 if now > 0.0 else None,
    )
