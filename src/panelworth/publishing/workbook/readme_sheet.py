"""The Read me sheet: what the workbook is, how to use it, what does not follow, the cautions."""

from panelworth.publishing.caution_lines import FOOT, RESERVES, money_cautions
from panelworth.publishing.formats import day
from panelworth.publishing.workbook.book import Sheet

USE = (
    "Change a coloured cell: a likely value on Inputs, or what is already paid on Project.",
    "All other cells are formulas and follow, dates, charts and a raise that is worked out too.",
    "If figures do not change, have the program work out all formulas anew (often Ctrl+Shift+F9).",
    "Cells have names: “rates.discount” in a formula is the cell of that name on Inputs.",
    "The site is made from the scenario's files, not from this workbook: keep changes there.",
)
SHEETS = (
    ("Compare", "every figure of every option side by side"),
    ("Charts", "cost so far and, for a club, the reserve"),
    ("Inputs", "every number with its unit, range and source"),
    ("Project", "what is paid and received, line by line, and what is already paid"),
    ("Steps", "dates, sums and first due months"),
    ("Months …", "one sheet an option: hours, every kind of money, the reserve, month by month"),
    ("Loans", "each loan, payment by payment"),
    ("Rates", "where the difference to the baseline is worth nothing: rates of return"),
)
LETTERS, LINE = 95, 16  # in a line of the sheet, and its height in points
FIXED = (
    "The number of years, the kinds of options, and which costs, items and jobs they have.",
    "Which keys an option changes, and which raise is worked out: build the workbook anew.",
    "The draws, break-evens and the list of every rate of return: values at the foot of Compare.",
    "A rate of return is worked out where there is just one; else Compare says “several”.",
    "Dates must stay in order: as of, order, start, and the finish within the years counted.",
)


def write_readme(sheet: Sheet) -> None:
    """Write what a treasurer should know first."""
    scenario, view = sheet.book.view.case.scenario, sheet.book.view
    sheet.page.set_column(0, 0, 110)
    sheet.page.fit_to_pages(1, 1)
    blocks = (
        ("How to use it", USE),
        ("What is where", [f"{title}: {words}" for title, words in SHEETS]),
        ("What does not follow a change", FIXED),
        ("Cautions", [*money_cautions(view), RESERVES, FOOT]),
    )
    sheet.put(0, 0, scenario.title, "title")
    if scenario.question:
        sheet.put(1, 0, scenario.question, "wrapped")
        sheet.page.set_row(1, LINE * (len(scenario.question) // LETTERS + 1))
    stated = f"As of {day(scenario.as_of)}; all money in {scenario.currency}."
    sheet.put(2, 0, f"{stated} {scenario.years} years are counted.", "wrapped")
    row = 4
    for heading, lines in blocks:
        sheet.put(row, 0, heading, "section")
        for line in lines:
            row += 1
            sheet.put(row, 0, line, "wrapped")
        row += 2
