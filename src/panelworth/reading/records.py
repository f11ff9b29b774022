"""Converts parsed TOML tables into records of `model`, and the errors of pydantic into problems.

All problems have the same parts: place, key, what was expected, what was found, what to do. The
messages of pydantic are written for programmers, so they are replaced here.
"""

from collections.abc import Iterator
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.needs import Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Record, as_written
from panelworth.problems import (
    MOST_PROBLEMS,
    Collector,
    Problem,
    did_you_mean,
    forbidden_character,
    listed,
    too_many,
)
from panelworth.reading.tables import KeyPath, TomlTable

R = TypeVar("R", bound=Record)

LONGEST_TEXT = 10_000  # characters
LONGEST_NAME = 200  # names are in headings, tables and pictures, where each letter is measured
NAMES = ("title", "name", "label", "ledger")
MOST_ENTRIES = 500  # in one list or table; the time to work out the figures grows with each entry
# Keys of [aircraft] that [after] does not have, with what to do instead.
NOT_UNDER_AFTER: dict[KeyPath, str] = {
    ("after", "value"): (
        "remove it: the value follows from value_change, resale_recovery and the price of [buy]"
    ),
    ("after", "worth_per_hour"): (
        "remove it: an hour is worth the same in every option; write it under [aircraft]"
    ),
}
# What was expected, by pydantic's type of error.
EXPECTED = {
    "string_type": "text in quotation marks",
    "string_too_short": "some text",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "finite_number": "a finite number",
    "bool_type": "true or false",
    "date_type": "a date such as 2027-03-15, without quotation marks",
    "date_from_datetime_inexact": "a date without a time of day",
    "tuple_type": "a list in [ ]",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "dict_type": "a table",
}


def read_record(table: TomlTable, kind: type[R], collector: Collector) -> R | None:
    """Validate a table. Returns None if anything is wrong, and adds a problem for each mistake.

    Sizes and characters are checked first, and the first such problem ends the check: to validate
    a huge list takes long and gives an error for each entry.
    """
    if refused := next(_unusable_values(table.data, ()), None):
        path, expected, found = refused
        line, key = table.line(path), table.name(path)
        collector.add(Problem(file=table.file, line=line, key=key, expected=expected, found=found))
        return None
    try:
        return kind.model_validate(table.data)
    except ValidationError as error:
        details = error.errors(include_url=False)
        for detail in details[:MOST_PROBLEMS]:
            collector.add(_problem(table, kind, dict(detail)))
        if len(details) > MOST_PROBLEMS:
            collector.add(too_many(table.file, 0))
        return None


def _unusable_values(value: object, path: KeyPath) -> Iterator[tuple[KeyPath, str, str]]:
    r"""Yield values that are too large or have control characters: key path, expected, found.

    The file itself has no control characters (see `read_text`), but escapes of TOML such as
    "\u0007" can put them into a text.
    """
    if isinstance(value, str):
        most = LONGEST_NAME if path and path[-1] in NAMES else LONGEST_TEXT
        if len(value) > most:
            yield path, f"at most {most:,} characters", f"{len(value):,}"
        if character := forbidden_character(value):
            yield path, "text without control characters", character
    elif isinstance(value, dict | list):
        if len(value) > MOST_ENTRIES:
            yield path, f"at most {MOST_ENTRIES} entries", f"{len(value):,}"
            return
        keys = value.items() if isinstance(value, dict) else enumerate(value)
        for key, entry in keys:
            if character := forbidden_character(str(key)):
                yield path, "keys without control characters", character
            yield from _unusable_values(entry, (*path, key))


def _problem(table: TomlTable, kind: type[Record], detail: dict[str, Any]) -> Problem:
    path: KeyPath = tuple(detail["loc"])
    context = detail.get("ctx", {})
    code = detail["type"]
    key = table.name(path)
    wording = {
        "file": table.file,
        "line": table.line(path),
        "key": key,
        "expected": EXPECTED.get(code, detail["msg"][:1].lower() + detail["msg"][1:]),
        "found": as_written(detail["input"]),
        "hint": "",
    }
    if code in ("int_type", "float_type") and isinstance(detail["input"], str):
        wording["hint"] = "write it without quotation marks"
    if code == "refused":
        wording |= context
    elif code == "missing":
        wording |= {"expected": "this key", "found": "nothing"}
        wording["hint"] = f"add it: {path[-1]} = …"
    elif code == "extra_forbidden":
        known = _known_keys(kind, path[:-1])
        wording |= {"expected": "a known key", "found": f'"{path[-1]}"'}
        others = f"known keys: {', '.join(known)}" if known else "remove it"
        instead = NOT_UNDER_AFTER.get(path) if kind is Option else None
        wording["hint"] = instead or did_you_mean(str(path[-1]), known, others)
    elif code == "literal_error":
        # pydantic gives the choices as one phrase: 'a', 'b' or 'c'.
        phrase = context["expected"].replace(" or ", ", ")
        choices = [choice.strip("' ") for choice in phrase.split(",")]
        wording["expected"] = listed(choices)
        wording["hint"] = did_you_mean(str(detail["input"]), choices)
    return Problem(**wording)


def _known_keys(kind: type[BaseModel], path: KeyPath) -> list[str]:
    """Return the keys of the table at a path within a record; empty if there is no such table."""
    for step in path:
        if isinstance(step, int):
            continue
        field = kind.model_fields.get(step) or next(
            (candidate for candidate in kind.model_fields.values() if candidate.alias == step), None
        )
        if field is None:
            return []
        inner = [model for model in _models_in(field.annotation) if model is not kind]
        if not inner:
            return []
        kind = inner[0]
    return [field.alias or key for key, field in kind.model_fields.items()]


def _models_in(annotation: object) -> list[type[BaseModel]]:
    """Return the records within a type, for example Item for tuple[Item, ...] or Item | None."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return [annotation]
    return [inner for arg in getattr(annotation, "__args__", ()) for inner in _models_in(arg)]


FILES: dict[str, type[Record]] = {
    "scenario": Scenario,
    "option": Option,
    "equipment": Equipment,
    "fleet": Fleet,
    "needs": Needs,
}


def schema_of(kind: str) -> dict[str, Any]:
    """Return the JSON Schema of a kind of file, for editors that check a file during typing."""
    dialect = "https://json-schema.org/draft/2020-12/schema"
    return {"$schema": dialect, **FILES[kind].model_json_schema(by_alias=True)}
