"""The project itself: items, included jobs, money in, purchase and sale.

Sums are positive numbers of shape (W or 1,); nothing here is escalated or discounted.
"""

from dataclasses import dataclass

import numpy as np

from panelworth.engine.calendar import Dates, Whole
from panelworth.engine.course import Course
from panelworth.engine.ledger import credit_path, item_path
from panelworth.engine.rows import Row, added
from panelworth.engine.worlds import Array, overrun_path
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
    """Add up the moments, shape (W or 1,)."""
    return sum(moments.values(), np.zeros(1))


def project_of(course: Course) -> Project:
    """Work out what an option pays and receives, and when."""
    option, values, prefix = course.option, course.worlds.values, course.prefix
    scale = values[overrun_path(course.option_id)]
    items: Moments = {}
    items_due: Moments = {}
    resale = np.zeros(1)
    for item in option.items:
        price = item_price(course, item) * scale
        taxed = price * (1.0 + values[f"{prefix}items[{item.name}].tax"])
        _add(items, item.when, taxed)
        _add(items_due, item.when, due(course, item_path(prefix, item), taxed))
        resale = resale + price if item.recoverable else resale
    for name in option.jobs:
        now = job_price(course, name) * scale
        _add(items, "finish", now)
        _add(items_due, "finish", due(course, f"{prefix}jobs[{name}]", now))
    received: Moments = {}
    credits_due: Moments = {}
    for credit in option.credits:
        amount = credit_amount(course, credit)
        _add(received, credit.when, amount)
        _add(credits_due, credit.when, due(course, credit_path(prefix, credit), amount))
    return Project(
        items=items,
        items_due=items_due,
        purchase=_purchase(course),
        purchase_due=_still_due(course, "buy", _purchase(course)),
        credits=received,
        credits_due=credits_due,
        sale=_sale(course),
        sale_due=_still_due(course, "sell", _sale(course)),
        resale=resale,
    )


def item_price(course: Course, item: Item) -> Array:
    """Return an item's price before tax: cost, or hours·rate; what is left out is 0.

    Not less than its invoices so far in any world; then less its credits. What a paper states with
    tax in stays that amount, whatever tax a world draws.
    """
    values, path = course.worlds.values, item_path(course.prefix, item)
    price = np.zeros(1)
    if item.cost is not None:
        price = values[f"{path}.cost"]
    elif item.hours is not None and item.rate is not None:
        price = values[f"{path}.hours"] * values[f"{path}.rate"]
    tax = values[f"{path}.tax"]
    return _risen(course, path, price, tax=tax, factor=course.rise.equipment)


def _risen(course: Course, path: str, price: Array, *, tax: Array, factor: Array) -> Array:
    """Return a current price before tax after a later start, shape (W or 1,).

    What is invoiced for good or paid does not rise.
    """
    standing = course.standings.get(path)
    if standing is None:
        return price * factor
    current = _by_ledger(course, path, price, tax)
    if standing.final:
        return current
    paid = standing.paid / (1.0 + tax)
    return current + np.maximum(current - paid, 0.0) * (factor - 1.0)


def credit_amount(course: Course, credit: Credit) -> Array:
    """Return what comes in, not less than what has been invoiced so far in any world."""
    path = credit_path(course.prefix, credit)
    return _by_ledger(course, path, course.worlds.values[f"{path}.amount"], NOTHING)


def _by_ledger(course: Course, path: str, price: Array, tax: Array) -> Array:
    """Return the current price before tax, shape (W or 1,): max(price, invoices) - credits."""
    standing = course.standings.get(path)
    if standing is None:
        return price
    held = np.maximum(standing.net(price, tax), standing.invoiced.net(tax))
    stands: Array = held - standing.credit.net(tax)
    return stands


def due(course: Course, path: str, money: Array) -> Array:
    """Return what of a sum with tax has not been paid by as_of, never below 0."""
    standing = course.standings.get(path)
    if standing is None:
        return money
    return np.maximum(money - standing.paid, 0.0)


def paid_corners(course: Course) -> list[float]:
    """Return the multiples of the likely project at which an item is just paid."""
    corners = []
    for item in course.option.items:
        path = item_path(course.prefix, item)
        standing, tax = course.standings.get(path), course.worlds.values[f"{path}.tax"]
        taxed = float((item_price(course, item) * (1.0 + tax))[0])
        if standing is not None and standing.paid > 0.0 and taxed > 0.0:
            corners.append(standing.paid / taxed)
    return corners


def _purchase(course: Course) -> Moments:
    buy = course.option.buy
    if buy is None:
        return {}
    tax = course.worlds.values[f"{course.prefix}buy.tax"]
    return {buy.when: purchase_price(course) * (1.0 + tax)}


def job_price(course: Course, name: str) -> Array:
    """Return the price of an included job while the panel is open, shape (W or 1,)."""
    path, values = f"{course.prefix}jobs[{name}]", course.worlds.values
    own = values.get(f"{path}.now", values[f"jobs[{name}].now"])
    return _risen(course, path, own, tax=NOTHING, factor=course.rise.jobs)


def purchase_price(course: Course) -> Array:
    """Return the price of another airplane before tax, shape (W or 1,)."""
    path = f"{course.prefix}buy"
    tax = course.worlds.values[f"{path}.tax"]
    price = course.worlds.values[f"{path}.price"]
    return _risen(course, path, price, tax=tax, factor=course.rise.equipment)


def _sale(course: Course) -> Moments:
    """Return what the sale of today's airplane brings, price·(1 - selling_cost)."""
    sell, values = course.option.sell, course.worlds.values
    if sell is None:
        return {}
    path = f"{course.prefix}sell"
    own = values[f"{path}.price" if sell.price is not None else "aircraft.value"]
    price = _risen(course, path, own, tax=NOTHING, factor=course.rise.sale)
    return {sell.when: price * (1.0 - values["aircraft.selling_cost"])}


def _still_due(course: Course, key: str, moments: Moments) -> Moments:
    return {when: due(course, f"{course.prefix}{key}", each) for when, each in moments.items()}


def _add(moments: Moments, when: When, money: Array) -> None:
    moments[when] = moments.get(when, np.zeros(1)) + money


def month_of(dates: Dates, when: When) -> Whole:
    """Return the month index of an order, start or finish, shape (W or 1,)."""
    if when == "finish":
        return dates.finish
    return np.array([dates.order if when == "order" else dates.start])


def placed(course: Course, moments: Moments) -> dict[int, Array]:
    """Put sums into the months they fall in: money of shape (W or 1,) by month."""
    flows: dict[int, Array] = {}
    for when, money in moments.items():
        months = month_of(course.dates, when)
        for month in range(int(months.min()), int(months.max()) + 1):
            here = money if len(months) == 1 else np.where(months == month, money, 0.0)
            flows[month] = flows.get(month, 0.0) + here
    return flows


def outlays(course: Course, project: Project) -> Row:
    """Return what items, included jobs and a purchase take, by month."""
    both = (project.items_due, project.purchase_due)
    return added(*(Row(dated=placed(course, each)) for each in both))
