"""fleet.toml: the other aircraft, when they are down, and when none may be."""

from typing import Annotated, ClassVar

from pydantic import AfterValidator, WithJsonSchema, model_validator

from panelworth.model.dates import Day
from panelworth.model.scenario import MONTHLY_WEIGHTS_SCHEMA, monthly_weights
from panelworth.model.value import Record, declared, refuse, text_input, unique_by_name


class Window(Record):
    """A period of days, from the first to the last one, both included."""

    heading: ClassVar[str] = "Window"
    first: Day = declared("From", "date", "First day.", alias="from")
    last: Day = declared("To", "date", "Last day.", alias="to")
    reason: str = text_input("Reason", "Why.", default="")

    @model_validator(mode="after")
    def _ends_after_start(self) -> "Window":
        if self.last < self.first:
            days = f"{self.first} to {self.last}"
            raise refuse('"to" on or after "from"', days, "swap the two days", worded=True)
        return self


class OtherAircraft(Record):
    """Another aircraft of the club."""

    heading: ClassVar[str] = "Other aircraft"
    name: str = text_input("Name", "What it is called.", min_length=1)
    hours_per_year: float = declared("Hours", "hours a year", "What it flies.", default=0.0)
    season: (
        Annotated[
            tuple[float, ...],
            AfterValidator(monthly_weights),
            WithJsonSchema(MONTHLY_WEIGHTS_SCHEMA),
        ]
        | None
    ) = declared(
        "Season weights",
        "weights",
        "How its flying spreads over January to December; as today's airplane if left out.",
        default=None,
    )
    down: tuple[Window, ...] = declared("Planned downtime", "list", "When it is down.", default=())


class Fleet(Record):
    """fleet.toml as a whole."""

    heading: ClassVar[str] = "Fleet"
    max_down: int = declared(
        "Most aircraft down",
        "count",
        "At once, the one of the question included.",
        low=1,
        default=1,
    )
    aircraft: Annotated[
        tuple[OtherAircraft, ...], AfterValidator(lambda v: unique_by_name(v, "aircraft"))
    ] = declared("Other aircraft", "list", "The rest of the fleet.", default=())
    blackout: tuple[Window, ...] = declared(
        "Blackout dates", "list", "When the airplane may not be down.", default=()
    )
