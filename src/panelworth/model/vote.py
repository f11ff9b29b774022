"""A members' vote on options, as it was cast: no names, only marks.

Not to be mixed up with a scenario's ballots.csv, which holds what members want the panel to do.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

VoteKind = Literal["approval", "ranking"]
BallotMarks = Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Vote:
    """All ballots of one kind on the same options.

    A ballot's marks leave out what is not marked. An approval is 1; a rank is its number, of which
    the order alone counts. A blank ballot has no marks.
    """

    kind: VoteKind
    options: tuple[str, ...]
    ballots: tuple[BallotMarks, ...]
