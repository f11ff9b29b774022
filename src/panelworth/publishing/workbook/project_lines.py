"""The payments and receipts of an option, line by line; no other module reads prices.

A line has formulas for the price before tax, its tax, the moment of payment, and whether a buyer of
the airplane pays a part of it. The Project sheet shows the lines, and the steps add them up.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from panelworth.engine.results.prices import LikelyPayment
from panelworth.model.ledger import LedgerStatus, Sums
from panelworth.model.ledger_targets import Target
from panelworth.model.option import Item
from panelworth.model.surprise import has_happened
from panelworth.model.value import Quantity
from panelworth.publishing.language import _
from panelworth.publishing.workbook.book import Cell, value_of
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.words import NO, Kind, word, yes_or_no

LedgerKey = Literal["invoiced", "credit", "paid"]


@dataclass(frozen=True, kw_only=True)
class ProjectLine:
    """One line: its price before tax, its tax as a share, its moment of payment, and resale.

    `target` is its path in the ledger, `status` what the ledger has on it, `likely` what it comes
    to by the engine.
    """

    kind: Kind
    label: str
    price: Cell
    when: Cell | str
    target: Target
    status: LedgerStatus | None
    likely: LikelyPayment
    tax: Cell | float = 0.0
    resale: Cell | str = field(default_factory=lambda: word(NO))
    selling_cost: Cell | None = None

    @property
    def surcharge(self) -> Cell | float:
        """The share that is added to the price: the tax; for a sale the negative selling cost."""
        return self.tax if self.selling_cost is None else self.selling_cost

    def ledger(self, key: LedgerKey) -> Cell | float:
        """Return a sum of the ledger: invoices and credits before tax, payments with tax.

        An amount that a paper states with tax stays the same if the reader changes the tax.
        Therefore its part before tax is a formula of the tax.
        """
        stated = getattr(self.status, key, 0.0)
        if not isinstance(stated, Sums):
            return float(stated)
        net = float(stated.net(float(value_of(self.tax))))
        if not stated.tax_in or not isinstance(self.tax, Cell):
            return net
        formula = f"{stated.before_tax!r}+{stated.tax_in!r}/(1+{self.tax.formula})"
        return Cell(formula=formula, value=net)


def project_lines(context: FormulaContext) -> list[ProjectLine]:
    """List an option's items, included jobs, purchase, money in and sale."""
    return [
        *_items(context),
        *_surprises(context),
        *_jobs(context),
        *_purchase(context),
        *_credits(context),
        *_sale(context),
    ]


def _items(context: FormulaContext) -> Iterator[ProjectLine]:
    for item, cells in zip(context.option.items, context.option_cells.items, strict=True):
        target = context.ledger_targets["items", item.name]
        tax, status = _input(cells.tax, item.tax), context.ledger_status(target)
        yield ProjectLine(
            kind="project",
            label=item.name,
            price=_with_tax_kept(_price(item, cells), status, tax),
            tax=tax,
            when=Cell(formula=f"{cells.when}", value=word(item.when)),
            resale=Cell(formula=f"{cells.resale}", value=yes_or_no(yes=item.recoverable)),
            target=target,
            status=status,
            likely=context.series.payments[target.path],
        )


def _input(cell: object, quantity: Quantity) -> Cell:
    """Return an input as a formula that reads its cell."""
    return Cell(formula=f"{cell}", value=quantity.likely)


def _with_tax_kept(price: Cell, status: LedgerStatus | None, tax: Cell) -> Cell:
    """Return a price that follows its tax as in `LedgerStatus.net`: an amount with tax is kept.

    price + held·((1 + T)/(1 + t) - 1), held the part stated with tax, T the likely tax, t the
    tax's cell. The cell holds T when the workbook is made, so that the value is the price itself.
    """
    if status is None or status.price is None:
        return price
    likely, shift = 1.0 + status.tax, status.shift
    if status.tax_in:
        held = f"({price.formula}-{shift.before_tax!r})"
    elif shift.tax_in:
        held = repr(shift.tax_in / likely)
    else:
        return price
    formula = f"{price.formula}+{held}*({likely!r}/(1+{tax.formula})-1)"
    return Cell(formula=formula, value=price.value)


