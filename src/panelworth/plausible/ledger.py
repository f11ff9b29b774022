"""Warnings about ledger rows: amounts, days, and documents that count twice."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta

from panelworth.engine.ledger.current_price import own_price, supplier_of
from panelworth.engine.ledger.offers import mixed_suppliers
from panelworth.model.case import Case
from panelworth.model.ledger import Entry, LedgerStatus, is_of
from panelworth.model.ledger_targets import MONEY_IN, Target
from panelworth.model.option import Item, Option
from panelworth.model.scenario import HALF_A_CENT
from panelworth.model.value import Quantity
from panelworth.plausible import limits
from panelworth.plausible.warning import likely_current_price, plain, targets
from panelworth.problems import Problem

WHOLE_PRICE = (
    "estimate",
    "quote",
    "invoice",
)  # a change, a payment or a credit may be a part of it
SETTLING = ("invoice", "payment", "credit")  # they count whoever sends them
NOT_IN_PARTS = ("estimate", "quote")  # an item may have several invoices, each for a part


def warnings_of(case: Case) -> Iterator[Problem]:
    """Warn of rows that are probably mistakes."""
    file = case.ledger_file
    for problem in _warnings(case):
        yield replace(problem, file=file.name, sheet=file.sheet)


def _warnings(case: Case) -> Iterator[Problem]:
    for entry in case.ledger:
        yield from _days(case, entry)
        if entry.kind == "payment" and (entry.amount or 0.0) < 0:
            expected, found = "what was paid, 0 or more", plain(entry.amount or 0.0)
            hint = (
                "if it is a refund, leave it: it lowers what was paid; otherwise remove the minus"
            )
            yield _warning_at(entry, "amount", expected, found, hint)
    yield from _duplicates(case.ledger)
    for option_id, option in case.written_options.items():
        yield from _mixed(case, option_id)
        yield from _other_suppliers(case, option_id)
        yield from _overpaid(case, option_id)
        yield from _far_off(case, option_id, option)


def _days(case: Case, entry: Entry) -> Iterator[Problem]:
    as_of = case.scenario.as_of
    far = timedelta(days=limits.LEDGER_YEARS * limits.DAYS_IN_A_YEAR)
    if abs(entry.date - as_of) > far:
        expected = f"a day within {limits.LEDGER_YEARS} years of as_of, {as_of}"
        yield _warning_at(entry, "date", expected, str(entry.date), "check the year")
    if entry.expires and entry.expires < entry.date:
        expected = f"a day on or after the row's date, {entry.date}"
        yield _warning_at(entry, "expires", expected, str(entry.expires), "check the year of both")


def _duplicates(ledger: Sequence[Entry]) -> Iterator[Problem]:
    """Warn of a document that is in the ledger twice.

    Two rows are the same invoice if supplier and reference are the same, and the item or the sum
    too: an invoice that is divided over several items has another sum on each row. Any two rows
    are the same if all but the note is the same.
    """
    first_rows: dict[tuple[object, ...], Entry] = {}
    for entry in ledger:
        keys = list(_document_keys(entry))
        first = next((first_rows[key] for key in keys if key in first_rows), None)
        for key in keys:
            first_rows.setdefault(key, entry)
        if first is not None:
            expected = f"each {entry.kind} once"
            found = f"that of line {first.line} again: {_described(entry)}"
            hint = "it is counted twice: remove one, or write its own reference"
            yield _warning_at(
                entry, "reference" if entry.reference else "amount", expected, found, hint
            )


def _document_keys(entry: Entry) -> Iterator[tuple[object, ...]]:
    """Yield keys of a row: two rows with a common key are the same document."""
    item, document = (entry.option, entry.item), _document(entry)
    if entry.kind == "invoice" and entry.reference:
        yield "item", *document, *item
        yield "sum", *document, entry.amount
    yield entry.kind, *item, *document, entry.date, entry.amount


def _document(entry: Entry) -> tuple[str, str]:
    """Return supplier and reference, so that capitals and spaces make no difference."""
    return entry.supplier.casefold(), "".join(entry.reference.casefold().split())


def _described(entry: Entry) -> str:
    words = [entry.supplier, entry.reference, plain(entry.amount or 0.0)]
    return ", ".join(word for word in words if word)


def _mixed(case: Case, option_id: str) -> Iterator[Problem]:
    """Warn of a total that mixes the lines of several suppliers: nobody has offered it."""
    mix = mixed_suppliers(case, option_id)
    if not mix:
        return
    lines = {row.line for row in case.ledger if row.kind == "quote" and row.supplier}
    statuses = case.ledger_statuses_of(option_id)
    newest = max(row.line for status in statuses for row in status.price_rows if row.line in lines)
    found = ", ".join(f"{item} by {supplier or 'nobody named'}" for item, supplier in mix.items())
    hint = f'write supplier = "…" in options/{option_id}.toml, or in its items'
    yield Problem(
        file="",
        line=newest,
        key="supplier",
        expected=f"one supplier's quotes for {option_id}: nobody offered this mix",
        found=found,
        hint=hint,
        severity="warning",
    )


def _other_suppliers(case: Case, option_id: str) -> Iterator[Problem]:
    """Warn of invoices, payments and credits that name another supplier than the item's."""
    option = case.written_options[option_id]
    for target in targets(case, option_id):
        supplier = supplier_of(option, target)
        status = case.ledger_statuses.get(target.path)
        for entry in status.rows if status and supplier else ():
            if entry.kind in SETTLING and not is_of(entry, supplier):
                expected = f"{supplier}, the supplier of {target.name}"
                hint = "it counts all the same; correct the name, or the item it belongs to"
                yield _warning_at(entry, "supplier", expected, entry.supplier, hint)


