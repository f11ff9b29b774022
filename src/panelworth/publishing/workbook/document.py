"""The workbook as a whole: which sheets there are, and in which order they are worked out.

What is shown is said in the language spoken; sheets' titles are not, as formulas refer to them.
"""

from panelworth.publishing.language import speaking
from panelworth.publishing.view import View
from panelworth.publishing.workbook.book import Book
from panelworth.publishing.workbook.charts_sheet import write_charts
from panelworth.publishing.workbook.compare_sheet import write_compare
from panelworth.publishing.workbook.inputs_sheet import write_inputs
from panelworth.publishing.workbook.loans_sheet import write_loans
from panelworth.publishing.workbook.months_sheet import lay_out, write_months
from panelworth.publishing.workbook.names import TITLES
from panelworth.publishing.workbook.project_sheet import write_project
from panelworth.publishing.workbook.rates_sheet import write_rates
from panelworth.publishing.workbook.readme_sheet import write_readme
from panelworth.publishing.workbook.steps_sheet import write_steps

FRONT = ("readme", "compare", "charts", "inputs", "project", "steps")


def workbook_of(view: View) -> bytes:
    """Make workbook.xlsx: sheets in reading order, written in the order in which they depend."""
    with speaking(view.language):
        book = Book.of(view)
        readme, compare, charts, inputs, project, steps = (book.sheet(TITLES[key]) for key in FRONT)
        months = {
            option_id: book.sheet(f"{TITLES['months']} {option_id}") for option_id in view.tags
        }
        write_readme(readme)
        write_inputs(inputs)
        sums = write_project(project)
        write_steps(steps, sums)
        if any(view.series(option_id).loan for option_id in view.tags):
            write_loans(book.sheet(TITLES["loans"]))
        tables = lay_out(months)
        write_months(tables, book)
        if view.others:
            write_rates(book.sheet(TITLES["rates"]), tables)
        write_compare(compare, tables)
        write_charts(charts, tables)
        return book.bytes()
