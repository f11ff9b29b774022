"""[decision] and [vote] of scenario.toml: how the members vote, and what they decided."""

from typing import ClassVar, Literal

from panelworth.model.bounds import LARGEST
from panelworth.model.dates import Day
from panelworth.model.value import Record, declared, text_input


class Decision(Record):
    """What the members decided, and the day for which the project page is stated.

    Ledger rows after `on` do not move the comparison. They move the project page up to `status`.
    """

    heading: ClassVar[str] = "The decision"
    chosen: str = text_input("Chosen option", "The id of the option that was chosen.")
    on: Day = declared("Decided on", "date", "The day of the decision.")
    budget: float | None = declared(
        "Budget", "money", "The most that may be spent on it, tax in.", default=None
    )
    status: Day | None = declared(
        "Status date",
        "date",
        "The day the project page is stated for; the day of the newest ledger row if left out.",
        default=None,
    )
    reserve: float | None = declared(
        "Reserve on the status date",
        "money",
        "Cash on hand on the status date, without the engine fund.",
        low=-LARGEST,
        default=None,
    )
    assessment_collected: bool = declared(
        "Assessment collected",
        "yes or no",
        "Whether the members' assessment is in that reserve.",
        default=True,
    )


class Vote(Record):
    """Who may vote, and what it takes; the bylaws decide, not this file."""

    heading: ClassVar[str] = "The vote"
    entitled: int | None = declared(
        "Members entitled", "people", "Who may vote; all members if left out.", default=None
    )
    quorum: float = declared(
        "Quorum", "share", "The share of those entitled who must vote.", default=0.0
    )
    majority: float = declared(
        "Majority", "share", "An option needs more than this share of the votes.", default=0.5
    )
    of: Literal["cast", "entitled"] = declared(
        "Share of",
        "choice",
        "What the majority is a share of: the ballots cast with a mark, or all entitled.",
        default="cast",
    )
