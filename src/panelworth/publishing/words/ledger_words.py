"""Sentences on the ledger: the rows behind a price, and the other rows of a project."""

from panelworth.model.case import Case
from panelworth.model.ledger import Entry, LedgerStatus, has_lapsed
from panelworth.publishing.formats import Formats, joined, near_day
from panelworth.publishing.language import N_, _

PURCHASE, SALE = N_("The other airplane"), N_("Sale of today's airplane")
KINDS = {
    "estimate": N_("estimate"),
    "quote": N_("quote"),
    "change": N_("change"),
    "invoice": N_("invoice"),
    "payment": N_("payment"),
    "credit": N_("credit"),
}


def thing_name(status: LedgerStatus) -> str:
    """Name the subject of a ledger row: an item, money in, a job, the purchase, the sale."""
    if status.name:
        return status.name
    return _(SALE if status.comes_in else PURCHASE)


def paper(entry: Entry, case: Case) -> str:
    """Name one row: "quote Q-118 of October 12, lapsed October 31 (ledger.csv, line 7)"."""
    as_of = case.scenario.as_of
    parts = [
        _(
            "{paper} of {day}",
            paper=paper_name(entry.kind, entry.reference),
            day=near_day(entry.date, as_of),
        )
    ]
    if entry.final and entry.kind == "invoice":
        parts.append(_("final"))
    if entry.expires and has_lapsed(entry, as_of):
        parts.append(_("lapsed {day}", day=near_day(entry.expires, as_of)))
    return f"{', '.join(parts)} ({_place(entry, case)})"


def paper_name(kind: str, reference: str) -> str:
    """Name a paper by its kind and its number, if it has one: "quote Q-118"."""
    return " ".join(part for part in (_(KINDS[kind]), reference) if part)


def _place(entry: Entry, case: Case) -> str:
    """Name the row of an entry: a text file has lines, a sheet of a workbook has rows."""
    file = case.ledger_file
    if file.sheet:
        return _("{file}, row {row}", file=file.name, row=entry.line)
    return _("{file}, line {line}", file=file.name, line=entry.line)


def price_basis(case: Case, formats: Formats, path: str, source: str) -> str:
    """Name the rows that a price comes from; without rows its `source` in the option file."""
    status = case.ledger_statuses.get(path)
    if status and status.price_rows:
        basis = joined([paper(entry, case) for entry in status.price_rows])
    elif source:
        basis = _("not on the ledger yet: the option file's figure, from “{source}”", source=source)
    else:
        basis = _("not on the ledger yet: the option file's guess")
    return "; ".join([basis, *(_besides(status, formats, case) if status else [])])


def _besides(status: LedgerStatus, formats: Formats, case: Case) -> list[str]:
    """Name the other rows: invoices so far, credits, payments."""
    cents, as_of, texts = formats.cents, case.scenario.as_of, []
    invoices = [entry for entry in status.rows if entry.kind == "invoice"]
    if invoices and status.basis != "invoice":
        texts.append(
            _(
                "invoiced so far {sum} before tax: {invoices}",
                sum=cents(status.invoiced.net(status.tax)),
                invoices=joined([paper(entry, case) for entry in invoices]),
            )
        )
    for entry in status.rows:
        sum_, day = cents(entry.amount), near_day(entry.date, as_of)
        if entry.kind == "credit":
            text = _("less a credit of {sum} on {day}", sum=sum_, day=day)
            texts.append(_with_reference(text, entry, case))
        elif entry.kind == "payment" and entry.date <= as_of:
            texts.append(_with_reference(_("paid {sum} on {day}", sum=sum_, day=day), entry, case))
    return texts


def _with_reference(text: str, entry: Entry, case: Case) -> str:
    return f"{', '.join(part for part in (text, entry.reference) if part)} ({_place(entry, case)})"


def lapsed_things(case: Case, option_id: str) -> list[str]:
    """Name everything in an option whose price comes from a lapsed paper."""
    return [
        thing_name(status)
        for status in case.ledger_statuses_of(option_id)
        if status.has_lapsed(case.scenario.as_of)
    ]
