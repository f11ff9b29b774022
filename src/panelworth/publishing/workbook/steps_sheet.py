"""The Steps sheet: dates, sums and first due months, from which the months are worked out."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from panelworth.model.dates import DAYS_IN_A_WEEK, day_after_weeks, month_index, month_start
from panelworth.model.scenario import MONTHS, Recurring
from panelworth.publishing.language import N_, _
from panelworth.publishing.workbook.against import last_project_month
from panelworth.publishing.workbook.book import Book, Cell, Sheet, serial
from panelworth.publishing.workbook.operations import fixed_lists, new_recurring, todays_recurring
from panelworth.publishing.workbook.project_sheet import Sums
from panelworth.publishing.workbook.reserve import raise_months
from panelworth.publishing.workbook.terms import Terms
from panelworth.publishing.workbook.words import KINDS, MOMENTS, Kind

NAMED: dict[Kind, str] = {
    "project": N_("Project"),
    "purchase": N_("Purchase"),
    "credits": N_("Money in"),
    "sale": N_("Sale of today's airplane"),
}
FALLING = {
    "order": N_("{sum}, at the order"),
    "start": N_("{sum}, at the start"),
    "finish": N_("{sum}, at the finish"),
}


@dataclass(frozen=True, kw_only=True)
class Step:
    """One line of the sheet: its path, words, content and look."""

    path: str
    label: str
    content: Cell | float
    style: str = "whole"


def write_steps(sheet: Sheet, sums: dict[str, Sums]) -> None:
    """Write what all options share, then each option's steps, and name every cell."""
    book = sheet.book
    sheet.put(0, 0, _("Dates and sums that the months rest on"), "title")
    note = _("Nothing to change here. Month 0 is that of “As of”; a month is a number.")
    sheet.put(1, 0, note)
    sheet.page.set_portrait()
    for column, width in enumerate((58, 18, 58)):
        sheet.page.set_column(column, column, width)
    row = _block(sheet, 3, _("All options"), shared_steps(book))
    for tag in book.view.tags.values():
        terms = Terms(book=book, option_id=tag.id)
        row = _block(sheet, row, tag.title, option_steps(terms, sums[tag.id]))


def _block(sheet: Sheet, row: int, heading: str, steps: Iterator[Step]) -> int:
    for column in range(3):
        sheet.put(row, column, heading if column == 0 else "", "section")
    for step in steps:
        row += 1
        name = sheet.book.define(step.path, sheet.at(row, 1))
        sheet.put(row, 0, step.label)
        sheet.put(row, 1, step.content, step.style)
        sheet.put(row, 2, name, "small")
    return row + 2


def shared_steps(book: Book) -> Iterator[Step]:
    """Yield the horizon, which is fixed, the share of lost flying, the rate a month."""
    view, given = book.view, book.names
    years, rate = view.figures.years, view.inputs["rates.discount"].quantity.likely
    counted = _("Years counted (fixed)")
    yield Step(path="horizon.years", label=counted, content=float(years))
    months = Cell(formula=f"12*{given['horizon.years']}", value=float(MONTHS * years))
    yield Step(path="horizon.months", label=_("Months counted"), content=months)
    lost: Cell | float = 1.0
    if view.club:
        moved = view.inputs["club.moved_share"].quantity.likely
        lost = Cell(formula=f"1-{given['club.moved_share']}", value=1.0 - moved)
    label = _("Lost flying that nobody flies")
    yield Step(path="lost_share", label=label, content=lost, style="rate")
    if "club.floor_years" in given:
        held = MONTHS * view.case.scenario.floor_years
        formula = f"MIN({given['horizon.months']},12*{given['club.floor_years']})"
        label = _("Months in which a raise must hold the floor")
        content = Cell(formula=formula, value=float(held))
        yield Step(path="floor_months", label=label, content=content)
    monthly = Cell(
        formula=f"(1+{given['rates.discount']})^(1/12)-1", value=(1.0 + rate) ** (1 / MONTHS) - 1.0
    )
    label = _("Discount rate a month")
    yield Step(path="rates.discount_a_month", label=label, content=monthly, style="rate")


def option_steps(terms: Terms, sums: Sums) -> Iterator[Step]:
    """Yield an option's dates, fixed costs, first due months and project sums."""
    yield from _dates(terms)
    yield from _fixed(terms)
    yield from _due(terms)
    yield from _sums(terms, sums)
    yield _settled(terms)
    if terms.view.club:
        yield from _raises(terms)
    yield _end_value(terms)


