"""The current price of one target (item, credit, job, purchase, sale) by its rows in the ledger.

Sums are exact decimals until they become an input of the engine: invoices are added up to the cent,
and a difference of a cent would show beside a supplier's bill. Rows are in the order of their
dates, then of the file.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from panelworth.model.case import WrittenCase
from panelworth.model.ledger import Entry, LedgerStatus, Sums, is_of
from panelworth.model.ledger_targets import MONEY_IN, Target
from panelworth.model.option import Item, Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity


@dataclass(frozen=True, kw_only=True)
class Price:
    """A likely price before tax and with tax, and the part of the taxed price that is not paid."""

    net: Decimal
    taxed: Decimal
    still_to_pay: Decimal


def current_price(
    case: WrittenCase, option_id: str, target: Target, rows: Sequence[Entry], *, on: date
) -> Price:
    """Return a target's likely price by these rows, or by the option file where none sets it.

    The price is at least the sum of the invoices, since these must be paid; then credits are taken
    off, also after a final invoice.
    """
    option = case.options[option_id]
    tax = tax_of(option, target)
    supplier = supplier_of(option, target)
    status = ledger_status_of(target.path, rows, tax=tax, paid_until=on, supplier=supplier)
    price = status.price or own_price(case.scenario, option, target)
    invoiced, credit = status.invoiced.net(tax), status.credit.net(tax)
    net = exact(max(price.likely, invoiced) - credit)
    taxed = net * (1 + exact(tax))
    return Price(net=net, taxed=taxed, still_to_pay=max(taxed - exact(status.paid), Decimal(0)))


def tax_of(option: Option, target: Target) -> float:
    """Return the likely share of tax on a target; 0 for credits, jobs and a sale."""
    if target.kind == "items":
        return _item_of(option, target).tax.likely
    return option.buy.tax.likely if target.kind == "buy" and option.buy else 0.0


def supplier_of(option: Option, target: Target) -> str:
    """Return the supplier whose quotes and estimates set a target's price; "" for any supplier.

    Credits and the sale are paid by others than the option's supplier, so the newest quote of
    anybody sets them.
    """
    if target.kind == "items":
        return _item_of(option, target).supplier or option.supplier
    return "" if target.kind in MONEY_IN else option.supplier


def own_price(scenario: Scenario, option: Option, target: Target) -> Quantity:
    """Return a target's price before tax as the files state it; hours·rate at likely values."""
    if target.kind == "items":
        return _item_of(option, target).own_price
    if target.kind == "credits":
        return next(credit.amount for credit in option.credits if credit.name == target.name)
    if target.kind == "surprises":
        return next(extra.cost for extra in option.surprises if extra.name == target.name)
    if target.kind == "jobs":
        return next(job.now for job in scenario.jobs if job.name == target.name)
    if target.kind == "buy" and option.buy is not None:
        return option.buy.price
    stated = option.sell.price if option.sell else None
    return stated or scenario.aircraft.value


def _item_of(option: Option, target: Target) -> Item:
    return next(item for item in option.items if item.name == target.name)


def ledger_status_of(
    path: str, rows: Sequence[Entry], *, tax: float, paid_until: date, supplier: str = ""
) -> LedgerStatus:
    """Return the current price and the sums of one target by its rows, oldest first.

    The price is the sum of the invoices if one of them is final; else the newest quote with the
    changes after it; else the newest estimate; else None, so that the option file's figure counts.
    With a `supplier` only its quotes and estimates count. Invoices and credits are added up in
    every case, whoever sends them. Payments count up to `paid_until`: later ones are not yet out of
    the reserve. `tax` is the likely share of tax. The project's method, sections 1 and 7.
    """
    papers = price_papers(rows, supplier)
    shift = _sums(papers[1:])
    invoices = [entry for entry in rows if entry.kind == "invoice"]
    credits_ = [entry for entry in rows if entry.kind == "credit"]
    payments = [entry for entry in rows if entry.kind == "payment" and entry.date <= paid_until]
    return LedgerStatus(
        path=path,
        rows=tuple(rows),
        price_rows=tuple(papers),
        price=_price(papers, tax) if papers else None,
        tax=tax,
        tax_in=bool(papers) and papers[0].tax_included,
        shift=shift,
        invoiced=_sums(invoices),
        credit=_sums(credits_),
        paid=float(sum((exact(entry.amount) for entry in payments), Decimal(0))),
    )


def price_papers(rows: Sequence[Entry], supplier: str = "") -> list[Entry]:
    """Return the rows that set the price: none where the option file's own figure counts."""
    invoices = [entry for entry in rows if entry.kind == "invoice"]
    if any(entry.final for entry in invoices):
        return invoices
    return quote_papers(rows, supplier) or _newest(rows, "estimate", supplier)


def quote_papers(rows: Sequence[Entry], supplier: str = "") -> list[Entry]:
    """Return the newest quote and the changes that belong to it; none without a quote.

    With a `supplier`, the newest of its own quotes. A change belongs to the newest quote of its own
    supplier, and of any if it names none.
    """
    quotes = _newest(rows, "quote", supplier)
    if not quotes:
        return []
    later = rows[rows.index(quotes[0]) + 1 :]
    giver = supplier or quotes[0].supplier
    return [*quotes, *(row for row in later if row.kind == "change" and is_of(row, giver))]


def _newest(rows: Sequence[Entry], kind: str, supplier: str) -> list[Entry]:
    return [row for row in rows if row.kind == kind and is_of(row, supplier)][-1:]


def _price(papers: Sequence[Entry], tax: float) -> Quantity:
    """Return the first row's amount or PERT range, shifted by the sum of the other rows."""
    first, shift = papers[0], _sum(papers[1:], tax)
    ranged = first.kind != "invoice" and first.low is not None
    amounts = (first.low, first.amount, first.high) if ranged else (first.amount,) * 3
    low, likely, high = (float(_before_tax(first, amount, tax) + shift) for amount in amounts)
    # Without validation: each row was within its bounds when it was read, but a sum may exceed
    # them.
    return Quantity.model_construct(
        low=low, likely=likely, high=high, shape="pert", source="", note=""
    )


def _sums(entries: Sequence[Entry]) -> Sums:
    """Return the exact sums of the amounts before tax and of those with tax."""
    sums = {False: Decimal(0), True: Decimal(0)}
    for entry in entries:
        sums[entry.tax_included] += exact(entry.amount)
    return Sums(before_tax=float(sums[False]), tax_in=float(sums[True]))


def _sum(entries: Sequence[Entry], tax: float) -> Decimal:
    return sum((_before_tax(entry, entry.amount, tax) for entry in entries), Decimal(0))


def _before_tax(entry: Entry, amount: float | None, tax: float) -> Decimal:
    return exact(amount) / (1 + exact(tax)) if entry.tax_included else exact(amount)


def exact(number: float | None) -> Decimal:
    """Return the decimal that was written in the file: the shortest one for this double."""
    return Decimal(repr(number or 0.0))
