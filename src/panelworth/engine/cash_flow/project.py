"""The project: items, included jobs, credits, purchase and sale.

Sums are positive numbers of shape (T or 1,). They are not escalated: a quote is a price for the
date of the project. They are not discounted either.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.option_context import OptionContext
from panelworth.engine.cash_flow.phases import Phase
from panelworth.engine.cash_flow.rows import Row, added
from panelworth.engine.cash_flow.surprises import share_of_cost
from panelworth.engine.results.prices import LikelyPayment
from panelworth.engine.trials import Array
from panelworth.model.ledger_targets import (
    Target,
    buy_target,
    credit_target,
    item_target,
    job_target,
    sell_target,
    surprise_target,
)
from panelworth.model.option import Buy, Credit, Item, Sell, When
from panelworth.model.scenario import Job
from panelworth.model.surprise import Surprise

Moments = dict[tuple[int, When], Array]  # sums by (number of the phase, "order"/"start"/"finish")
NO_TAX = np.zeros(1)


@dataclass(frozen=True, kw_only=True)
class Project:
    """What is paid and received at the order, the start and the finish of each phase.

    `items` has the items with tax and the included jobs. `resale` is, for each phase, the cost
    before tax of the equipment of which a buyer would pay a part. A sum with `_due` in its name is
    the part not paid by as_of: only this part is in the flows, since the rest has already left the
    reserve.
    """

    items: Moments
    items_due: Moments
    purchase: Moments
    purchase_due: Moments
    credits: Moments
    credits_due: Moments
    sale: Moments
    sale_due: Moments
    resale: tuple[Array, ...]

    @property
    def project(self) -> Array:
        """Items with tax, and included jobs."""
        return total(self.items)

    @property
    def outlay(self) -> Array:
        """Project and purchase, with tax."""
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
    """Return the sum over all moments, shape (T or 1,)."""
    return sum(moments.values(), np.zeros(1))


def project_of(context: OptionContext) -> Project:
    """Return all payments and receipts of an option's project, by their moments."""
    names = ("items", "purchase", "credits", "sale")
    sums: dict[str, Moments] = {name: {} for name in names}
    due: dict[str, Moments] = {name: {} for name in names}
    resale = []
    for number, phase in enumerate(context.phases):
        equipment = np.zeros(1)
        for payment in _payments(context, phase):
            moment, money = (number, payment.when), payment.money
            _add(sums[payment.row], moment, money)
            _add(due[payment.row], moment, still_due(context, payment.target, money))
            if payment.recoverable:
                equipment = equipment + payment.price
        resale.append(equipment)
    due_sums = {f"{name}_due": moments for name, moments in due.items()}
    return Project(**sums, **due_sums, resale=tuple(resale))


@dataclass(frozen=True, kw_only=True)
class Payment:
    """One sum that is paid or received: `price` before tax or selling cost, `money` after it.

    `recoverable` says whether a buyer of the airplane pays a part of the price.
    """

    row: str
    when: When
    target: Target
    price: Array
    money: Array
    recoverable: bool = False


def likely_payments(context: OptionContext) -> dict[str, LikelyPayment]:
    """Return every payment and receipt in the likely trial, by the path of its target."""
    return {
        payment.target.path: LikelyPayment(
            price=float(payment.price[0]),
            total=float(payment.money[0]),
            due=float(still_due(context, payment.target, payment.money)[0]),
        )
        for phase in context.phases
        for payment in _payments(context, phase)
    }


def _payments(context: OptionContext, phase: Phase) -> Iterator[Payment]:
    """Yield the payments and receipts of a phase, one for each item, job, credit and so on.

    The factor on the project (1 as budgeted) is for items, surprises and jobs only, since
    break_even.project and the overrun slider ask what these may cost.
    """
    step, prefix, trials = phase.step, context.prefix, context.trials
    overrun = trials.overrun(context.option_id)
    for item in step.items:
        price = item_price(context, phase, item) * overrun
        yield Payment(
            row="items",
            when=item.when,
            target=item_target(prefix, item),
            price=price,
            money=price * (1.0 + trials.of(item.tax)),
            recoverable=item.recoverable,
        )
    for surprise in step.surprises:
        price = surprise_price(context, phase, surprise) * overrun
        target = surprise_target(prefix, surprise)
        yield Payment(row="items", when=surprise.when, target=target, price=price, money=price)
    for job in context.jobs_of(phase):
        price, target = job_price(context, phase, job) * overrun, job_target(prefix, job.name)
        yield Payment(row="items", when="finish", target=target, price=price, money=price)
    if step.buy is not None:
        price, target = purchase_price(context, phase, step.buy), buy_target(prefix)
        money = price * (1.0 + trials.of(step.buy.tax))
        yield Payment(row="purchase", when=step.buy.when, target=target, price=price, money=money)
    for credit in step.credits:
        money, target = credit_amount(context, credit), credit_target(prefix, credit)
        yield Payment(row="credits", when=credit.when, target=target, price=money, money=money)
    if step.sell is not None:
        price, target = _sale_price(context, phase, step.sell), sell_target(prefix)
        money = price * (1.0 - trials.of(context.scenario.aircraft.selling_cost))
        yield Payment(row="sale", when=step.sell.when, target=target, price=price, money=money)


