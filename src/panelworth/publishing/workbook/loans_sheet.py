"""The Loans sheet: the payments of each option's loan, in whole cents as in the engine."""

from collections.abc import Mapping

from panelworth.engine.results.figures import (
    LoanSchedule,
)
from panelworth.model.option import Loan
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Cell, Sheet
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.input_rows import longest_term
from panelworth.publishing.workbook.reserve_columns import HALF_A_CENT
from panelworth.publishing.workbook.words import MOMENTS, Kind, word

HEADINGS = (N_("Payment"), N_("Interest"), N_("Paid"), N_("Owed after it"))
PRINCIPAL_ROW, DRAWN_ROW, PAYMENT_ROW = 3, 4, 5
FIRST_ROW = 8  # of payment 0, the drawing
NUMBER, INTEREST, PAID, OWED = range(4)  # columns of an option's block
PAID_KINDS: tuple[Kind, ...] = ("project", "purchase")


def write_loans(sheet: Sheet, contexts: Mapping[str, FormulaContext]) -> None:
    """Write a block of four columns for each option with a loan."""
    sheet.write(0, 0, _("Loans"), "title")
    note = _("Payments and interest are whole cents; the last payment clears what is left.")
    sheet.write(1, 0, note)
    sheet.worksheet.set_portrait()
    column = last = 0
    for context in contexts.values():
        if context.series.loan:
            sheet.write(2, column, context.title, "section")
            _write_loan(sheet, column, context, context.series.loan)
            column += len(HEADINGS) + 1
            last = max(last, len(context.series.loan.payments))
    # The rows below are for longer terms that a reader may try; they are not printed.
    sheet.worksheet.print_area(0, 0, FIRST_ROW + last, max(column - 2, 0))


def _loan(context: FormulaContext) -> Loan:
    """Return the cells of the option's loan."""
    loan = context.option_cells.funding.loan
    if loan is None:
        raise ValueError(f"{context.option_id} has no loan")
    return loan


def _rows_for_payments(context: FormulaContext) -> int:
    """Return the number of rows for payments."""
    loan = context.option.funding.loan
    return max(longest_term(loan) if loan else 0, MONTHS * context.view.figures.years)


def _write_loan(sheet: Sheet, column: int, context: FormulaContext, loan: LoanSchedule) -> None:
    """Write the principal, the month of drawing and the level payment, then the payments."""
    payment = context.figures.funded.loan_payment if context.figures.funded else None
    for row, key, label, style, formula, value in (
        (PRINCIPAL_ROW, "loan_principal", _("Borrowed"), "money", _principal, loan.principal),
        (DRAWN_ROW, "loan_drawn", _("Drawn in month"), "whole", _drawn_month, loan.drawn_month),
        (PAYMENT_ROW, "loan_payment", _("Level payment"), "money", _level_payment, payment or 0.0),
    ):
        sheet.write(row, column, label)
        sheet.write(row, column + OWED, Cell(formula=formula(context), value=value), style)
        sheet.book.define(context.path(key), sheet.at(row, column + OWED))
    for place, heading in enumerate(HEADINGS):
        sheet.write(FIRST_ROW - 1, column + place, _(heading), "heading_right")
        sheet.worksheet.set_column(column + place, column + place, 13)
    sheet.worksheet.freeze_panes(FIRST_ROW, 0)
    sheet.worksheet.repeat_rows(FIRST_ROW - 1)
    last = FIRST_ROW + _rows_for_payments(context)
    for key, place in (("loan_interest", INTEREST), ("loan_paid", PAID), ("loan_owed", OWED)):
        payments = sheet.span(FIRST_ROW + 1, last, column + place)
        sheet.book.define(context.path(key), payments)
    _write_payments(sheet, column, context, loan)


def _principal(context: FormulaContext) -> str:
    """Return the amount, or a share of the likely outlay still to pay, to the cent."""
    loan = _loan(context)
    if loan.amount is not None:
        return f"ROUND({loan.amount},2)"
    outlay = "+".join(_outlay_at(context, when) for when in MOMENTS)
    return f"ROUND({loan.share}*({outlay}),2)"


def _outlay_at(context: FormulaContext, when: str) -> str:
    """Items, jobs and purchase that are due at the order, the start or the finish."""
    return "+".join(due for kind in PAID_KINDS if (due := context.due_at(kind, when)))


def _drawn_month(context: FormulaContext) -> str:
    """Return the month of its `when`; else that of the first outlay, 0 if there is none."""
    formula = "0"
    for when in reversed(MOMENTS):
        is_first = f"{_outlay_at(context, when)}>{HALF_A_CENT}"
        formula = f"IF({is_first},{context.cell(f'{when}_month')},{formula})"
    for when in reversed(MOMENTS):
        stated = f'{_loan(context).when}="{word(when)}"'
        formula = f"IF({stated},{context.cell(f'{when}_month')},{formula})"
    return formula


def _level_payment(context: FormulaContext) -> str:
    """P·i/(1 - (1+i)^-n), i = apr/12, to the cent.

    It is rounded twice: the first time to 8 digits, so that a floating-point error near half a cent
    does not change the cent.
    """
    loan, principal = _loan(context), context.cell("loan_principal")
    return f"ROUND(ROUND(-PMT({loan.apr}/12,{loan.months},{principal}),8),2)"


def _write_payments(sheet: Sheet, column: int, context: FormulaContext, loan: LoanSchedule) -> None:
    """Write the payments; rows after the term have 0, for other terms that a reader may try."""
    cells, level = _loan(context), context.cell("loan_payment")
    number, interest, paid, owed = (
        sheet.at(0, column + place).rpartition("!")[2].rsplit("$", 1)[0] for place in range(4)
    )
    sheet.write(FIRST_ROW, column, 0.0, "whole")
    drawn = Cell(formula=context.cell("loan_principal"), value=loan.principal)
    sheet.write(FIRST_ROW, column + OWED, drawn, "money")
    payments = [*zip(loan.payments, loan.balances, strict=True)]
    payments += [(0.0, 0.0)] * (_rows_for_payments(context) - len(payments))
    balance = loan.principal
    for count, (payment, left) in enumerate(payments, start=1):
        row = FIRST_ROW + count
        here, balance_before = row + 1, f"{owed}{row}"
        over = f"{number}{here}>{cells.months}"
        charged = f"IF({over},0,ROUND(ROUND({balance_before}*{cells.apr}/12,8),2))"
        due = f"{balance_before}+{interest}{here}"
        is_last = f"{number}{here}={cells.months}"
        sheet.write(row, column, float(count), "whole")
        for place, formula, value in (
            # The engine keeps payments and balances: the rest of a payment is its interest.
            (INTEREST, charged, payment + left - balance if payment else 0.0),
            (PAID, f"IF({over},0,IF({is_last},{due},MIN({level},{due})))", payment),
            (OWED, f"ROUND({due}-{paid}{here},2)", left),
        ):
            sheet.write(row, column + place, Cell(formula=formula, value=value), "flow")
        balance = left
