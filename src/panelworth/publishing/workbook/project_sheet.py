"""The Project sheet: each option's payments and receipts line by line, and what is still due."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from xlsxwriter.utility import xl_rowcol_to_cell

from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Cell, Sheet, value_of
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.project_lines import LedgerKey, ProjectLine, project_lines
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
KIND, LABEL, PRICE, INVOICED, CREDIT, NET, TAX, TAXED, PAID, OPEN, WHEN, RESALE = range(12)
LEDGER: dict[int, LedgerKey] = {INVOICED: "invoiced", CREDIT: "credit", PAID: "paid"}
NOTE = (
    N_("Prices come from {inputs}. Nothing costs less than its invoices so far; credits come off."),
    N_("What is already paid is out of the reserve, so that only the rest falls into the months."),
    N_("The coloured cells come from the ledger and may be changed."),
)


@dataclass(frozen=True, kw_only=True)
class ProjectTotals:
    """The sums of an option's lines: formulas over its block of the sheet, with their values.

    The values are sums of the engine's amounts, since the engine keeps no sum of each kind.
    """

    sheet: Sheet
    first_row: int
    lines: list[ProjectLine]

    def has(self, kind: Kind) -> bool:
        """Say whether there is any line of a kind."""
        return any(line.kind == kind for line in self.lines)

    def total(self, kind: Kind) -> Cell:
        """Add up a kind with tax, including what is already paid."""
        value = math.fsum(line.likely.total for line in self.lines if line.kind == kind)
        return Cell(formula=self._sum(TAXED, {KIND: word(KINDS[kind])}), value=value)

    def due_at(self, kind: Kind, when: str) -> Cell:
        """Add up what of a kind is still to pay or receive at the order, start or finish."""
        moment = word(when)
        formula = self._sum(OPEN, {KIND: word(KINDS[kind]), WHEN: moment})
        value = math.fsum(
            line.likely.due
            for line in self.lines
            if line.kind == kind and value_of(line.when) == moment
        )
        return Cell(formula=formula, value=value)

    def net(self, kind: Kind) -> Cell:
        """Add up a kind before tax."""
        value = math.fsum(line.likely.price for line in self.lines if line.kind == kind)
        return Cell(formula=self._sum(NET, {KIND: word(KINDS[kind])}), value=value)

    def resale(self) -> Cell:
        """Add up before tax what a buyer pays part of back."""
        yes = word(YES)
        value = math.fsum(line.likely.price for line in self.lines if value_of(line.resale) == yes)
        return Cell(formula=self._sum(NET, {RESALE: yes}), value=value)

    def _sum(self, column: int, conditions: dict[int, str]) -> str:
        """Return the sum of a column over the lines that meet the conditions, by column."""
        if not self.lines:
            return "0"
        last = self.first_row + len(self.lines) - 1
        # With the row of the heading, because some programs refuse a single cell as a range here.
        heading = self.first_row - 1
        tests = [f'{self.sheet.span(heading, last, at)},"{is_}"' for at, is_ in conditions.items()]
        return f"SUMIFS({self.sheet.span(heading, last, column)},{','.join(tests)})"


def write_project(sheet: Sheet, contexts: Mapping[str, FormulaContext]) -> dict[str, ProjectTotals]:
    """Write every option's lines and return their totals."""
    sheet.write(0, 0, _("What is paid and received"), "title")
    for row, text in enumerate(NOTE, start=1):
        sheet.write(row, 0, _(text, **TITLES))
    for column, width in enumerate(WIDTHS):
        sheet.worksheet.set_column(column, column, width)
    sheet.worksheet.freeze_panes(5, 2)
    for column, heading in enumerate(HEADINGS):
        side = "_right" if PRICE <= column <= OPEN else "_indented" if column > OPEN else ""
        sheet.write(4, column, _(heading), f"heading{side}")
    row, totals = 6, {}
    for option_id, context in contexts.items():
        totals[option_id] = _write_option(sheet, row, context)
        row += len(totals[option_id].lines) + 2
    return totals


def _write_option(sheet: Sheet, row: int, context: FormulaContext) -> ProjectTotals:
    # By kind, as their sums are; sorted() keeps the order of the file within a kind.
    lines = sorted(project_lines(context), key=lambda line: list(KINDS).index(line.kind))
    sheet.write_section(row - 1, context.title, len(HEADINGS))
    for number, line in enumerate(lines):
        _write_line(sheet, row + number, line)
    return ProjectTotals(sheet=sheet, first_row=row, lines=lines)


def _write_line(sheet: Sheet, row: int, line: ProjectLine) -> None:
    def cell(column: int) -> str:
        return str(xl_rowcol_to_cell(row, column, col_abs=True))

    sheet.write(row, KIND, word(KINDS[line.kind]))
    sheet.write(row, LABEL, line.label)
    sheet.write(row, PRICE, line.price, "money")
    for column, key in LEDGER.items():
        sheet.write(row, column, line.ledger(key), "input money")
        sheet.book.define(f"{line.target.path}.{key}", sheet.at(row, column))
    formulas = {
        NET: (f"MAX({cell(PRICE)},{cell(INVOICED)})-{cell(CREDIT)}", line.likely.price),
        TAXED: (f"{cell(NET)}*(1+{cell(TAX)})", line.likely.total),
        OPEN: (f"MAX(0,{cell(TAXED)}-{cell(PAID)})", line.likely.due),
    }
    for column, (formula, value) in formulas.items():
        sheet.write(row, column, Cell(formula=formula, value=value), "money")
    sheet.write(row, TAX, line.surcharge, "rate")
    sheet.write(row, WHEN, line.when, "indented")
    sheet.write(row, RESALE, line.resale, "indented")
