"""Rows of twenty marks: the filled ones count the futures in which something is true.

Filled marks come first: scattered marks seem to be more than they are (Price and others 2022). The
same denominator everywhere keeps chances comparable (Garcia-Retamero, Okan, Cokely 2012).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from panelworth.publishing.charts.marks import marks
from panelworth.publishing.charts.outcomes import State
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.level_words import FUTURES

PITCH, MIDDLE = 16.0, 7.0  # distance from mark to mark, and from the top to the centre of a mark
MOST_PAIRS = 6


@dataclass(frozen=True, kw_only=True)
class MarksOfOption:
    """The marks of one option within a row, as one path."""

    number: int
    state: State
    path: str


@dataclass(frozen=True, kw_only=True)
class RowOfTwenty:
    """A row of 20 marks, and its description in words."""

    parts: tuple[MarksOfOption, ...]
    text: str


@dataclass(frozen=True, kw_only=True)
class Pair:
    """Two options in the same 20 futures: how often each is ahead, and the row of marks."""

    left: OptionTag
    right: OptionTag
    ahead: int
    behind: int
    row: RowOfTwenty


def row_of_twenty(filled: OptionTag, count: int, hollow: OptionTag, text: str) -> RowOfTwenty:
    """Return a row with `count` filled marks of one option and hollow marks of another."""
    places = [((place + 0.5) * PITCH, MIDDLE) for place in range(FUTURES)]
    parts = (
        MarksOfOption(
            number=filled.number, state="ahead", path=marks(filled.number, places[:count])
        ),
        MarksOfOption(
            number=hollow.number, state="behind", path=marks(hollow.number, places[count:])
        ),
    )
    return RowOfTwenty(parts=tuple(part for part in parts if part.path), text=text)


def pairs(view: View) -> list[Pair]:
    """Return pairs of options: all of them, or the best with every other if there are too many.

    The option that is ahead more often is on the left.
    """
    tags = by_rank(view)
    matched = list(combinations(tags, 2))
    if len(matched) > MOST_PAIRS:
        matched = [(tags[0], other) for other in tags[1:]]
    return [_pair(view, one, other) for one, other in matched]


def by_rank(view: View) -> list[OptionTag]:
    """Return the options by the number of futures in which they are ahead, over all pairs."""
    tags = list(view.tags.values())
    return sorted(tags, key=lambda tag: -_wins(view, tag, tags))


def _wins(view: View, tag: OptionTag, tags: Sequence[OptionTag]) -> int:
    leading = view.leading(tag)
    counts = (
        level_words.count_ahead(leading, view.leading(other)) for other in tags if other is not tag
    )
    return int(math.fsum(counts))


def _pair(view: View, one: OptionTag, other: OptionTag) -> Pair:
    ahead = level_words.count_ahead(view.leading(one), view.leading(other))
    behind = level_words.count_behind(view.leading(one), view.leading(other))
    if ahead < behind:
        one, other, ahead, behind = other, one, behind, ahead
    text = _(
        "{option} ends ahead in {ahead} of {all} futures, {other} in {behind}.",
        option=one.short,
        other=other.short,
        ahead=ahead,
        behind=behind,
        all=FUTURES,
    )
    row = row_of_twenty(one, ahead, other, text)
    return Pair(left=one, right=other, ahead=ahead, behind=behind, row=row)
