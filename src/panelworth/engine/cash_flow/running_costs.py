"""Costs that do not depend on the hours flown: fixed costs, insurance, value tax, repairs.

Rows have the smallest shape that holds them (cash_flow/rows.py) and are escalated to their month.
Costs are positive and begin in month 1.
Source of every equation: the project's method, section 3.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.cash_flow.calendar import Integers, Mask
from panelworth.engine.cash_flow.failures import poisson_number
from panelworth.engine.cash_flow.option_context import OptionContext, grown, in_force
from panelworth.engine.cash_flow.phases import Phase
from panelworth.engine.cash_flow.rows import (
    NOTHING,
    Multiples,
    Row,
    Yearly,
    added,
    by_month,
    in_stretches,
    monthly,
    monthly_product,
    unchanged,
)
from panelworth.engine.cash_flow.valuation import airplane_value
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS, Aircraft, FixedCost
from panelworth.model.streams import repair_events_path


@dataclass(frozen=True, kw_only=True)
class Line:
    """A fixed cost and the stretches in which it is listed: from `first`, before `end`."""

    cost: FixedCost
    first: int
    end: int


def fixed(context: OptionContext) -> Row:
    """Return the sum of per_year/12·e over the lines that are listed in each stretch.

    A line with for_months ends after that many months: counted from month 1 for today's lines, and
    from the month after the finish for a line that a phase adds. Only these lines are worked out by
    month; the others change only by the year.
    """
    endless = in_stretches(_endless(context, aircraft) for aircraft in context.aircraft)
    total: Array = np.zeros((1, 1))
    for line in _lines(context):
        if line.cost.for_months is not None:
            paid = _begun(context, line.first, line.cost.for_months)
            if line.end <= len(context.phases):
                paid = paid & ~context.dates[line.end - 1].after
            total = total + _a_month(context, line.cost)[:, np.newaxis] * paid
    return Row(
        level=endless * context.costs,
        monthly=_escalated(context, total) if total.any() else None,
    )


def _lines(context: OptionContext) -> Iterator[Line]:
    """Yield every fixed cost of any stretch, in the order in which they begin.

    A line is the same one as long as its path is listed; after a gap it begins again.
    """
    listed = [
        {cost.per_year.path: cost for cost in aircraft.fixed} for aircraft in context.aircraft
    ]
    for first, costs in enumerate(listed):
        for path, cost in costs.items():
            if first == 0 or path not in listed[first - 1]:
                later = range(first + 1, len(listed))
                end = next(
                    (stretch for stretch in later if path not in listed[stretch]), len(listed)
                )
                yield Line(cost=cost, first=first, end=end)


def _endless(context: OptionContext, aircraft: Aircraft) -> Array:
    """Return the cost a month of the lines without for_months, shape (T or 1, 1)."""
    lines = [cost for cost in aircraft.fixed if cost.for_months is None]

    def work() -> Array:
        return sum((_a_month(context, cost) for cost in lines), np.zeros(1))[:, np.newaxis]

    return context.trials.once(("fixed", *(cost.per_year.path for cost in lines)), work)


def _a_month(context: OptionContext, cost: FixedCost) -> Array:
    """Return a line's cost a month at today's prices, shape (T or 1,)."""
    return context.trials.of(cost.per_year) / MONTHS


def _begun(context: OptionContext, stretch: int, months: int) -> Mask:
    """Return the months in which a line with for_months is paid, if it begins with a stretch."""
    if stretch == 0:
        return context.months.index[np.newaxis, :] <= months
    phase = context.phases[stretch - 1]
    return by_finish(context, phase, lambda since: (since >= 1) & (since <= months))


def _escalated(context: OptionContext, today: Array) -> Array:
    """Escalate money by month, shape (T or 1, H+1), from today's prices; none in month 0."""
    money: Array = today * by_month(context.months, context.costs)
    money[:, 0] = 0.0
    return money


def insurance(context: OptionContext) -> Row:
    """Return agreed_value·hull_rate/12 + liability/12·e.

    The hull premium is not escalated, since the agreed value of the policy stays as stated. In a
    replacement it is not paid for days without an airplane.
    """
    agreed = in_force(context, lambda aircraft: aircraft.insurance.agreed_value)
    hull = agreed * in_force(context, lambda aircraft: aircraft.insurance.hull_rate) / MONTHS
    liability = in_force(context, lambda aircraft: aircraft.insurance.liability_per_year)
    return added(when_owned(context, hull), Row(level=liability * (context.costs / MONTHS)))


def value_tax(context: OptionContext) -> Row:
    """Return value_tax/12·v(m), v the airplane's value at month m without equipment; not escalated.

    A replacement owes it on today's airplane up to the finish, for the share 1 - down(m), and on
    the new one from the month after.
    """
    rate = in_force(context, lambda aircraft: aircraft.value_tax) * (1.0 / MONTHS)
    # Few places have this tax. Without it no value by month is needed.
    if not any(share.any() for share in rate.stretches):
        return NOTHING
    return Row(monthly=monthly_product(context.dates, rate, airplane_value(context)))


