"""Every number and date a user may write has bounds, wherever it stands, and is told if outside."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from math import isfinite
from pathlib import Path
from random import Random
from typing import Any

import pytest
from pydantic import BaseModel

from folder_cases import FOLDER, read_files, written
from panelworth import views
from panelworth.engine.evaluate import evaluate
from panelworth.engine.ledger.settlement import settled
from panelworth.model.bounds import FREE, LARGEST, expected_within
from panelworth.model.case import Case
from panelworth.model.dates import Day
from panelworth.model.value import Quantity, Record, declaration_of, exactly
from panelworth.problems import Collector
from panelworth.publishing.figures_object import figures_object
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.workbook.document import workbook_of
from panelworth.reading.folder import read_case
from panelworth.reading.records import FILES, read_record
from panelworth.reading.tables import KeyPath, TomlTable, read_table
from test_model_declarations import DECLARED, named
from test_model_schema import kind_of

HERE = Path(__file__).parent
WRITTEN = [
    path
    for folder in (HERE.parent / "scenarios", HERE / "cases" / "rich")
    for path in sorted(folder.rglob("*.toml"))
    if path.stem != "needs"  # words alone
]


def parts_of(annotation: object) -> Iterator[object]:
    """Yield a type and all types within it."""
    yield annotation
    for inner in getattr(annotation, "__args__", ()):
        yield from parts_of(inner)


@pytest.mark.parametrize("declared", DECLARED, ids=named)
def test_every_number_has_finite_bounds_and_nothing_else_has(
    declared: tuple[type[BaseModel], str],
) -> None:
    record, key = declared
    said, kinds = declaration_of(record, key), set(parts_of(record.model_fields[key].annotation))
    assert isfinite(said["low"]) == isfinite(said["high"]) == bool(kinds & {int, float, Quantity})
    assert said["low"] < said["high"]
    assert (said["low"], said["high"]) == FREE or max(-said["low"], said["high"]) <= 2**63


@pytest.mark.parametrize("declared", DECLARED, ids=named)
def test_every_date_is_of_the_one_kind_that_has_bounds(
    declared: tuple[type[BaseModel], str],
) -> None:
    """Pydantic moves a plain field's own annotations into its metadata."""
    field = declared[0].model_fields[declared[1]]
    kinds = [field.annotation, *field.metadata]
    if date in set(parts_of(field.annotation)):
        bounds = Day.__metadata__[0]  # type: ignore[attr-defined]
        inner = [each for kind in kinds for part in parts_of(kind) for each in metadata(part)]
        assert bounds in [*field.metadata, *inner]


def metadata(kind: object) -> tuple[Any, ...]:
    """Return what is annotated to a type."""
    return tuple(getattr(kind, "__metadata__", ()))


def spoilt(value: Any, number: float) -> Any:  # noqa: ANN401 (any part of a file)
    """Replace each number within a value, each date by one of the year 9999 or 1."""
    if isinstance(value, dict):
        return {key: spoilt(each, number) for key, each in value.items()}
    if isinstance(value, list):
        return [spoilt(each, number) for each in value]
    if isinstance(value, date):
        return date(9999 if number > 0 else 1, 1, 1)
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return int(number) if isinstance(value, int) else float(number)


def written_in(value: Any, path: KeyPath = ()) -> Iterator[KeyPath]:  # noqa: ANN401
    """Yield where numbers and dates stand; a range as a whole where its key stands."""
    if isinstance(value, dict):
        if "likely" in value:
            yield path
            return
        for key, each in value.items():
            yield from written_in(each, (*path, key))
    elif isinstance(value, list):
        for number, each in enumerate(value):
            yield from written_in(each, (*path, number))
    elif isinstance(value, int | float | date) and not isinstance(value, bool):
        yield path


@pytest.mark.parametrize("number", [1e20, -1e20])
@pytest.mark.parametrize("path", WRITTEN, ids=lambda path: "/".join(path.parts[-3:]))
def test_each_number_and_date_outside_is_told_with_its_key_and_line(
    path: Path, number: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """All of a file's numbers at once: each is told, in lists and tables within it too."""
    monkeypatch.setattr("panelworth.reading.records.MOST_PROBLEMS", 10_000)  # however many they are
    table = read_table(path, path.name, Collector())
    assert table is not None
    wrong = TomlTable(file=table.file, data=spoilt(table.data, number), lines=table.lines)
    found = Collector()
    assert read_record(wrong, FILES[kind_of(path)], found) is None
    told = {(each.key, each.line) for each in found.problems}
    for place in written_in(table.data):
        whole = place[:-1] if isinstance(place[-1], int) else place  # a range in brackets
        places = {(wrong.name(each), wrong.line(each)) for each in (place, whole)}
        assert told & places, wrong.name(place)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "season = [1, 1,",
            "season = [1, 1e308,",
            (
                "scenario.toml:14: error: aircraft.season[2]: "
                "expected a number of at most 1,000,000, found 1e+308"
            ),
        ),
        (
            "hours_per_year = ",
            "fuel_price = 1e-200\nhours_per_year = ",
            (
                "scenario.toml:12: error: aircraft.fuel_price: "
                "expected 0, or a number further from 0, found 1e-200; write 0"
            ),
        ),
    ],
)
def test_a_number_in_a_list_is_told_at_its_place(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    assert read_files(tmp_path, written("scenario.toml", old, new))[1] == [said]


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("9999-12-31", "expected a day up to the year 2999, found 9999-12-31"),
        ("0031-12-31", "expected a day from the year 1900 on, found 0031-12-31"),
    ],
)
@pytest.mark.parametrize("column", ["date", "expires"])
def test_a_day_far_off_in_the_ledger_is_told(
    tmp_path: Path, column: str, cell: str, said: str
) -> None:
    days = {"date": "2026-10-12", "expires": "2026-12-31"} | {column: cell}
    row = f"{days['date']},refit,Display,quote,14200,{days['expires']}\n"
    files = {**FOLDER, "ledger.csv": f"date,option,item,kind,amount,expires\n{row}"}
    case, told = read_files(tmp_path, files)
    assert case is None
    assert len(told) == 1
    assert told[0].startswith(f"ledger.csv:2: error: {column}: {said}; ")


