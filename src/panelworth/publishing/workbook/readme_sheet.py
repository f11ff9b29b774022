"""The Read me sheet: what the workbook is for, how to use it, its limits, the cautions."""

from collections.abc import Iterable

from panelworth.model.scenario import Scenario
from panelworth.publishing.formats import day
from panelworth.publishing.language import N_, _, ngettext
from panelworth.publishing.words.caution_lines import FOOT, RESERVES, money_cautions
from panelworth.publishing.workbook.book import Sheet
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.words import SEVERAL, word

USE = (
    N_("Change a coloured cell: a likely value on {inputs}, or what is already paid on {project}."),
    N_("All other cells are formulas and follow, dates and charts too."),
    N_(
        "If figures do not change, have the program work out all formulas anew "
        "(often Ctrl+Shift+F9)."
    ),
    N_("Cells have names: “rates.discount” in a formula is the cell of that name on {inputs}."),
    N_("The site is made from the scenario's files, not from this workbook: keep changes there."),
)
SHEETS = {
    "compare": N_("every figure of every option side by side"),
    "charts": N_("cost so far and, for a club, the reserve"),
    "inputs": N_("every number with its unit, range and source"),
    "project": N_("what is paid and received, line by line, and what is already paid"),
    "steps": N_("dates, sums and first due months"),
    "months": N_("one sheet an option: hours, every kind of money, the reserve, month by month"),
    "loans": N_("each loan, payment by payment"),
    "rates": N_("where the difference to the baseline is worth nothing: rates of return"),
    "ledger": N_("the rows of the ledger; saved on its own as ledger.xlsx, this sheet can be read"),
}
LINE_LETTERS = 95  # in a line of the sheet
FIXED = (
    N_("The number of years, the kinds of options, and which costs, items and jobs they have."),
    N_("Which keys an option changes, and which raise is worked out: build the workbook anew."),
    N_(
        "The draws, break-evens, the net benefit without growth and the list of every rate of "
        "return: values at the foot of {compare}."
    ),
    N_(
        "A raise that is worked out is found in the draws, not by formulas: on {inputs} it is a "
        "value that you may change. The raise needed at likely values follows."
    ),
    N_("A rate of return is worked out where there is just one; else {compare} says “{several}”."),
    N_("Dates must stay in order: as of, order, start, and the finish within the years counted."),
)


def write_readme(sheet: Sheet) -> None:
    """Write the sheet that a treasurer should read first."""
    scenario, view = sheet.book.view.case.scenario, sheet.book.view
    sheet.worksheet.set_column(0, 0, 110)
    sheet.worksheet.fit_to_pages(1, 1)
    blocks = (
        (_("How to use it"), _translated(USE)),
        (_("What is where"), _sheets()),
        (_("What does not follow a change"), _translated(FIXED)),
        (_("Cautions"), _translated([*money_cautions(view.club), RESERVES, FOOT])),
    )
    sheet.write(0, 0, scenario.title, "title")
    if scenario.question:
        sheet.write(1, 0, scenario.question, "wrapped")
        sheet.fit_height(1, scenario.question, LINE_LETTERS)
    sheet.write(2, 0, f"{_as_of(scenario)} {_years_counted(scenario.years)}", "wrapped")
    row = 4
    for heading, lines in blocks:
        sheet.write(row, 0, heading, "section")
        for line in lines:
            row += 1
            sheet.write(row, 0, line, "wrapped")
            sheet.fit_height(row, line, LINE_LETTERS)
        row += 2


def _translated(lines: Iterable[str]) -> list[str]:
    return [_(line, **TITLES, several=word(SEVERAL)) for line in lines]


def _sheets() -> list[str]:
    """Say what is on each sheet; each option has a sheet of months."""
    return [
        f"{TITLES[key]}{' …' if key == 'months' else ''}: {words}"
        for key, words in zip(SHEETS, map(_, SHEETS.values()), strict=True)
    ]


def _as_of(scenario: Scenario) -> str:
    as_of = day(scenario.as_of)
    return _("As of {day}; all money in {currency}.", day=as_of, currency=scenario.currency)


def _years_counted(years: int) -> str:
    text = ngettext("{years} year is counted.", "{years} years are counted.", years)
    return text.format(years=years)
