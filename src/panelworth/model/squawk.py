"""squawks.csv: a row for each failure of a unit, and the rates that follow from the log."""

from typing import ClassVar

from panelworth.model.bounds import LARGEST
from panelworth.model.dates import Day
from panelworth.model.value import Quantity, Record, declared, text_input


class Squawk(Record):
    """One row of the log: one failure of one unit. It has no names of people."""

    heading: ClassVar[str] = "Squawk"
    line: int = declared("Row", "count", "Where the row is in the file.")
    date: Day = declared("Date", "date", "The day of the failure.")
    unit: str = text_input("Unit", "Which unit failed, by its name in equipment.toml.")
    days: float | None = declared(
        "Days", "days grounded", "Days without the airplane.", default=None
    )
    cost: float | None = declared("Cost", "money", "Tax in.", high=LARGEST, default=None)
    note: str = text_input("Note", "Anything else.", default="")


class LoggedRate(Quantity):
    """A rate of failures from a log: `failures` of them in `exposure` years at today's rate.

    Its distribution is the Jeffreys posterior of a Poisson rate, a gamma distribution: the value at
    rank q is χ²(q; 2n+1)/(2·exposure), n the failures. `likely` is its mean, (n + ½)/exposure;
    `low` and `high` are its values at 0.1 and 0.9. The project's method, section 8.
    """

    failures: int
    exposure: float
