"""The price list of each option: every price at the low, likely and high of its own range."""

import math
from collections.abc import Iterator, Mapping

import numpy as np

from panelworth.engine.cash_flow.option_context import OptionContext, option_context
from panelworth.engine.cash_flow.project import (
    item_price,
    job_price,
    purchase_price,
    surprise_price,
)
from panelworth.engine.cash_flow.surprises import event_path
from panelworth.engine.results.prices import Price, PriceList
from panelworth.engine.trials import Array, likely_trial, trials_with
from panelworth.model.case import Case
from panelworth.model.ledger_targets import (
    Target,
    buy_target,
    item_target,
    job_target,
    surprise_target,
)
from panelworth.model.option import Item
from panelworth.model.value import Quantity


def price_lists(case: Case) -> Mapping[str, PriceList]:
    """Return the price list of each option by its id; `case` has the ledger's current prices."""
    return {option_id: _price_list(case, option_id) for option_id in case.options}


def _price_list(case: Case, option_id: str) -> PriceList:
    # Without what costs nothing, such as members' own work.
    prices = [price for price in prices_of(case, option_id) if price.high > 0]
    return PriceList(
        prices=tuple(sorted(prices, key=lambda price: price.likely, reverse=True)),
        member_hours=math.fsum(item.member_hours for item in case.options[option_id].items),
    )


def prices_of(case: Case, option_id: str) -> Iterator[Price]:
    """Yield every price in the file's order, from three trials: low, likely value and high.

    Taxes and all other inputs are likely. The prices come from the functions of the cash flow, so
    that no equation of a price is written twice.
    """
    trials = likely_trial(case)
    prices = _own_prices(option_context(case, option_id, trials))
    ends = {price.path: np.array([price.low, price.likely, price.high]) for price in prices}
    # What may turn up costs nothing, its allowance, or the whole.
    for surprise in case.options[option_id].surprises:
        share = np.array([0.0, surprise.chance.likely, 1.0])
        ends[event_path(option_id, surprise)] = share
    context = option_context(case, option_id, trials_with(trials, ends))
    for phase in context.phases:
        for item in phase.step.items:
            target = item_target(context.prefix, item)
            taxed = item_price(context, phase, item) * (1.0 + trials.of(item.tax))
            yield _price(context, target, item.name, taxed, source=_source(item))
        for surprise in phase.step.surprises:
            target = surprise_target(context.prefix, surprise)
            price = surprise_price(context, phase, surprise)
            yield _price(context, target, surprise.name, price, source=surprise.cost.source)
        for job in context.jobs_of(phase):
            target, price = job_target(context.prefix, job.name), job_price(context, phase, job)
            yield _price(context, target, job.name, price, source=context.price_now(job).source)
        if (buy := phase.step.buy) is not None:
            taxed = purchase_price(context, phase, buy) * (1.0 + trials.of(buy.tax))
            yield _price(context, buy_target(context.prefix), "", taxed, source=buy.price.source)


def _own_prices(context: OptionContext) -> Iterator[Quantity]:
    """Yield the inputs of an option's prices: of items, included jobs and the purchase."""
    for phase in context.phases:
        for item in phase.step.items:
            yield from (
                quantity for quantity in (item.cost, item.hours, item.rate) if quantity is not None
            )
        yield from (surprise.cost for surprise in phase.step.surprises)
        yield from (context.price_now(job) for job in context.jobs_of(phase))
        if phase.step.buy is not None:
            yield phase.step.buy.price


def _source(item: Item) -> str:
    """Return the stated source of an item's cost, or of its hours, or else of their rate."""
    if item.hours is None:
        return item.cost.source if item.cost else ""
    return item.hours.source or (item.rate.source if item.rate else "")


def _price(
    context: OptionContext, target: Target, name: str, taxed: Array, *, source: str
) -> Price:
    status = context.ledger_status(target)
    # A certain price has one value for all three trials.
    low, likely, high = (float(value) for value in np.broadcast_to(taxed, 3))
    return Price(
        path=target.path,
        name=name,
        low=low,
        likely=likely,
        high=high,
        source=source,
        basis=status.basis if status else "",
        paid=status.paid if status else 0.0,
        lapsed=status is not None and status.has_lapsed(context.scenario.as_of),
    )
