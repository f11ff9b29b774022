"""The Compare sheet: every figure of every option side by side, as formulas over the months.

What formulas cannot follow (the draws, break-evens, every rate of return) stands below as plain
values, and says so.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

from panelworth.publishing.formats import number_marks
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words import figure_names
from panelworth.publishing.workbook import figures
from panelworth.publishing.workbook.book import Cell, Content, Sheet
from panelworth.publishing.workbook.entries import solves
from panelworth.publishing.workbook.figures import Formula
from panelworth.publishing.workbook.terms import Table, Terms
from panelworth.publishing.workbook.words import NEVER, NO_RAISE, NONE, SEVERAL, word

FIRST_ROW = 3
LETTERS = 100  # of a meaning, in a line
STYLES = {
    "irr": "rate", "mirr": "rate", "adjusted_irr": "rate", "savings_to_investment": "factor",
    "payback_months": "whole", "first_payback_months": "whole",
    "discounted_payback_months": "whole", "first_discounted_payback_months": "whole",
    "lowest_balance_month": "whole", "below_floor_month": "whole",
    "lowest_coverage": "factor", "lowest_coverage_year": "whole",
}  # fmt: skip
IN_MONTHS = N_("Months from “As of”.")
PART_LABELS = {
    "parts.running": (N_("Running costs"), N_("What running costs less, or more, below 0.")),
    "parts.project": (
        N_("Project"),
        N_("Items, small jobs and a purchase, less money in and a sale."),
    ),
    "parts.airplane_value": (
        N_("Airplane's value at the end"),
        N_("What it would bring at the end, in today's money."),
    ),
    "parts.hours": (
        N_("Hours flown"),
        N_("What the hours are worth to those who fly them."),
    ),
    "parts.members": (
        N_("Members gained or lost"),
        N_("Dues and joining fees of newcomers; what is lost when members leave."),
    ),
    "parts.loan": (N_("Loan"), N_("What borrowing itself brings or costs.")),
}
LOAN_VALUE = (
    N_("Loan in today's money"),
    N_("What is drawn less payments and what is owed at the end: the option's own."),
)
WHOLE_LABELS = {
    "dues_per_member_month": (N_("Dues, a member a month"), N_("From month 1, flat.")),
    "hourly_rate": (N_("Hourly rate"), N_("On top of the rate, from month 1, flat.")),
    "assessment_per_member": (N_("Assessment, a member"), N_("Once, in month 0.")),
}
RESERVE_LABELS = {
    "lowest_balance": (N_("Reserve at its lowest"), N_("Under the option's own funding.")),
    "lowest_balance_month": (
        N_("Month of the lowest reserve"),
        N_("The first, of several alike."),
    ),
    "below_floor_month": (
        N_("First month below the floor"),
        N_("“{never}” where the floor holds."),
    ),
    "balance_at_end": (N_("Reserve at the end"), N_("At the end of the last month.")),
    "dues_increase": (
        N_("Dues increase"),
        N_("A month, as given or as found in the draws to hold the floor."),
    ),
    "hourly_rate_increase": (N_("Hourly rate increase"), N_("An hour, likewise.")),
    "assessment_per_member": (N_("Assessment, a member"), N_("Once, in month 0, likewise.")),
    "solve_likely": (
        N_("Raise needed at likely values"),
        N_("The least that holds the floor if everything comes as likely: too little to plan."),
    ),
}
LOAN_LABELS = {
    "loan_payment": (N_("Loan payment a month"), N_("Level, to the cent.")),
    "loan_interest": (
        N_("Interest over the loan's life"),
        N_("Past the end of the comparison too."),
    ),
    "debt_at_end": (N_("Debt at the end"), N_("What is still owed then.")),
}
COVERAGE_LABELS = {
    "lowest_coverage": (
        N_("Least cover of the loan"),
        N_("What the club has left over in a year, for each unit that its loan takes in it."),
    ),
    "lowest_coverage_year": (N_("Year of the least cover"), N_("The first year is 1.")),
}
BREAK_EVENS = {
    "hours_per_year": N_("Break-even: hours wanted a year, by both"),
    "extra_hours_per_year": N_("Break-even: more hours a year because of it"),
    "members_joined": N_("Break-even: members joining because of it"),
    "project": N_("Break-even: price of the project"),
    "worth_per_hour": N_("Break-even: worth of an hour"),
    "resale_recovery": N_("Break-even: share of the equipment a buyer pays back"),
    "buy_price": N_("Break-even: purchase price"),
}
REASONS = {
    "pays at any value": N_("pays at any value"),
    "never pays": N_("never pays"),
    "no effect": N_("no effect"),
}
AGAINST = {
    **dict.fromkeys(
        ("p10", "p50", "p80", "p90"), N_("Against the baseline over the draws, {percentile}")
    ),
    "mean": N_("Against the baseline over the draws, mean"),
}
CHANCES = {
    "chance_beats_baseline": N_("Chance to do better than the baseline"),
    "chance_best": N_("Chance to be the best option"),
    "chance_below_floor": N_("Chance that the reserve falls below its floor in the years asked"),
}
SOLVED_LABELS = {
    "solve_month": (N_("Month that most often sets the raise"), "whole"),
    "solve_once": (N_("Instead of the raise, paid once by each member"), "money"),
}


@dataclass(frozen=True, kw_only=True)
class Row:
    """A figure in all options: what it is called, its key, how it is worked out and shown."""

    key: str
    label: str
    meaning: str
    formula: Formula
    style: str = "money"
    against: bool = False


def write_compare(sheet: Sheet, tables: dict[str, Table]) -> None:
    """Write all figures, their names first, since some are read by others."""
    groups = list(_groups(sheet))
    _head(sheet)
    row = FIRST_ROW
    places = []
    for heading, rows in groups:
        _section(sheet, row, heading)
        for each in rows:
            row += 1
            places.append((row, each))
            _define(sheet, row, each)
        row += 2
    for place, each in places:
        _write(sheet, place, each, tables)
    _write_fixed(sheet, row)


def _head(sheet: Sheet) -> None:
    view = sheet.book.view
    last = len(view.tags) + 1
    sheet.put(0, 0, _("The options compared"), "title")
    sheet.put(1, 0, view.case.scenario.question or view.case.scenario.title)
    sheet.put(2, 0, _("Money in {currency}", currency=view.figures.currency), "heading")
    sheet.page.set_row(2, 48)
    sheet.page.set_column(0, 0, 50)
    sheet.page.set_column(1, last - 1, 19)
    sheet.page.set_column(last, last, 92)
    sheet.page.freeze_panes(FIRST_ROW, 1)
    for number, tag in enumerate(view.tags.values(), start=1):
        sheet.put(2, number, tag.title, "heading_right")
    sheet.put(2, last, _("What it means"), "heading_indented")


def _section(sheet: Sheet, row: int, heading: str) -> None:
    for column in range(len(sheet.book.view.tags) + 2):
        sheet.put(row, column, "" if column else heading, "section")


def _groups(sheet: Sheet) -> Iterator[tuple[str, list[Row]]]:
    view = sheet.book.view
    club, baseline = view.club is not None, view.baseline.title
    yield _("Likely values"), _likely(club=club)
    made_of = _("What the net benefit against “{baseline}” is made of", baseline=baseline)
    yield made_of, _parts(club=club)
    whole = _rows("to_be_whole", WHOLE_LABELS, figures.TO_BE_WHOLE, against=True)
    raised = _("Raise that makes up the difference to “{baseline}”", baseline=baseline)
    yield raised, whole if club else whole[1:2]
    if club:
        yield _("Reserve and raises"), _rows("funded", RESERVE_LABELS, figures.RESERVE)
    if any(series.loan for series in view.figures.series.values()):
        covered = _rows("funded", COVERAGE_LABELS, figures.COVERAGE) if club else []
        yield _("Loan"), [*_rows("funded", LOAN_LABELS, figures.LOAN), *covered]
    if view.club and view.club.profiles:
        bills = [_bill(profile.name) for profile in view.club.profiles]
        yield _("A member's bill a month"), bills


def _likely(*, club: bool) -> list[Row]:
    found = []
    for figure in figure_names.LIKELY:
        if figure.key not in figures.LIKELY or (figure.of_club and not club):
            continue
        style = STYLES.get(figure.key, "money")
        meaning = _(figure.meaning)
        row = Row(
            key=f"likely.{figure.key}",
            label=_(figure.label),
            meaning=f"{_(IN_MONTHS)} {meaning}" if style == "whole" else meaning,
            formula=figures.LIKELY[figure.key],
            style=style,
            against=figure.against,
        )
        found.append(row)
    return found


def _parts(*, club: bool) -> list[Row]:
    """Return the six parts that add up, an owner's without members, then the loan by itself."""
    parts = {key: each for key, each in PART_LABELS.items() if club or key != "parts.members"}
    formulas = {f"parts.{key}": formula for key, formula in figures.PARTS.items()}
    loan = _rows("likely", {"loan_npv": LOAN_VALUE}, figures.LIKELY)
    return [*_rows("likely", parts, formulas, against=True), *loan]


