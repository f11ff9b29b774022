"""Every input of a scenario as a row of the Inputs sheet, from the model's declarations.

An input that is left out and takes the value of another is a formula. Keys that decide which
rows and columns there are (years, kinds, lists, which raise is solved) have no row.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from babel.dates import get_month_names

from panelworth.model.case import Input, option_prefix
from panelworth.model.club import (
    Club,
)
from panelworth.model.option import Loan
from panelworth.model.value import Record, declaration_of
from panelworth.publishing.formats import number, percent
from panelworth.publishing.language import _, current_language
from panelworth.publishing.view import View
from panelworth.publishing.words.sources import source_of
from panelworth.publishing.workbook.names import SAME_AS, raise_path
from panelworth.publishing.workbook.words import (
    FIRST_OUTLAY,
    MOMENTS,
    NO,
    NO_RAISE,
    YES,
    word,
    yes_or_no,
)

# Keys without a row: they determine the rows and columns, or no likely figure depends on them.
WITHOUT_ROW = {
    *("years", "uncertainty", "installs", "kind", "group", "solve", "units"),
    *(
        "member_hours",
        "lead_weeks",
        "trade_in",
        "same_miles",
        "solve_chance",
        "equipment_inflation",
    ),
    *(
        "vote",
        "decision",
        "ordered",
        "started",
        "finished",
        "weeks_left",
        "weeks",
        "resolved",
        "each",
    ),  # of the vote, of the project under way, and of trials alone
}
SPEED = "cruise_speed"  # a row only where hours follow the speed
CLUB_ONLY = {"members", "assessment_per_member", "dues_increase", "hourly_rate_increase"}
LONGEST_TERM = 360  # months of a loan that the workbook has rows for: a reader may change the term
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class InputRow:
    """An input: its path and declaration, the value that formulas read, its range and source.

    `same_as` is the path of the input whose value it takes, `choices` the values of a choice.
    `list_path` is given on the last row of a list of numbers: the path of the list as a whole.
    """

    path: str
    section: str
    label: str
    unit: str
    meaning: str
    value: float | str | date = 0.0
    ends: tuple[float, float] | None = None
    source: str = ""
    same_as: str = ""
    choices: tuple[str, ...] = ()
    least: float = 0.0
    most: float = 0.0
    list_path: str = ""


def scenario_inputs(view: View) -> list[InputRow]:
    """List the inputs that all options share."""
    failures = [_range(view, given) for given in view.case.failure_inputs()]
    return [*_inputs_of(view, view.case.scenario, ""), *failures]


def option_inputs(view: View, option_id: str) -> list[InputRow]:
    """List an option's own inputs, with the raise that was solved in the draws."""
    option, prefix = view.case.options[option_id], option_prefix(option_id)
    rows = list(_inputs_of(view, option, prefix))
    rows += [
        _range(view, view.inputs[path]) for path in view.case.job_prices if path.startswith(prefix)
    ]
    rows += [_range(view, given) for given in view.case.failure_inputs(option_id)]
    if view.club is None or option.funding.solve is None:
        return rows
    solved = raise_path(option_id, option.funding.solve)
    return [_solved_raise(view, option_id, row) if row.path == solved else row for row in rows]


def _solved_raise(view: View, option_id: str, row: InputRow) -> InputRow:
    """Return the row of a raise with the amount that was solved over the draws.

    It is a plain value, since a spreadsheet does not have the draws; the reader may change it.
    """
    solved, scenario = view.uncertain(option_id).solved, view.case.scenario
    source = _(
        "worked out by panelworth: it holds the floor in {share} of {trials} draws, for the first "
        "{years} years; a change elsewhere does not move it",
        share=percent(view.case.options[option_id].funding.solve_chance, 0),
        trials=number(view.figures.uncertainty.trials),
        years=scenario.floor_years,
    )
    amount = solved.amount if solved else None
    return replace(row, value=word(NO_RAISE) if amount is None else amount, source=source)


