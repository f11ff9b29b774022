"""Lower and upper bounds of numbers by their unit, and how they are worded.

Wide enough for any club, narrow enough that 40 years of growth at the largest rate leave every
sum, product and square within the range of floating point (1e308) with much to spare.
"""

import math
from collections.abc import Callable
from typing import Any

LARGEST = 1e12  # money; in the currency with the smallest unit a small airplane costs about 1e10
SMALLEST = 1e-9  # a smaller number can only mean 0; to divide by it gives no useful figure
HOURS_IN_A_YEAR = 8760
FREE = (-math.inf, math.inf)  # of inputs that are not numbers
LARGEST_NAMED = 1e4  # larger upper bounds only keep figures finite, so messages leave them out

BY_UNIT: dict[str, tuple[float, float]] = {
    "money": (0.0, LARGEST),  # also for "money a year", "money an hour" and so on
    "share": (0.0, 1.0),
    "share a year": (-0.5, 1.0),
    "hours": (0.0, 1e6),
    "hours a year": (0.0, HOURS_IN_A_YEAR),
    "minutes": (0.0, 1440.0),  # a day
    "days": (1.0, 18_262.0),  # 50 years, as 600 months are
    "days grounded": (0.0, 365.0),
    "weeks": (0.0, 520.0),
    "months": (0.0, 600.0),
    "years": (1.0, 40.0),
    "failures a year": (0.0, 365.0),
    "knots": (0.0, 1000.0),
    "people": (0.0, 100_000.0),
    "count": (0.0, 1e6),
    "ranks": (0.0, 999.0),
    "weights": (0.0, 1e6),
    "weight": (0.0, 1e6),  # no airplane weighs more, in pounds or kilograms
    "weight a unit of fuel": (0.0, 20.0),  # twice what water weighs in pounds a gallon
    "arm": (-1e5, 1e5),  # 100 m in millimetres
    "arm, weight": (-1e5, 1e6),  # the corners of an envelope
    "length": (0.0, 1e4),
    "fuel": (0.0, 1e5),
    "fuel an hour": (0.0, 1e4),
    "amps": (0.0, 1e4),
    "ampere-hours": (0.0, 1e4),
    "volts": (0.0, 1000.0),
    **dict.fromkeys(("text", "names", "choice", "date", "yes or no", "table", "list"), FREE),
}
Resolve = Callable[[dict[str, Any]], dict[str, Any]]


def bounds_of_unit(unit: str) -> tuple[float, float]:
    """Return the lower and upper bound of a unit; KeyError for an unknown unit."""
    return BY_UNIT["money" if unit.startswith("money ") else unit]


def expected_within(low: float, high: float, found: float) -> str:
    """Word what was expected of a number out of bounds: both bounds, or the one that was exceeded.

    >>> expected_within(0.0, 1.0, 4.5), expected_within(0.0, 1e6, -1.0)
    ('a number between 0 and 1', 'a number of at least 0')
    """
    if high < LARGEST_NAMED:
        return f"a number between {low:,.15g} and {high:,.15g}"
    if found > high:
        return f"a number of at most {high:,.15g}"
    return f"a number of at least {low:,.15g}"


def bounded_schema(
    schema: dict[str, Any], low: float, high: float, resolve: Resolve
) -> dict[str, Any]:
    """Return a JSON Schema in which every number has `minimum` and `maximum`.

    Lists, tables and alternatives are included. `resolve` returns the schema of a reference: it is
    copied in place, since each input has its own bounds.
    """
    if "$ref" in schema:
        words = {word: value for word, value in schema.items() if word != "$ref"}
        schema = {**resolve({"$ref": schema["$ref"]}), **words}
    if schema.get("type") in ("number", "integer"):
        return {**schema, "minimum": _plain(low), "maximum": _plain(high)}
    inner = dict(schema)
    for word in ("items", "additionalProperties"):
        if isinstance(schema.get(word), dict):
            inner[word] = bounded_schema(schema[word], low, high, resolve)
    if "anyOf" in schema:
        inner["anyOf"] = [bounded_schema(value, low, high, resolve) for value in schema["anyOf"]]
    if "properties" in schema:
        inner["properties"] = {
            name: bounded_schema(value, low, high, resolve)
            for name, value in schema["properties"].items()
        }
    return inner


def _plain(number: float) -> float:
    return int(number) if number == int(number) else number
