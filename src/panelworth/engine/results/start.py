"""Why a start is refused, by itself: checking a folder needs no other figure of the airplane."""

from dataclasses import dataclass
from typing import Literal

Why = Literal["order", "arrival", "fleet", "blackout", "horizon"]


@dataclass(frozen=True, kw_only=True)
class Refusal:
    """Why a start is refused; `first` and `last` are the days in question, as ISO dates."""

    why: Why
    what: str
    first: str
    last: str
