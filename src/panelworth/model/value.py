"""Numbers, ranges, and the base class of all records that a user writes.

Each field is declared once, with label, unit, meaning and bounds. Validation, the JSON Schema for
editors, the glossary page and the names in tables all use this declaration, so that they agree.
"""

import math
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any, ClassVar, Literal, TypeGuard, get_args

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    PrivateAttr,
    ValidationError,
    ValidationInfo,
    field_validator,
    model_validator,
)
from pydantic_core import CoreSchema, InitErrorDetails, PydanticCustomError

from panelworth.model.bounds import FREE, SMALLEST, bounded_schema, bounds_of_unit, expected_within
from panelworth.model.names import folded

FINITE = math.nextafter(math.inf, 0.0)  # the largest finite floating-point number
# Bits of a whole number in a message. Python refuses to print whole numbers of more than 4300
# digits (sys.set_int_max_str_digits).
MOST_BITS = 1000
NOT_IN_SCHEMA = ("unit", "low", "high", "hint")  # declared with a field, no words of JSON Schema
Shape = Literal["pert", "triangular", "uniform"]
Path = tuple[int | str, ...]


def refuse(
    expected: str, found: object, hint: str = "", *, worded: bool = False
) -> PydanticCustomError:
    """Make the error of a value that has the right type but is not allowed.

    `worded` means that `found` is already a phrase, not a value to be written as in the file.
    """
    phrase = str(found) if worded else as_written(found)
    context = {"expected": expected, "found": phrase, "hint": hint}
    return PydanticCustomError("refused", "expected {expected}, found {found}", context)


def as_written(value: object) -> str:
    """Return a value as the user would write it, cut to a readable length."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = f'"{value}"'
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list | tuple):
        text = f"[{', '.join(as_written(entry) for entry in value)}]"
    elif isinstance(value, int) and value.bit_length() > MOST_BITS:
        text = "a very long number"
    else:
        text = f"{value:g}" if isinstance(value, float) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}…"  # noqa: PLR2004 (one line of a terminal)


class Record(BaseModel):
    """A frozen table of a user's file: unknown keys, NaN and wrong types are refused.

    This deviates from pydantic's defaults, by which a misspelt key would be ignored and the text
    "5" would count as a number. A mistake must not change figures without a message.
    """

    # Validators are built on first use (defer_build), since those of inner tables are never used.
    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, allow_inf_nan=False, defer_build=True
    )
    heading: ClassVar[str] = ""

    @model_validator(mode="before")
    @classmethod
    def _tuples(cls, value: object) -> object:
        """Turn lists into tuples, which strict validation of tuple fields asks for.

        It is done once for the table, since a validator for each key would be slow.
        """
        if isinstance(value, dict):
            return {key: _frozen(entry) for key, entry in value.items()}
        return value

    @field_validator("*", mode="after")
    @classmethod
    def _bounded(cls, value: object, info: ValidationInfo) -> object:
        """Check the bounds of every number, also within lists and tables."""
        declaration = declaration_of(cls, str(info.field_name))
        errors: dict[Path, InitErrorDetails] = {}
        for path, number in _numbers(value):
            if 0 < abs(number) < SMALLEST:  # a division by it could give infinity
                refused = refuse("0, or a number further from 0", number, "write 0")
            elif declaration["low"] <= number <= declaration["high"]:
                continue
            else:
                expected = expected_within(declaration["low"], declaration["high"], number)
                refused = refuse(expected, number, declaration["hint"])
            errors.setdefault(path, InitErrorDetails(type=refused, loc=path, input=number))
        if errors:
            raise ValidationError.from_exception_data(cls.__name__, list(errors.values()))
        return value

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Put the bounds of each number into the schema, with standard words only."""
        schema, resolve = handler(core), handler.resolve_ref_schema
        properties = resolve(schema)["properties"]
        for key, field in cls.model_fields.items():
            name, declaration = field.alias or key, declaration_of(cls, key)
            written = properties[name].items()
            inner = {word: value for word, value in written if word not in NOT_IN_SCHEMA}
            low, high = declaration["low"], declaration["high"]
            properties[name] = (
                inner if (low, high) == FREE else bounded_schema(inner, low, high, resolve)
            )
        return schema


