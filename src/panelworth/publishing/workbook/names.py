"""Names of cells: the only module of the workbook that uses the paths of inputs.

Formulas reach an input as an attribute of a record: `cells_of` puts the names of cells in the place
of a record's inputs. Names are English in every language, like the keys of files.
"""

import re
import unicodedata
from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Any, Literal, TypeVar

from panelworth.model.case import option_prefix
from panelworth.model.value import Record

R = TypeVar("R", bound=Record)
Raise = Literal["dues", "hourly_rate", "assessment"]

LONGEST_NAME = 240  # a name may have 255 characters; the rest is for a number
TITLES = {
    "readme": "Read me", "compare": "Compare", "charts": "Charts", "inputs": "Inputs",
    "project": "Project", "steps": "Steps", "months": "Months", "loans": "Loans", "rates": "Rates",
    "ledger": "Ledger",
}  # fmt: skip
NOT_IN_A_NAME = re.compile(r"[^A-Za-z0-9_.]")
# An input that is left out takes the value of another: the end of its path, the other's path.
SAME_AS = {
    "rates.fuel_inflation": "rates.inflation",
    "schedule.order": "as_of",
    "sell.price": "aircraft.value",
    "aircraft.worth_per_hour": "aircraft.hourly_rate",
}
RAISE_KEYS: Mapping[Raise, str] = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}


class SharedStep(StrEnum):
    """The steps that all options share; the value is the path that the cell is named after."""

    YEARS = "horizon.years"
    MONTHS = "horizon.months"
    LOST_SHARE = "lost_share"
    FLOOR_MONTHS = "floor_months"
    MONTHLY_DISCOUNT = "rates.discount_a_month"


def name_of(path: str) -> str:
    """Make a cell's name from a path: brackets become dots, other marks underscores.

    >>> name_of("options.full.items[Left display].cost")
    'options.full.items.Left_display.cost'
    """
    letters = unicodedata.normalize("NFKD", path)
    plain = "".join(letter for letter in letters if not unicodedata.combining(letter))
    return NOT_IN_A_NAME.sub("_", plain.replace("[", ".").replace("]", ""))[:LONGEST_NAME]


def unique_name(name: str, taken: set[str]) -> str:
    """Return the name, with a number where it is taken; spreadsheets ignore upper and lower case.

    `taken` holds names in lower case.

    >>> unique_name("fixed.hangar", {"fixed.hangar"})
    'fixed.hangar_2'
    """
    number, unique = 1, name
    while unique.lower() in taken:
        number += 1
        unique = f"{name}_{number}"
    return unique


def raise_path(option_id: str, solve: Raise) -> str:
    """Return the path of an option's raise of one kind."""
    return f"{option_prefix(option_id)}funding.{RAISE_KEYS[solve]}"


def cells_of(record: R, prefix: str, names: Mapping[str, str]) -> R:
    """Return a record with the name of its cell in the place of each input, for formulas.

    `prefix` is how the paths of its inputs begin, `names` the name of each path that has a cell.
    The result has the record's type, so that a misspelt input fails the type check and an editor
    leads from a formula to the declaration: f"{aircraft.hours_per_year}*{aircraft.fuel_price}".
    At run time those attributes are texts. What has no cell, such as a name or None, stays.

    >>> from panelworth.model.scenario import Rates
    >>> cells_of(Rates(), "rates.", {"rates.discount": "rates.discount"}).discount
    'rates.discount'
    """
    cells = {
        key: _cell(getattr(record, key), f"{prefix}{key}", names)
        for key in type(record).model_fields
    }
    return _with(record, cells)


def _cell(value: object, path: str, names: Mapping[str, str]) -> object:
    if path in names:
        return names[path]
    if isinstance(value, Record):
        return cells_of(value, f"{path}.", names)
    if isinstance(value, tuple) and any(hasattr(entry, "name") for entry in value):
        return tuple(cells_of(entry, f"{path}[{entry.name}].", names) for entry in value)
    return value


def with_changes(
    today: R, after: Record, combined: Callable[[Any, Any], object] = lambda _, new: new
) -> R:
    """Return [aircraft] with what [after] changes, both as records of values or both of cells.

    `combined` makes the new value from today's and that of [after]. An input or table that [after]
    leaves out is the same object as today's, so that `is` tests whether it changes.
    """
    changes = {}
    for key in type(today).model_fields:
        old, new = getattr(today, key), getattr(after, key, None)
        if isinstance(new, Record):
            changes[key] = with_changes(old, new, combined)
        elif new is not None:
            changes[key] = combined(old, new)
    return _with(today, changes)


def _with(record: R, values: Mapping[str, object]) -> R:
    """Copy a record with other values, without validation: names of cells are not numbers."""
    copied = record.model_copy()
    copied.__dict__.update(values)
    return copied