def item_price(context: OptionContext, phase: Phase, item: Item) -> Array:
    """Return an item's price before tax: cost, or hours·rate, or 0 without either; (T or 1,).

    In every trial it is at least the sum of its invoices; then its credits are taken off. A price
    that a quote or invoice states with tax stays this amount with tax, whatever tax a trial draws.
    """
    trials, price = context.trials, np.zeros(1)
    if item.cost is not None:
        price = trials.of(item.cost)
    elif item.hours is not None and item.rate is not None:
        price = trials.of(item.hours) * trials.of(item.rate)
    target, tax = item_target(context.prefix, item), trials.of(item.tax)
    return _risen(context, target, price, tax=tax, factor=phase.rise.equipment)


def surprise_price(context: OptionContext, phase: Phase, surprise: Surprise) -> Array:
    """Return what something that may turn up costs with tax, shape (T or 1,).

    The share of its cost that counts times its cost: an allowance in the likely view.
    """
    target = surprise_target(context.prefix, surprise)
    share = share_of_cost(
        context.trials, context.option_id, surprise, context.ledger_status(target)
    )
    cost = context.trials.of(surprise.cost)
    return share * _risen(context, target, cost, tax=NO_TAX, factor=phase.rise.equipment)


def _risen(
    context: OptionContext, target: Target, price: Array, *, tax: Array, factor: Array
) -> Array:
    """Return a current price before tax, multiplied by `factor` for a later start, (T or 1,).

    A price that a final invoice sets does not rise, nor does the paid part of a price.
    """
    status = context.ledger_status(target)
    if status is None:
        return price * factor
    current = _by_ledger(context, target, price, tax)
    if status.final:
        return current
    # Payments are with tax, the price here is before it.
    paid = status.paid / (1.0 + tax)
    return current + np.maximum(current - paid, 0.0) * (factor - 1.0)


def credit_amount(context: OptionContext, credit: Credit) -> Array:
    """Return the amount of a credit: in every trial at least what has been invoiced."""
    target = credit_target(context.prefix, credit)
    return _by_ledger(context, target, context.trials.of(credit.amount), NO_TAX)


def _by_ledger(context: OptionContext, target: Target, price: Array, tax: Array) -> Array:
    """Return the current price before tax, shape (T or 1,): max(price, invoices) - credits."""
    status = context.ledger_status(target)
    if status is None:
        return price
    # An invoice must be paid, even if a trial draws a lower price.
    gross = np.maximum(status.net(price, tax), status.invoiced.net(tax))
    current: Array = gross - status.credit.net(tax)
    return current


def still_due(context: OptionContext, target: Target, money: Array) -> Array:
    """Return the part of a sum with tax that is not paid by as_of, at least 0.

    Where a trial's price is below the payments, nothing is paid back.
    """
    status = context.ledger_status(target)
    if status is None:
        return money
    return np.maximum(money - status.paid, 0.0)


def paid_corners(context: OptionContext) -> list[float]:
    """Return the multiples of the likely project at which an item costs what is already paid.

    Below such a multiple the item has nothing more to pay: the net benefit has a corner there.
    """
    corners = []
    for phase in context.phases:
        for item in phase.step.items:
            status = context.ledger_status(item_target(context.prefix, item))
            tax = 1.0 + context.trials.of(item.tax)
            taxed = float((item_price(context, phase, item) * tax)[0])
            if status is not None and status.paid > 0.0 and taxed > 0.0:
                corners.append(status.paid / taxed)
    return corners


def job_price(context: OptionContext, phase: Phase, job: Job) -> Array:
    """Return the price of an included job while the panel is open, shape (T or 1,)."""
    stated, target = context.trials.of(context.price_now(job)), job_target(context.prefix, job.name)
    return _risen(context, target, stated, tax=NO_TAX, factor=phase.rise.jobs)


def purchase_price(context: OptionContext, phase: Phase, buy: Buy) -> Array:
    """Return the price of another airplane before tax, shape (T or 1,)."""
    price, tax = context.trials.of(buy.price), context.trials.of(buy.tax)
    target = buy_target(context.prefix)
    return _risen(context, target, price, tax=tax, factor=phase.rise.equipment)


def _sale_price(context: OptionContext, phase: Phase, sell: Sell) -> Array:
    """Return the price of today's airplane before the selling cost, shape (T or 1,)."""
    stated = context.trials.of(sell.price or context.scenario.aircraft.value)
    target = sell_target(context.prefix)
    return _risen(context, target, stated, tax=NO_TAX, factor=phase.rise.sale)


def _add(moments: Moments, moment: tuple[int, When], money: Array) -> None:
    moments[moment] = moments.get(moment, np.zeros(1)) + money


def placed(context: OptionContext, moments: Moments) -> dict[int, Array]:
    """Return sums by the month in which they fall: money of shape (T or 1,)."""
    flows: dict[int, Array] = {}
    for (number, when), money in moments.items():
        months = context.dates[number].month_of(when)
        for month in range(int(months.min()), int(months.max()) + 1):
            # A month has only the payments of the trials whose start or finish is in it.
            paid = money if len(months) == 1 else np.where(months == month, money, 0.0)
            flows[month] = flows.get(month, 0.0) + paid
    return flows


def outlays(context: OptionContext, project: Project) -> Row:
    """Return the payments for items, included jobs and a purchase by month, as a row."""
    both = (project.items_due, project.purchase_due)
    return added(*(Row(dated=placed(context, moments)) for moments in both))
