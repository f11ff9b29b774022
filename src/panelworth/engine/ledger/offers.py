"""The offers of suppliers for an option's items, by the newest quotes of each supplier."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from panelworth.engine.ledger.current_price import (
    ledger_status_of,
    quote_papers,
    supplier_of,
    tax_of,
)
from panelworth.engine.results.offers import Offer, OfferedPrice, OfferTable
from panelworth.model.case import Case, option_prefix
from panelworth.model.ledger import Entry, has_lapsed, same_supplier
from panelworth.model.ledger_targets import MONEY_IN, Target, targets_of
from panelworth.model.names import folded
from panelworth.model.status_date import status_date


@dataclass(frozen=True, kw_only=True)
class Quoted:
    """One supplier's price of one item: likely, with tax; `papers` are the rows it rests on."""

    target: Target
    price: float
    papers: tuple[Entry, ...]

    @property
    def expires(self) -> date | None:
        """The earliest day on which one of its rows expires; None where no row says so."""
        return min((row.expires for row in self.papers if row.expires), default=None)


def quotes_by_supplier(case: Case, option_id: str) -> Mapping[str, tuple[Quoted, ...]]:
    """Return what each supplier has quoted for an option, by the supplier's name.

    A quote that names no supplier counts under every one. Rows after the members' vote are left
    out. Empty where no quote names a supplier.
    """
    rows = _rows_by_target(case, option_id)
    names: list[str] = []
    for entries in rows.values():
        for entry in entries:
            if entry.kind == "quote" and entry.supplier and not _known(entry.supplier, names):
                names.append(entry.supplier)
    return {name: tuple(_quoted(case, option_id, rows, name)) for name in names}


def offers_of(case: Case, option_id: str) -> dict[str, Offer]:
    """Return each supplier's offer for an option, in the order of their first quotes."""
    quotes = quotes_by_supplier(case, option_id)
    by_path = {
        name: {quoted.target.path: quoted for quoted in quoted_items}
        for name, quoted_items in quotes.items()
    }
    every = dict.fromkeys(path for quoted in by_path.values() for path in quoted)
    by_all = [path for path in every if all(path in quoted for quoted in by_path.values())]
    names = {quoted.target.path: quoted.target.name for own in quotes.values() for quoted in own}
    return {
        name: Offer(
            total=math.fsum(quoted.price for quoted in own.values()),
            comparable=math.fsum(own[path].price for path in by_all),
            missing=tuple(names[path] for path in every if path not in own),
            expires=_iso(min((q.expires for q in own.values() if q.expires), default=None)),
        )
        for name, own in by_path.items()
    }


def offer_tables(case: Case) -> dict[str, OfferTable]:
    """Return the offers of each option that has any, by the option's id.

    After a decision a price has lapsed if it has expired by the status date.
    """
    day = status_date(case) if case.scenario.decision else case.scenario.as_of
    tables = {option_id: _offer_table(case, option_id, day) for option_id in case.options}
    return {option_id: table for option_id, table in tables.items() if table}


def _offer_table(case: Case, option_id: str, day: date) -> OfferTable | None:
    """Return the offers for an option side by side; None where no quote names a supplier.

    A price has lapsed if one of its rows has expired by `day`.
    """
    quotes = quotes_by_supplier(case, option_id)
    if not quotes:
        return None
    items = dict.fromkeys(quoted.target for own in quotes.values() for quoted in own)
    ordered = [target for target in _rows_by_target(case, option_id) if target in items]
    statuses = {target: case.ledger_statuses[target.path] for target in ordered}
    return OfferTable(
        suppliers=tuple(quotes),
        prices={
            target.name: {
                supplier: OfferedPrice(
                    price=quoted.price,
                    lapsed=any(has_lapsed(row, day) for row in quoted.papers),
                )
                for supplier, own in quotes.items()
                for quoted in own
                if quoted.target == target
            }
            for target in ordered
        },
        counted={
            target.name: status.price_rows[0].supplier if status.price_rows else ""
            for target, status in statuses.items()
        },
        total=math.fsum(status.likely or 0.0 for status in statuses.values()),
        mixed=bool(mixed_suppliers(case, option_id)),
    )


def mixed_suppliers(case: Case, option_id: str) -> dict[str, str]:
    """Return whose quote sets the price of each item, where nobody offered this mix; else {}.

    It is a mix where prices come from the quotes of several suppliers, and one of these items was
    quoted by several, so that the newest quote alone has decided between them.
    """
    option, counted, contested = case.written_options[option_id], {}, False
    for target, entries in _rows_by_target(case, option_id).items():
        status = case.ledger_statuses[target.path]
        if supplier_of(option, target) or status.basis != "quote":
            continue
        counted[target.name] = status.price_rows[0].supplier
        quotes = {folded(row.supplier) for row in entries if row.kind == "quote" and row.supplier}
        contested = contested or len(quotes) > 1
    several = len({folded(name) for name in counted.values() if name}) > 1
    return counted if contested and several else {}


def _rows_by_target(case: Case, option_id: str) -> dict[Target, tuple[Entry, ...]]:
    """Return the rows of each thing that costs something, in the order of the option's file."""
    statuses = case.ledger_statuses
    return {
        target: statuses[target.path].rows
        for target, _ in targets_of(case.options[option_id], option_prefix(option_id))
        if target.kind not in MONEY_IN and target.path in statuses
    }


def _quoted(
    case: Case, option_id: str, rows: Mapping[Target, Sequence[Entry]], supplier: str
) -> Iterator[Quoted]:
    option = case.written_options[option_id]
    for target, entries in rows.items():
        papers = quote_papers(entries, supplier)
        if not papers:
            continue
        tax = tax_of(option, target)
        status = ledger_status_of(target.path, papers, tax=tax, paid_until=case.scenario.as_of)
        yield Quoted(target=target, price=status.likely or 0.0, papers=tuple(papers))


def _known(supplier: str, names: list[str]) -> bool:
    return any(same_supplier(supplier, name) for name in names)


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
