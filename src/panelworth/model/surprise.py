"""[[surprises]] of an option: what may turn up once the panel is open."""

from typing import ClassVar, Literal

from panelworth.model.ledger import LedgerStatus
from panelworth.model.value import Quantity, Record, amount, declared, share, text_input


class Surprise(Record):
    """Extra work that may turn up. Its price is with tax.

    The likely view counts chance·cost, an allowance, and no weeks. A trial counts the whole cost
    and the whole weeks if it happens there.
    """

    heading: ClassVar[str] = "What may turn up"
    name: str = text_input("Name", "What may turn up.", min_length=1)
    chance: Quantity = share("Chance", "How likely it turns up; 0 for what nobody expected.")
    cost: Quantity = amount("Cost", "money", "What it then costs, tax in.")
    weeks: Quantity = amount("Weeks more", "weeks", "How much longer the airplane is then away.")
    when: Literal["start", "finish"] = declared(
        "Paid at", "choice", "When it is then paid.", default="finish"
    )
    resolved: bool | None = declared(
        "Resolved",
        "yes or no",
        "Write false once it is known that it does not turn up; a ledger row says that it did.",
        default=None,
    )


def has_happened(status: LedgerStatus | None) -> bool | None:
    """Return whether it has turned up by the ledger; None where no row sets its price.

    It has with an estimate, a quote or an invoice. A final invoice of 0 says that it has not.
    """
    if status is None or status.price is None:
        return None
    return not (status.final and status.price.likely == 0.0)
