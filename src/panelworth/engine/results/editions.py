"""Frozen answers to what moved since the last edition, and to what falls due when."""

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
    """One input that differs between two editions: from what, to what.

    `option` is "" for what all options share; `before` and `after` hold the model's own values,
    None where it was not there. `places` are the places in the records that move with it.
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
    """Moves replayed at once, and what they alone change: by option, by figure.

    More than one where a move makes no sense alone; an effect is None where either figure is.
    """

    changes: tuple[InputChange, ...]
    effects: Headlines


@dataclass(frozen=True, kw_only=True)
class ChangeAttribution:
    """How each headline figure came from the last edition to this one.

    then + program + the steps' effects + interaction = now, by option and figure. `program` is
    what this version works out differently from the same inputs.
    """

    as_of: str
    steps: tuple[Step, ...]
    then: Headlines
    program: Headlines
    interaction: Headlines
    now: Headlines

    def change(self, option: str, figure: str) -> float | None:
        """Return by how much a figure of an option moved; None where an edition has none."""
        then, now = self.then[option][figure], self.now[option][figure]
        return None if then is None or now is None else now - then


Kind = Literal["quote", "order", "down", "inspection", "loan", "raise"]


@dataclass(frozen=True, kw_only=True)
class Deadline:
    """One day, or stretch of days, to keep in mind; `last` is the last day of it.

    `option` is "" for what holds whatever is decided; `name` is that of the item, "" where the day
    is the option's as a whole. `earliest` and `latest` say when an airplane
    is back, `order` on which day an option orders, `past` that the day lies before as_of. `paper`,
    `dated` and `row` are the kind, day and row in the ledger of what lapses.
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