def _price(item: Item, cells: Item) -> Cell:
    """Return an item's price before tax: its cost, else hours·rate, else 0."""
    if item.cost is not None:
        return _input(cells.cost, item.cost)
    if item.hours is None or item.rate is None:
        return Cell(formula="0", value=0.0)
    return Cell(formula=f"{cells.hours}*{cells.rate}", value=item.own_price.likely)


def _surprises(context: FormulaContext) -> Iterator[ProjectLine]:
    """Yield what may turn up, at its allowance chance·cost, or at its price once it has."""
    pairs = zip(context.option.surprises, context.option_cells.surprises, strict=True)
    for surprise, cells in pairs:
        target = context.ledger_targets["surprises", surprise.name]
        status, price = context.ledger_status(target), _input(cells.cost, surprise.cost)
        if has_happened(status) is None:
            allowance = surprise.chance.likely * surprise.cost.likely
            price = Cell(formula=f"{cells.chance}*{cells.cost}", value=allowance)
        yield ProjectLine(
            kind="project",
            label=surprise.name,
            price=price,
            when=Cell(formula=f"{cells.when}", value=word(surprise.when)),
            target=target,
            status=status,
            likely=context.series.payments[target.path],
        )


def _jobs(context: FormulaContext) -> Iterator[ProjectLine]:
    """Yield the included jobs, at the ledger's price for this option or at the shared price."""
    scenario_jobs = zip(context.scenario.jobs, context.scenario_cells.jobs, strict=True)
    shared = {job.name: _input(cells.now, job.now) for job, cells in scenario_jobs}
    for name in context.option.jobs:
        target = context.ledger_targets["jobs", name]
        ledger_price = context.view.case.job_prices.get(target.price_path)
        price = (
            shared[name]
            if ledger_price is None
            else _input(context.book.names[ledger_price.path], ledger_price)
        )
        yield ProjectLine(
            kind="project",
            label=name,
            price=price,
            when=word("finish"),
            target=target,
            status=context.ledger_status(target),
            likely=context.series.payments[target.path],
        )


def _purchase(context: FormulaContext) -> Iterator[ProjectLine]:
    buy, cells = context.option.buy, context.option_cells.buy
    if buy is None or cells is None:
        return
    target = context.ledger_targets["buy", "buy"]
    tax, status = _input(cells.tax, buy.tax), context.ledger_status(target)
    yield ProjectLine(
        kind="purchase",
        label=_("Purchase of another airplane"),
        price=_with_tax_kept(_input(cells.price, buy.price), status, tax),
        tax=tax,
        when=Cell(formula=f"{cells.when}", value=word(buy.when)),
        target=target,
        status=status,
        likely=context.series.payments[target.path],
    )


def _credits(context: FormulaContext) -> Iterator[ProjectLine]:
    for credit, cells in zip(context.option.credits, context.option_cells.credits, strict=True):
        target = context.ledger_targets["credits", credit.name]
        yield ProjectLine(
            kind="credits",
            label=credit.name,
            price=_input(cells.amount, credit.amount),
            when=Cell(formula=f"{cells.when}", value=word(credit.when)),
            target=target,
            status=context.ledger_status(target),
            likely=context.series.payments[target.path],
        )


def _sale(context: FormulaContext) -> Iterator[ProjectLine]:
    """Yield the sale of today's airplane: at its price, or today's value, less selling cost."""
    sell, cells = context.option.sell, context.option_cells.sell
    if sell is None or cells is None:
        return
    today, target = context.scenario.aircraft, context.ledger_targets["sell", "sell"]
    selling_cost = context.aircraft.selling_cost
    yield ProjectLine(
        kind="sale",
        label=_("Sale of today's airplane, selling cost off"),
        price=_input(cells.price, today.value if sell.price is None else sell.price),
        when=Cell(formula=f"{cells.when}", value=word(sell.when)),
        target=target,
        status=context.ledger_status(target),
        likely=context.series.payments[target.path],
        selling_cost=Cell(formula=f"-{selling_cost}", value=-today.selling_cost.likely),
    )
