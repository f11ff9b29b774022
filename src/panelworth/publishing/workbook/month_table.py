"""The table of an option's months: its columns, and the addresses of its cells in formulas."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from xlsxwriter.utility import xl_col_to_name

from panelworth.publishing.workbook.book import Sheet

FIRST_MONTH_ROW = 4  # counted from 0; below title, note and headings


@dataclass(frozen=True, kw_only=True)
class MonthRow:
    """The row of one month; it gives the addresses of cells for formulas on the same sheet."""

    letters: Mapping[str, str]
    month: int
    last: int

    @property
    def number(self) -> int:
        """The row's number in the spreadsheet, from 1."""
        return FIRST_MONTH_ROW + self.month + 1

    def __call__(self, key: str) -> str:
        """Return the cell of a column in this month."""
        return f"${self.letters[key]}{self.number}"

    def previous(self, key: str) -> str:
        """Return the cell of a column in the month before."""
        return f"${self.letters[key]}{self.number - 1}"

    def all_months(self, key: str) -> str:
        """Return the cells of a column in all months."""
        first, letter = FIRST_MONTH_ROW + 1, self.letters[key]
        return f"${letter}${first}:${letter}${first + self.last}"

    def to_date(self, key: str) -> str:
        """Return the cells of a column from month 0 to this one."""
        letter = self.letters[key]
        return f"${letter}{FIRST_MONTH_ROW + 1}:${letter}{self.number}"

    def latest(self, key: str, months: int) -> str:
        """Return the cells of a column in the latest `months` months, with this one."""
        letter = self.letters[key]
        return f"${letter}{self.number - months + 1}:${letter}{self.number}"


@dataclass(frozen=True, kw_only=True)
class MonthColumn:
    """A column of the table: heading, style, the values from the engine, the formula of a month.

    Months before `first` have plain values, because operations run from month 1. Without a formula
    all months have plain values.
    """

    key: str
    heading: str
    values: Sequence[float | str]
    formula: Callable[[MonthRow], str] | None = None
    style: str = "flow"
    first: int = 0


@dataclass(frozen=True, kw_only=True)
class MonthTable:
    """An option's months on their sheet. `baseline` is the baseline's table, None for itself."""

    sheet: Sheet
    columns: tuple[MonthColumn, ...]
    months: int
    baseline: "MonthTable | None" = None

    @cached_property
    def numbers(self) -> dict[str, int]:
        """The number of each column, from 0."""
        return {column.key: number for number, column in enumerate(self.columns)}

    @cached_property
    def letters(self) -> dict[str, str]:
        """The letter of each column."""
        return {key: xl_col_to_name(number) for key, number in self.numbers.items()}

    def row(self, month: int) -> MonthRow:
        """Return a month's row."""
        return MonthRow(letters=self.letters, month=month, last=self.months)

    def column(self, key: str, first: int = 0) -> str:
        """Return the address of a column from month `first` to the end, for any sheet."""
        last = FIRST_MONTH_ROW + self.months
        return self.sheet.span(FIRST_MONTH_ROW + first, last, self.numbers[key])

    def cell(self, key: str, month: int) -> str:
        """Return the address of one month's cell, for any sheet."""
        return self.sheet.at(FIRST_MONTH_ROW + month, self.numbers[key])
