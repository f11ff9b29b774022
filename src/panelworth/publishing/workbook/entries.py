"""Every input of a scenario as a row of the Inputs sheet, told by the model's declarations.

What is left out and takes another input's value says so by a formula. Keys that decide which
rows and columns there are (years, kinds, lists, which raise is solved) are no inputs here.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from babel.dates import get_month_names

from panelworth.model.case import Input, option_prefix
from panelworth.model.option import Loan
from panelworth.model.scenario import Club
from panelworth.model.value import Record, about
from panelworth.publishing.formats import number, percent
from panelworth.publishing.language import _, spoken
from panelworth.publishing.view import View
from panelworth.publishing.words.sources import source_of
from panelworth.publishing.workbook.reserve import SOLVED
from panelworth.publishing.workbook.words import (
    FIRST_OUTLAY,
    MOMENTS,
    NO,
    NO_RAISE,
    YES,
    word,
    yes_or_no,
)

SAME_AS = {
    "rates.fuel_inflation": "rates.inflation",
    "schedule.order": "as_of",
    "sell.price": "aircraft.value",
    "aircraft.worth_per_hour": "aircraft.hourly_rate",
}
STRUCTURE = {
    *("years", "uncertainty", "installs", "kind", "group", "solve", "units"),
    *("member_hours", "lead_weeks", "trade_in", "solve_chance", "equipment_inflation"),
}
OF_CLUB = {"members", "assessment_per_member", "dues_increase", "hourly_rate_increase"}
LONGEST_TERM = 360
MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Entry:
    """An input: its path and declaration, the value that formulas read, its range and source.

    `same_as` is the path whose value it takes; `choices` are what a choice may be.
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


def scenario_entries(view: View) -> list[Entry]:
    """List the inputs that all options share."""
    return list(_walk(view, view.case.scenario, ""))


def option_entries(view: View, option_id: str) -> list[Entry]:
    """List an option's own inputs, the raise that the draws found among them."""
    option, prefix = view.case.options[option_id], option_prefix(option_id)
    found = list(_walk(view, option, prefix))
    priced = [path for path in view.case.job_prices if path.startswith(prefix)]
    found += [_range(view, view.inputs[path]) for path in priced]
    if view.club is None or option.funding.solve is None:
        return found
    solved = f"{prefix}funding.{SOLVED[option.funding.solve]}"
    return [_as_found(view, option_id, each) if each.path == solved else each for each in found]


def _as_found(view: View, option_id: str, entry: Entry) -> Entry:
    """Put the raise that the draws found into the cell of the raise, and say how it was found."""
    solved, scenario = view.uncertain(option_id).solved, view.case.scenario
    told = _(
        "worked out by panelworth: it holds the floor in {share} of {trials} draws, for the first "
        "{years} years; a change elsewhere does not move it",
        share=percent(view.case.options[option_id].funding.solve_chance, 0),
        trials=number(view.figures.uncertainty.trials),
        years=scenario.floor_years,
    )
    amount = solved.amount if solved else None
    return replace(entry, value=word(NO_RAISE) if amount is None else amount, source=told)


def _walk(view: View, record: Record, prefix: str) -> Iterator[Entry]:
    for key in type(record).model_fields:
        value, path = getattr(record, key), f"{prefix}{key}"
        of_club = key in OF_CLUB or (key == "worth_per_hour" and value is None)
        if key in STRUCTURE or (of_club and view.club is None):
            continue
        if isinstance(record, Club) and key == "floor_years":
            value = view.case.scenario.floor_years if solves(view) else None
        if path in view.inputs:
            yield _range(view, view.inputs[path])
        elif isinstance(value, Record):
            yield from _walk(view, value, f"{path}.")
        elif key == "season":
            yield from _season(record, value, path)
        elif isinstance(value, tuple):
            for each in value:
                if isinstance(each, Record) and hasattr(each, "name"):
                    yield from _walk(view, each, f"{path}[{each.name}].")
        else:
            yield from _single(record, key, value, path)


def solves(view: View) -> bool:
    """Say whether a raise is worked out for any option."""
    return any(option.funding.solve for option in view.case.options.values())


def _range(view: View, each: Input) -> Entry:
    """Tell a number or range, with where it comes from."""
    quantity = each.quantity
    return Entry(
        path=each.path,
        section=_section(each.section),
        label=_(each.label),
        unit=each.unit,
        meaning=_(each.meaning),
        value=quantity.likely,
        ends=None if quantity.certain else (quantity.low, quantity.high),
        source=source_of(view, each),
        least=each.least,
        most=each.most,
    )


def _season(record: Record, weights: tuple[float, ...] | None, path: str) -> Iterator[Entry]:
    said = _said(record, "season")
    shown = get_month_names("wide", "stand-alone", locale=spoken().locale)
    for place, (month, weight) in enumerate(zip(MONTH_NAMES, weights or (), strict=False), 1):
        label = f"{said['label']}, {shown[place]}"
        yield Entry(path=f"{path}[{month}]", value=weight, **{**said, "label": label})


def _single(record: Record, key: str, value: Any, path: str) -> Iterator[Entry]:  # noqa: ANN401
    """Tell a plain number, day or choice, or what a key that is left out takes its value from."""
    said = _said(record, key)
    same_as = next((same for end, same in SAME_AS.items() if path.endswith(end)), "")
    if value is None and same_as:
        yield Entry(path=path, same_as=same_as, source=_("left out: as {key}", key=same_as), **said)
    elif key == "when":
        moments = MOMENTS if value is not None else (FIRST_OUTLAY, *MOMENTS)
        choices = tuple(map(word, moments))
        yield Entry(path=path, value=word(value or FIRST_OUTLAY), choices=choices, **said)
    elif key == "resale":
        counted = yes_or_no(yes=getattr(record, "recoverable", False))
        yield Entry(path=path, value=counted, choices=(word(YES), word(NO)), **said)
    elif isinstance(value, int | float | date):
        yield Entry(path=path, value=value, **said)


def _said(record: Record, key: str) -> dict[str, Any]:
    said, name = about(type(record), key), getattr(record, "name", "")
    words = {"label": _(said["label"]), "unit": said["unit"], "meaning": _(said["meaning"])}
    section = _section(f"{record.heading}: {name}" if name else record.heading)
    most = said["high"]
    if isinstance(record, Loan) and key == "months":
        most = longest_term(record)
    return {**words, "section": section, "least": said["low"], "most": most}


def _section(section: str) -> str:
    """Say a section's heading; what follows it is a name of the user's."""
    heading, colon, name = section.partition(": ")
    return f"{_(heading)}{colon}{name}"


def longest_term(loan: Loan) -> int:
    """Return to how many payments a loan's term may be changed: the workbook has room for these."""
    return max(LONGEST_TERM, loan.months)
