"""A number or a range, and the base of every record a user may write.

Each field is declared once, with label, unit, meaning and bounds; validation, the JSON Schema
for editors, the glossary page and the names in tables are all made from that declaration.
"""

import math
from datetime import date
from typing import Any, ClassVar, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    ValidationInfo,
    field_validator,
    model_validator,
)
from pydantic_core import CoreSchema, PydanticCustomError

LARGEST = 1e12  # beyond any sum a club could mean; keeps every product finite
LAST_YEAR = 3000
LONGEST = 1000  # bits; Python refuses to write out whole numbers much longer than that
Shape = Literal["pert", "triangular", "uniform"]


def refuse(
    expected: str, found: object, hint: str = "", *, worded: bool = False
) -> PydanticCustomError:
    """Make the error of a value that is well-formed but cannot be meant.

    `worded` says that `found` is already a phrase for the reader, not a value to quote.
    """
    phrase = str(found) if worded else shown(found)
    context = {"expected": expected, "found": phrase, "hint": hint}
    return PydanticCustomError("refused", "expected {expected}, found {found}", context)


def shown(value: object) -> str:
    """Show a found value as the user would have written it, cut to a readable length."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = f'"{value}"'
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list | tuple):
        text = f"[{', '.join(shown(each) for each in value)}]"
    elif isinstance(value, int) and value.bit_length() > LONGEST:
        text = "an endless number"
    else:
        text = f"{value:g}" if isinstance(value, float) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}…"  # noqa: PLR2004 (one line of a terminal)


class Record(BaseModel):
    """A frozen table of a user's file: unknown keys, NaN and wrong types are refused."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)
    heading: ClassVar[str] = ""

    @field_validator("*", mode="before")
    @classmethod
    def _tuples(cls, value: object) -> object:
        return _frozen(value)

    @field_validator("*", mode="after")
    @classmethod
    def _bounded(cls, value: object, info: ValidationInfo) -> object:
        limits = about(cls, str(info.field_name))
        for number in _numbers(value):
            if not limits["low"] <= number <= limits["high"]:
                raise refuse(_between(limits["low"], limits["high"]), number, limits["hint"])
        return value


class Quantity(BaseModel):
    """A number, or a range of low, likely, high with a shape; a plain number is certain.

    `like` is the path of another input whose rank in its own range this one takes in each trial.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)
    low: float
    likely: float
    high: float
    shape: Shape = "pert"
    source: str = ""
    note: str = ""
    like: str = ""

    @model_validator(mode="before")
    @classmethod
    def _written(cls, value: object) -> object:
        """Take `14200`, `[13200, 14200, 17500]` or a table; a table may give `likely` alone."""
        if isinstance(value, list | tuple):
            if len(value) != 3:  # noqa: PLR2004
                raise refuse("three numbers: low, likely, high", value)
            value = dict(zip(("low", "likely", "high"), value, strict=True))
        elif isinstance(value, dict) and "likely" in value and not {"low", "high"} & value.keys():
            value = {**value, "low": value["likely"], "high": value["likely"]}
        elif _is_number(value):
            value = {"low": value, "likely": value, "high": value}
        elif not isinstance(value, dict | Quantity):
            raise refuse("a number or a range [low, likely, high]", value, _quoted(value))
        return _sensible(value)

    @property
    def certain(self) -> bool:
        """True for a plain number: nothing to draw."""
        return self.low == self.high

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Tell editors the three ways to write it."""
        table = handler(core)
        number = {"type": "number"}
        triple = {"type": "array", "items": number, "minItems": 3, "maxItems": 3}
        parts = dict.fromkeys(("low", "likely", "high"), number)
        shape = {"enum": ["pert", "triangular", "uniform"], "default": "pert"}
        text = {"type": "string"}
        words = {"source": text, "note": text, "like": text}
        table = {
            "type": "object",
            "properties": {**parts, "shape": shape, **words},
            "required": ["likely"],
            "additionalProperties": False,
        }
        return {"anyOf": [number, triple, table]}


def exactly(number: float) -> Quantity:
    """Make a certain quantity: the default of an input that is left out."""
    return Quantity(low=number, likely=number, high=number)


