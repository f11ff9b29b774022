"""The chosen option item by item: voted, forecast, and what the ledger says of each."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from panelworth.engine.cash_flow.price_list import prices_of
from panelworth.engine.ledger.allocation import parts_of
from panelworth.engine.ledger.current_price import supplier_of
from panelworth.engine.ledger.progress import committed, invoiced
from panelworth.engine.ledger.settlement import settled_on
from panelworth.engine.project_status.underway import Underway
from panelworth.engine.results.prices import Price
from panelworth.engine.results.project_status import (
    Cause,
    ForecastPoint,
    ItemAccount,
    State,
    StatusItem,
)
from panelworth.model.case import option_prefix
from panelworth.model.ledger import Entry, LedgerStatus
from panelworth.model.ledger_targets import Target, named_options, targets_of
from panelworth.model.scenario import HALF_A_CENT
from panelworth.model.surprise import has_happened

PURCHASE = "buy"  # as rows of the ledger call it


@dataclass(frozen=True, kw_only=True)
class Line:
    """An item, job or purchase as voted and now, with its sums by the ledger; money with tax.

    `final` is whether its price can change no more: its invoice is final, or nothing is billed for
    it, because it is members' own work or something that did not turn up.
    """

    item: StatusItem
    account: ItemAccount
    committed: float
    final: bool


def lines_of(underway: Underway) -> list[Line]:
    """Return a line for each thing that costs something, in the order of the option's file."""
    option_id, now = underway.option_id, underway.case
    voted = prices_of(underway.voted, option_id)
    forecast = prices_of(now, option_id)
    option = now.options[option_id]
    targets = {target.path: target for target, _ in targets_of(option, option_prefix(option_id))}
    return [
        _line(underway, before, after, targets[after.path])
        for before, after in zip(voted, forecast, strict=True)
    ]


def _line(underway: Underway, before: Price, after: Price, target: Target) -> Line:
    is_surprise = target.kind == "surprises"
    # A surprise that is over has no price any more; one that may still come has its allowance.
    free = after.likely <= HALF_A_CENT and (is_surprise or before.high <= HALF_A_CENT)
    supplier = supplier_of(underway.case.options[underway.option_id], target)
    status = underway.case.ledger_statuses.get(after.path)
    giver = (status.price_rows[0].supplier if status and status.price_rows else "") or supplier
    item = StatusItem(
        name=after.name or PURCHASE,
        voted=before.likely,
        low=before.low,
        high=before.high,
        forecast=after.likely,
        state=_state(status, is_surprise=is_surprise),
        supplier=giver or None,
    )
    if status is None:
        account = ItemAccount(invoiced=0.0, paid=0.0, still_to_pay=after.unpaid, cause=None)
        return Line(item=item, account=account, committed=0.0, final=free)
    taxed = 1.0 + status.tax
    credited = float(status.credit.net(status.tax))
    account = ItemAccount(
        invoiced=(invoiced(status) - credited) * taxed,
        paid=status.paid,
        still_to_pay=after.unpaid,
        cause=_cause(status, underway.decision.on),
    )
    bound = committed(status) * taxed
    return Line(item=item, account=account, committed=bound, final=status.final or free)


def _state(status: LedgerStatus | None, *, is_surprise: bool) -> State:
    """Return what a price rests on: its final invoice, invoices, a quote, or an estimate."""
    if status is None:
        return "estimate"
    if is_surprise and has_happened(status):
        return "happened"
    if status.final:
        return "final"
    if any(entry.kind == "invoice" for entry in status.rows):
        return "invoiced"
    return "quote" if status.basis == "quote" else "estimate"


def _cause(status: LedgerStatus, since: date) -> Cause | None:
    """Return the newest row after the vote that moved the price; payments move none."""
    moving = [row for row in status.rows if row.date > since and _moves(row, status)]
    if not moving:
        return None
    row = moving[-1]
    return Cause(day=row.date, kind=row.kind, supplier=row.supplier, reference=row.reference)


def _moves(row: Entry, status: LedgerStatus) -> bool:
    return row in status.price_rows or row.kind in ("invoice", "credit")


def outlay_of(lines: list[Line]) -> float:
    """Return the likely outlay at completion: the sum of all forecasts."""
    return math.fsum(line.item.forecast for line in lines)


def history_of(underway: Underway, lines: list[Line]) -> Iterator[ForecastPoint]:
    """Yield the likely outlay on the day of the vote, and at the end of each day that moved it.

    The last one is that of the status date, when it is known what has not turned up.
    """
    written = underway.voted.written
    parts = parts_of(written)
    days = {row.date for row in rows_of(underway) if row.date <= underway.day}
    before = 0.0
    for day in sorted({underway.decision.on, *days}):
        if day < underway.decision.on:
            continue
        case = settled_on(written, parts, day, paid_until=day)
        outlay = math.fsum(price.likely for price in prices_of(case, underway.option_id))
        if outlay != before:
            yield ForecastPoint(day=day, outlay=outlay)
        before = outlay
    if abs(outlay_of(lines) - before) > HALF_A_CENT:
        yield ForecastPoint(day=underway.day, outlay=outlay_of(lines))


def rows_of(underway: Underway) -> list[Entry]:
    """Return the ledger's rows that name the chosen option."""
    case = underway.voted
    return [
        entry
        for entry in case.ledger
        if underway.option_id in named_options(entry.option, case.options)
    ]
