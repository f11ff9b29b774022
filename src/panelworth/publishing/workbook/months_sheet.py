"""The sheets of months: one an option, a line a month, a column for each row of the cash flow."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import accumulate

from panelworth.model.dates import month_start
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import noted, say
from panelworth.publishing.workbook import operations
from panelworth.publishing.workbook.against import against_columns
from panelworth.publishing.workbook.book import Book, Cell, Sheet, serial
from panelworth.publishing.workbook.reserve import (
    SOLVED,
    loan_column,
    raise_formula,
    reserve_columns,
)
from panelworth.publishing.workbook.terms import (
    FIRST_MONTH_ROW,
    Column,
    Line,
    Table,
    Terms,
)
from panelworth.publishing.workbook.words import KINDS, MOMENTS, NO_RAISE, Kind, word

INCOME = ("charges", "dues", "fees", "other")
RUNNING = ("variable", "fixed", "insurance", "repairs", "recurring", "jobs")
HEADINGS = {
    "charges": noted("Charged for flying"),
    "dues": noted("Dues"),
    "fees": noted("Joining fees"),
    "other": noted("Other income, net"),
    "variable": noted("Cost of flying"),
    "fixed": noted("Fixed costs"),
    "insurance": noted("Insurance"),
    "repairs": noted("Panel repairs"),
    "recurring": noted("Recurring items"),
    "jobs": noted("Small jobs, expected"),
    "project": noted("Project"),
    "purchase": noted("Purchase"),
    "credits": noted("Money in"),
    "sale": noted("Sale"),
    "cost": noted("Cost"),
    "net": noted("Net"),
    "cost_so_far": noted("Cost so far"),
}
NOTE = noted("Costs are positive numbers; net is income less cost. Month 0 holds dated flows only.")
RAISE_COLUMN = 5
Rule = Callable[[Terms, Line], str]


def lay_out(sheets: dict[str, Sheet]) -> dict[str, Table]:
    """Lay out every option's table, the baseline's first: the others are held against it."""
    tables: dict[str, Table] = {}
    for option_id, sheet in sheets.items():
        terms = Terms(book=sheet.book, option_id=option_id)
        baseline = None if terms.is_baseline else tables[terms.view.figures.baseline]
        columns = tuple(_columns(terms, baseline))
        tables[option_id] = Table(
            sheet=sheet, columns=columns, months=MONTHS * terms.view.figures.years
        )
    return tables


def write_months(tables: dict[str, Table], book: Book) -> None:
    """Write every option's months, and above them the raise where one is solved."""
    for option_id, table in tables.items():
        terms = Terms(book=book, option_id=option_id)
        table.sheet.put(0, 0, terms.view.tags[option_id].title, "title")
        table.sheet.put(1, 0, say(NOTE))
        _write_raise(terms, table)
        table.sheet.page.freeze_panes(FIRST_MONTH_ROW, 2)
        table.sheet.page.fit_to_pages(2, 0)
        table.sheet.page.repeat_rows(FIRST_MONTH_ROW - 1)
        table.sheet.page.set_row(FIRST_MONTH_ROW - 1, 48)
        for number, column in enumerate(table.columns):
            _write(table, number, column)


def _write_raise(terms: Terms, table: Table) -> None:
    solve, funded = terms.option.funding.solve, terms.figures.funded
    if solve is None or funded is None or terms.view.club is None:
        return
    found = getattr(funded, SOLVED[solve])
    value = word(NO_RAISE) if found is None else found
    content = Cell(formula=raise_formula(terms, table), value=value)
    table.sheet.put(2, 0, say("Smallest raise that holds the reserve’s floor:"))
    table.sheet.put(2, RAISE_COLUMN, content, "money")
    terms.book.define(terms.path("raise"), table.sheet.at(2, RAISE_COLUMN))


def _write(table: Table, number: int, column: Column) -> None:
    table.sheet.put(FIRST_MONTH_ROW - 1, number, column.heading, "heading_right")
    table.sheet.page.set_column(number, number, 9 if column.style == "whole" else 12)
    for month, value in enumerate(column.values):
        content: Cell | float | str = value
        if column.formula and month >= column.first:
            content = Cell(formula=column.formula(table.line(month)), value=value)
        table.sheet.put(FIRST_MONTH_ROW + month, number, content, column.style)


