"""fleet.toml: the other aircraft, when they are down, and when none may be."""

from typing import Annotated, ClassVar

from pydantic import AfterValidator, WithJsonSchema, model_validator

from panelworth.model.dates import Day
from panelworth.model.scenario import TWELVE_SCHEMA, twelve
from panelworth.model.value import Record, given, refuse, unique_by_name, words


class Window(Record):
    """A stretch of days, both ends included."""

    heading: ClassVar[str] = "Window"
    first: Day = given("From", "date", "First day.", alias="from")
    last: Day = given("To", "date", "Last day.", alias="to")
    reason: str = words("Reason", "Why.", default="")

    @model_validator(mode="after")
    def _forward(self) -> "Window":
        if self.last < self.first:
            days = f"{self.first} to {self.last}"
            raise refuse('"to" on or after "from"', days, "swap the two days", worded=True)
        return self


class OtherAircraft(Record):
    """Another aircraft of the club."""

    heading: ClassVar[str] = "Other aircraft"
    name: str = words("Name", "What members call it.", min_length=1)
    hours_per_year: float = given("Hours", "hours a year", "What it flies.", default=0.0)
    season: (
        Annotated[tuple[float, ...], AfterValidator(twelve), WithJsonSchema(TWELVE_SCHEMA)] | None
    ) = given(
        "Season weights",
        "weights",
        "How its flying spreads over January to December; as today's airplane if left out.",
        default=None,
    )
    down: tuple[Window, ...] = given("Planned downtime", "list", "When it is down.", default=())


class Fleet(Record):
    """fleet.toml as a whole."""

    heading: ClassVar[str] = "Fleet"
    max_down: int = given(
        "Most aircraft down",
        "count",
        "At once, the one of the question included.",
        low=1,
        default=1,
    )
    aircraft: Annotated[
        tuple[OtherAircraft, ...], AfterValidator(lambda v: unique_by_name(v, "aircraft"))
    ] = given("Other aircraft", "list", "The rest of the fleet.", default=())
    blackout: tuple[Window, ...] = given(
        "Blackout dates", "list", "When the airplane may not be down.", default=()
    )
