"""The project itself: items, included jobs, money in, purchase and sale.

Sums are positive numbers of shape (T or 1,); nothing here is escalated or discounted.
"""

from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.calendar import Dates, Whole
from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.cash_flow.rows import Row, added
from panelworth.engine.ledger.settlement import credit_path, item_path
from panelworth.engine.trials import Array, overrun_path
from panelworth.model.option import Credit, Item, When

Moments = dict[When, Array]
NOTHING = np.zeros(1)


@dataclass(frozen=True, kw_only=True)
class Project:
    """What is paid and received at the order, the start and the finish.

    `items` holds items with tax and included jobs; `resale` is the recoverable cost before tax.
    What ends in `_due` is what of it has not been paid by as_of: the flows.
    """

    items: Moments
    items_due: Moments
    purchase: Moments
    purchase_due: Moments
    credits: Moments
    credits_due: Moments
    sale: Moments
    sale_due: Moments
    resale: Array

    @property
    def project(self) -> Array:
        """Items, tax in, and included jobs."""
        return total(self.items)

    @property
    def outlay(self) -> Array:
        """Project and purchase, tax in."""
        return self.project + total(self.purchase)

    @property
    def to_pay(self) -> Array:
        """The part of the outlay that has not been paid by as_of."""
        return total(self.items_due) + total(self.purchase_due)

    @property
    def upfront(self) -> Array:
        """Outlay less credits and sale proceeds."""
        return self.outlay - total(self.credits) - total(self.sale)


def total(moments: Moments) -> Array:
    """Add up the moments, shape (T or 1,)."""
    return sum(moments.values(), np.zeros(1))


def project_of(context: OptionContext) -> Project:
    """Work out what an option pays and receives, and when."""
    option, values, prefix = context.option, context.trials.values, context.prefix
    scale = values[overrun_path(context.option_id)]
    items: Moments = {}
    items_due: Moments = {}
    resale = np.zeros(1)
    for item in option.items:
        price = item_price(context, item) * scale
        taxed = price * (1.0 + values[f"{prefix}items[{item.name}].tax"])
        _add(items, item.when, taxed)
        _add(items_due, item.when, due(context, item_path(prefix, item), taxed))
        resale = resale + price if item.recoverable else resale
    for name in option.jobs:
        now = job_price(context, name) * scale
        _add(items, "finish", now)
        _add(items_due, "finish", due(context, f"{prefix}jobs[{name}]", now))
    received: Moments = {}
    credits_due: Moments = {}
    for credit in option.credits:
        amount = credit_amount(context, credit)
        _add(received, credit.when, amount)
        _add(credits_due, credit.when, due(context, credit_path(prefix, credit), amount))
    return Project(
        items=items,
        items_due=items_due,
        purchase=_purchase(context),
        purchase_due=_still_due(context, "buy", _purchase(context)),
        credits=received,
        credits_due=credits_due,
        sale=_sale(context),
        sale_due=_still_due(context, "sell", _sale(context)),
        resale=resale,
    )


def item_price(context: OptionContext, item: Item) -> Array:
    """Return an item's price before tax: cost, or hours·rate; what is left out is 0.

    Not less than its invoices so far in any trial; then less its credits. What a paper states with
    tax in stays that amount, whatever tax a trial draws.
    """
    values, path = context.trials.values, item_path(context.prefix, item)
    price = np.zeros(1)
    if item.cost is not None:
        price = values[f"{path}.cost"]
    elif item.hours is not None and item.rate is not None:
        price = values[f"{path}.hours"] * values[f"{path}.rate"]
    tax = values[f"{path}.tax"]
    return _risen(context, path, price, tax=tax, factor=context.rise.equipment)


def _risen(context: OptionContext, path: str, price: Array, *, tax: Array, factor: Array) -> Array:
    """Return a current price before tax after a later start, shape (T or 1,).

    What is invoiced for good or paid does not rise.
    """
    standing = context.standings.get(path)
    if standing is None:
        return price * factor
    current = _by_ledger(context, path, price, tax)
    if standing.final:
        return current
    paid = standing.paid / (1.0 + tax)
    return current + np.maximum(current - paid, 0.0) * (factor - 1.0)


