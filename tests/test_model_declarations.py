"""The declarations of inputs: worded for a reader, read by the engine, and known to editors."""

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from panelworth.engine.evaluate import evaluate
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.model.case import Case, record_classes
from panelworth.model.equipment import Equipment
from panelworth.model.fleet import Fleet
from panelworth.model.ledger import Entry
from panelworth.model.needs import Ballot, Needs
from panelworth.model.option import Option
from panelworth.model.scenario import Scenario
from panelworth.model.value import Quantity, Record, declaration_of, exactly
from panelworth.reading.folder import read_case

HERE = Path(__file__).parent
FILES = sorted((HERE.parent / "scenarios").glob("*/**/*.toml"))
RECORDS = list(
    dict.fromkeys(
        each
        for kind in (Scenario, Option, Equipment, Fleet, Needs, Ballot, Entry)
        for each in record_classes(kind)
    )
)
DECLARED = [(record, key) for record in RECORDS for key in record.model_fields]
UNREAD = {  # numbers that no figure follows, and who reads them
    "vote.entitled": "the tally of the vote",
    "vote.quorum": "the tally of the vote",
    "vote.majority": "the tally of the vote",
    "installs[Display].weight": "weight and balance, no money",
    "installs[Display].arm": "weight and balance, no money",
    "installs[Display].amps": "the electrical load, no money",
    "installs[Display].intermittent_amps": "the electrical load, no money",
}


def named(declared: tuple[type[BaseModel], str]) -> str:
    """Name a declaration in the list of tests."""
    return f"{declared[0].__name__}.{declared[1]}"


@pytest.mark.parametrize("declared", DECLARED, ids=named)
def test_every_input_has_a_label_a_unit_and_a_sentence(
    declared: tuple[type[BaseModel], str],
) -> None:
    said = declaration_of(*declared)
    assert said["label"][:1].isupper()
    assert not said["label"].endswith(".")
    assert said["unit"]
    assert said["meaning"][:1].isupper()
    assert said["meaning"].endswith(".")


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_table_has_a_heading(record: type[Record]) -> None:
    assert record.heading


@cache
def rich_case() -> Case:
    """Read the folder in which every number counts."""
    case, problems = read_case(HERE / "cases" / "rich")
    assert problems == []
    assert case is not None
    return settled(case)


@cache
def rich_figures() -> Figures:
    """Work out its figures as it stands."""
    return evaluate(rich_case())


def nudged(value: Any) -> Any:  # noqa: ANN401 (a number of any kind)
    """Return a number moved a little, or None for what is no number."""
    if isinstance(value, Quantity):
        return exactly(value.likely * 0.9)
    if isinstance(value, tuple) and value and isinstance(value[0], float):
        return (value[0] + 1.0, *value[1:])
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    return value + 1 if isinstance(value, int) else value * 0.9


def variants(record: Any) -> Iterator[tuple[str, Any, Any]]:  # noqa: ANN401 (any record)
    """Yield the path of every number written in a record, its declaration, and it moved."""
    for key in (each for each in type(record).model_fields if each in record.model_fields_set):
        value = getattr(record, key)
        if (moved := nudged(value)) is not None:
            yield key, (type(record), key), record.model_copy(update={key: moved})
        elif isinstance(value, Record):
            for path, declared, inner in variants(value):
                yield f"{key}.{path}", declared, record.model_copy(update={key: inner})
        elif isinstance(value, tuple):
            for number, each in enumerate(value):
                for path, declared, inner in variants(each) if isinstance(each, Record) else ():
                    whole = (*value[:number], inner, *value[number + 1 :])
                    where = f"{key}[{each.name}].{path}"
                    yield where, declared, record.model_copy(update={key: whole})


def cases_with_one_number_moved() -> Iterator[tuple[str, Any, Case]]:
    """Yield each number of the rich folder: its path, its declaration, the case with it moved."""
    case = rich_case().written
    for path, declared, scenario in variants(case.scenario):
        yield path, declared, settled(replace(case, scenario=scenario))
    for option_id, option in case.options.items():
        for path, declared, moved in variants(option):
            yield path, declared, settled(replace(case, options={**case.options, option_id: moved}))


MOVED = {
    f"{number} {path}": rest for number, (path, *rest) in enumerate(cases_with_one_number_moved())
}


@pytest.mark.parametrize("moved", MOVED)
def test_every_number_of_scenario_and_options_moves_some_figure(moved: str) -> None:
    _, case = MOVED[moved]
    unread = moved.partition(" ")[2] in UNREAD
    assert (evaluate(case) == rich_figures()) == unread


def is_number(record: type[BaseModel], key: str) -> bool:
    """Say whether a key takes a number."""
    written = str(record.model_fields[key].annotation)
    return bool(re.search(r"\b(Quantity|float|int)\b", written)) and "[str" not in written


def test_the_folder_of_every_number_leaves_none_out() -> None:
    there = {declared for declared, _ in MOVED.values()}
    every = [*record_classes(Scenario), *record_classes(Option)]
    declared = {(record, key) for record in every for key in record.model_fields}
    numbers = {each for each in declared if is_number(*each)}
    assert {named(each) for each in numbers} == {named(each) for each in there}


def test_no_exception_is_left_over() -> None:
    assert set(UNREAD) <= {name.partition(" ")[2] for name in MOVED}