def test_what_was_expected_names_the_bound_that_was_passed() -> None:
    assert expected_within(0.0, LARGEST, 2e12) == "a number of at most 1,000,000,000,000"
    assert expected_within(-LARGEST, LARGEST, -2e12) == "a number of at least -1,000,000,000,000"
    assert expected_within(-0.2, 1.0, 5.0) == "a number between -0.2 and 1"


@cache
def forty_years() -> Case:
    """Read the folder in which every number counts, over the longest horizon."""
    case, _ = read_case(HERE / "cases" / "rich")
    assert case is not None
    return settled(replace(case, scenario=case.scenario.model_copy(update={"years": 40})))


def at_bounds(record: Record, choose: Random | None, end: str) -> Record:
    """Return a record whose numbers are all at their bounds: at one end, or some at each."""
    moved: dict[str, Any] = {}
    for key in type(record).model_fields:
        value, said = getattr(record, key), declaration_of(type(record), key)
        bound = said[choose.choice(["low", "high"]) if choose else end]
        if isinstance(value, Quantity):
            moved[key] = exactly(bound)
        elif isinstance(value, Record):
            moved[key] = at_bounds(value, choose, end)
        elif isinstance(value, tuple) and value and isinstance(value[0], Record):
            moved[key] = tuple(at_bounds(each, choose, end) for each in value)
        elif key == "season":
            moved[key] = (max(bound, 1e-3),) * 12
        elif isinstance(value, int | float) and not isinstance(value, bool):
            moved[key] = type(value)(bound)
    kept = {key: getattr(record, key) for key in ("years", "trials") if key in moved}
    return record.model_copy(update=moved | kept)


def numbers_in(value: Any) -> Iterator[float]:  # noqa: ANN401 (any part of the figures)
    """Yield every number of figures.json."""
    if isinstance(value, dict | list | tuple):
        for each in value.values() if isinstance(value, dict) else value:
            yield from numbers_in(each)
    elif isinstance(value, float):
        yield value
    elif hasattr(value, "__dataclass_fields__"):
        yield from numbers_in(vars(value))


@pytest.mark.parametrize("seed", ["low", "high", *range(4)])
def test_figures_are_finite_whatever_bounds_their_inputs_stand_at(seed: str | int) -> None:
    case = forty_years()
    choose, end = (None, seed) if isinstance(seed, str) else (Random(seed), "low")  # noqa: S311
    moved = replace(
        case,
        scenario=at_bounds(case.scenario, choose, str(end)),
        options={key: at_bounds(each, choose, str(end)) for key, each in case.options.items()},
    )
    found = list(numbers_in(figures_object(evaluate(moved, trials=100))))
    assert len(found) > 100
    assert all(map(isfinite, found))
    assert max(map(abs, found)) < 1e60  # far from 1e308: squares and products are safe


@pytest.mark.parametrize("seed", ["low", "high", 1])
def test_everything_is_made_whatever_bounds_the_inputs_stand_at(seed: str | int) -> None:
    """Equipment and fleet too; a search for the grid of the sliders went on without end once."""
    case, _ = read_case(HERE.parent / "scenarios" / "brackenholt-owner")
    assert case is not None

    def moved(record: Any) -> Any:  # noqa: ANN401 (any record)
        choose = None if isinstance(seed, str) else Random(seed)  # noqa: S311
        return at_bounds(record, choose, str(seed) if choose is None else "low")

    spoilt = replace(
        case,
        scenario=moved(case.scenario),
        options={key: moved(each) for key, each in case.options.items()},
        equipment=moved(case.equipment),
        replacements={key: moved(each) for key, each in case.replacements.items()},
    )
    [view] = views([settled(spoilt)], trials=100)
    assert len(pages_of(view)) > 8
    assert workbook_of(view)
    assert all(map(isfinite, numbers_in(figures_object(view.figures))))
