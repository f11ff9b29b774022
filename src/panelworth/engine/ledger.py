"""The ledger settled: what each item, and each entry of money in, stands at by its papers.

Sums are exact decimals, as on paper, until they become an input of the engine. Rows are taken
oldest first: by date, then by their place in the file.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from panelworth.model.case import Case, as_written, option_prefix
from panelworth.model.ledger import Entry, Standing, Sums
from panelworth.model.option import Credit, Item, Option
from panelworth.model.value import Quantity


def settled(case: Case) -> Case:
    """Return the case with every item at the price it stands at by the ledger.

    The price takes the place of an item's cost, or of its hours and rate, at the path of its cost.
    A case that is settled, or has no ledger, is returned as it is.
    """
    if case.written or not case.ledger:
        return case
    found = {
        each.path: each
        for option_id in case.options
        for each in standings_of(case, option_id, case.ledger)
    }
    options = {
        option_id: _priced(option, option_prefix(option_id), found)
        for option_id, option in case.options.items()
    }
    return replace(case, options=options, written=case.options, standings=found)


def planned(case: Case) -> Case:
    """Return the case at its option files' own prices, with what has been paid still paid.

    What was paid up to as_of is out of the reserve, whatever the plan: so payments stay.
    """
    payments = tuple(entry for entry in case.ledger if entry.kind == "payment")
    return settled(replace(as_written(case), ledger=payments))


def standings_of(case: Case, option_id: str, ledger: Sequence[Entry]) -> Iterator[Standing]:
    """Yield the standing of each item, then of each entry of money in, that has rows."""
    option, prefix, as_of = case.options[option_id], option_prefix(option_id), case.scenario.as_of
    mine = sorted(
        (entry for entry in ledger if entry.option == option_id),
        key=lambda entry: (entry.date, entry.line),
    )
    for item in option.items:
        if rows := [entry for entry in mine if entry.item in (item.ledger, item.name)]:
            yield standing_of(item_path(prefix, item), rows, tax=item.tax.likely, as_of=as_of)
    for credit in option.credits:
        if rows := [entry for entry in mine if entry.item == credit.name]:
            yield standing_of(credit_path(prefix, credit), rows, tax=0.0, as_of=as_of)


def item_path(prefix: str, item: Item) -> str:
    """Name an item as the paths of its inputs begin."""
    return f"{prefix}items[{item.name}]"


def credit_path(prefix: str, credit: Credit) -> str:
    """Name an entry of money in as the path of its amount begins."""
    return f"{prefix}credits[{credit.name}]"


def standing_of(path: str, rows: Sequence[Entry], *, tax: float, as_of: date) -> Standing:
    """Return what one item stands at by its rows, oldest first; `tax` is its likely share.

    Invoices, if one is final; else the newest quote and the changes after it; else the newest
    estimate; else its own figure. Credits and invoices are summed whatever it stands on; only
    payments up to as_of are.
    """
    papers = _papers(rows)
    shift = _sums(papers[1:])
    invoices = [entry for entry in rows if entry.kind == "invoice"]
    credits_ = [entry for entry in rows if entry.kind == "credit"]
    payments = [entry for entry in rows if entry.kind == "payment" and entry.date <= as_of]
    return Standing(
        path=path,
        rows=tuple(rows),
        papers=tuple(papers),
        price=_price(papers, tax) if papers else None,
        tax=tax,
        tax_in=bool(papers) and papers[0].tax_included,
        shift=shift,
        invoiced=_sums(invoices),
        credit=_sums(credits_),
        paid=float(sum((_exact(entry.amount) for entry in payments), Decimal(0))),
    )


def _papers(rows: Sequence[Entry]) -> list[Entry]:
    """Return the rows that decide the price: none where the option file's own figure stands."""
    invoices = [entry for entry in rows if entry.kind == "invoice"]
    if any(entry.final for entry in invoices):
        return invoices
    for kind in ("quote", "estimate"):
        places = [place for place, entry in enumerate(rows) if entry.kind == kind]
        if places:
            later = rows[places[-1] + 1 :] if kind == "quote" else ()
            return [rows[places[-1]], *(entry for entry in later if entry.kind == "change")]
    return []


def _price(papers: Sequence[Entry], tax: float) -> Quantity:
    """Return the first paper's sum, or its PERT range, shifted by all that follow it."""
    first, shift = papers[0], _sum(papers[1:], tax)
    ranged = first.kind != "invoice" and first.low is not None
    amounts = (first.low, first.amount, first.high) if ranged else (first.amount,) * 3
    low, likely, high = (float(_before_tax(first, each, tax) + shift) for each in amounts)
    # Unchecked: an input was bounded as it was read, and a sum of several may be larger.
    return Quantity.model_construct(
        low=low, likely=likely, high=high, shape="pert", source="", note=""
    )


def _sums(entries: Sequence[Entry]) -> Sums:
    """Add up amounts before tax and amounts with tax in, each kind exactly."""
    found = {False: Decimal(0), True: Decimal(0)}
    for entry in entries:
        found[entry.tax_included] += _exact(entry.amount)
    return Sums(before_tax=float(found[False]), tax_in=float(found[True]))


def _sum(entries: Sequence[Entry], tax: float) -> Decimal:
    return sum((_before_tax(entry, entry.amount, tax) for entry in entries), Decimal(0))


def _before_tax(entry: Entry, amount: float | None, tax: float) -> Decimal:
    return _exact(amount) / (1 + _exact(tax)) if entry.tax_included else _exact(amount)


def _exact(number: float | None) -> Decimal:
    """Return the decimal as it was written: the shortest one that means this number."""
    return Decimal(repr(number or 0.0))


def _priced(option: Option, prefix: str, found: dict[str, Standing]) -> Option:
    """Put the standing prices in the place of an option's own."""
    items = tuple(_item(each, found.get(item_path(prefix, each))) for each in option.items)
    money_in = tuple(_credit(each, found.get(credit_path(prefix, each))) for each in option.credits)
    return option.model_copy(update={"items": items, "credits": money_in})


def _item(item: Item, standing: Standing | None) -> Item:
    if standing is None or standing.price is None:
        return item
    return item.model_copy(update={"cost": standing.price, "hours": None, "rate": None})


def _credit(credit: Credit, standing: Standing | None) -> Credit:
    if standing is None or standing.price is None:
        return credit
    return credit.model_copy(update={"amount": standing.price})