def repairs(context: OptionContext) -> Row:
    """Return per_year/12·(1+growth)^g·e, g = y(m), or (m-f-1)//12 after a change of repairs.

    growth is that of an aging panel, in addition to inflation; the clock of g starts again with new
    equipment.
    """
    today = context.scenario.aircraft
    before = context.trials.once(
        ("repairs", context.scenario.years),
        lambda: _grown_repairs(context, today) * context.costs,
    )
    changed = [number for number, phase in enumerate(context.phases) if phase.restarts_repairs]
    if not changed:
        return _one_by_one(context, today, when_owned(context, unchanged(before)))
    stretches = [before] * (changed[0] + 1)
    stretches += [np.zeros((1, 1))] * (len(context.phases) - changed[0])
    rows = [_one_by_one(context, today, when_owned(context, Yearly(tuple(stretches))))]
    # Each change of repairs has a row of its own, up to the finish of the next change.
    for number, ends in zip(changed, [*changed[1:], None], strict=True):
        phase = context.phases[number]
        since = _since_finish(context, phase, _grown_repairs(context, phase.aircraft))
        if ends is not None:
            since = np.where(context.dates[ends].after, 0.0, since)
        rows.append(_one_by_one(context, phase.aircraft, Row(monthly=since), context.prefix))
    return added(*rows)


def _one_by_one(context: OptionContext, aircraft: Aircraft, row: Row, prefix: str = "") -> Row:
    """Return repairs that come one by one in drawn trials: each·e·N a month.

    N is a Poisson number with the mean s/(each·e), s the month's spending: the inverse of its law
    at the month's own uniform number. In the likely view, or without `each`, the row itself.
    `prefix` is that of the option whose [after] has the repairs, "" for today's.
    """
    repairs = aircraft.repairs
    uniform = context.trials.values.get(repair_events_path(prefix))
    if repairs.each is None or uniform is None:
        return row
    spent = monthly(context.dates, row, _months_of_ownership(context))
    one = context.trials.column(repairs.each) * by_month(context.months, context.costs)
    return Row(monthly=poisson_number(uniform, spent / one) * one)


def _months_of_ownership(context: OptionContext) -> Multiples:
    none = np.zeros((1, context.months.last + 1))
    return Multiples(hourly=none, newcomer=none, down=context.down)


def _grown_repairs(context: OptionContext, aircraft: Aircraft) -> Array:
    """Return a month's repairs in each year since the growth began, (T or 1, years).

    At today's prices.
    """
    trials, repairs = context.trials, aircraft.repairs
    growth = grown(trials.of(repairs.growth), context.scenario.years)
    return trials.column(repairs.per_year) / MONTHS * growth


def _since_finish(context: OptionContext, phase: Phase, yearly: Array) -> Array:
    """Return amounts by full years since a finish in the months after it, escalated.

    From shape (T or 1, years), at today's prices, to (T or 1, H+1).
    """
    finish, last, costs = phase.dates.finish, context.months.last, context.costs
    first, final = int(finish.min()), int(finish.max())
    row = np.zeros((last + 1, max(len(finish), len(yearly), len(costs)))).T
    for month in range(first + 1, last + 1):
        here, risen = row[:, month], costs[:, context.months.year[month]]
        # Full years since the finish, in the trial that finishes last and in the one that does
        # first.
        fewest, most = (month - 1 - final) // MONTHS, (month - 1 - first) // MONTHS
        if fewest >= 0:
            np.multiply(yearly[:, fewest], risen, out=here)
        for years in range(max(fewest + 1, 0), most + 1):
            begun = finish < month - MONTHS * years
            np.multiply(yearly[:, years], risen, out=here, where=begun)
    return row


def by_finish(
    context: OptionContext, phase: Phase, rule: Callable[[Integers], NDArray[Any]]
) -> NDArray[Any]:
    """Apply a rule to the months since a phase's finish, m - f, shape (T or 1, H+1).

    Many trials have the same month of finish, so the rule is applied once for each such month.
    """
    finish = phase.dates.finish
    first = int(finish.min())
    finishes = np.arange(first, int(finish.max()) + 1)
    rows: NDArray[Any] = rule(context.months.index - finishes[:, np.newaxis])
    return rows.T.take(finish - first, axis=1).T


def when_owned(context: OptionContext, amount: Yearly) -> Row:
    """Return a row with an amount for the share of a month in which there is an airplane.

    The share is 1 - down(m) in a replacement. Otherwise it is 1: an airplane in the shop is still
    insured.
    """
    return Row(owned=amount) if context.option.no_airplane_while_down else Row(level=amount)
