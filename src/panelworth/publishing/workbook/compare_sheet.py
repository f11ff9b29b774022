"""The Compare sheet: every figure of every option side by side, as formulas over the months.

Figures that need more than formulas (draws, break-evens, the list of all rates of return) follow
below as plain values, under a heading that says that they do not follow changes.
"""

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from panelworth.engine.results.figures import (
    OptionFigures,
)
from panelworth.model.club import (
    Profile,
)
from panelworth.publishing.formats import number_marks
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import View
from panelworth.publishing.words import figure_names
from panelworth.publishing.workbook import figures
from panelworth.publishing.workbook.book import Cell, Content, Sheet
from panelworth.publishing.workbook.figures import Formula
from panelworth.publishing.workbook.formula_context import FormulaContext
from panelworth.publishing.workbook.input_rows import solves
from panelworth.publishing.workbook.month_table import MonthTable
from panelworth.publishing.workbook.words import NEVER, NO_RAISE, NONE, SEVERAL, word

FIRST_ROW = 3
MEANING_LETTERS = 100  # of a meaning, in a line
STYLES = {
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
RAISE_LABELS = {
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
PERCENTILES = {
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
class FigureRow:
    """A figure of all options: its key, label, meaning, formula and style.

    The baseline has no figure that is `against` the baseline.
    """

    key: str
    label: str
    meaning: str
    formula: Formula
    style: str = "money"
    against: bool = False

    def exists_for(self, context: FormulaContext) -> bool:
        """Say whether an option has the figure."""
        group, _, name = self.key.partition(".")
        if group == "funded" and name in LOAN_LABELS | COVERAGE_LABELS:
            return context.series.loan is not None
        return not (self.against and context.baseline is None)


def write_compare(
    sheet: Sheet, contexts: Mapping[str, FormulaContext], tables: Mapping[str, MonthTable]
) -> None:
    """Write all figures; first all cells get names, since some figures read others below them."""
    columns = len(contexts) + 2
    _write_head(sheet, columns)
    row = FIRST_ROW
    rows: list[tuple[int, FigureRow]] = []
    for heading, figure_rows in _groups(sheet.book.view, contexts):
        sheet.write_section(row, heading, columns)
        for figure in figure_rows:
            row += 1
            rows.append((row, figure))
            _define(sheet, row, figure, contexts)
        row += 2
    for number, figure in rows:
        _write_figure(sheet, number, figure, contexts, tables)
    _write_plain_values(sheet, row, columns)


def _write_head(sheet: Sheet, columns: int) -> None:
    view, last = sheet.book.view, columns - 1
    sheet.write(0, 0, _("The options compared"), "title")
    sheet.write(1, 0, view.case.scenario.question or view.case.scenario.title)
    sheet.write(2, 0, _("Money in {currency}", currency=view.figures.currency), "heading")
    sheet.worksheet.set_row(2, 48)
    sheet.worksheet.set_column(0, 0, 50)
    sheet.worksheet.set_column(1, last - 1, 19)
    sheet.worksheet.set_column(last, last, 92)
    sheet.worksheet.freeze_panes(FIRST_ROW, 1)
    for number, tag in enumerate(view.tags.values(), start=1):
        sheet.write(2, number, tag.title, "heading_right")
    sheet.write(2, last, _("What it means"), "heading_indented")


def _groups(
    view: View, contexts: Mapping[str, FormulaContext]
) -> Iterator[tuple[str, list[FigureRow]]]:
    """Yield each group of figures with its heading."""
    club, baseline = view.club is not None, view.baseline.title
    yield _("Likely values"), _likely(club=club)
    made_of = _("What the net benefit against “{baseline}” is made of", baseline=baseline)
    yield made_of, _parts(club=club)
    raises = _rows("to_be_whole", RAISE_LABELS, figures.TO_BE_WHOLE, against=True)
    heading = _("Raise that makes up the difference to “{baseline}”", baseline=baseline)
    yield heading, raises if club else raises[1:2]
    if club:
        yield _("Reserve and raises"), _rows("funded", RESERVE_LABELS, figures.RESERVE)
    if any(context.series.loan for context in contexts.values()):
        cover = _rows("funded", COVERAGE_LABELS, figures.COVERAGE) if club else []
        yield _("Loan"), [*_rows("funded", LOAN_LABELS, figures.LOAN), *cover]
    if view.club and view.club.profiles:
        cells = contexts[view.figures.baseline].club.profiles
        yield _("A member's bill a month"), list(map(_bill, cells))


def _likely(*, club: bool) -> list[FigureRow]:
    rows = []
    for figure in figure_names.LIKELY:
        if figure.key not in figures.LIKELY or (figure.of_club and not club):
            continue
        meaning = _(figure.meaning)
        row = FigureRow(
            key=f"likely.{figure.key}",
            label=_(figure.label),
            meaning=f"{_(IN_MONTHS)} {meaning}" if figure.style == "whole" else meaning,
            formula=figures.LIKELY[figure.key],
            style=figure.style,
            against=figure.against,
        )
        rows.append(row)
    return rows


def _parts(*, club: bool) -> list[FigureRow]:
    """Return the six parts of the net benefit (an owner's without members), then the loan."""
    labels = {key: label for key, label in PART_LABELS.items() if club or key != "parts.members"}
    formulas = {f"parts.{key}": formula for key, formula in figures.PARTS.items()}
    loan = _rows("likely", {"loan_npv": LOAN_VALUE}, figures.LIKELY)
    return [*_rows("likely", labels, formulas, against=True), *loan]


def _rows(
    group: str,
    labels: Mapping[str, tuple[str, str]],
    formulas: Mapping[str, Formula],
    *,
    against: bool = False,
) -> list[FigureRow]:
    return [
        FigureRow(
            key=f"{group}.{key}",
            label=_(label),
            meaning=_(meaning, never=word(NEVER)),
            formula=formulas[key],
            style=STYLES.get(key, "money"),
            against=against,
        )
        for key, (label, meaning) in labels.items()
    ]


def _bill(profile: Profile) -> FigureRow:
    """Return the bill of a kind of member; `profile` is a record of cells."""
    return FigureRow(
        key=f"bills[{profile.name}].per_month",
        label=profile.name,
        meaning=_("Dues and flying at today's prices once the option is in force."),
        formula=lambda context, _: figures.bill(context, profile),
    )


def _define(
    sheet: Sheet, row: int, figure: FigureRow, contexts: Mapping[str, FormulaContext]
) -> None:
    for column, context in enumerate(contexts.values(), start=1):
        if figure.exists_for(context):
            sheet.book.define(context.path(figure.key), sheet.at(row, column))


def _write_figure(
    sheet: Sheet,
    row: int,
    figure: FigureRow,
    contexts: Mapping[str, FormulaContext],
    tables: Mapping[str, MonthTable],
) -> None:
    sheet.write(row, 0, figure.label)
    for column, (option_id, context) in enumerate(contexts.items(), start=1):
        content: Content = NONE
        if figure.exists_for(context):
            formula = figure.formula(context, tables[option_id])
            content = Cell(formula=formula, value=_value(context, figure.key))
        sheet.write(row, column, content, f"{figure.style} right")
    sheet.write(row, len(contexts) + 1, figure.meaning, "note")
    sheet.fit_height(row, figure.meaning, MEANING_LETTERS)


def _value(context: FormulaContext, key: str) -> float | str:
    """Return a figure from the engine, or the word that the formula returns if it is absent."""
    group, *between, name = key.split(".")
    if group.startswith("bills["):
        profile = key.removeprefix("bills[").removesuffix("].per_month")
        bills = {bill.name: bill.per_month for bill in context.figures.bills}
        return NONE if bills[profile] is None else float(bills[profile] or 0.0)
    record: Any = getattr(context.figures, group)
    value = getattr(record.parts if between else record, name)
    if name == "irr":
        return value[0] if len(value) == 1 else word(SEVERAL) if value else NONE
    solve = context.option.funding.solve
    if value is None or (name == "solve_likely" and solve is None):
        if name.endswith("payback_months") or name == "below_floor_month":
            return word(NEVER)
        return word(NO_RAISE) if solve and name in RESERVE_LABELS else NONE
    return float(value)


def _write_plain_values(sheet: Sheet, row: int, columns: int) -> None:
    """Write the figures that formulas cannot calculate, with their values at the build."""
    sheet.write_section(row, _("Worked out by panelworth, does not follow changes"), columns)
    for label, style, values in _plain_values(sheet.book.view):
        row += 1
        sheet.write(row, 0, label)
        for column, value in enumerate(values, start=1):
            sheet.write(row, column, NONE if value is None else value, f"{style} right")


def _plain_values(view: View) -> Iterator[tuple[str, str, list[Any]]]:
    """Yield label and style of each figure, and its values by option."""
    uncertain = [view.uncertain(option_id) for option_id in view.tags]
    options = [view.option(option_id) for option_id in view.tags]
    rates = [", ".join(map(_rate, option.likely.irr)) or None for option in options]
    yield _("Every internal rate of return"), "text", rates
    without_growth = [_without_growth(view, option_id) for option_id in view.tags]
    yield _("Net benefit without growth"), "money", without_growth
    for key, label in BREAK_EVENS.items():
        style = "rate" if key == "resale_recovery" else "money"
        yield _(label), style, [_break_even(option, key) for option in options]
    for percentile, label in PERCENTILES.items():
        benefits = [asdict(option.range.net_benefit)[percentile] for option in uncertain]
        yield _(label, percentile=percentile), "money", benefits
    budgets = [option.budget_p80 for option in uncertain]
    yield _("Outlay that 8 in 10 draws stay below"), "money", budgets
    for key, label in CHANCES.items():
        yield _(label), "rate", [getattr(option, key) for option in uncertain]
    if view.club and solves(view):
        for key, (label, style) in SOLVED_LABELS.items():
            yield _(label), style, [getattr(option.funded, key) for option in options]


def _break_even(option: OptionFigures, key: str) -> float | str | None:
    """Return a break-even value, or why there is none."""
    value: float | None = getattr(option.break_even, key)
    reason = option.break_even_why.get(key)
    return _(REASONS[reason]) if value is None and reason else value


def _without_growth(view: View, option_id: str) -> float | None:
    """Return the net benefit if nobody joins or flies more; the baseline has none."""
    baseline = option_id == view.figures.baseline
    return None if baseline else view.option(option_id).likely.without_growth


def _rate(rate: float) -> str:
    """Write a rate as the cells above show theirs."""
    return f"{rate:.4%}".replace(".", number_marks()["decimal"])
