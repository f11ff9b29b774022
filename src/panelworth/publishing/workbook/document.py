"""Makes the workbook: its sheets, and the order in which they are written.

Texts are in the language of the scenario. Titles of sheets are English, since formulas name them.
"""

from panelworth.publishing.language import using_language
from panelworth.publishing.view import View
from panelworth.publishing.workbook.book import Book
from panelworth.publishing.workbook.charts_sheet import write_charts
from panelworth.publishing.workbook.compare_sheet import write_compare
from panelworth.publishing.workbook.formula_context import contexts_of
from panelworth.publishing.workbook.inputs_sheet import write_inputs
from panelworth.publishing.workbook.ledger_sheet import write_ledger
from panelworth.publishing.workbook.loans_sheet import write_loans
from panelworth.publishing.workbook.months_sheet import month_tables, write_months
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.project_sheet import write_project
from panelworth.publishing.workbook.rates_sheet import write_rates
from panelworth.publishing.workbook.readme_sheet import write_readme
from panelworth.publishing.workbook.steps_sheet import write_steps

FIRST_SHEETS = ("readme", "compare", "charts", "inputs", "project", "steps")


def workbook_of(view: View) -> bytes:
    """Return workbook.xlsx.

    The sheets are added in the order in which they are read. They are filled in the order in which
    they depend on one another, since a formula needs the names of the cells that it reads.
    """
    with using_language(view.language):
        book = Book.of(view)
        readme, compare, charts, inputs, project, steps = (
            book.sheet(TITLES[key]) for key in FIRST_SHEETS
        )
        months = {
            option_id: book.sheet(f"{TITLES['months']} {option_id}") for option_id in view.tags
        }
        write_readme(readme)
        write_inputs(inputs)
        contexts = contexts_of(book)
        totals = write_project(project, contexts)
        write_steps(steps, contexts, totals)
        if any(context.series.loan for context in contexts.values()):
            write_loans(book.sheet(TITLES["loans"]), contexts)
        tables = month_tables(months, contexts)
        write_months(tables, view)
        if view.others:
            write_rates(book.sheet(TITLES["rates"]), contexts, tables)
        write_ledger(book.sheet(TITLES["ledger"]))
        write_compare(compare, contexts, tables)
        write_charts(charts, tables)
        return book.bytes()
