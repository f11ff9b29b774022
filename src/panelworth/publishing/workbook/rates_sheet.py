"""The Rates sheet: the present value of the incremental flows at many rates.

An internal rate of return is a rate at which the present value is zero. The function IRR of a
spreadsheet finds one of them from a guess. The grid of rates counts them and gives that guess. Two
rates of return between neighbouring rates (1 + rate grows by 3 % a step) are missed here; the
site's own figure comes from a finer search.
"""

from collections.abc import Mapping

import numpy_financial as npf

from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import _
from panelworth.publishing.workbook.book import Cell, Sheet
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.month_table import MonthTable

STEPS = 240
LOWEST, HIGHEST = -0.99, 10.0  # the range of the engine's search
TURNS_ROW, GUESS_ROW = 3, 4
FIRST_ROW = 6
PAGES = 3  # when printed


def write_rates(
    sheet: Sheet, contexts: Mapping[str, FormulaContext], tables: Mapping[str, MonthTable]
) -> None:
    """Write the rates and, for each option but the baseline, present values and changes of sign."""
    worksheet = sheet.worksheet
    sheet.write(0, 0, _("Where the difference to the baseline is worth nothing"), "title")
    note = _("Each rate of return is a turn of sign of the present value in these columns.")
    sheet.write(1, 0, note)
    worksheet.set_column(0, 0, 24)
    worksheet.set_portrait()
    worksheet.fit_to_pages(1, PAGES)
    worksheet.freeze_panes(FIRST_ROW, 1)
    worksheet.repeat_rows(FIRST_ROW - 1)
    sheet.write(FIRST_ROW - 1, 0, _("Rate a year"), "heading_right")
    ratio = (1.0 + HIGHEST) / (1.0 + LOWEST)
    rates = [(1.0 + LOWEST) * ratio ** (step / STEPS) - 1.0 for step in range(STEPS + 1)]
    for step, rate in enumerate(rates):
        sheet.write(FIRST_ROW + step, 0, rate, "rate")
    sheet.write(TURNS_ROW, 0, _("Turns of sign"))
    sheet.write(GUESS_ROW, 0, _("Rate a month near the turn"))
    for number, tag in enumerate(sheet.book.view.others):
        column = 1 + 2 * number
        sheet.write(2, column, tag.title, "section")
        _write_option(sheet, column, contexts[tag.id], tables[tag.id], rates)


def _write_option(
    sheet: Sheet, column: int, context: FormulaContext, table: MonthTable, rates: list[float]
) -> None:
    """Write one option's two columns: present value, and a monthly rate where its sign changes."""
    increments = _incremental_flows(table)
    # The engine keeps no present values at other rates than the scenario's own.
    values = [float(npf.npv(monthly_rate(rate), increments)) for rate in rates]
    flows, months = table.column("with_end"), table.column("month")
    letter = sheet.at(0, column).rpartition("!$")[2].split("$")[0]
    guesses = []
    sheet.worksheet.set_column(column, column + 1, 16)
    sheet.write(FIRST_ROW - 1, column, _("Present value"), "heading_right")
    sheet.write(FIRST_ROW - 1, column + 1, _("Turns near, a month"), "heading_right")
    for step, rate in enumerate(rates):
        row = FIRST_ROW + step
        formula = f"SUMPRODUCT({flows},(1+$A{row + 1})^(-{months}/12))"
        sheet.write(row, column, Cell(formula=formula, value=values[step]), "money")
        if step == 0:
            continue
        here, above = f"${letter}{row + 1}", f"${letter}{row}"
        # The guess is the geometric mean of the two rates' growth factors, a month.
        mean = f"((1+$A{row + 1})*(1+$A{row}))^(1/24)-1"
        guess: float | str = ""
        if (values[step] < 0.0) != (values[step - 1] < 0.0):
            guess = ((1.0 + rate) * (1.0 + rates[step - 1])) ** (1.0 / 24.0) - 1.0
            guesses.append(guess)
        content = Cell(formula=f'IF(({here}<0)+({above}<0)=1,{mean},"")', value=guess)
        sheet.write(row, column + 1, content, "rate")
    last = FIRST_ROW + len(rates) - 1
    guess_cells = sheet.span(FIRST_ROW + 1, last, column + 1)
    turns = Cell(formula=f"COUNT({guess_cells})", value=float(len(guesses)))
    best = Cell(formula=f"MAX({guess_cells})", value=max(guesses, default=0.0))
    sheet.write(TURNS_ROW, column + 1, turns, "whole")
    sheet.write(GUESS_ROW, column + 1, best, "rate")
    sheet.book.define(context.path("turns"), sheet.at(TURNS_ROW, column + 1))
    sheet.book.define(context.path("rate_guess"), sheet.at(GUESS_ROW, column + 1))


def _incremental_flows(table: MonthTable) -> list[float]:
    column = table.columns[table.numbers["with_end"]]
    return [round(float(value), 8) for value in column.values]


def monthly_rate(rate: float) -> float:
    """Return the rate a month that compounds to a rate a year: (1 + rate)^(1/12) - 1."""
    return float((1.0 + rate) ** (1 / MONTHS)) - 1.0