def _dates(terms: Terms) -> Iterator[Step]:
    """Yield days and months; without a schedule, order, start and finish are on as_of."""
    view, series, schedule = terms.view, terms.series, terms.option.schedule
    as_of, weeks = view.case.scenario.as_of, 0.0
    start = finish = order = terms.given("as_of")
    first, ordered = as_of, as_of
    if schedule:
        start, order = terms.own("schedule.start"), terms.own("schedule.order")
        weeks = terms.likely(terms.path("schedule.weeks_down"))
        finish = f"{start}+7*{terms.own('schedule.weeks_down')}"
        first, ordered = schedule.start, schedule.order or as_of
    last = float(serial(first)) + DAYS_IN_A_WEEK * weeks
    for key, label, formula, value in (
        ("start_day", _("Start"), start, float(serial(first))),
        ("finish_day", _("Finish: start and weeks down"), finish, last),
    ):
        content = Cell(formula=formula, value=value)
        yield Step(path=terms.path(key), label=label, content=content, style="day")
    here = terms.own("finish_day")
    most = terms.given("horizon.months")
    for key, label, formula, month in (
        (
            "order_month",
            _("Month of the order"),
            _months_to(terms, order),
            month_index(as_of, ordered),
        ),
        ("start_month", _("Month of the start"), _months_to(terms, start), series.start_month),
        (
            "finish_month",
            _("Month of the finish"),
            f"MIN({most},{_months_to(terms, f'INT({here})')})",
            series.finish_month,
        ),
    ):
        content = Cell(formula=formula, value=float(month))
        yield Step(path=terms.path(key), label=label, content=content)


def _months_to(terms: Terms, day: str) -> str:
    """Whole calendar months from the month of as_of to that of a day."""
    as_of = terms.given("as_of")
    return f"(YEAR({day})-YEAR({as_of}))*12+MONTH({day})-MONTH({as_of})"


def _fixed(terms: Terms) -> Iterator[Step]:
    """Yield fixed costs a year that have no end: today's, then those after the finish."""
    old, stay, begin = fixed_lists(terms)
    for key, label, listed in (
        ("fixed_before", _("Fixed costs a year up to the finish"), old),
        ("fixed_after", _("Fixed costs a year from then on"), stay + begin),
    ):
        paths = [f"{path}.per_year" for path, cost in listed if cost.for_months is None]
        value = math.fsum(terms.likely(path) for path in paths)
        content = Cell(formula="+".join(map(terms.given, paths)) or "0", value=value)
        yield Step(path=terms.path(key), label=label, content=content, style="money")


def _due(terms: Terms) -> Iterator[Step]:
    """Yield when recurring items first fall due, by their clocks and after the finish."""
    done, finish = terms.option.after.recurring_done, terms.own("finish_month")
    for item in todays_recurring(terms):
        path = f"aircraft.recurring[{item.name}]"
        label = _("First due: {item}", item=item.name)
        yield _by_clock(terms, item, path, f"due[{item.name}]", label, ("0", 0))
        if item.name in done:
            yield _restart(terms, item, path, f"due_again[{item.name}]")
    for item in new_recurring(terms):
        path, key = terms.path(f"after.recurring[{item.name}]"), f"new_due[{item.name}]"
        if item.name in done:
            yield _restart(terms, item, path, key)
        else:
            label = _("First due after the finish: {item}", item=item.name)
            yield _by_clock(terms, item, path, key, label, (finish, terms.series.finish_month))


def _by_clock(
    terms: Terms, item: Recurring, path: str, key: str, label: str, after: tuple[str, int]
) -> Step:
    """Return the first due month, or day, but none up to a month: what is due by then waits."""
    as_of, done = terms.view.case.scenario.as_of, terms.given(f"{path}.last_done")
    if item.every_days is not None:
        opens = f"DATE(YEAR({terms.given('as_of')}),MONTH({terms.given('as_of')})+{after[0]}+1,1)"
        formula = f"MAX({opens},{done}+{terms.given(f'{path}.every_days')})"
        day = max(month_start(as_of, after[1] + 1), item.good_through(item.last_done))
        return _first_due(terms, item, key, label, Cell(formula=formula, value=float(serial(day))))
    first = f"{_months_to(terms, done)}+{terms.given(f'{path}.every_months')}"
    month = month_index(as_of, item.good_through(item.last_done))
    content = Cell(formula=f"MAX({after[0]}+1,{first})", value=float(max(after[1] + 1, month)))
    return _first_due(terms, item, key, label, content)


