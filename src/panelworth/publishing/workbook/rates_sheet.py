"""The Rates sheet: the difference's present value over many rates, to find where it turns sign.

A rate of return is where it is zero. A spreadsheet's IRR finds one from a guess; the grid tells
how many there are and gives the guess. Two that lie between neighbouring rates (3 % of 1 + rate
apart) are not seen here; the site's own figure comes from a finer search.
"""

import math

from panelworth.publishing.language import _
from panelworth.publishing.workbook.book import Cell, Sheet
from panelworth.publishing.workbook.terms import Table, Terms

STEPS = 240
LOWEST, HIGHEST = -0.99, 10.0
FIRST_ROW = 6
PAGES = 3  # on paper


def write_rates(sheet: Sheet, tables: dict[str, Table]) -> None:
    """Write the grid of rates and, for each option but the baseline, present value and turns."""
    sheet.put(0, 0, _("Where the difference to the baseline is worth nothing"), "title")
    note = _("Each rate of return is a turn of sign of the present value in these columns.")
    sheet.put(1, 0, note)
    sheet.page.set_column(0, 0, 24)
    sheet.page.set_portrait()
    sheet.page.fit_to_pages(1, PAGES)
    sheet.page.freeze_panes(FIRST_ROW, 1)
    sheet.page.repeat_rows(FIRST_ROW - 1)
    sheet.put(FIRST_ROW - 1, 0, _("Rate a year"), "heading_right")
    ratio = (1.0 + HIGHEST) / (1.0 + LOWEST)
    rates = [(1.0 + LOWEST) * ratio ** (step / STEPS) - 1.0 for step in range(STEPS + 1)]
    for step, rate in enumerate(rates):
        sheet.put(FIRST_ROW + step, 0, rate, "rate")
    for row, words in ((3, _("Turns of sign")), (4, _("Rate a month near the turn"))):
        sheet.put(row, 0, words)
    for number, tag in enumerate(sheet.book.view.others):
        terms = Terms(book=sheet.book, option_id=tag.id)
        sheet.put(2, 1 + 2 * number, tag.title, "section")
        _write(sheet, 1 + 2 * number, terms, tables[tag.id], rates)


def _write(sheet: Sheet, column: int, terms: Terms, table: Table, rates: list[float]) -> None:
    """Write one option's two columns: present value, and a monthly rate where its sign turns."""
    flows, whole = _difference(table), table.whole("with_end")
    worth = [_worth(flows, rate) for rate in rates]
    letter = sheet.at(0, column).rpartition("!$")[2].split("$")[0]
    found = []
    sheet.page.set_column(column, column + 1, 16)
    sheet.put(FIRST_ROW - 1, column, _("Present value"), "heading_right")
    sheet.put(FIRST_ROW - 1, column + 1, _("Turns near, a month"), "heading_right")
    for step, rate in enumerate(rates):
        row = FIRST_ROW + step
        formula = f"SUMPRODUCT({whole},(1+$A{row + 1})^(-{table.whole('month')}/12))"
        sheet.put(row, column, Cell(formula=formula, value=worth[step]), "money")
        if step == 0:
            continue
        here, above = f"${letter}{row + 1}", f"${letter}{row}"
        between = f"((1+$A{row + 1})*(1+$A{row}))^(1/24)-1"
        turns = (worth[step] < 0.0) != (worth[step - 1] < 0.0)
        guess = ((1.0 + rate) * (1.0 + rates[step - 1])) ** (1.0 / 24.0) - 1.0
        found += [guess] if turns else []
        content = Cell(
            formula=f'IF(({here}<0)+({above}<0)=1,{between},"")', value=guess if turns else ""
        )
        sheet.put(row, column + 1, content, "rate")
    last = FIRST_ROW + len(rates) - 1
    marks = sheet.span(FIRST_ROW + 1, last, column + 1)
    count = Cell(formula=f"COUNT({marks})", value=float(len(found)))
    sheet.put(3, column + 1, count, "whole")
    sheet.put(4, column + 1, Cell(formula=f"MAX({marks})", value=max(found, default=0.0)), "rate")
    sheet.book.define(terms.path("turns"), sheet.at(3, column + 1))
    sheet.book.define(terms.path("rate_guess"), sheet.at(4, column + 1))


def _difference(table: Table) -> list[float]:
    column = table.columns[table.places["with_end"]]
    return [round(float(value), 8) for value in column.values]


def _worth(flows: list[float], rate: float) -> float:
    return math.fsum(flow * (1.0 + rate) ** (-month / 12.0) for month, flow in enumerate(flows))
