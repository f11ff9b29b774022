"""The sheets of months: one an option, a line a month, a column for each row of the cash flow."""

import math
import textwrap
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import accumulate

from panelworth.engine.results.figures import Series
from panelworth.model.dates import month_start
from panelworth.model.scenario import MONTHS
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook import operations
from panelworth.publishing.workbook.against import against_columns
from panelworth.publishing.workbook.book import Book, Cell, Sheet, serial
from panelworth.publishing.workbook.reserve import loan_column, project_net, reserve_columns
from panelworth.publishing.workbook.terms import FIRST_MONTH_ROW, Column, Line, Table, Terms
from panelworth.publishing.workbook.words import KINDS, MOMENTS, Kind

INCOME = ("charges", "dues", "fees", "other")
RUNNING = ("variable", "fixed", "insurance", "repairs", "recurring", "jobs", "value_tax")
HEADINGS = {
    "charges": N_("Charged for flying"),
    "dues": N_("Dues"),
    "fees": N_("Joining fees"),
    "other": N_("Other income, net"),
    "worth": N_("Worth of the hours"),
    "newcomers": N_("Newcomers' money"),
    "variable": N_("Cost of flying"),
    "fixed": N_("Fixed costs"),
    "insurance": N_("Insurance"),
    "repairs": N_("Panel repairs"),
    "recurring": N_("Recurring items"),
    "jobs": N_("Small jobs, expected"),
    "value_tax": N_("Tax on the value"),
    "running_costs": N_("Running costs"),
    "project": N_("Project"),
    "purchase": N_("Purchase"),
    "credits": N_("Money in"),
    "sale": N_("Sale"),
    "project_net": N_("Project, less money in"),
    "cost": N_("Cost"),
    "net": N_("Net"),
    "benefit": N_("Benefit"),
    "cost_so_far": N_("Cost so far"),
}
ROWS_A_PAGE = 75  # on paper, two pages wide
LETTERS = 10  # of a heading, in a line
NOTE = N_(
    "Costs are positive numbers; net is income less cost, benefit is what hours are worth and "
    "newcomers' money less cost. Month 0 holds dated flows only."
)
GAINS = ("worth", "newcomers")
Rule = Callable[[Terms, Line], str]


def lay_out(sheets: dict[str, Sheet]) -> dict[str, Table]:
    """Lay out every option's table, the baseline's first: the others are held against it."""
    tables: dict[str, Table] = {}
    for option_id, sheet in sheets.items():
        terms = Terms(book=sheet.book, option_id=option_id)
        baseline = None if terms.is_baseline else tables[terms.view.figures.baseline]
        columns = tuple(_columns(terms, baseline))
        tables[option_id] = Table(
            sheet=sheet,
            columns=columns,
            months=MONTHS * terms.view.figures.years,
            baseline=baseline,
        )
    return tables


def write_months(tables: dict[str, Table], book: Book) -> None:
    """Write every option's months."""
    for option_id, table in tables.items():
        terms = Terms(book=book, option_id=option_id)
        table.sheet.put(0, 0, terms.view.tags[option_id].title, "title")
        table.sheet.put(1, 0, _(NOTE))
        table.sheet.page.freeze_panes(FIRST_MONTH_ROW, 2)
        table.sheet.page.fit_to_pages(2, math.ceil((FIRST_MONTH_ROW + table.months) / ROWS_A_PAGE))
        table.sheet.page.repeat_columns(0, 1)
        table.sheet.page.repeat_rows(FIRST_MONTH_ROW - 1)
        longest = max((each.heading for each in table.columns), key=_lines)
        table.sheet.make_room(FIRST_MONTH_ROW - 1, longest, LETTERS)
        for number, column in enumerate(table.columns):
            _write(table, number, column)


def _lines(heading: str) -> int:
    return len(textwrap.wrap(heading, LETTERS))


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
    if terms.view.club:
        yield from reserve_columns(terms)
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
    yield Column(key="month", heading=_("Month"), style="whole", values=index)
    for key, heading, style, rule, values in (
        ("begins", _("Begins"), "month", lambda _, line: begins(line), days),
        ("year", _("Years gone"), "whole", _years_gone, years),
        ("after", _("After the finish"), "whole", _after, in_force),
        ("down", _("Share down"), "rate", operations.down, factors["down"]),
        ("prices", _("Prices"), "factor", grown("rates.inflation"), factors["prices"]),
        ("fuel", _("Fuel price"), "factor", grown("rates.fuel_inflation"), factors["fuel"]),
        ("discount", _("Discount factor"), "factor", _discount, factors["discount"]),
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
    """Yield hours, members and every row of money, then cost, net and benefit."""
    series, club = terms.series, terms.view.club is not None
    counts: list[tuple[str, str, Rule, int]] = [("hours", _("Hours"), operations.hours, 1)]
    counts += [("members", _("Members"), operations.members, 0)] if club else []
    for key, heading, rule, first in counts:
        yield Column(
            key=key,
            heading=heading,
            style="hours",
            formula=partial(rule, terms),
            values=getattr(series, key),
            first=first,
        )
    income = [key for key in INCOME if key in series.rows]
    gains = GAINS if club else GAINS[:1]
    for key in (*income, *gains, *RUNNING):
        yield _money(key, partial(getattr(operations, key), terms), series.rows[key], first=1)
    for kind in KINDS:
        yield _money(kind, partial(_placed, terms, kind), series.rows[kind])
    running = _added(series, RUNNING)
    gained = [gain - cost for gain, cost in zip(_added(series, gains), series.cost, strict=True)]
    yield _money("running_costs", _sum(RUNNING), running)
    yield _money("project_net", _project_net, project_net(series.rows))
    yield _money("cost", _sum(("running_costs", "project_net")), series.cost)
    yield _money("net", lambda line: f"{_sum(income)(line)}-{line('cost')}", series.net)
    yield _money("benefit", lambda line: f"{_sum(gains)(line)}-{line('cost')}", gained)
    yield _money("cost_so_far", _cost_so_far, list(accumulate(series.cost)))


def _added(series: Series, keys: Sequence[str]) -> list[float]:
    return [math.fsum(each) for each in zip(*(series.rows[key] for key in keys), strict=True)]


def _sum(keys: Sequence[str]) -> Callable[[Line], str]:
    return lambda line: "+".join(map(line, keys))


def _money(
    key: str, formula: Callable[[Line], str], values: Sequence[float], first: int = 0
) -> Column:
    heading = _(HEADINGS[key])
    return Column(key=key, heading=heading, formula=formula, values=values, first=first)


def _placed(terms: Terms, kind: Kind, line: Line) -> str:
    """Return what of a kind falls in a month: at the order, the start and the finish."""
    parts = [
        f"({line('month')}={terms.own(f'{when}_month')})*{terms.own(f'{kind}_{when}')}"
        for when in MOMENTS
        if terms.path(f"{kind}_{when}") in terms.book.names
    ]
    return "+".join(parts) or "0"


def _project_net(line: Line) -> str:
    """Return outlays less credits and sale: money out is positive."""
    return f"{line('project')}+{line('purchase')}-{line('credits')}-{line('sale')}"


def _cost_so_far(line: Line) -> str:
    return f"{line.before('cost_so_far')}+{line('cost')}" if line.month else line("cost")
