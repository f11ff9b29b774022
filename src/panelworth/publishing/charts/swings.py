"""The inputs with the largest effect on an option: one bar for each range (a tornado diagram).

All other inputs are at their likely values. A bar is filled where the option is ahead of the
baseline and hollow where it is behind, as marks are. Its labels are the ends of the range, so that
a reader sees which value gives which result.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from panelworth.engine.results.figures import (
    Swing,
)
from panelworth.publishing.charts.outcomes import LETTER, WIDTH
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import sure_words
from panelworth.publishing.words.outcome_words import outcome

MOST = 4  # bars
GAP = 2 * LETTER  # between the two labels under a bar
SMALL = 1.0  # of a unit of money: a shorter bar shows nothing


@dataclass(frozen=True, kw_only=True)
class End:
    """The label of a bar's end, and its place."""

    x: float
    label: str


@dataclass(frozen=True, kw_only=True)
class SwingBar:
    """One range: its name, the hollow and the filled part of its bar (x and width), its labels.

    `turns` is the text with the value within the range at which the option and the baseline are
    even; "" if there is none or there are several.
    """

    name: str
    turns: str
    hollow: tuple[float, float]
    filled: tuple[float, float]
    left: End
    right: End
    text: str


@dataclass(frozen=True, kw_only=True)
class Swings:
    """The bars of an option on one scale, and the place of the baseline's line."""

    option: OptionTag
    zero: float
    bars: tuple[SwingBar, ...]


def swings(view: View, tag: OptionTag) -> Swings | None:
    """Return the widest swings of an option; None if no range affects it."""
    widest = [swing for swing in view.option(tag.id).swings if swing.width >= SMALL]
    widest = widest[:MOST]
    if not widest:
        return None
    ends = [0.0, *(end for swing in widest for end in (swing.low, swing.high))]
    least, width = min(ends), max(ends) - min(ends)
    names = sure_words.range_names(view, [swing.input for swing in widest])

    def x(amount: float) -> float:
        return round((amount - least) / width * WIDTH, 1)

    bars = tuple(
        _bar(view, tag, swing, name, (x(0.0), x(swing.low), x(swing.high)))
        for swing, name in zip(widest, names, strict=True)
    )
    return Swings(option=tag, zero=x(0.0), bars=bars)


def _bar(
    view: View, tag: OptionTag, swing: Swing, name: str, at: tuple[float, float, float]
) -> SwingBar:
    zero, low, high = at
    first, last = sorted((low, high))
    labels = sure_words.range_ends(view, swing.input)
    left, right = labels if low <= high else labels[::-1]
    even = min(max(zero, first), last)
    return SwingBar(
        name=name,
        turns=sure_words.turns(view, tag, swing.input),
        hollow=(first, round(even - first, 1)),
        filled=(even, round(last - even, 1)),
        **_placed((first, last), (left, right)),
        text=_(
            "{input}: {low} gives {worth}, {high} gives {more}.",
            input=name,
            low=labels[0],
            worth=outcome(view, swing.low),
            high=labels[1],
            more=outcome(view, swing.high),
        ),
    )


def _placed(span: tuple[float, float], labels: Sequence[str]) -> dict[str, End]:
    """Place two labels under the ends of a bar, without overlap and within the picture.

    `x` is the start of the left label and the end of the right one.
    """
    needed = len("".join(labels)) * LETTER + GAP
    missing = max(needed - (span[1] - span[0]), 0.0)
    first = min(max(span[0] - missing / 2, 0.0), WIDTH - needed)
    last = max(span[1], first + needed)
    return {
        "left": End(x=round(first, 1), label=labels[0]),
        "right": End(x=round(min(last, WIDTH), 1), label=labels[1]),
    }
