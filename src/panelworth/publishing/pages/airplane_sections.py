"""What a section on the airplane is put together from: words, a table, its details."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from panelworth.model.case import Case
from panelworth.model.equipment import Airplane
from panelworth.publishing.charts.axes import Chart
from panelworth.publishing.view import OptionTag

FILE, DETAILS = "airplane.html", "details.html"


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table of finished cells; `words`: all of them are words, which start at the left."""

    caption: str
    head: Sequence[Any]
    rows: Sequence[Any]
    words: bool = False


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What is said of one thing, under its name."""

    term: str
    note: str = ""
    lines: Sequence[str]


@dataclass(frozen=True, kw_only=True)
class Listing:
    """Things under one heading, with what is said of each."""

    caption: str
    entries: Sequence[Entry]
    after: str = ""


@dataclass(frozen=True, kw_only=True)
class Part:
    """Details of one option, or under one heading: lines, pictures, lists, tables."""

    title: str = ""
    option: OptionTag | None = None
    lines: Sequence[str] = ()
    charts: Sequence[Chart] = ()
    listings: Sequence[Listing] = ()
    tables: Sequence[Table] = ()


@dataclass(frozen=True, kw_only=True)
class Section:
    """A question about the airplane: its answer, one table, and what a mechanic looks up.

    `beside` are the words that must not be missed beside the table's figures; `how` says how they
    were worked out, below the details, which `more` names.
    """

    id: str
    label: str
    question: str
    answer: Sequence[str]
    table: Table | None = None
    beside: Sequence[str] = ()
    cautions: Sequence[str] = ()
    more: str = ""
    parts: Sequence[Part] = ()
    how: Sequence[str] = ()


def airplane_of(case: Case, tag: OptionTag) -> Airplane | None:
    """Return the airplane an option leaves, as its file describes it."""
    replaced = case.options[tag.id].replaces_airplane
    equipment = case.replacements.get(tag.id) if replaced else case.equipment
    return equipment.airplane if equipment else None