def credit_amount(context: OptionContext, credit: Credit) -> Array:
    """Return what comes in, not less than what has been invoiced so far in any trial."""
    path = credit_path(context.prefix, credit)
    return _by_ledger(context, path, context.trials.values[f"{path}.amount"], NOTHING)


def _by_ledger(context: OptionContext, path: str, price: Array, tax: Array) -> Array:
    """Return the current price before tax, shape (T or 1,): max(price, invoices) - credits."""
    standing = context.standings.get(path)
    if standing is None:
        return price
    held = np.maximum(standing.net(price, tax), standing.invoiced.net(tax))
    stands: Array = held - standing.credit.net(tax)
    return stands


def due(context: OptionContext, path: str, money: Array) -> Array:
    """Return what of a sum with tax has not been paid by as_of, never below 0."""
    standing = context.standings.get(path)
    if standing is None:
        return money
    return np.maximum(money - standing.paid, 0.0)


def paid_corners(context: OptionContext) -> list[float]:
    """Return the multiples of the likely project at which an item is just paid."""
    corners = []
    for item in context.option.items:
        path = item_path(context.prefix, item)
        standing, tax = context.standings.get(path), context.trials.values[f"{path}.tax"]
        taxed = float((item_price(context, item) * (1.0 + tax))[0])
        if standing is not None and standing.paid > 0.0 and taxed > 0.0:
            corners.append(standing.paid / taxed)
    return corners


def _purchase(context: OptionContext) -> Moments:
    buy = context.option.buy
    if buy is None:
        return {}
    tax = context.trials.values[f"{context.prefix}buy.tax"]
    return {buy.when: purchase_price(context) * (1.0 + tax)}


def job_price(context: OptionContext, name: str) -> Array:
    """Return the price of an included job while the panel is open, shape (T or 1,)."""
    path, values = f"{context.prefix}jobs[{name}]", context.trials.values
    own = values.get(f"{path}.now", values[f"jobs[{name}].now"])
    return _risen(context, path, own, tax=NOTHING, factor=context.rise.jobs)


def purchase_price(context: OptionContext) -> Array:
    """Return the price of another airplane before tax, shape (T or 1,)."""
    path = f"{context.prefix}buy"
    tax = context.trials.values[f"{path}.tax"]
    price = context.trials.values[f"{path}.price"]
    return _risen(context, path, price, tax=tax, factor=context.rise.equipment)


def _sale(context: OptionContext) -> Moments:
    """Return what the sale of today's airplane brings, price·(1 - selling_cost)."""
    sell, values = context.option.sell, context.trials.values
    if sell is None:
        return {}
    path = f"{context.prefix}sell"
    own = values[f"{path}.price" if sell.price is not None else "aircraft.value"]
    price = _risen(context, path, own, tax=NOTHING, factor=context.rise.sale)
    return {sell.when: price * (1.0 - values["aircraft.selling_cost"])}


def _still_due(context: OptionContext, key: str, moments: Moments) -> Moments:
    return {when: due(context, f"{context.prefix}{key}", each) for when, each in moments.items()}


def _add(moments: Moments, when: When, money: Array) -> None:
    moments[when] = moments.get(when, np.zeros(1)) + money


def month_of(dates: Dates, when: When) -> Whole:
    """Return the month index of an order, start or finish, shape (T or 1,)."""
    if when == "finish":
        return dates.finish
    return np.array([dates.order if when == "order" else dates.start])


def placed(context: OptionContext, moments: Moments) -> dict[int, Array]:
    """Put sums into the months they fall in: money of shape (T or 1,) by month."""
    flows: dict[int, Array] = {}
    for when, money in moments.items():
        months = month_of(context.dates, when)
        for month in range(int(months.min()), int(months.max()) + 1):
            here = money if len(months) == 1 else np.where(months == month, money, 0.0)
            flows[month] = flows.get(month, 0.0) + here
    return flows


def outlays(context: OptionContext, project: Project) -> Row:
    """Return what items, included jobs and a purchase take, by month."""
    both = (project.items_due, project.purchase_due)
    return added(*(Row(dated=placed(context, each)) for each in both))