class Quantity(BaseModel):
    """A number, or a range of low, likely and high with a shape. A plain number is certain.

    `like` is the path of another input. In each trial this one is drawn at the same quantile.
    `path` is the quantity's path in the folder, "" if it belongs to no case. The case sets it, so
    that the engine and the workbook can look up the values of a quantity.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)
    low: float
    likely: float
    high: float
    shape: Shape = "pert"
    source: str = ""
    note: str = ""
    like: str = ""
    _path: str = PrivateAttr(default="")

    @property
    def path(self) -> str:
        """The path of this input, as a user writes it."""
        # The engine asks for paths in inner loops, and pydantic's own look-up is slow.
        private = self.__pydantic_private__
        return private["_path"] if private else ""

    def at(self, path: str) -> "Quantity":
        """Return the same quantity with this path."""
        if path == self._path:
            return self
        placed = self.model_copy()
        placed._path = path  # noqa: SLF001 (its own)
        return placed

    @model_validator(mode="before")
    @classmethod
    def _written(cls, value: object) -> object:
        """Accept `14200`, `[13200, 14200, 17500]` or a table, which may have `likely` only."""
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
        return _in_order(value)

    @property
    def certain(self) -> bool:
        """Whether it is a plain number, which needs no draws."""
        return self.low == self.high

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe the three ways to write it."""
        handler(core)
        number = {"type": "number"}
        triple = {"type": "array", "items": number, "minItems": 3, "maxItems": 3}
        parts = dict.fromkeys(("low", "likely", "high"), number)
        shape = {"type": "string", "enum": list(get_args(Shape)), "default": "pert"}
        text = {"type": "string"}
        follows = {**text, "description": "The path of another input whose draw this one follows."}
        words = {"source": text, "note": text, "like": follows}
        table = {
            "type": "object",
            "properties": {**parts, "shape": shape, **words},
            "required": ["likely"],
            "dependentRequired": {"low": ["high"], "high": ["low"]},
            "additionalProperties": False,
        }
        return {"anyOf": [number, triple, table]}


def exactly(number: float) -> Quantity:
    """Make a certain quantity, such as the default of an input that is left out."""
    return Quantity(low=number, likely=number, high=number)


def declared(
    label: str,
    unit: str,
    meaning: str,
    *,
    low: float | None = None,
    high: float | None = None,
    hint: str = "",
    **field: Any,  # noqa: ANN401 (passed on to pydantic's Field as it is)
) -> Any:  # noqa: ANN401 (pydantic's Field is typed so)
    """Declare one input: its label, unit, one-sentence meaning and bounds.

    Missing bounds are those of the unit. Without `default` or `default_factory` the input is
    required.
    """
    least, most = bounds_of_unit(unit)
    bounds = {"low": least if low is None else low, "high": most if high is None else high}
    extra: dict[str, Any] = {"unit": unit, "hint": hint, **bounds}
    return Field(title=label, description=meaning, json_schema_extra=extra, **field)


@cache
def declaration_of(record: type[BaseModel], key: str) -> Mapping[str, Any]:
    """Return the declaration of a key: label, unit, meaning, low, high, hint."""
    field = record.model_fields[key]
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    bounds = {"low": FREE[0], "high": FREE[1], "hint": "", "unit": ""}
    words = {"label": field.title or key, "meaning": field.description or ""}
    return {**bounds, **extra, **words}


def amount(label: str, unit: str, meaning: str, **bounds: Any) -> Any:  # noqa: ANN401
    """Declare a number or range whose default is 0."""
    return declared(label, unit, meaning, default_factory=lambda: exactly(0.0), **bounds)


def share(label: str, meaning: str, **bounds: Any) -> Any:  # noqa: ANN401
    """Declare a share between 0 and 1 whose default is 0."""
    hint = "write a share as a fraction: 5 % is 0.05"
    return amount(label, "share", meaning, hint=hint, **bounds)


