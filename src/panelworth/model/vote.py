"""A members' vote on options: anonymous ballots with marks.

This is not ballots.csv of a scenario, which says what members want the panel to do.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

VoteKind = Literal["approval", "ranking"]
BallotMarks = Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Vote:
    """All ballots of one kind on the same options.

    The marks of a ballot are by option, without unmarked options. An approval is 1, a rank its
    number, of which only the order counts. A blank ballot has no marks.
    """

    kind: VoteKind
    options: tuple[str, ...]
    ballots: tuple[BallotMarks, ...]
