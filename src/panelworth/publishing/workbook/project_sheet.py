"""The Project sheet: what each option pays and receives, line by line, and what is still to pay."""

from dataclasses import dataclass

from panelworth.publishing.view import OptionTag
from panelworth.publishing.workbook.book import Cell, Sheet, value_of
from panelworth.publishing.workbook.project_lines import (
    KINDS,
    Kind,
    ProjectLine,
    project_lines,
)
from panelworth.publishing.workbook.terms import Terms

HEADINGS = (
    "Kind", "What", "Price before tax", "Tax", "With tax", "Already paid, tax in",
    "Still to pay or receive", "When", "Counts for resale",
)  # fmt: skip
WIDTHS = (11, 46, 15, 9, 15, 15, 15, 10, 19)
KIND, WHAT, PRICE, TAX, TAXED, PAID, OPEN, WHEN, RESALE = range(9)


@dataclass(frozen=True, kw_only=True)
class Sums:
    """An option's lines added up: formulas over its block of the Project sheet, with values."""

    sheet: Sheet
    first: int
    lines: list[ProjectLine]

    def has(self, kind: Kind) -> bool:
        """Say whether there is any line of a kind."""
        return any(line.kind == kind for line in self.lines)

    def total(self, kind: Kind) -> Cell:
        """Add up a kind, tax in, what is already paid counted too."""
        value = sum(line.taxed for line in self.lines if line.kind == kind)
        return Cell(formula=self._sum(TAXED, {KIND: kind}), value=value)

    def falling(self, kind: Kind, when: str) -> Cell:
        """Add up what of a kind is still to pay or receive at the order, start or finish."""
        chosen = [each for each in self.lines if each.kind == kind and value_of(each.when) == when]
        formula = self._sum(OPEN, {KIND: kind, WHEN: when})
        return Cell(formula=formula, value=sum(line.taxed for line in chosen))

    def resale(self) -> Cell:
        """Add up the prices before tax of what a buyer pays part of back."""
        counted = [line for line in self.lines if value_of(line.resale) == "yes"]
        value = sum(float(value_of(line.price)) for line in counted)
        return Cell(formula=self._sum(PRICE, {RESALE: "yes"}), value=value)

    def _sum(self, column: int, wanted: dict[int, str]) -> str:
        if not self.lines:
            return "0"
        last = self.first + len(self.lines) - 1
        heading = self.first - 1  # in the span, since some programs take no single cell here
        tests = [f'{self.sheet.span(heading, last, at)},"{is_}"' for at, is_ in wanted.items()]
        return f"SUMIFS({self.sheet.span(heading, last, column)},{','.join(tests)})"


def write_project(sheet: Sheet) -> dict[str, Sums]:
    """Write every option's lines and return their sums."""
    sheet.put(0, 0, "What is paid and received", "title")
    sheet.put(1, 0, "Prices come from Inputs. What is already paid is out of the reserve: write it")
    sheet.put(2, 0, "into the coloured cells, and only the rest falls into the months.")
    for column, width in enumerate(WIDTHS):
        sheet.page.set_column(column, column, width)
    sheet.page.freeze_panes(4, 2)
    for column, heading in enumerate(HEADINGS):
        side = "_right" if PRICE <= column <= OPEN else "_indented" if column > OPEN else ""
        sheet.put(3, column, heading, f"heading{side}")
    row, sums = 5, {}
    for tag in sheet.book.view.tags.values():
        sums[tag.id] = _block(sheet, row, tag)
        row += len(sums[tag.id].lines) + 2
    return sums


def _block(sheet: Sheet, row: int, tag: OptionTag) -> Sums:
    lines = project_lines(Terms(book=sheet.book, option_id=tag.id))
    lines.sort(key=lambda line: KINDS.index(line.kind))
    for column in range(len(HEADINGS)):
        sheet.put(row - 1, column, tag.title if column == 0 else "", "section")
    for number, line in enumerate(lines):
        _write(sheet, row + number, line)
    return Sums(sheet=sheet, first=row, lines=lines)


def _write(sheet: Sheet, row: int, line: ProjectLine) -> None:
    here = row + 1
    sheet.put(row, KIND, line.kind)
    sheet.put(row, WHAT, line.what)
    sheet.put(row, PRICE, line.price, "money")
    sheet.put(row, TAX, line.tax, "rate")
    taxed = Cell(formula=f"$C{here}*(1+$D{here})", value=line.taxed)
    sheet.put(row, TAXED, taxed, "money")
    if line.paid_path:
        sheet.put(row, PAID, 0.0, "input money")
        sheet.book.define(line.paid_path, sheet.at(row, PAID))
    left = Cell(formula=f"MAX(0,$E{here}-$F{here})", value=line.taxed)
    sheet.put(row, OPEN, left, "money")
    sheet.put(row, WHEN, line.when, "indented")
    sheet.put(row, RESALE, line.resale, "indented")