def _rows(
    group: str,
    labels: dict[str, tuple[str, str]],
    formulas: dict[str, Formula],
    *,
    against: bool = False,
) -> list[Row]:
    return [
        Row(
            key=f"{group}.{key}",
            label=_(label),
            meaning=_(meaning, never=word(NEVER)),
            formula=formulas[key],
            style=STYLES.get(key, "money"),
            against=against,
        )
        for key, (label, meaning) in labels.items()
    ]


def _bill(profile: str) -> Row:
    return Row(
        key=f"bills[{profile}].per_month",
        label=profile,
        meaning=_("Dues and flying at today's prices once the option is in force."),
        formula=lambda terms, _: figures.bill(terms, profile),
    )


def _define(sheet: Sheet, row: int, each: Row) -> None:
    for column, option_id in enumerate(sheet.book.view.tags, start=1):
        terms = Terms(book=sheet.book, option_id=option_id)
        if _has(terms, each):
            sheet.book.define(terms.path(each.key), sheet.at(row, column))


def _has(terms: Terms, each: Row) -> bool:
    """Say whether an option has a figure: the baseline is not held against itself."""
    group, _, name = each.key.partition(".")
    if group == "funded" and name in LOAN_LABELS | COVERAGE_LABELS:
        return terms.series.loan is not None
    return not (each.against and terms.is_baseline)


