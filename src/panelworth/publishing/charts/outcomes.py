"""The outcomes of each option: 20 equally likely ones as marks on one axis, a row for each option.

These are quantile dot plots: people who count such marks judge chances better than from ranges or
curves (Kay, Kola, Hullman, Munson 2016; Fernandes, Walls, Munson, Hullman, Kay 2018). The line is
the baseline. Marks on its right are ahead of the baseline and filled; marks on its left are behind
it and hollow, so that neither colour nor side is the only difference.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from panelworth.engine.results.leading import LeadingFigures
from panelworth.model.scenario import HALF_A_CENT
from panelworth.publishing.charts.marks import marks
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import level_words
from panelworth.publishing.words.level_words import FUTURES
from panelworth.publishing.words.outcome_words import outcome
from panelworth.publishing.words.rounding import step_above

WIDTH = 320.0  # of the picture: about the width of a phone
MOST_COLUMNS = 20
SIDE = 50.0  # the least room on each side of the line, for the word beside it
STACK, LOW = 13.0, 8.0  # distance from mark to mark upwards, and from the bottom to the first
TALLEST = 45.0  # a higher stack gets smaller marks
LETTER = 5.6  # the approximate width of a letter in a label
TICKS = (1, 2, 5, 10, 20, 50)  # columns between two labels; a column is a round sum

State = Literal["ahead", "behind", "even"]


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A label of the axis."""

    x: float
    label: str


@dataclass(frozen=True, kw_only=True)
class OutcomesAxis:
    """The common scale of all rows: columns of `column` money each, counted from the baseline.

    `first` is the number of the first column, negative left of the baseline.
    """

    column: float
    first: int
    columns: int
    ticks: tuple[Tick, ...]

    @property
    def pitch(self) -> float:
        """The width of a column in the picture."""
        return WIDTH / self.columns

    @property
    def zero(self) -> float:
        """The place of the baseline's line."""
        return round(-self.first * self.pitch, 1)

    def x(self, amount: float) -> float:
        """Return the place of an amount, limited to the picture."""
        return round(min(max(self.zero + amount / self.column * self.pitch, 0.0), WIDTH), 1)


@dataclass(frozen=True, kw_only=True)
class OutcomesRow:
    """An option's marks, one path for each state, their size and height, and their text."""

    option: OptionTag
    paths: Mapping[State, str]
    size: float
    height: float
    text: str


def axis_of(view: View) -> OutcomesAxis:
    """Return the common scale of all outcomes of a scenario."""
    ends = [0.0, *(end for tag in view.others for end in outcomes(view.leading(tag)))]
    column = step_above(max((max(ends) - min(ends)) / MOST_COLUMNS, 1.0))
    # The room on both sides of the line can need more columns than there may be.
    while _columns(ends, column)[1] > MOST_COLUMNS:
        column = step_above(column * 1.5)
    first, count = _columns(ends, column)
    return OutcomesAxis(
        column=column, first=first, columns=count, ticks=_ticks(view.formats, column, first, count)
    )


def _columns(ends: Sequence[float], column: float) -> tuple[int, int]:
    """Return the first column and the number of columns, with room on both sides of the line."""
    first, last = math.floor(min(ends) / column), math.floor(max(ends) / column) + 1
    least = math.ceil(SIDE / WIDTH * (last - first))
    first, last = min(first, -least), max(last, least)
    return first, last - first


def _ticks(formats: Formats, column: float, first: int, count: int) -> tuple[Tick, ...]:
    """Return as many labels as fit without overlap; none at the line itself."""
    pitch = WIDTH / count
    for every in TICKS:
        places = [place for place in range(first, first + count + 1) if place and not place % every]
        ticks = [
            Tick(x=round((place - first) * pitch, 1), label=formats.change(place * column))
            for place in places
        ]
        widest = max((len(tick.label) for tick in ticks), default=0) * LETTER
        if every * pitch >= widest + LETTER:
            return tuple(tick for tick in ticks if widest / 2 <= tick.x <= WIDTH - widest / 2)
    return ()


def outcomes(leading: LeadingFigures) -> tuple[float, ...]:
    """Return an option's outcomes against the baseline, ascending.

    A single one if no range affects them: 20 equal marks would look like 20 results.
    """
    amounts = leading.trials.outcomes
    return amounts[:1] if amounts and amounts[-1] - amounts[0] < HALF_A_CENT else amounts


def outcomes_row(view: View, tag: OptionTag, axis: OutcomesAxis) -> OutcomesRow:
    """Return the row of an option: its outcomes as marks, stacked in columns."""
    states = _states(view, tag)
    columns = [
        _column(amount, state, axis)
        for amount, state in zip(outcomes(view.leading(tag)), states, strict=True)
    ]
    tallest = max((columns.count(column) for column in columns), default=1)
    size = round(min(1.0, TALLEST / (tallest * STACK)), 2)
    height = round(max(tallest, 2) * STACK * size + LOW / 2, 1)
    places: dict[State, list[tuple[float, float]]] = {}
    stacked = dict.fromkeys(columns, 0)
    for column, state in zip(columns, states, strict=True):
        x = axis.zero if state == "even" else (column - axis.first + 0.5) * axis.pitch
        # The template scales the marks by `size`, so that places are divided by it.
        y = height / size - LOW - stacked[column] * STACK
        places.setdefault(state, []).append((x / size, y))
        stacked[column] += 1
    return OutcomesRow(
        option=tag,
        paths={state: marks(tag.number, points) for state, points in places.items()},
        size=size,
        height=height,
        text=_text(view, tag),
    )


def _states(view: View, tag: OptionTag) -> list[State]:
    """Return the state of each outcome, so that the marks agree with the counts in the text.

    Where some outcomes equal the baseline's, the sign of each outcome decides.
    """
    amounts = outcomes(view.leading(tag))
    if any(abs(amount) <= HALF_A_CENT for amount in amounts) or len(amounts) < FUTURES:
        return [_sign(amount) for amount in amounts]
    behind = level_words.count_behind(view.leading(tag), view.leading(view.baseline))
    return ["behind" if place < behind else "ahead" for place in range(FUTURES)]


def _sign(amount: float) -> State:
    if abs(amount) <= HALF_A_CENT:
        return "even"
    return "ahead" if amount > 0 else "behind"


def _column(amount: float, state: State, axis: OutcomesAxis) -> int:
    place = math.floor(amount / axis.column)
    return {"ahead": max(place, 0), "behind": min(place, -1), "even": 0}[state]


def _text(view: View, tag: OptionTag) -> str:
    """Describe an option's marks in words."""
    amounts = outcomes(view.leading(tag))
    if not amounts:
        return ""
    if len(amounts) == 1:
        return _(
            "{option}: {sum} against {baseline}; no range bears on it.",
            option=tag.short,
            sum=outcome(view, amounts[0]),
            baseline=view.baseline.short,
        )
    figures, baseline = view.leading(tag), view.leading(view.baseline)
    return _(
        "{option}, {all} equally likely outcomes against {baseline}: {ahead} ahead, {behind} "
        "behind; from {low} to {high}, the middle near {middle}.",
        option=tag.short,
        baseline=view.baseline.short,
        all=FUTURES,
        ahead=level_words.count_ahead(figures, baseline),
        behind=level_words.count_behind(figures, baseline),
        low=outcome(view, amounts[0]),
        high=outcome(view, amounts[-1]),
        middle=outcome(view, view.leading(tag).trials.range.net_benefit.p50),
    )