def _overpaid(case: Case, option_id: str) -> Iterator[Problem]:
    """Warn of payments above the current price, or above what comes in, at the last payment."""
    for target in targets(case, option_id):
        payments = _payments(case.ledger_statuses.get(target.path))
        paid = math.fsum(entry.amount or 0.0 for entry in payments)
        current = likely_current_price(case, option_id, target) if payments else 0.0
        if payments and paid > current + HALF_A_CENT:
            expected = (
                f"payments of at most the current price of {target.name}, {plain(current)} with tax"
            )
            hint = "write the quote or invoice that it pays, or the item that it belongs to"
            if target.kind in MONEY_IN:
                expected = f"payments of at most what {target.name} brings in, {plain(current)}"
                hint = "write the quote of what is to come in, or what the payment belongs to"
            yield _warning_at(payments[-1], "amount", expected, f"{plain(paid)} in all", hint)


def _payments(status: LedgerStatus | None) -> list[Entry]:
    return [row for row in status.rows if row.kind == "payment"] if status else []


def _far_off(case: Case, option_id: str, option: Option) -> Iterator[Problem]:
    """Warn of documents whose sum is far from the range in the option file."""
    items = {item.name: item for item in option.items}
    for target in targets(case, option_id):
        item = items[target.name] if target.kind == "items" else None
        status = case.ledger_statuses.get(target.path)
        for entry in status.rows if status else ():
            low, high = _file_range(case, option, target, item)
            problems = list(_rate_problems(entry, item.rate, low, high)) if item else []
            yield from problems or _range_problems(entry, low, high)


def _file_range(
    case: Case, option: Option, target: Target, item: Item | None
) -> tuple[float, float]:
    """Return the lowest and highest price in the option file, before tax."""
    if item is not None and item.cost is None:
        hours, rate = item.hours, item.rate
        return (hours.low * rate.low, hours.high * rate.high) if hours and rate else (0.0, 0.0)
    price = own_price(case.scenario, option, target)
    return price.low, price.high


def _rate_problems(
    entry: Entry, rate: Quantity | None, low: float, high: float
) -> Iterator[Problem]:
    """Warn of a price that is the item's rate of one hour."""
    if entry.kind not in WHOLE_PRICE or low <= (entry.amount or 0.0) <= high:
        return
    if rate and entry.amount and entry.amount in (rate.low, rate.likely, rate.high):
        found = f"{plain(entry.amount)}, the item's rate an hour"
        hint = "write the hours times the rate"
        yield _warning_at(entry, "amount", "the whole sum of the document", found, hint)


def _range_problems(entry: Entry, low: float, high: float) -> Iterator[Problem]:
    """Warn of a price that is many times above or below the range in the option file."""
    amount, times = entry.amount or 0.0, limits.QUOTE_TIMES
    small = entry.kind in NOT_IN_PARTS and 0 < amount < low / times
    if entry.kind in WHOLE_PRICE and high > 0 and (amount > high * times or small):
        expected = f"a sum near the option file's {plain(low)} to {plain(high)}"
        if low == high:
            expected = f"a sum near the option file's {plain(high)}"
        hint = "check for a sum in thousands, a missing digit, or a document about another item"
        yield _warning_at(entry, "amount", expected, plain(amount), hint)


def _warning_at(entry: Entry, key: str, expected: str, found: str, hint: str) -> Problem:
    return Problem(
        file="",
        line=entry.line,
        key=key,
        expected=expected,
        found=found,
        hint=hint,
        severity="warning",
    )
