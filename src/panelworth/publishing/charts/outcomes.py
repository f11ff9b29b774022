"""Where an option may end: 20 equally likely outcomes as marks on one axis, a row an option.

Quantile dot plots: people who count such marks judge chances better than from ranges or curves
(Kay, Kola, Hullman, Munson 2016; Fernandes, Walls, Munson, Hullman, Kay 2018). The line is the
baseline. Marks on its right are ahead and filled, those on its left are behind and hollow, so that
nobody depends on colour or on side alone.
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

WIDTH = 320.0  # of the picture; a phone shows it about as wide
MOST_COLUMNS = 20
SIDE = 50.0  # room for the word beside the line, and at least so much on both sides
STACK, LOW = 13.0, 8.0  # from mark to mark upwards, and from the foot to the first
TALLEST = 45.0  # higher stacks are drawn smaller
LETTER = 5.6  # about as wide as a letter of a label is
TICKS = (1, 2, 5, 10, 20, 50)  # columns from label to label: nice, since a column is

State = Literal["ahead", "behind", "even"]


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A label of the axis."""

    x: float
    label: str


@dataclass(frozen=True, kw_only=True)
class OutcomesAxis:
    """The one scale of all rows: columns of equal width, which begin at the baseline."""

    column: float
    first: int
    columns: int
    ticks: tuple[Tick, ...]

    @property
    def pitch(self) -> float:
        """How wide a column is drawn."""
        return WIDTH / self.columns

    @property
    def zero(self) -> float:
        """Where the baseline's line stands."""
        return round(-self.first * self.pitch, 1)

    def x(self, amount: float) -> float:
        """Return where an amount lies, within the picture."""
        return round(min(max(self.zero + amount / self.column * self.pitch, 0.0), WIDTH), 1)


@dataclass(frozen=True, kw_only=True)
class OutcomesRow:
    """An option's marks as one path a state, the height they take, and what they show in words."""

    option: OptionTag
    paths: Mapping[State, str]
    size: float
    height: float
    text: str


def axis_of(view: View) -> OutcomesAxis:
    """Return the scale on which all outcomes of a site are drawn."""
    ends = [0.0, *(end for tag in view.others for end in outcomes(view.leading(tag)))]
    column = step_above(max((max(ends) - min(ends)) / MOST_COLUMNS, 1.0))
    while _columns(ends, column)[1] > MOST_COLUMNS:
        column = step_above(column * 1.5)
    first, count = _columns(ends, column)
    return OutcomesAxis(
        column=column, first=first, columns=count, ticks=_ticks(view.formats, column, first, count)
    )


def _columns(ends: Sequence[float], column: float) -> tuple[int, int]:
    """Return the first column and how many there are, with room on both sides of the line."""
    first, last = math.floor(min(ends) / column), math.floor(max(ends) / column) + 1
    least = math.ceil(SIDE / WIDTH * (last - first))
    first, last = min(first, -least), max(last, least)
    return first, last - first


def _ticks(formats: Formats, column: float, first: int, count: int) -> tuple[Tick, ...]:
    """Return the labels, as many as do not touch one another; none at the line itself."""
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
    """Return an option's outcomes against the baseline; a single one if no range affects it."""
    amounts = leading.trials.outcomes
    return amounts[:1] if amounts and amounts[-1] - amounts[0] < HALF_A_CENT else amounts


def outcomes_row(view: View, tag: OptionTag, axis: OutcomesAxis) -> OutcomesRow:
    """Draw an option's outcomes, stacked in columns from the line outwards."""
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
        y = height / size - LOW - stacked[column] * STACK
        places.setdefault(state, []).append((x / size, y))
        stacked[column] += 1
    return OutcomesRow(
        option=tag,
        paths={state: marks(tag.number, spots) for state, spots in places.items()},
        size=size,
        height=height,
        text=_text(view, tag),
    )


def _states(view: View, tag: OptionTag) -> list[State]:
    """Return each outcome's side, so that a reader who counts marks gets the count in the text.

    Where some end even with the baseline, the sign decides.
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
    """Say what an option's marks show."""
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
