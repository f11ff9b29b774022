"""Folders that someone spoilt at random: read or told of, and never a traceback."""

import tomllib
from datetime import date, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import tomli_w
from hypothesis import given
from hypothesis import strategies as st

from folder_cases import FOLDER
from laws import law
from panelworth.problems import render
from panelworth.reading.folder import read_case
from strategies import as_text, folders, write_folder

WORDS = ["keep", "", "nan", "../keep", "2026-11-01", "a\u2028b", "pert", "Hangar", "x" * 80]
NUMBERS = st.one_of(
    st.integers(-3, 3),
    st.sampled_from([10**400, -(10**30), 2**63]),
    st.floats(allow_nan=True, allow_infinity=True),
)
PLAIN = st.one_of(
    NUMBERS,
    st.booleans(),
    st.sampled_from(WORDS),
    st.dates(min_value=date(1, 1, 1), max_value=date(9999, 12, 31)),
    st.datetimes(),
    st.just(time(12)),
)
VALUES = st.recursive(
    PLAIN,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.sampled_from(["name", "cost", "low", "likely", "x"]), inner, max_size=3),
    ),
    max_leaves=6,
)


def places(table: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:  # noqa: ANN401
    """List the path of every key and list entry within a table."""
    inside = table.items() if isinstance(table, dict) else enumerate(table)
    found: list[tuple[str | int, ...]] = []
    for step, value in inside:
        found.append((*path, step))
        if isinstance(value, dict | list):
            found += places(value, (*path, step))
    return found


def at(table: Any, path: tuple[str | int, ...]) -> Any:  # noqa: ANN401 (whatever is there)
    """Return what stands at a path."""
    for step in path:
        table = table[step]
    return table


def with_random_values(draw: st.DrawFn, text: str) -> bytes:
    """Put random values at random keys of a TOML file."""
    table = tomllib.loads(text)
    for _ in range(draw(st.integers(1, 3))):
        where = draw(st.sampled_from(places(table) or [()]))
        if where:
            at(table, where[:-1])[where[-1]] = draw(VALUES)
    return tomli_w.dumps(table).encode()


def with_swapped_values(draw: st.DrawFn, text: str) -> bytes:
    """Exchange the values of two keys of a TOML file."""
    table = tomllib.loads(text)
    paths = [path for path in places(table) if not isinstance(at(table, path), dict | list)]
    one, other = draw(st.tuples(st.sampled_from(paths), st.sampled_from(paths)))
    was, instead = at(table, one), at(table, other)
    at(table, one[:-1])[one[-1]], at(table, other[:-1])[other[-1]] = instead, was
    return tomli_w.dumps(table).encode()


def with_random_bytes(draw: st.DrawFn, text: str) -> bytes:
    """Put random bytes over some of a file."""
    raw = text.encode()
    start = draw(st.integers(0, len(raw)))
    return raw[:start] + draw(st.binary(max_size=8)) + raw[start + draw(st.integers(0, 8)) :]


def with_lines_deleted(draw: st.DrawFn, text: str) -> bytes:
    """Take a few lines out of a file."""
    lines = text.splitlines(keepends=True)
    gone = draw(st.sets(st.integers(0, max(0, len(lines) - 1)), max_size=4))
    return "".join(line for number, line in enumerate(lines) if number not in gone).encode()


@st.composite
def spoilt_folders(draw: st.DrawFn) -> dict[str, Any]:
    """Make a folder that was valid before someone spoilt one or two of its files."""
    made = folders().map(as_text)
    files: dict[str, Any] = draw(st.one_of(*[st.just(dict(FOLDER))] * 4, made))
    for name in draw(st.lists(st.sampled_from(sorted(files)), min_size=1, max_size=2, unique=True)):
        spoils = [with_random_bytes, with_lines_deleted]
        if name.endswith(".toml"):
            spoils += [with_random_values, with_random_values, with_swapped_values]
        files[name] = draw(st.sampled_from(spoils))(draw, files[name])
    return files


@law(120)
@given(spoilt_folders())
def test_a_spoilt_folder_is_read_or_told_of_and_never_fails(files: dict[str, Any]) -> None:
    with TemporaryDirectory() as place:
        folder = write_folder(Path(place) / "club", files)
        case, problems = read_case(folder)
        said = [render(problem) for problem in problems]
    assert all(line.startswith(f"{folder}/") for line in said)
    errors = [line for line in said if ": error: " in line]
    assert (case is None) == bool(errors)
