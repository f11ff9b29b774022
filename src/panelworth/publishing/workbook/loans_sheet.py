"""The Loans sheet: each option's loan payment by payment, to the cent, as in the engine."""

from panelworth.engine.results.figures import LoanCourse
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.book import Cell, Sheet
from panelworth.publishing.workbook.entries import longest_term
from panelworth.publishing.workbook.terms import Terms
from panelworth.publishing.workbook.words import MOMENTS, Kind, word

HEADINGS = (N_("Payment"), N_("Interest"), N_("Paid"), N_("Owed after it"))
FIRST_ROW = 8  # of payment 0, the drawing
FIRST_OUTLAY = 0.005
PAID_KINDS: tuple[Kind, ...] = ("project", "purchase")


def write_loans(sheet: Sheet) -> None:
    """Write a block of four columns for each option with a loan."""
    sheet.put(0, 0, _("Loans"), "title")
    note = _("Payments and interest are whole cents; the last payment clears what is left.")
    sheet.put(1, 0, note)
    sheet.page.set_portrait()
    column = last = 0
    for tag in sheet.book.view.tags.values():
        terms = Terms(book=sheet.book, option_id=tag.id)
        if terms.series.loan:
            sheet.put(2, column, tag.title, "section")
            _block(sheet, column, terms, terms.series.loan)
            column += len(HEADINGS) + 1
            last = max(last, len(terms.series.loan.payments))
    # There is room for longer terms below; their empty rows are not printed.
    sheet.page.print_area(0, 0, FIRST_ROW + last, max(column - 2, 0))


def rows_of(terms: Terms) -> int:
    """Return how many payments there is room for."""
    loan = terms.option.funding.loan
    return max(longest_term(loan) if loan else 0, MONTHS * terms.view.figures.years)


def _block(sheet: Sheet, column: int, terms: Terms, loan: LoanCourse) -> None:
    head = (
        ("loan_principal", _("Borrowed"), Cell(formula=_principal(terms), value=loan.principal)),
        ("loan_drawn", _("Drawn in month"), Cell(formula=_drawn(terms), value=loan.drawn_month)),
    )
    for row, (key, label, content) in enumerate(head, start=3):
        sheet.put(row, column, label)
        sheet.put(row, column + 3, content, "money" if row == 3 else "whole")  # noqa: PLR2004
        sheet.book.define(terms.path(key), sheet.at(row, column + 3))
    payment = Cell(formula=_level_payment(terms), value=_payment_of(terms))
    sheet.put(5, column, _("Level payment"))
    sheet.put(5, column + 3, payment, "money")
    sheet.book.define(terms.path("loan_payment"), sheet.at(5, column + 3))
    for place, heading in enumerate(HEADINGS):
        sheet.put(FIRST_ROW - 1, column + place, _(heading), "heading_right")
        sheet.page.set_column(column + place, column + place, 13)
    sheet.page.freeze_panes(FIRST_ROW, 0)
    sheet.page.repeat_rows(FIRST_ROW - 1)
    last = FIRST_ROW + rows_of(terms)
    for place, key in enumerate(("interest", "paid", "owed"), start=1):
        where = sheet.span(FIRST_ROW + 1, last, column + place)
        sheet.book.define(terms.path(f"loan_{key}"), where)
    _payments(sheet, column, terms, loan)


def _payment_of(terms: Terms) -> float:
    return terms.figures.funded.loan_payment or 0.0 if terms.figures.funded else 0.0


def _principal(terms: Terms) -> str:
    """Return the amount, or a share of the likely outlay still to pay, to the cent."""
    loan = terms.option.funding.loan
    if loan and loan.amount is not None:
        return f"ROUND({terms.own('funding.loan.amount')},2)"
    still = "+".join(_outlay(terms, when) for when in MOMENTS)
    return f"ROUND({terms.own('funding.loan.share')}*({still}),2)"


def _outlay(terms: Terms, when: str) -> str:
    """Items, jobs and purchase still to pay at the order, the start or the finish."""
    keys = [terms.path(f"{kind}_{when}") for kind in PAID_KINDS]
    return "+".join(terms.given(key) for key in keys if key in terms.book.names)


def _drawn(terms: Terms) -> str:
    """Return the month of its `when`; else that of the first outlay, 0 if there is none."""
    first = "0"
    for when in reversed(MOMENTS):
        here = f"{_outlay(terms, when)}>{FIRST_OUTLAY}"
        first = f"IF({here},{terms.own(f'{when}_month')},{first})"
    for when in reversed(MOMENTS):
        asked = f'{terms.own("funding.loan.when")}="{word(when)}"'
        first = f"IF({asked},{terms.own(f'{when}_month')},{first})"
    return first


def _level_payment(terms: Terms) -> str:
    """P·i/(1 - (1+i)^-n), i = apr/12; what floating point leaves of half a cent is cleared."""
    rate, months = terms.own("funding.loan.apr"), terms.own("funding.loan.months")
    return f"ROUND(ROUND(-PMT({rate}/12,{months},{terms.own('loan_principal')}),8),2)"


def _payments(sheet: Sheet, column: int, terms: Terms, loan: LoanCourse) -> None:
    rate, months = terms.own("funding.loan.apr"), terms.own("funding.loan.months")
    level = terms.own("loan_payment")
    number, interest, paid, owed = (
        sheet.at(0, column + place).rpartition("!")[2].rsplit("$", 1)[0] for place in range(4)
    )
    sheet.put(FIRST_ROW, column, 0.0, "whole")
    drawn = Cell(formula=terms.own("loan_principal"), value=loan.principal)
    sheet.put(FIRST_ROW, column + 3, drawn, "money")
    balance = loan.principal
    for count in range(1, rows_of(terms) + 1):
        row = FIRST_ROW + count
        here, above = row + 1, f"{owed}{row}"
        pays, left = (
            (loan.payments[count - 1], loan.balances[count - 1])
            if count <= len(loan.payments)
            else (0.0, 0.0)
        )
        over = f"{number}{here}>{months}"
        charged = f"IF({over},0,ROUND(ROUND({above}*{rate}/12,8),2))"
        due = f"{above}+{interest}{here}"
        pay = f"IF({over},0,IF({number}{here}={months},{due},MIN({level},{due})))"
        sheet.put(row, column, float(count), "whole")
        values = (pays + left - balance if pays else 0.0, pays, left)
        formulas = (charged, pay, f"ROUND({due}-{paid}{here},2)")
        for place, (formula, value) in enumerate(zip(formulas, values, strict=True), start=1):
            sheet.put(row, column + place, Cell(formula=formula, value=value), "flow")
        balance = left
