"""Results about changes since the last edition, and about deadlines."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Literal

HEADLINE_KEYS = (
    "upfront",
    "net_benefit",
    "cost_per_hour",
    "solved_raise",
    "lowest_balance",
    "budget_p80",
)
Headline = Mapping[str, float | None]
Headlines = Mapping[str, Headline]
RecordPath = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class InputChange:
    """One input that differs between two editions.

    `option` is "" for an input that all options share. `before` and `after` are values of the
    model, None where the input is missing. `places` are the places in the records that the change
    replaces.
    """

    option: str
    path: str
    label: str
    unit: str
    before: object
    after: object
    places: tuple[RecordPath, ...]


@dataclass(frozen=True, kw_only=True)
class Step:
    """Changes that are applied together, and their effects by option and figure.

    A step has more than one change where one of them alone would be inconsistent. An effect is None
    where one of the two figures is None.
    """

    changes: tuple[InputChange, ...]
    effects: Headlines


@dataclass(frozen=True, kw_only=True)
class ChangeAttribution:
    """How each headline figure came from the last edition to this one.

    then + program + the sum of the steps' effects + interaction = now, by option and figure.
    `program` is the difference that this version of the program makes with the same inputs.
    """

    as_of: str
    steps: tuple[Step, ...]
    then: Headlines
    program: Headlines
    interaction: Headlines
    now: Headlines

    def change(self, option: str, figure: str) -> float | None:
        """Return the change of an option's figure; None where one of the editions has no figure."""
        then, now = self.then[option][figure], self.now[option][figure]
        return None if then is None or now is None else now - then


Kind = Literal["quote", "order", "down", "inspection", "loan", "raise"]


@dataclass(frozen=True, kw_only=True)
class Deadline:
    """One deadline: a day, or a period from `first` to `last`, both included.

    `option` is "" for a deadline that does not depend on the decision. `name` is the name of the
    item, "" where the deadline belongs to the option as a whole. `back` is the likely day on which
    the airplane is back, `earliest` and `latest` are that day at the low and high weeks down.
    `order` is the day on which the option orders; `past` says that the day is before as_of.
    `paper`, `dated` and `row` are the kind, the date and the row of the quote in the ledger that
    lapses.
    """

    kind: Kind
    first: date
    last: date
    option: str
    past: bool
    name: str = ""
    supplier: str = ""
    reference: str = ""
    every_months: int | None = None
    every_days: int | None = None
    back: date | None = None
    earliest: date | None = None
    latest: date | None = None
    order: date | None = None
    restarted: bool = False
    paper: str = ""
    dated: date | None = None
    row: int = 0
