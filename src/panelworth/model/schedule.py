"""[schedule] of an option: when it is planned, and what has really happened since the vote."""

from datetime import date
from typing import ClassVar

from panelworth.model.dates import Day, day_after_weeks
from panelworth.model.value import Quantity, Record, amount, declared


class Schedule(Record):
    """When the airplane goes in, or the old one leaves.

    `ordered`, `started`, `finished` and `weeks_left` are what happened to the option that was
    voted for. They move the project page alone: the comparison stays what the members voted on.
    """

    heading: ClassVar[str] = "Schedule"
    start: Day = declared("Start", "date", "The day the airplane goes in, or the old one leaves.")
    weeks_down: Quantity = amount(
        "Weeks down", "weeks", "How long until there is an airplane to fly."
    )
    lead_weeks: Quantity = amount(
        "Lead time", "weeks", "From the order until the equipment is there."
    )
    order: Day | None = declared(
        "Order", "date", "The day the equipment is ordered; as_of if left out.", default=None
    )
    ordered: Day | None = declared(
        "Ordered on", "date", "The day the order was really placed.", default=None
    )
    started: Day | None = declared(
        "Started on", "date", "The day the work, or the replacement, really began.", default=None
    )
    finished: Day | None = declared(
        "Finished on", "date", "The day there was an airplane to fly again.", default=None
    )
    weeks_left: Quantity | None = declared(
        "Weeks left",
        "weeks",
        "How many weeks the work still takes, counted from the status date.",
        default=None,
    )

    @property
    def likely_finish(self) -> date:
        """The day on which there is an airplane to fly again, after the likely weeks."""
        return day_after_weeks(self.start, self.weeks_down.likely)