def _write(sheet: Sheet, row: int, each: Row, tables: dict[str, Table]) -> None:
    sheet.put(row, 0, each.label)
    for column, option_id in enumerate(sheet.book.view.tags, start=1):
        terms = Terms(book=sheet.book, option_id=option_id)
        content: Content = NONE
        if _has(terms, each):
            formula = each.formula(terms, tables[option_id])
            content = Cell(formula=formula, value=_value(terms, each.key))
        sheet.put(row, column, content, f"{each.style} right")
    sheet.put(row, len(sheet.book.view.tags) + 1, each.meaning, "told")
    sheet.make_room(row, each.meaning, LETTERS)


def _value(terms: Terms, key: str) -> float | str:
    """Return a figure as the engine has it, in the words of the formula where it is absent."""
    group, *between, name = key.split(".")
    if group.startswith("bills["):
        profile = key.removeprefix("bills[").removesuffix("].per_month")
        bills = {bill.name: bill.per_month for bill in terms.figures.bills}
        return NONE if bills[profile] is None else float(bills[profile] or 0.0)
    record: Any = getattr(terms.figures, group)
    value = getattr(record.parts if between else record, name)
    if name == "irr":
        return value[0] if len(value) == 1 else word(SEVERAL) if value else NONE
    if value is None or (name == "solve_likely" and terms.option.funding.solve is None):
        never = name.endswith("payback_months") or name == "below_floor_month"
        return word(NEVER) if never else _no(terms, name)
    return float(value)


def _no(terms: Terms, name: str) -> str:
    solved = name in RESERVE_LABELS and terms.option.funding.solve is not None
    return word(NO_RAISE) if solved else NONE


def _write_fixed(sheet: Sheet, row: int) -> None:
    """Write what a spreadsheet cannot follow: plain values, from when the workbook was made."""
    _section(sheet, row, _("Worked out by panelworth, does not follow changes"))
    for label, style, values in _fixed(sheet):
        row += 1
        sheet.put(row, 0, label)
        for column, value in enumerate(values, start=1):
            sheet.put(row, column, NONE if value is None else value, f"{style} right")


def _fixed(sheet: Sheet) -> Iterator[tuple[str, str, list[Any]]]:
    view = sheet.book.view
    drawn = [view.uncertain(option_id) for option_id in view.tags]
    options = [view.option(option_id) for option_id in view.tags]
    rates = [", ".join(map(_rate, each.likely.irr)) or None for each in options]
    yield _("Every internal rate of return"), "text", rates
    yield (
        _("Net benefit without growth"),
        "money",
        [_without_growth(view, tag) for tag in view.tags],
    )
    for key, label in BREAK_EVENS.items():
        values = [getattr(each.break_even, key) for each in options]
        reasons = [each.break_even_why.get(key) for each in options]
        shown = [
            _(REASONS[why]) if value is None and why else value
            for value, why in zip(values, reasons, strict=True)
        ]
        style = "rate" if key == "resale_recovery" else "money"
        yield _(label), style, shown
    for percentile, label in AGAINST.items():
        gaps = [asdict(each.range.net_benefit)[percentile] for each in drawn]
        yield _(label, percentile=percentile), "money", gaps
    budgets = [each.budget_p80 for each in drawn]
    yield _("Outlay that 8 in 10 draws stay below"), "money", budgets
    for key, label in CHANCES.items():
        yield _(label), "rate", [getattr(each, key) for each in drawn]
    if view.club and solves(view):
        for key, (label, style) in SOLVED_LABELS.items():
            yield _(label), style, [getattr(each.funded, key) for each in options]


def _without_growth(view: View, option_id: str) -> float | None:
    """Return the net benefit if nobody joins or flies more; the baseline has none."""
    found = view.option(option_id).likely.without_growth
    return None if option_id == view.figures.baseline else found


def _rate(rate: float) -> str:
    """Write a rate as the cells above show theirs."""
    return f"{rate:.4%}".replace(".", number_marks()["decimal"])
