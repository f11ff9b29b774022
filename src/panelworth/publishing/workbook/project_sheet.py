"""The Project sheet: what each option pays and receives, line by line, and what is still to pay."""

import math
from dataclasses import dataclass

from xlsxwriter.utility import xl_rowcol_to_cell

from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag
from panelworth.publishing.workbook.book import Cell, Sheet, value_of
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.project_lines import LedgerKey, ProjectLine, project_lines
from panelworth.publishing.workbook.terms import Terms
from panelworth.publishing.workbook.words import KINDS, YES, Kind, word

HEADINGS = (
    N_("Kind"),
    N_("What"),
    N_("Price before tax"),
    N_("Invoiced so far, before tax"),
    N_("Credits, before tax"),
    N_("Stands at, before tax"),
    N_("Tax, or selling cost"),
    N_("With tax"),
    N_("Already paid, with tax"),
    N_("Still to pay or receive"),
    N_("When"),
    N_("Counts for resale"),
)
WIDTHS = (11, 46, 15, 15, 15, 15, 9, 15, 15, 15, 10, 19)
KIND, WHAT, PRICE, INVOICED, CREDIT, NET, TAX, TAXED, PAID, OPEN, WHEN, RESALE = range(12)
LEDGER: dict[int, LedgerKey] = {INVOICED: "invoiced", CREDIT: "credit", PAID: "paid"}
NOTE = (
    N_("Prices come from {inputs}. Nothing costs less than its invoices so far; credits come off."),
    N_("What is already paid is out of the reserve, so that only the rest falls into the months."),
    N_("The coloured cells come from the ledger and may be changed."),
)


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
        value = math.fsum(line.taxed for line in self.lines if line.kind == kind)
        return Cell(formula=self._sum(TAXED, {KIND: word(KINDS[kind])}), value=value)

    def falling(self, kind: Kind, when: str) -> Cell:
        """Add up what of a kind is still to pay or receive at the order, start or finish."""
        then = word(when)
        chosen = [each for each in self.lines if each.kind == kind and value_of(each.when) == then]
        formula = self._sum(OPEN, {KIND: word(KINDS[kind]), WHEN: then})
        return Cell(formula=formula, value=math.fsum(line.open for line in chosen))

    def price(self, kind: Kind) -> Cell:
        """Add up a kind before tax."""
        value = math.fsum(line.net for line in self.lines if line.kind == kind)
        return Cell(formula=self._sum(NET, {KIND: word(KINDS[kind])}), value=value)

    def resale(self) -> Cell:
        """Add up the prices before tax of what a buyer pays part of back."""
        yes = word(YES)
        counted = [line for line in self.lines if value_of(line.resale) == yes]
        value = math.fsum(line.net for line in counted)
        return Cell(formula=self._sum(NET, {RESALE: yes}), value=value)

    def _sum(self, column: int, wanted: dict[int, str]) -> str:
        if not self.lines:
            return "0"
        last = self.first + len(self.lines) - 1
        heading = self.first - 1  # in the span, since some programs take no single cell here
        tests = [f'{self.sheet.span(heading, last, at)},"{is_}"' for at, is_ in wanted.items()]
        return f"SUMIFS({self.sheet.span(heading, last, column)},{','.join(tests)})"


def write_project(sheet: Sheet) -> dict[str, Sums]:
    """Write every option's lines and return their sums."""
    sheet.put(0, 0, _("What is paid and received"), "title")
    for number, words in enumerate(NOTE, start=1):
        sheet.put(number, 0, _(words, **TITLES))
    for column, width in enumerate(WIDTHS):
        sheet.page.set_column(column, column, width)
    sheet.page.freeze_panes(5, 2)
    for column, heading in enumerate(HEADINGS):
        side = "_right" if PRICE <= column <= OPEN else "_indented" if column > OPEN else ""
        sheet.put(4, column, _(heading), f"heading{side}")
    row, sums = 6, {}
    for tag in sheet.book.view.tags.values():
        sums[tag.id] = _block(sheet, row, tag)
        row += len(sums[tag.id].lines) + 2
    return sums


def _block(sheet: Sheet, row: int, tag: OptionTag) -> Sums:
    lines = project_lines(Terms(book=sheet.book, option_id=tag.id))
    lines.sort(key=lambda line: list(KINDS).index(line.kind))
    for column in range(len(HEADINGS)):
        sheet.put(row - 1, column, tag.title if column == 0 else "", "section")
    for number, line in enumerate(lines):
        _write(sheet, row + number, line)
    return Sums(sheet=sheet, first=row, lines=lines)


def _write(sheet: Sheet, row: int, line: ProjectLine) -> None:
    def cell(column: int) -> str:
        return str(xl_rowcol_to_cell(row, column, col_abs=True))

    sheet.put(row, KIND, word(KINDS[line.kind]))
    sheet.put(row, WHAT, line.what)
    sheet.put(row, PRICE, line.price, "money")
    for column, key in LEDGER.items():
        sheet.put(row, column, line.ledger(key), "input money")
        sheet.book.define(f"{line.path}.{key}", sheet.at(row, column))
    formulas = {
        NET: (f"MAX({cell(PRICE)},{cell(INVOICED)})-{cell(CREDIT)}", line.net),
        TAXED: (f"{cell(NET)}*(1+{cell(TAX)})", line.taxed),
        OPEN: (f"MAX(0,{cell(TAXED)}-{cell(PAID)})", line.open),
    }
    for column, (formula, value) in formulas.items():
        sheet.put(row, column, Cell(formula=formula, value=value), "money")
    sheet.put(row, TAX, line.added, "rate")
    sheet.put(row, WHEN, line.when, "indented")
    sheet.put(row, RESALE, line.resale, "indented")