def given(
    label: str,
    unit: str,
    meaning: str,
    *,
    low: float = 0.0,
    high: float = LARGEST,
    hint: str = "",
    **field: Any,  # noqa: ANN401 (passed on to pydantic's Field as it is)
) -> Any:  # noqa: ANN401 (pydantic's Field is typed so)
    """Declare one input: its label, unit, one-sentence meaning and bounds.

    Without `default` or `default_factory` the user must write it.
    """
    extra: dict[str, Any] = {"unit": unit, "low": low, "high": high, "hint": hint}
    return Field(title=label, description=meaning, json_schema_extra=extra, **field)


def about(record: type[BaseModel], key: str) -> dict[str, Any]:
    """Return the declaration of a key: label, unit, meaning, low, high, hint."""
    field = record.model_fields[key]
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    bounds = {"low": -math.inf, "high": math.inf, "hint": "", "unit": ""}
    words = {"label": field.title or key, "meaning": field.description or ""}
    return {**bounds, **extra, **words}


def amount(label: str, unit: str, meaning: str, **bounds: Any) -> Any:  # noqa: ANN401
    """Declare a number or range whose default is 0."""
    return given(label, unit, meaning, default_factory=lambda: exactly(0.0), **bounds)


def share(label: str, meaning: str, **bounds: Any) -> Any:  # noqa: ANN401
    """Declare a share between 0 and 1 whose default is 0."""
    hint = "write a share as a fraction: 5 % is 0.05"
    return amount(label, "share", meaning, high=1.0, hint=hint, **bounds)


def yearly_rate(label: str, meaning: str, **field: Any) -> Any:  # noqa: ANN401
    """Declare a rate a year as a fraction, above -100 % and at most 100 %; default 0."""
    hint = "write a rate as a fraction a year: 5 % is 0.05"
    if "default" not in field:
        field["default_factory"] = lambda: exactly(0.0)
    return given(label, "share a year", meaning, low=-0.99, high=1.0, hint=hint, **field)


def words(label: str, meaning: str, **field: Any) -> Any:  # noqa: ANN401
    """Declare a text."""
    return given(label, "text", meaning, **field)


def reachable(day: date) -> date:
    """Check that months can be counted on from a day: the calendar ends with the year 9999."""
    if day.year >= LAST_YEAR:
        raise refuse(f"a day before the year {LAST_YEAR}", day)
    return day


def one_of_each(values: tuple[Any, ...], what: str) -> tuple[Any, ...]:
    """Check that names within a list are unique, since inputs are found by them."""
    seen: set[str] = set()
    for value in values:
        if value.name in seen:
            raise refuse(f"each {what} to have its own name", value.name, "rename one of the two")
        seen.add(value.name)
    return values


def _frozen(value: object) -> object:
    """Turn lists into tuples, lists of lists too; tables within go through records of their own."""
    return tuple(_frozen(each) for each in value) if isinstance(value, list) else value


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _quoted(value: object) -> str:
    return "write it without quotation marks" if isinstance(value, str) else ""


def _sensible(value: Any) -> Any:  # noqa: ANN401 (whatever the user wrote)
    """Refuse what is no finite number, too large, or out of order; leave the rest to pydantic."""
    if not isinstance(value, dict):
        return value
    parts = [value[key] for key in ("low", "likely", "high") if key in value]
    for part in parts:
        if not _is_number(part):
            raise refuse("a number", part, _quoted(part))
        if not abs(part) <= LARGEST:  # NaN too; a whole number may be too long for isfinite
            raise refuse("a finite number below a million million", part)
    if len(parts) == 3 and not parts[0] <= parts[1] <= parts[2]:  # noqa: PLR2004
        raise refuse("low ≤ likely ≤ high", list(parts), "put the three in rising order")
    return value


def _numbers(value: object) -> tuple[float, ...]:
    if isinstance(value, Quantity):
        return (value.low, value.high)
    return (value,) if isinstance(value, int | float) and not isinstance(value, bool) else ()


def _between(low: float, high: float) -> str:
    if high >= LARGEST:
        return f"a number of at least {low:g}"
    return f"a number between {low:g} and {high:g}"
