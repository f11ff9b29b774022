"""ledger.csv: estimates, quotes, invoices, payments and credits as they come in."""

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar, Literal

from panelworth.model.value import LARGEST, Quantity, Record, given, words

KINDS = ("estimate", "quote", "change", "invoice", "payment", "credit")
Kind = Literal["estimate", "quote", "change", "invoice", "payment", "credit"]


class Entry(Record):
    """One row of the ledger."""

    heading: ClassVar[str] = "Ledger"
    line: int = given("Row", "count", "Where the row stands in the file.")
    date: dt.date = given("Date", "date", "The day on the paper.")
    option: str = words("Option", "Which option it belongs to.")
    item: str = words("Item", "The item's ledger key or name.")
    kind: Kind = given("Kind", "choice", "What the paper is.")
    amount: float | None = given("Amount", "money", "The sum.", low=-LARGEST, default=None)
    low: float | None = given("Low", "money", "The least it may be.", low=-LARGEST, default=None)
    high: float | None = given("High", "money", "The most it may be.", low=-LARGEST, default=None)
    tax_included: bool = given(
        "Tax included", "yes or no", "Whether tax is in the amount.", default=False
    )
    supplier: str = words("Supplier", "Who wrote it.", default="")
    reference: str = words("Reference", "Its number.", default="")
    expires: dt.date | None = given("Expires", "date", "Last day it holds.", default=None)
    final: bool = given("Final", "yes or no", "Whether it is the last invoice.", default=False)
    note: str = words("Note", "Anything else.", default="")


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What the ledger makes of one item, or of one entry of money in.

    `path` is that of the item, such as options.refit.items[Display]; `rows` are all it has in the
    ledger and `papers` those its price rests on, oldest first. `price` is before tax, None where
    the option file's own figure stands; it costs no less than `invoiced` in any world, and
    `credit` is taken off after that, both before tax. `paid` is with tax, up to as_of.
    """

    path: str
    rows: tuple[Entry, ...]
    papers: tuple[Entry, ...]
    price: Quantity | None
    invoiced: float
    credit: float
    paid: float

    @property
    def final(self) -> bool:
        """Whether the price is settled by invoices of which one is the last."""
        return any(entry.kind == "invoice" and entry.final for entry in self.rows)

    @property
    def name(self) -> str:
        """The item's name."""
        return self.path.partition("[")[2].removesuffix("]")

    @property
    def basis(self) -> str:
        """The kind of paper it stands on: invoice, quote or estimate; "written" without one."""
        return self.papers[0].kind if self.papers else "written"


def has_lapsed(entry: Entry, as_of: dt.date) -> bool:
    """Say whether a paper's last day is over; it still counts, and pages say so."""
    return entry.expires is not None and entry.expires < as_of
