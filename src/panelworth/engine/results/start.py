"""The reasons why a start is refused.

A module of its own, since the check of a folder needs no other result of the airplane.
"""

from dataclasses import dataclass
from typing import Literal

Why = Literal["order", "arrival", "fleet", "blackout", "horizon"]


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """One reason why a start is refused.

    `what` names the other aircraft's downtime or the blackout, "" for other reasons. `first` and
    `last` are the days that are in conflict, or the one day that the start has to respect, as ISO
    dates.
    """

    why: Why
    what: str
    first: str
    last: str