def _inputs_of(view: View, record: Record, prefix: str) -> Iterator[InputRow]:
    """Yield the inputs of a record and of the tables within it, in the order of declaration."""
    for key in type(record).model_fields:
        value, path = getattr(record, key), f"{prefix}{key}"
        if _has_no_row(view, key, value):
            continue
        # Only a solved raise reads floor_years; without one the input would have no effect.
        if isinstance(record, Club) and key == "floor_years":
            value = view.case.scenario.floor_years if solves(view) else None
        if path in view.inputs:
            yield _range(view, view.inputs[path])
        elif isinstance(value, Record):
            yield from _inputs_of(view, value, f"{path}.")
        elif key == "season":
            yield from _season(record, value, path)
        elif isinstance(value, tuple):
            for entry in value:
                if isinstance(entry, Record) and hasattr(entry, "name"):
                    yield from _inputs_of(view, entry, f"{path}[{entry.name}].")
        else:
            yield from _single_value(view, record, key, path, value)


def solves(view: View) -> bool:
    """Say whether any option has a raise that is solved."""
    return any(option.funding.solve for option in view.case.options.values())


def _has_no_row(view: View, key: str, value: object) -> bool:
    """Return whether an input has no effect in the workbook, or is a club's and this is none."""
    club_only = key in CLUB_ONLY or (key == "worth_per_hour" and value is None)
    by_speed = any(option.same_miles for option in view.case.options.values())
    return (
        key in WITHOUT_ROW or (club_only and view.club is None) or (key == SPEED and not by_speed)
    )


def _range(view: View, given: Input) -> InputRow:
    """Return the row of a number or range, with its source."""
    quantity = given.quantity
    return InputRow(
        path=given.path,
        section=_section(given.section),
        label=_(given.label),
        unit=given.unit,
        meaning=_(given.meaning),
        value=quantity.likely,
        ends=None if quantity.certain else (quantity.low, quantity.high),
        source=source_of(view.case, view.formats, given),
        least=given.least,
        most=given.most,
    )


def _season(record: Record, weights: tuple[float, ...] | None, path: str) -> Iterator[InputRow]:
    """Yield the twelve weights; formulas read them as one list."""
    declared = _declaration(record, "season")
    months = get_month_names("wide", "stand-alone", locale=current_language().locale)
    for place, (month, weight) in enumerate(zip(MONTH_NAMES, weights or (), strict=False), 1):
        yield InputRow(
            path=f"{path}[{month}]",
            value=weight,
            list_path=path if place == len(MONTH_NAMES) else "",
            **{**declared, "label": f"{declared['label']}, {months[place]}"},
        )


def _single_value(
    view: View,
    record: Record,
    key: str,
    path: str,
    value: Any,  # noqa: ANN401 (as declared)
) -> Iterator[InputRow]:
    """Yield the row of a number, a day, a choice, or an input with the value of another."""
    declared = _declaration(record, key)
    same_as = next((other for end, other in SAME_AS.items() if path.endswith(end)), "")
    if value is None and same_as:
        source = _("left out: as {key}", key=same_as)
        other = view.inputs[same_as].quantity.likely if same_as in view.inputs else None
        value_taken = view.case.scenario.as_of if other is None else other
        yield InputRow(path=path, same_as=same_as, value=value_taken, source=source, **declared)
    elif key == "when":
        moments = MOMENTS if value is not None else (FIRST_OUTLAY, *MOMENTS)
        choices = tuple(map(word, moments))
        yield InputRow(path=path, value=word(value or FIRST_OUTLAY), choices=choices, **declared)
    elif key == "resale":
        counts = yes_or_no(yes=getattr(record, "recoverable", False))
        yield InputRow(path=path, value=counts, choices=(word(YES), word(NO)), **declared)
    elif isinstance(value, int | float | date):
        yield InputRow(path=path, value=value, **declared)


def _declaration(record: Record, key: str) -> dict[str, Any]:
    """Return section, label, unit, meaning and bounds of an input, translated."""
    declared, name = declaration_of(type(record), key), getattr(record, "name", "")
    most = declared["high"]
    if isinstance(record, Loan) and key == "months":
        most = longest_term(record)
    return {
        "section": _section(f"{record.heading}: {name}" if name else record.heading),
        "label": _(declared["label"]),
        "unit": declared["unit"],
        "meaning": _(declared["meaning"]),
        "least": declared["low"],
        "most": most,
    }


def _section(section: str) -> str:
    """Translate a section's heading; after the colon stands a name that the user gave."""
    heading, colon, name = section.partition(": ")
    return f"{_(heading)}{colon}{name}"


def longest_term(loan: Loan) -> int:
    """Return the longest term of a loan, in months, that the workbook has rows for."""
    return max(LONGEST_TERM, loan.months)
