"""How formulas name what they read: an option's inputs, its steps, the cells of its month table.

`Terms` mirrors the engine's context: the same questions are asked of it, and it answers with the
names and addresses of cells.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from xlsxwriter.utility import xl_col_to_name

from panelworth.engine.results.figures import OptionFigures, Series
from panelworth.model.case import option_prefix
from panelworth.model.option import Option
from panelworth.publishing.view import View
from panelworth.publishing.workbook.book import Book, Sheet

FIRST_MONTH_ROW = 4  # counted from 0; below title, note and headings


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What an option's inputs and steps are called in formulas."""

    book: Book
    option_id: str

    @property
    def view(self) -> View:
        """The scenario with its figures."""
        return self.book.view

    @property
    def option(self) -> Option:
        """The option as its file says it."""
        return self.view.case.options[self.option_id]

    @property
    def series(self) -> Series:
        """The option's likely context as the engine has it."""
        return self.view.series(self.option_id)

    @property
    def figures(self) -> OptionFigures:
        """The option's figures as the engine has them."""
        return self.view.option(self.option_id)

    @property
    def is_baseline(self) -> bool:
        """Whether the other options are compared with this one."""
        return self.option_id == self.view.figures.baseline

    def path(self, key: str) -> str:
        """Return the whole path of one of the option's own keys."""
        return f"{option_prefix(self.option_id)}{key}"

    def given(self, path: str) -> str:
        """Return the name of an input."""
        return self.book.names[path]

    def own(self, key: str) -> str:
        """Return the name of one of the option's own inputs or steps."""
        return self.book.names[self.path(key)]

    def likely(self, path: str) -> float:
        """Return the likely value of an input."""
        return self.view.inputs[path].quantity.likely

    def changed(self, key: str) -> bool:
        """Say whether [after] has a new value at a key of [aircraft]."""
        return self.option.after.new(key) is not None

    def finally_path(self, key: str) -> str:
        """Return where a key of [aircraft] stands at the end."""
        return self.path(f"after.{key}") if self.changed(key) else f"aircraft.{key}"

    def initial_value(self, key: str) -> str:
        """Return the name of a key of [aircraft] as it stands on as_of."""
        return self.given(f"aircraft.{key}")

    def final_value(self, key: str) -> str:
        """Return the name of a key of [aircraft] as it stands at the end."""
        return self.given(self.finally_path(key))

    def in_force(self, key: str, line: "Line") -> str:
        """Return a key of [aircraft] in a month: today's value, then [after]'s from finish+1."""
        before = self.initial_value(key)
        return (
            f"IF({line('after')},{self.final_value(key)},{before})" if self.changed(key) else before
        )


@dataclass(frozen=True, kw_only=True)
class Line:
    """One month of an option's table: the cells its formulas read."""

    letters: Mapping[str, str]
    month: int
    last: int

    @property
    def row(self) -> int:
        """The row as a spreadsheet counts, from 1."""
        return FIRST_MONTH_ROW + self.month + 1

    def __call__(self, key: str) -> str:
        """Return the cell of a column in this month."""
        return f"${self.letters[key]}{self.row}"

    def before(self, key: str) -> str:
        """Return the cell of a column in the month before."""
        return f"${self.letters[key]}{self.row - 1}"

    def whole(self, key: str) -> str:
        """Return the cells of a column in all months."""
        first, letter = FIRST_MONTH_ROW + 1, self.letters[key]
        return f"${letter}${first}:${letter}${first + self.last}"

    def until(self, key: str) -> str:
        """Return the cells of a column from month 0 to this one."""
        letter = self.letters[key]
        return f"${letter}{FIRST_MONTH_ROW + 1}:${letter}{self.row}"

    def lately(self, key: str, months: int) -> str:
        """Return the cells of a column in the last so many months, this one among them."""
        letter = self.letters[key]
        return f"${letter}{self.row - months + 1}:${letter}{self.row}"


@dataclass(frozen=True, kw_only=True)
class Column:
    """One row of the cash flow, written downwards: heading, look, values, formula a month.

    Months before `first` hold plain values: operations run from month 1. Without a formula all do.
    """

    key: str
    heading: str
    values: Sequence[float | str]
    formula: Callable[[Line], str] | None = None
    style: str = "flow"
    first: int = 0


@dataclass(frozen=True, kw_only=True)
class Table:
    """Where an option's month table stands, and that of the baseline, for all but itself."""

    sheet: Sheet
    columns: tuple[Column, ...]
    months: int
    baseline: "Table | None" = None

    @cached_property
    def places(self) -> dict[str, int]:
        """The column number of each key."""
        return {column.key: number for number, column in enumerate(self.columns)}

    @cached_property
    def letters(self) -> dict[str, str]:
        """The column letter of each key."""
        return {key: xl_col_to_name(place) for key, place in self.places.items()}

    def line(self, month: int) -> Line:
        """Return a month's line."""
        return Line(letters=self.letters, month=month, last=self.months)

    def whole(self, key: str, first: int = 0) -> str:
        """Return the address of a column from month `first` to the end."""
        last = FIRST_MONTH_ROW + self.months
        return self.sheet.span(FIRST_MONTH_ROW + first, last, self.places[key])

    def cell(self, key: str, month: int) -> str:
        """Return the address of one month's cell."""
        return self.sheet.at(FIRST_MONTH_ROW + month, self.places[key])