def _columns(terms: Terms, baseline: Table | None) -> Iterator[Column]:
    """Yield all columns of an option in the order in which they are shown."""
    yield from _clock(terms)
    yield from _flows(terms)
    if terms.series.loan:
        yield loan_column(terms, terms.series.loan, len(terms.series.net) - 1)
    if terms.view.club and terms.figures.funded:
        yield from reserve_columns(terms, terms.figures.funded)
    if baseline:
        yield from against_columns(terms, baseline)


def _clock(terms: Terms) -> Iterator[Column]:
    """Yield the months, and what flows are worked out with: escalation, discount, time down."""
    as_of, factors, given = terms.view.case.scenario.as_of, terms.series.factors, terms.given
    index, finish = range(len(terms.series.net)), terms.series.finish_month

    def begins(line: Line) -> str:
        day = given("as_of")
        return f"DATE(YEAR({day}),MONTH({day})+{line('month')},1)"

    def grown(rate: str) -> Rule:
        return lambda _, line: f"(1+{given(rate)})^{line('year')}"

    days = [serial(month_start(as_of, month)) for month in index]
    in_force = [float(month > finish) for month in index]
    years = [max(month - 1, 0) // MONTHS for month in index]
    yield Column(key="month", heading=say("Month"), style="whole", values=index)
    for key, heading, style, rule, values in (
        ("begins", say("Begins"), "month", lambda _, line: begins(line), days),
        ("year", say("Years gone"), "whole", _years_gone, years),
        ("after", say("After the finish"), "whole", _after, in_force),
        ("down", say("Share down"), "rate", operations.down, factors["down"]),
        ("prices", say("Prices"), "factor", grown("rates.inflation"), factors["prices"]),
        ("fuel", say("Fuel price"), "factor", grown("rates.fuel_inflation"), factors["fuel"]),
        ("discount", say("Discount factor"), "factor", _discount, factors["discount"]),
    ):
        formula = partial(rule, terms)
        yield Column(key=key, heading=heading, style=style, formula=formula, values=values)


def _years_gone(_: Terms, line: Line) -> str:
    return f"INT(MAX({line('month')}-1,0)/12)"


def _after(terms: Terms, line: Line) -> str:
    return f"1*({line('month')}>{terms.own('finish_month')})"


def _discount(terms: Terms, line: Line) -> str:
    return f"(1+{terms.given('rates.discount')})^(-{line('month')}/12)"


def _flows(terms: Terms) -> Iterator[Column]:
    """Yield hours, members and every row of money, then net and cost."""
    series, club = terms.series, terms.view.club is not None
    counts: list[tuple[str, str, Rule, int]] = [("hours", say("Hours"), operations.hours, 1)]
    counts += [("members", say("Members"), operations.members, 0)] if club else []
    for key, heading, rule, first in counts:
        yield Column(
            key=key,
            heading=heading,
            style="hours",
            formula=partial(rule, terms),
            values=getattr(series, key),
            first=first,
        )
    for key in (*INCOME, *RUNNING):
        if key in series.rows:
            yield _money(key, partial(getattr(operations, key), terms), series.rows[key], first=1)
    for kind in KINDS:
        yield _money(kind, partial(_placed, terms, kind), series.rows[kind])
    income = [key for key in INCOME if key in series.rows]
    yield _money("cost", _cost, series.cost)
    yield _money("net", lambda line: f"{'+'.join(map(line, income))}-{line('cost')}", series.net)
    yield _money("cost_so_far", _cost_so_far, list(accumulate(series.cost)))


def _money(
    key: str, formula: Callable[[Line], str], values: Sequence[float], first: int = 0
) -> Column:
    heading = say(HEADINGS[key])
    return Column(key=key, heading=heading, formula=formula, values=values, first=first)


def _placed(terms: Terms, kind: Kind, line: Line) -> str:
    """Return what of a kind falls in a month: at the order, the start and the finish."""
    parts = [
        f"({line('month')}={terms.own(f'{when}_month')})*{terms.own(f'{kind}_{when}')}"
        for when in MOMENTS
        if terms.path(f"{kind}_{when}") in terms.book.names
    ]
    return "+".join(parts) or "0"


def _cost(line: Line) -> str:
    """Return running costs and outlays less credits and sale: money out is positive."""
    return "+".join(map(line, (*RUNNING, "project", "purchase"))) + (
        f"-{line('credits')}-{line('sale')}"
    )


def _cost_so_far(line: Line) -> str:
    return f"{line.before('cost_so_far')}+{line('cost')}" if line.month else line("cost")
