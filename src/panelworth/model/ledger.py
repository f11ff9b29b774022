"""ledger.csv: estimates, quotes, invoices, payments and credits as they come in."""

import datetime as dt
from typing import ClassVar, Literal

from panelworth.model.value import LARGEST, Record, given, words

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
