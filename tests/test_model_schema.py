"""The JSON Schemas: standard words alone, and editors refuse what `check` refuses."""

import json
import os
import subprocess
import tomllib
from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from jsonschema import Draft202012Validator

from laws import law
from panelworth.reading.records import FILES as KINDS
from panelworth.reading.records import schema_of
from strategies import Folder, folders

HERE = Path(__file__).parent
FILES = sorted((HERE.parent / "scenarios").glob("*/**/*.toml"))
RICH = HERE / "cases" / "rich"
MODULES = os.environ.get("AJV_MODULES", "")
STRICT = """
const Ajv = require("ajv/dist/2020"), formats = require("ajv-formats");
const schemas = JSON.parse(require("fs").readFileSync(0, "utf8"));
for (const schema of schemas) {
  const ajv = new Ajv({ strict: true, allErrors: true });
  formats(ajv);
  ajv.compile(schema);
}
"""


def with_iso_dates(value: Any) -> Any:  # noqa: ANN401 (any part of a file)
    """Turn dates to text, as an editor's TOML plugin hands them to the schema."""
    if isinstance(value, dict):
        return {key: with_iso_dates(each) for key, each in value.items()}
    if isinstance(value, list):
        return [with_iso_dates(each) for each in value]
    return value.isoformat() if isinstance(value, date) else value


def kind_of(path: Path) -> str:
    """Tell from its place what kind of file it is."""
    if path.stem.endswith(".equipment"):
        return "equipment"
    return "option" if path.parent.name == "options" else path.stem


def complaints(kind: str, table: dict[str, Any]) -> list[str]:
    """Return what an editor would say of a table."""
    checker = Draft202012Validator.FORMAT_CHECKER
    schema = Draft202012Validator(schema_of(kind), format_checker=checker)
    return [error.message for error in schema.iter_errors(with_iso_dates(table))]


@pytest.mark.parametrize("kind", KINDS)
def test_the_schema_of_a_file_is_a_schema(kind: str) -> None:
    Draft202012Validator.check_schema(schema_of(kind))


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-3:]))
def test_editors_accept_the_demonstration_files(path: Path) -> None:
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    assert complaints(kind_of(path), table) == []


@law(8)
@given(folders())
def test_editors_accept_every_valid_file(folder: Folder) -> None:
    for file, table in folder.items():
        assert complaints(kind_of(Path(file)), table) == []


@pytest.mark.parametrize("path", FILES, ids=lambda path: "/".join(path.parts[-3:]))
def test_editors_refuse_an_unknown_key(path: Path) -> None:
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    said = complaints(kind_of(path), {**table, "colour": "blue"})
    assert said == ["Additional properties are not allowed ('colour' was unexpected)"]


@pytest.mark.parametrize(
    ("table", "where"),
    [
        ("aircraft", {"aircraft": {"colour": 1}}),
        ("a list entry", {"aircraft": {"fixed": [{"name": "Hangar", "colour": 1}]}}),
        ("a range", {"aircraft": {"value": {"low": 1, "likely": 2, "high": 3, "colour": 4}}}),
        ("a range of two", {"aircraft": {"value": [1, 2]}}),
        ("a quoted number", {"aircraft": {"value": "88000"}}),
    ],
)
def test_editors_refuse_mistakes_deep_within(table: str, where: dict[str, Any]) -> None:
    scenario = tomllib.loads((RICH / "scenario.toml").read_text(encoding="utf-8"))
    assert complaints("scenario", scenario) == [], table
    assert complaints("scenario", scenario | where), table


@pytest.mark.skipif(not MODULES, reason="AJV_MODULES names the checker; .ci/test installs it")
def test_the_strict_mode_of_ajv_takes_every_schema() -> None:
    """Strict mode refuses unknown words, bounds on what is no number, required keys not there.

    <https://ajv.js.org/strict-mode.html>
    """
    made = json.dumps([schema_of(kind) for kind in KINDS])
    command = ["node", "-e", STRICT]
    found = subprocess.run(
        command, input=made, capture_output=True, text=True, check=False, cwd=MODULES
    )
    assert (found.returncode, found.stderr) == (0, "")


