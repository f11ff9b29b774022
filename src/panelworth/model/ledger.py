"""The ledger: estimates, quotes, changes, invoices, payments and credits, one in each row."""

import datetime as dt
from dataclasses import dataclass
from typing import Any, ClassVar, Literal, get_args

from panelworth.model.bounds import LARGEST
from panelworth.model.dates import Day
from panelworth.model.names import folded
from panelworth.model.value import Quantity, Record, declared, text_input

Number = Any  # a number, or an array with one number for each trial
Kind = Literal["estimate", "quote", "change", "invoice", "payment", "credit"]
KINDS: tuple[Kind, ...] = get_args(Kind)


class Entry(Record):
    """One row of the ledger."""

    heading: ClassVar[str] = "Ledger"
    line: int = declared("Row", "count", "Where the row stands in the file.")
    date: Day = declared("Date", "date", "The day on the paper.")
    option: str = text_input("Option", "Which option it belongs to; several are joined by +.")
    item: str = text_input(
        "Item",
        "The item's ledger key or name, or buy, sell or a job; several are joined by +; all items "
        "if left empty.",
    )
    kind: Kind = declared("Kind", "choice", "What the paper is.")
    # Below 0 too: a change can lower a price, an invoice can correct another, a payment can be a
    # refund. Other kinds are refused below 0 in reading/ledger.py.
    amount: float | None = declared("Amount", "money", "The sum.", low=-LARGEST, default=None)
    low: float | None = declared("Low", "money", "The least it may be.", low=-LARGEST, default=None)
    high: float | None = declared(
        "High", "money", "The most it may be.", low=-LARGEST, default=None
    )
    tax_included: bool = declared(
        "Tax included", "yes or no", "Whether tax is in the amount.", default=False
    )
    supplier: str = text_input("Supplier", "Who wrote it.", default="")
    reference: str = text_input("Reference", "Its number.", default="")
    expires: Day | None = declared("Expires", "date", "Last day it holds.", default=None)
    final: bool = declared("Final", "yes or no", "Whether it is the last invoice.", default=False)
    note: str = text_input("Note", "Anything else.", default="")


@dataclass(frozen=True, kw_only=True)
class Sums:
    """Sums of documents: amounts stated before tax, and amounts stated with tax included.

    They are kept apart because the tax can be a range: the trial's tax converts them.
    """

    before_tax: float = 0.0
    tax_in: float = 0.0

    def net(self, tax: Number) -> Number:
        """Return the total before tax: before_tax + tax_in/(1 + tax).

        >>> Sums(before_tax=100.0, tax_in=125.0).net(0.25)
        200.0
        """
        return self.before_tax + self.tax_in / (1.0 + tax)


@dataclass(frozen=True, kw_only=True)
class LedgerStatus:
    """What the ledger says of one item, job, purchase, sale or entry of money in.

    `path` is its path, such as options.refit.items[Display]. `rows` are all its rows, `price_rows`
    those that its price comes from, oldest first. `price` is before tax at `tax`, its likely tax;
    None if the price of the option file holds. `tax_in` says whether the first of `price_rows` is
    stated with tax included. `shift` is what the later ones add. In no trial does it cost less
    than `invoiced`; `credit` is subtracted after that. `paid` is with tax, up to as_of.
    """

    path: str
    rows: tuple[Entry, ...] = ()
    price_rows: tuple[Entry, ...] = ()
    price: Quantity | None = None
    tax: float = 0.0
    tax_in: bool = False
    shift: Sums = Sums()
    invoiced: Sums = Sums()
    credit: Sums = Sums()
    paid: float = 0.0

    def net(self, price: Number, tax: Number) -> Number:
        """Return the current price before tax at another tax than the likely one.

        `price` is the input, before tax at the likely tax T. A part h of it was stated with tax
        included. That amount stays h·(1 + T) whatever tax t is drawn, and so is h·(1 + T)/(1 + t)
        before tax. h is price - shift before tax if the first document has tax included, else what
        the later documents add with tax included.
        """
        if self.price is None:
            return price
        held = price - self.shift.before_tax if self.tax_in else self.shift.tax_in / (1 + self.tax)
        return price + held * ((1.0 + self.tax) / (1.0 + tax) - 1.0)

    def current(self, price: float) -> float:
        """Return the current price before tax at the likely tax: max(price, invoices) - credits.

        >>> sums = {"invoiced": Sums(tax_in=125.0), "credit": Sums(before_tax=10.0)}
        >>> LedgerStatus(path="", tax=0.25, **sums).current(80.0)
        90.0
        """
        invoiced, credit = (float(sums.net(self.tax)) for sums in (self.invoiced, self.credit))
        return max(price, invoiced) - credit

    @property
    def likely(self) -> float | None:
        """The likely current price with tax; None if the price of the option file holds."""
        return None if self.price is None else self.current(self.price.likely) * (1.0 + self.tax)

    @property
    def billed(self) -> float:
        """The sum of invoices so far, with tax."""
        return float(self.invoiced.net(self.tax)) * (1.0 + self.tax)

    @property
    def final(self) -> bool:
        """Whether one of the invoices is marked as the last: the price cannot change any more."""
        return any(entry.kind == "invoice" and entry.final for entry in self.rows)

    @property
    def name(self) -> str:
        """The item's name."""
        return self.path.partition("[")[2].removesuffix("]")

    @property
    def comes_in(self) -> bool:
        """Whether it is money in: an entry of [[credits]], or the sale."""
        return self.path.partition("[")[0].endswith((".credits", ".sell"))

    def has_lapsed(self, as_of: dt.date) -> bool:
        """Return whether a document that its price comes from has expired."""
        return any(has_lapsed(entry, as_of) for entry in self.price_rows)

    @property
    def basis(self) -> str:
        """What the current price comes from: invoice, quote, estimate, or "written" without any."""
        return self.price_rows[0].kind if self.price_rows else "written"


def has_lapsed(entry: Entry, as_of: dt.date) -> bool:
    """Return whether a document has expired. It still counts, and pages say that it has expired."""
    return entry.expires is not None and entry.expires < as_of


def is_of(entry: Entry, supplier: str) -> bool:
    """Return whether a row counts for a supplier: a row that names none counts for every one.

    "" stands for any supplier.
    """
    return not supplier or not entry.supplier or same_supplier(entry.supplier, supplier)


def same_supplier(one: str, other: str) -> bool:
    """Return whether two names mean one supplier: capitals and spaces do not matter."""
    return folded(one) == folded(other)