def _restart(terms: Terms, item: Recurring, path: str, key: str) -> Step:
    """Done at the finish: due again so many months, or days, after it."""
    label = _("Due again after the finish: {item}", item=item.name)
    if item.every_days is not None:
        formula = f"INT({terms.own('finish_day')})+{terms.given(f'{path}.every_days')}"
        schedule = terms.option.schedule
        back = terms.view.case.scenario.as_of
        if schedule:
            back = day_after_weeks(schedule.start, schedule.weeks_down.likely)
        value = float(serial(item.good_through(back)))
        return _first_due(terms, item, key, label, Cell(formula=formula, value=value))
    every = terms.given(f"{path}.every_months")
    value = float(terms.series.finish_month + (item.every_months or 0))
    content = Cell(formula=f"{terms.own('finish_month')}+{every}", value=value)
    return _first_due(terms, item, key, label, content)


def _first_due(terms: Terms, item: Recurring, key: str, label: str, content: Cell) -> Step:
    style = "whole" if item.every_days is None else "day"
    return Step(path=terms.path(key), label=label, content=content, style=style)


def _sums(terms: Terms, sums: Sums) -> Iterator[Step]:
    """Yield the lines of the Project sheet added up: in all, at order, start and finish."""
    for kind in KINDS:
        named = _(NAMED[kind])
        if not sums.has(kind) and kind != "project":
            continue
        total = Step(
            path=terms.path(f"{kind}_total"),
            label=_("{sum}, in all", sum=named),
            content=sums.total(kind),
            style="money",
        )
        yield total
        for when in MOMENTS:
            label = _(FALLING[when], sum=named)
            content = sums.falling(kind, when)
            path = terms.path(f"{kind}_{when}")
            yield Step(path=path, label=label, content=content, style="money")
    if sums.has("purchase"):
        label = _("Purchase, before tax")
        path = terms.path("purchase_price")
        yield Step(path=path, label=label, content=sums.price("purchase"), style="money")
    label = _("Prices of which a buyer pays part back")
    path = terms.path("resale_basis")
    yield Step(path=path, label=label, content=sums.resale(), style="money")


def _settled(terms: Terms) -> Step:
    """Return the month of the option's last project flow: paybacks are looked for from there."""
    falling = [
        f"IF({terms.own(f'{kind}_{when}')}<>0,{terms.own(f'{when}_month')},0)"
        for kind in KINDS
        for when in MOMENTS
        if terms.path(f"{kind}_{when}") in terms.book.names
    ]
    month = float(last_project_month(terms.series))
    content = Cell(formula=f"MAX(0,{','.join(falling)})", value=month)
    label = _("Month of the project's last flow")
    return Step(path=terms.path("settled_month"), label=label, content=content)


def _raises(terms: Terms) -> Iterator[Step]:
    """Yield the last months of raises: as stated, else the end, or the floor's where solved."""
    for key, label in (
        ("dues", _("Last month of a raise of dues")),
        ("hourly_rate", _("Last month of a raise of the hourly rate")),
    ):
        formula = terms.given("horizon.months")
        if terms.option.funding.raise_years is not None:
            formula = f"12*{terms.own('funding.raise_years')}"
        elif terms.option.funding.solve == key:
            formula = terms.given("floor_months")
        content = Cell(formula=formula, value=float(raise_months(terms, key)))
        yield Step(path=terms.path(f"{key}_until"), label=label, content=content)


def _end_value(terms: Terms) -> Step:
    """Return what the airplane would bring at H after selling cost, as in cash_flow/valuation.py.

    keep, retrofit: (value·(1+vc)^(f/12)·(1+vc after)^((H-f)/12)
    + resale·recovery·(1-fade)^((H-f)/12))·(1-selling_cost); replace: the price paid in its place.
    """
    given, last, finish = terms.given, terms.given("horizon.months"), terms.own("finish_month")
    after = f"(({last}-{finish})/12)"
    change, fade, recovery, selling = (
        terms.final_value(key)
        for key in ("value_change", "recovery_fade", "resale_recovery", "selling_cost")
    )
    if terms.option.replaces_airplane:
        bought = terms.own("purchase_price") if terms.option.buy else "0"
        airplane = f"{bought}*(1+{change})^{after}"
    else:
        before = f"(1+{given('aircraft.value_change')})^({finish}/12)"
        airplane = f"{given('aircraft.value')}*{before}*(1+{change})^{after}"
    equipment = f"{terms.own('resale_basis')}*{recovery}*(1-{fade})^{after}"
    content = Cell(
        formula=f"({airplane}+{equipment})*(1-{selling})", value=terms.figures.likely.end_value
    )
    label = _("Value at the end, after selling cost")
    return Step(path=terms.path("end_value"), label=label, content=content, style="money")
