"""The price list of each option: what each thing costs at the ends of its own range."""

import math
from collections.abc import Iterator, Mapping

import numpy as np

from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.cash_flow.project import item_price, job_price, purchase_price
from panelworth.engine.ledger.settlement import item_path
from panelworth.engine.results.prices import Price, PriceList
from panelworth.engine.trials import Array, likely_trial, trials_with
from panelworth.model.case import Case, option_prefix
from panelworth.model.option import Item, Option
from panelworth.model.value import Quantity


def price_lists(case: Case) -> Mapping[str, PriceList]:
    """Return the price list of each option of a settled case, by the option's id."""
    return {option_id: _price_list(case, option_id) for option_id in case.options}


def _price_list(case: Case, option_id: str) -> PriceList:
    prices = [price for price in _prices(case, option_id) if price.high > 0]
    return PriceList(
        prices=tuple(sorted(prices, key=lambda price: price.likely, reverse=True)),
        member_hours=math.fsum(item.member_hours for item in case.options[option_id].items),
    )


def _prices(case: Case, option_id: str) -> Iterator[Price]:
    """Yield the prices in three trials: every price at its low, its likely value and its high.

    Taxes and all else are likely there, so that a price follows the equation of the cash flow.
    """
    option, jobs = case.options[option_id], _jobs(case, option_id)
    own = (*_prices_of_items(option), *jobs.values(), *([option.buy.price] if option.buy else []))
    ends = {each.path: np.array([each.low, each.likely, each.high]) for each in own}
    context = option_context(case, option_id, trials_with(likely_trial(case), ends))
    for item in option.items:
        path = item_path(context.prefix, item)
        taxed = item_price(context, item) * (1.0 + context.trials.of(item.tax))
        yield _price(case, path, item.name, taxed, source=_source(item))
    for name, now in jobs.items():
        path, price = f"{context.prefix}jobs[{name}]", job_price(context, name)
        yield _price(case, path, name, price, source=now.source)
    if option.buy is not None:
        taxed = purchase_price(context) * (1.0 + context.trials.of(option.buy.tax))
        yield _price(case, f"{context.prefix}buy", "", taxed, source=option.buy.price.source)


def _prices_of_items(option: Option) -> Iterator[Quantity]:
    for item in option.items:
        yield from (each for each in (item.cost, item.hours, item.rate) if each is not None)


def _jobs(case: Case, option_id: str) -> dict[str, Quantity]:
    """Return the prices of the jobs that an option includes, the ledger's where it has any."""
    included, prefix = case.options[option_id].jobs, option_prefix(option_id)
    return {
        job.name: case.job_prices.get(f"{prefix}jobs[{job.name}].now", job.now)
        for job in case.scenario.jobs
        if job.name in included
    }


def _source(item: Item) -> str:
    """Return where an item's price is from: of its hours, or else of their rate."""
    if item.hours is None:
        return item.cost.source if item.cost else ""
    return item.hours.source or (item.rate.source if item.rate else "")


def _price(case: Case, path: str, name: str, taxed: Array, *, source: str) -> Price:
    standing = case.standings.get(path)
    low, likely, high = (float(each) for each in np.broadcast_to(taxed, 3))
    return Price(
        path=path,
        name=name,
        low=low,
        likely=likely,
        high=high,
        source=source,
        basis=standing.basis if standing else "",
        paid=standing.paid if standing else 0.0,
        lapsed=standing is not None and standing.has_lapsed(case.scenario.as_of),
    )