def words_of(schema: Any) -> set[str]:  # noqa: ANN401 (any part of a schema)
    """Collect the keywords of a schema, without the names of a file's own keys."""
    if isinstance(schema, list):
        return {word for each in schema for word in words_of(each)}
    if not isinstance(schema, dict):
        return set()
    found = set(schema)
    for word, value in schema.items():
        if word in ("properties", "$defs"):
            found |= {each for inner in value.values() for each in words_of(inner)}
        elif word not in ("default", "dependentRequired"):
            found |= words_of(value)
    return found


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_has_words_of_the_standard_alone(kind: str) -> None:
    """Those of JSON Schema 2020-12 (core, applicator, validation, meta-data) that are used here."""
    assert words_of(schema_of(kind)) <= {
        *("$schema", "$defs", "$ref", "title", "description", "default"),
        *("type", "enum", "pattern", "format", "minimum", "maximum"),
        *("minLength", "minItems", "maxItems", "items", "anyOf", "properties", "required"),
        *("additionalProperties", "dependentRequired"),
    }


def numbers_without_bounds(schema: Any, path: str = "") -> list[str]:  # noqa: ANN401
    """List where a number may be anything."""
    if not isinstance(schema, dict | list):
        return []
    steps = schema.items() if isinstance(schema, dict) else enumerate(schema)
    found = [
        each for step, inner in steps for each in numbers_without_bounds(inner, f"{path}.{step}")
    ]
    number = isinstance(schema, dict) and schema.get("type") in ("number", "integer")
    return [path, *found] if number and not {"minimum", "maximum"} <= set(schema) else found


@pytest.mark.parametrize("kind", KINDS)
def test_every_number_of_a_schema_has_its_bounds(kind: str) -> None:
    schema = schema_of(kind)
    schema["$defs"].pop("Quantity", None)
    assert numbers_without_bounds(schema) == []


@pytest.mark.parametrize(
    ("file", "path", "value"),
    [
        ("options/refit.toml", ("items", 0, "tax"), 4.5),
        ("options/refit.toml", ("items", 0, "tax"), [0.0, 0.05, 4.5]),
        ("options/refit.toml", ("items", 0, "tax"), {"likely": 4.5}),
        ("options/refit.toml", ("items", 0, "tax"), {"low": 0.0, "likely": 0.1}),
        ("options/refit.toml", ("items", 0, "cost"), -1),
        ("options/refit.toml", ("schedule", "start"), date(9999, 12, 31)),
        ("options/refit.toml", ("schedule", "start"), date(1066, 10, 14)),
        ("options/refit.toml", ("after", "season"), [1] * 11 + [1e308]),
        ("scenario.toml", ("rates", "discount"), -0.99),
        ("scenario.toml", ("aircraft", "season"), [1] * 11 + [-1]),
        ("scenario.toml", ("aircraft", "season"), [1] * 11),
        ("scenario.toml", ("aircraft", "season"), [1] * 13),
        ("options/refit.toml", ("after", "season"), [1] * 11),
        ("options/refit.toml", ("funding", "solve_chance"), 1),
        ("options/refit.toml", ("funding", "raise_years"), 0),
        ("scenario.toml", ("club", "floor_years"), 0),
        ("scenario.toml", ("aircraft", "value_tax"), 1.5),
        ("scenario.toml", ("aircraft", "fixed", 0, "for_months"), 0),
        ("scenario.toml", ("aircraft", "recurring", 0, "every_months"), 0),
        ("scenario.toml", ("club", "members"), 1.5),
        ("scenario.toml", ("currency",), "usd"),
        ("scenario.toml", ("years",), 41),
        ("equipment.toml", ("airplane", "stations"), {"Front seats": 1e308}),
        ("equipment.toml", ("loading_cases", 0, "loads"), {"Front seats": -1}),
        ("equipment.toml", ("airplane", "envelope"), [[1, 2], [3, 4], [5, 1e308]]),
        ("equipment.toml", ("airplane", "circuits", 0, "volts"), 12),
    ],
)
def test_editors_refuse_what_is_outside_the_bounds(
    file: str, path: tuple[str | int, ...], value: object
) -> None:
    folder = HERE.parent / "scenarios" / "quillmeadow-club" if file == "equipment.toml" else RICH
    table = tomllib.loads((folder / file).read_text(encoding="utf-8"))
    spoilt = deepcopy(table)
    here: Any = spoilt
    for step in path[:-1]:
        here = here[step]
    here[path[-1]] = value
    kind = kind_of(folder / file)
    assert complaints(kind, table) == []
    assert len(complaints(kind, spoilt)) == 1