def yearly_rate(label: str, meaning: str, **field: Any) -> Any:  # noqa: ANN401
    """Declare a rate a year as a fraction; default 0.

    The default bounds are -50 % and 100 %. Larger rates happen for a few years at most, and no
    figure over many years can use them.
    """
    hint = "write a rate as a fraction a year: 5 % is 0.05"
    if "default" not in field:
        field["default_factory"] = lambda: exactly(0.0)
    return declared(label, "share a year", meaning, hint=hint, **field)


def text_input(label: str, meaning: str, **field: Any) -> Any:  # noqa: ANN401
    """Declare a text."""
    return declared(label, "text", meaning, **field)


def unique_by_name(
    values: tuple[Any, ...], what: str, same: Callable[[str], str] = folded
) -> tuple[Any, ...]:
    """Check that names in a list are unique, since paths use them.

    Two names are the same if `same` returns the same for both. By default names are the same that
    differ only in capitals, spaces or Unicode form.
    """
    places: dict[Path, str] = {(number, "name"): entry.name for number, entry in enumerate(values)}
    _refuse_duplicates(places, f"each {what} to have its own name", same)
    return values


def unique_names(names: tuple[str, ...], what: str) -> tuple[str, ...]:
    """Check that a list has no name twice: that entry would count twice."""
    places: dict[Path, str] = {(number,): name for number, name in enumerate(names)}
    _refuse_duplicates(places, f"each {what} once", folded, "remove one of the two")
    return names


def unique_stations(weights: dict[str, float]) -> dict[str, float]:
    """Check that the stations of a table are unique."""
    _refuse_duplicates(
        {(name,): name for name in weights}, "each station to have its own name", folded
    )
    return weights


def _refuse_duplicates(
    names: dict[Path, str],
    expected: str,
    same: Callable[[str], str],
    what_to_do: str = "rename one of the two",
) -> None:
    """Refuse each repeated name, with the path of the second one."""
    first: dict[str, Path] = {}
    errors = []
    for path, name in names.items():
        other = names[first.setdefault(same(name), path)]
        if first[same(name)] != path:
            hint = what_to_do
            hint += f': "{other}" counts as the same name' if other != name else ""
            refused = refuse(expected, name, hint)
            errors.append(InitErrorDetails(type=refused, loc=path, input=name))
    if errors:
        raise ValidationError.from_exception_data(expected, errors)


def _frozen(value: object) -> object:
    """Turn lists and lists of lists into tuples; records of inner tables convert their own."""
    return tuple(_frozen(entry) for entry in value) if isinstance(value, list) else value


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _quoted(value: object) -> str:
    return "write it without quotation marks" if isinstance(value, str) else ""


def _in_order(value: Any) -> Any:  # noqa: ANN401 (whatever the user wrote)
    """Refuse numbers that are not finite or not in order; pydantic checks the rest.

    Bounds are checked for inputs only: a quantity that is a sum of several may be larger.
    """
    if not isinstance(value, dict):
        return value
    parts = [value[key] for key in ("low", "likely", "high") if key in value]
    for part in parts:
        if not _is_number(part):
            raise refuse("a number", part, _quoted(part))
        if not abs(part) <= FINITE:  # NaN too; a whole number may be too long for isfinite
            raise refuse("a finite number", part)
    if len(parts) == 3 and not parts[0] <= parts[1] <= parts[2]:  # noqa: PLR2004
        raise refuse("low ≤ likely ≤ high", list(parts), "put the three in rising order")
    return value


def _numbers(value: object, path: Path = ()) -> Iterator[tuple[Path, float]]:
    """Yield every number in a value with its path; the three numbers of a range share one path."""
    if isinstance(value, Quantity):
        yield from ((path, inner) for inner in (value.low, value.likely, value.high))
    elif _is_number(value):
        yield path, value
    elif isinstance(value, tuple | dict):
        for step, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _numbers(inner, (*path, step))
