"""The rows of the page "Side by side": a cell an option, their order, and the differences in words.

A script on the page orders and places; it works nothing out, so that everything it may ever show
is written here: the rank of every cell, and its difference to each other one.
"""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from panelworth.publishing.formats import (
    MINUS,
    NONE,
    Formats,
    about,
    duration,
    number,
    percent,
    plural,
    signed,
    tenths,
)
from panelworth.publishing.language import noted, say, say_counted
from panelworth.publishing.view import OptionTag

Better = Literal["low", "high", ""]
Worded = Callable[[float], str]
DIFFERS = noted("differs")
NOTHING = 1e-9  # what rounds to no difference, whatever its unit


@dataclass(frozen=True, kw_only=True)
class Cell:
    """What a row says of one option; `value` orders it, None where there is nothing to order."""

    text: str
    value: float | None = None


@dataclass(frozen=True, kw_only=True)
class Row:
    """One thing to compare: which end is better, "" where none is, and how a difference is said."""

    key: str
    label: str
    cells: Mapping[str, Cell]
    better: Better = ""
    gap: Worded | None = None

    @property
    def ranks(self) -> dict[str, int | None]:
        """Number the cells from the least up, those of one value or that read alike alike."""
        found: dict[str, int | None] = dict.fromkeys(self.cells)
        rank, last = -1, Cell(text="")
        for option_id in sorted(self._ordered(), key=lambda each: self.cells[each].value or 0.0):
            cell = self.cells[option_id]
            rank += cell.text != last.text and cell.value != last.value
            found[option_id], last = rank, cell
        return found

    def _ordered(self) -> list[str]:
        return [option_id for option_id, cell in self.cells.items() if cell.value is not None]

    @property
    def ordered(self) -> bool:
        """Say whether any two options differ in it, so that it can order them."""
        return len(set(self.ranks.values()) - {None}) > 1

    def best(self) -> list[str]:
        """Name the options that are best among all; none where all are alike or no end is."""
        ranks = {key: rank for key, rank in self.ranks.items() if rank is not None}
        if not self.better or not self.ordered:
            return []
        end = min(ranks.values()) if self.better == "low" else max(ranks.values())
        return [key for key, rank in ranks.items() if rank == end]

    def difference(self, first: str, other: str) -> str:
        """Say how an option's cell differs from another's.

        Nothing where both read alike, or where the cell itself is that difference.
        """
        a, b = self.cells[first], self.cells[other]
        if a.text == b.text or NONE in (a.text, b.text):
            return ""
        if self.gap is None or a.value is None or b.value is None:
            return say(DIFFERS)
        if math.isinf(a.value) or math.isinf(b.value):
            return say(DIFFERS)
        gap = b.value - a.value
        text, nothing = self.gap(gap), self.gap(math.copysign(NOTHING, gap))
        return text if gap and text not in (b.text, nothing) else ""

    def data(self, ids: Sequence[str]) -> dict[str, Any]:
        """Return what the page's script places, options by their number in `ids`."""
        ranks = self.ranks
        return {
            "label": self.label,
            "better": self.better,
            "ranks": [ranks[option_id] for option_id in ids],
            "gaps": [[self.difference(first, other) for other in ids] for first in ids],
        }


@dataclass(frozen=True, kw_only=True)
class Group:
    """Rows that belong together; `matter` says for whom, `more` leads to the page that tells all.

    `folded` rows are many and small: they stand behind their own heading.
    """

    id: str
    title: str
    matter: str
    rows: Sequence[Row]
    more: tuple[str, str] = ("", "")
    folded: Sequence[Row] = ()
    folded_title: str = ""


def row(
    key: str,
    label: str,
    found: Mapping[str, float | None],
    write: Worded,
    *,
    better: Better = "",
    gap: Worded | None = None,
) -> Row:
    """Make a row of figures; where an option has none, a dash."""
    cells = {
        option_id: Cell(text=NONE if value is None else write(value), value=value)
        for option_id, value in found.items()
    }
    return Row(key=key, label=label, cells=cells, better=better, gap=gap)


def told(key: str, label: str, found: Mapping[str, str]) -> Row:
    """Make a row of words, which have no order."""
    return Row(
        key=key, label=label, cells={each: Cell(text=text or NONE) for each, text in found.items()}
    )


def with_something(rows: Sequence[Row]) -> list[Row]:
    """Leave out rows that say nothing of any option."""
    return [each for each in rows if any(cell.text != NONE for cell in each.cells.values())]


def money_gap(formats: Formats) -> Worded:
    """Word a difference in whole money: "+$9,300"."""
    return formats.change


def cents_gap(formats: Formats) -> Worded:
    """Word a difference to the cent: "+$9.56"."""
    return lambda gap: signed(formats.cents(gap))


def counted(one: str, many: str) -> Worded:
    """Word a difference as a count: "+2 units"."""
    return lambda gap: f"{MINUS if gap < 0 else '+'}{plural(abs(gap), one, many)}"


def points(gap: float) -> str:
    """Word a difference of shares: "+12 points"."""
    count = 1 if _whole(abs(gap)) == "+1" else 2
    return say_counted("{points} point", "{points} points", count).format(points=_whole(gap))


def points_in_tenths(gap: float) -> str:
    """Word a difference of rates: "−3.6 points"."""
    return say("{tenths} points", tenths=signed(tenths(gap * 100)))


def ratio(gap: float) -> str:
    """Word a difference of ratios: "−0.22"."""
    return signed(number(gap))


def in_100(gap: float) -> str:
    """Word a difference of chances: "+12 in 100"."""
    return say("{count} in 100", count=_whole(gap))


def _whole(gap: float) -> str:
    return signed(percent(gap, 0).removesuffix(" %"))


def by_months(gap: float) -> str:
    """Word a difference in months: "1 year 3 months later"."""
    span = duration(int(abs(gap)))
    return say("{span} later", span=span) if gap > 0 else say("{span} sooner", span=span)


def by_days(gap: float) -> str:
    """Word a difference in days: "7 days later"."""
    span = plural(abs(gap), "day", "days")
    return say("{span} later", span=span) if gap > 0 else say("{span} earlier", span=span)


def plain(gap: float) -> str:
    """Word a difference of plain numbers: "+3"."""
    return signed(about(gap))


def by_option(tags: Sequence[OptionTag], find: Callable[[OptionTag], Any]) -> dict[str, Any]:
    """Look a figure up for every option, in their order."""
    return {tag.id: find(tag) for tag in tags}
