"""The parts of a section on the airplane: its answer, a table, its details."""

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
    """A table of written cells. With `words` the cells are texts and are aligned left."""

    caption: str
    head: Sequence[Any]
    rows: Sequence[Any]
    words: bool = False


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A name with the lines about it."""

    term: str
    note: str = ""
    lines: Sequence[str]


@dataclass(frozen=True, kw_only=True)
class Listing:
    """Entries under one heading."""

    caption: str
    entries: Sequence[Entry]
    after: str = ""


@dataclass(frozen=True, kw_only=True)
class Part:
    """Details of one option, or under one title: lines, pictures, lists, tables."""

    title: str = ""
    option: OptionTag | None = None
    lines: Sequence[str] = ()
    charts: Sequence[Chart] = ()
    listings: Sequence[Listing] = ()
    tables: Sequence[Table] = ()


@dataclass(frozen=True, kw_only=True)
class Section:
    """A question about the airplane, its answer, one table, and details for a mechanic.

    `beside` are sentences that must be read with the table, such as limits of its figures. `more`
    is the link to the details (`parts`); `how`, below them, explains the calculation.
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
    """Return the airplane after an option is done; None where no file describes it."""
    replaced = case.options[tag.id].replaces_airplane
    equipment = case.replacements.get(tag.id) if replaced else case.equipment
    return equipment.airplane if equipment else None
