"""What is said of a user's mistakes: every rule, word for word, and never a traceback.

The mistakes are those of cases/problems.toml, each a small change to the folder cases/folder.
"""

import os
import tomllib
from collections.abc import Mapping
from datetime import date, time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from panelworth.engine.evaluate import evaluate
from panelworth.model.case import Case
from panelworth.problems import render
from panelworth.reading.folder import read_case
from panelworth.reading.tables import LARGEST_FILE
from strategies import as_text, folders, write_folder

CASES = Path(__file__).parent / "cases"
FOLDER = {
    path.relative_to(CASES / "folder").as_posix(): path.read_text(encoding="utf-8")
    for path in sorted((CASES / "folder").rglob("*.*"))
}
MISTAKES = tomllib.loads((CASES / "problems.toml").read_text(encoding="utf-8"))["mistake"]
CLUB = "[club]\nmembers = 10\ndues_per_month = 72\n"
SAYS_TOML = 'expected TOML, such as: key = 12, key = "text" or [table]'


def read_files(tmp_path: Path, files: Mapping[str, Any]) -> tuple[Case | None, list[str]]:
    """Read a folder with these files; problems as they are shown, without the folder's place."""
    return read_folder(write_folder(tmp_path / "club", files))


def read_folder(folder: Path) -> tuple[Case | None, list[str]]:
    """Read a folder; problems as they are shown, without the folder's place."""
    case, problems = read_case(folder)
    return case, [render(problem).removeprefix(f"{folder}/") for problem in problems]


def written(file: str, old: str, new: str) -> dict[str, Any]:
    """Return the folder with one text of one file written differently."""
    assert old in FOLDER[file]
    return {**FOLDER, file: FOLDER[file].replace(old, new, 1)}


def test_a_folder_in_order_has_no_problems(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, FOLDER)
    assert said == []
    assert case is not None
    assert list(case.options) == ["keep", "newer", "refit"]


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake["what"])
def test_each_mistake_is_told_with_its_place_and_what_to_do(
    tmp_path: Path, mistake: dict[str, Any]
) -> None:
    files = written(mistake["file"], mistake["written"], mistake["instead"])
    case, said = read_files(tmp_path, files)
    assert said == mistake["said"]
    only_warned = all(": warning: " in line for line in said)
    assert (case is not None) == only_warned


def test_several_mistakes_in_several_files_are_listed_at_once_in_order(tmp_path: Path) -> None:
    scenario = FOLDER["scenario.toml"]
    scenario = scenario.replace("years = 2", 'years = "2"').replace("0.05", "-5")
    refit = FOLDER["options/refit.toml"].replace("14200", "-1").replace("ledger =", "legder =")
    files = {
        **FOLDER,
        "scenario.toml": scenario,
        "options/refit.toml": refit,
        "options/keep.toml": "title = Keep it\n",
        "ledger.csv": FOLDER["ledger.csv"].replace("quote", "quot").replace("14000", "a lot"),
        "notes/refitt.md": "# A note\n",
    }
    case, said = read_files(tmp_path, files)
    assert case is None
    assert said == [
        ('ledger.csv:2: error: amount: expected a number, found "a lot"; write it as 1234.50'),
        (
            'ledger.csv:2: error: kind: expected "estimate", "quote", "change", "invoice", '
            '"payment" or "credit", found "quot"; did you mean "quote"?'
        ),
        (
            'notes/refitt.md: warning: expected a note named for an option, or "scenario", '
            'found refitt; did you mean "refit"?'
        ),
        f'options/keep.toml:1: error: {SAYS_TOML}, found "title = Keep it"; invalid value',
        (
            "options/refit.toml:13: error: items[Display].cost: expected a number of at least 0, "
            "found -1"
        ),
        (
            "options/refit.toml:14: error: items[Display].legder: expected a key that is known "
            'here, found "legder"; did you mean "ledger"?'
        ),
        (
            'scenario.toml:6: error: years: expected a whole number, found "2"; '
            "write it without quotation marks"
        ),
        (
            "scenario.toml:9: error: rates.discount: expected a number between -0.99 and 1, "
            "found -5; write a rate as a fraction a year: 5 % is 0.05"
        ),
        (
            "scenario.toml:15: error: aircraft.selling_cost: expected a number between 0 and 1, "
            "found -5; write a share as a fraction: 5 % is 0.05"
        ),
    ]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    case, said = read_folder(tmp_path / "nowhere")
    assert case is None
    assert said == [
        (
            "scenario.toml: error: expected a scenario folder with this file, found no such "
            "folder; name the folder that holds scenario.toml"
        )
    ]


def test_a_folder_without_a_scenario_is_told(tmp_path: Path) -> None:
    case, said = read_folder(tmp_path)
    assert case is None
    assert said == [
        (
            "scenario.toml: error: expected a scenario folder with this file, found none; "
            "name the folder that holds scenario.toml"
        )
    ]


def test_a_folder_without_options_has_no_baseline(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {"scenario.toml": FOLDER["scenario.toml"]})
    assert case is None
    assert said == [
        (
            "scenario.toml:5: error: baseline: expected the id of an option, which is its file's "
            'name without .toml, found "keep"; there is nothing'
        )
    ]


def test_a_baseline_whose_file_is_broken_is_no_unknown_name(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": "title = 3\nkind = 'keep'"})
    assert case is None
    assert said == ["options/keep.toml:1: error: title: expected text in quotation marks, found 3"]


def test_a_file_over_the_size_limit_is_not_read(tmp_path: Path) -> None:
    files = {**FOLDER, "notes/keep.md": "x" * (LARGEST_FILE + 1)}
    case, said = read_files(tmp_path, files)
    assert case is None
    assert said == ["notes/keep.md: error: expected a file of at most 1 MB, found 1,000,001 bytes"]


@pytest.mark.parametrize("name", ["scenario.toml", "options/refit.toml", "ledger.csv"])
def test_a_file_outside_the_folder_is_not_read_through_a_link(tmp_path: Path, name: str) -> None:
    outside = tmp_path / "outside"
    outside.write_text(FOLDER[name], encoding="utf-8")
    folder = write_folder(tmp_path / "club", FOLDER)
    (folder / name).unlink()
    (folder / name).symlink_to(outside)
    case, said = read_folder(folder)
    assert case is None
    assert (
        f"{name}: error: expected a file inside the scenario folder, "
        "found a link that leads out of it; copy the file into the folder"
    ) in said


def test_options_are_not_read_through_a_linked_folder(tmp_path: Path) -> None:
    outside = write_folder(tmp_path / "outside", {"keep.toml": FOLDER["options/keep.toml"]})
    folder = write_folder(tmp_path / "club", {"scenario.toml": FOLDER["scenario.toml"]})
    (folder / "options").symlink_to(outside)
    case, said = read_folder(folder)
    assert case is None
    assert said[0] == (
        "options/keep.toml: error: expected a file inside the scenario folder, "
        "found a link that leads out of it; copy the file into the folder"
    )


def test_a_link_within_the_folder_is_followed(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "club", FOLDER)
    (folder / "options" / "refit.toml").rename(folder / "refit.txt")
    (folder / "options" / "refit.toml").symlink_to(folder / "refit.txt")
    case, said = read_folder(folder)
    assert said == []
    assert case is not None


def test_a_folder_that_is_itself_a_link_is_read(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(write_folder(tmp_path / "club", FOLDER))
    case, said = read_folder(tmp_path / "link")
    assert said == []
    assert case is not None


@pytest.mark.parametrize("name", ["ledger.csv", "notes/keep.md", "options/more.toml"])
def test_a_link_that_leads_to_itself_is_told(tmp_path: Path, name: str) -> None:
    folder = write_folder(tmp_path / "club", {"notes/refit.md": "", **FOLDER})
    (folder / name).unlink(missing_ok=True)
    (folder / name).symlink_to((folder / name).name)
    _, said = read_folder(folder)
    expected = "expected a file that can be read, found a link that leads to itself"
    assert said == [f"{name}: error: {expected}"]


@pytest.mark.parametrize("name", ["ledger.csv", "options/more.toml", "notes/keep.md"])
def test_a_folder_in_a_file_s_place_is_told(tmp_path: Path, name: str) -> None:
    folder = write_folder(tmp_path / "club", {key: FOLDER[key] for key in FOLDER if key != name})
    (folder / name).mkdir(parents=True)
    _, said = read_folder(folder)
    assert said == [f"{name}: error: expected a file that can be read, found Is a directory"]


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_is_told(tmp_path: Path) -> None:
    folder = write_folder(tmp_path / "club", FOLDER)
    (folder / "ledger.csv").chmod(0)
    _, said = read_folder(folder)
    assert said == ["ledger.csv: error: expected a file that can be read, found Permission denied"]


def test_a_name_with_dots_that_lead_up_reads_nothing_outside(tmp_path: Path) -> None:
    write_folder(tmp_path, {"secret.toml": FOLDER["options/keep.toml"]})
    files = written("scenario.toml", 'baseline = "keep"', 'baseline = "../../secret"')
    files["ledger.csv"] = files["ledger.csv"].replace(",refit,", ",../../secret,")
    files["options/..keep.toml"] = FOLDER["options/keep.toml"]
    case, said = read_files(tmp_path, files)
    assert case is None
    assert said == [
        (
            'ledger.csv:2: error: option: expected the id of an option, found "../../secret"; '
            'there is "keep", "newer" or "refit"'
        ),
        (
            "options/..keep.toml: error: expected a file name of letters, digits, - and _, "
            'found "..keep"; rename the file'
        ),
        (
            "scenario.toml:5: error: baseline: expected the id of an option, which is its file's "
            'name without .toml, found "../../secret"; there is "keep", "newer" or "refit"'
        ),
    ]


@pytest.mark.parametrize("name", ["scenario", "equipment", "fleet", "ledger"])
def test_an_option_may_not_bear_the_name_of_another_file(tmp_path: Path, name: str) -> None:
    case, said = read_files(tmp_path, {**FOLDER, f"options/{name}.toml": "titel = 3\n"})
    assert case is None
    assert said == [
        (
            f"options/{name}.toml: error: expected a file name that means nothing else, "
            f'found "{name}"; rename the file'
        )
    ]


def test_text_that_is_not_utf_8_is_told_with_its_byte(tmp_path: Path) -> None:
    keep = 'title = "Keep it"\nkind = "keep"\nsummary = "Übel"\n'.encode("latin-1")
    case, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": keep})
    assert case is None
    assert said == [
        (
            "options/keep.toml:3: error: expected UTF-8 text, found the byte 0xdc; "
            'save the file again with the encoding "UTF-8"'
        )
    ]


def test_a_byte_order_mark_and_windows_line_ends_are_accepted(tmp_path: Path) -> None:
    plain, _ = read_files(tmp_path, FOLDER)
    windows = {
        name: b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode() for name, text in FOLDER.items()
    }
    case, said = read_files(tmp_path, windows)
    assert said == []
    assert case == plain


def test_lines_are_counted_the_same_with_windows_line_ends(tmp_path: Path) -> None:
    broken = written("scenario.toml", "years = 2", "years = 0")
    broken["options/keep.toml"] = 'title = "Keep it"\nkind "keep"\n'
    windows = {name: text.replace("\n", "\r\n") for name, text in broken.items()}
    _, said = read_files(tmp_path, windows)
    assert said == [
        (
            f'options/keep.toml:2: error: {SAYS_TOML}, found "kind "keep""; '
            "expected '=' after a key in a key/value pair"
        ),
        "scenario.toml:6: error: years: expected a number between 1 and 40, found 0",
    ]


def test_a_ledger_may_be_written_with_semicolons(tmp_path: Path) -> None:
    comma, _ = read_files(tmp_path, FOLDER)
    files = {**FOLDER, "ledger.csv": FOLDER["ledger.csv"].replace(",", ";")}
    case, said = read_files(tmp_path, files)
    assert said == []
    assert comma is not None
    assert case is not None
    assert case.ledger == comma.ledger


def test_a_ledger_cell_may_be_quoted_and_its_thousands_marked(tmp_path: Path) -> None:
    files = written("ledger.csv", ",14000,", ',"14,000.00",')
    case, said = read_files(tmp_path, files)
    assert said == []
    assert case is not None
    assert case.ledger[0].amount == 14000.0


def test_empty_rows_of_a_ledger_are_passed_over_and_counted(tmp_path: Path) -> None:
    head, row = FOLDER["ledger.csv"].splitlines(keepends=True)
    files = {**FOLDER, "ledger.csv": f"{head}\n,,,,,,,,,\n{row.replace('quote', 'quot')}"}
    _, said = read_files(tmp_path, files)
    assert [line.partition(" ")[0] for line in said] == ["ledger.csv:4:"]


def test_every_bad_cell_of_a_row_is_told(tmp_path: Path) -> None:
    head = FOLDER["ledger.csv"].splitlines()[0]
    files = {**FOLDER, "ledger.csv": f"{head}\nsoon,refit,radio,bill,much,1,,maybe,later,so\n"}
    _, said = read_files(tmp_path, files)
    keys = ["amount", "date", "expires", "final", "item", "kind", "low", "tax_included"]
    assert [line.split(": ")[2] for line in said] == keys


def test_equipment_of_a_replacement_belongs_to_a_replacement(tmp_path: Path) -> None:
    units = '[[units]]\nname = "Alternator"\n'
    files = {
        **FOLDER,
        "options/newer.equipment.toml": units + 'needs = ["Altenator"]\n',
        "options/refit.equipment.toml": units,
        "options/newr.equipment.toml": units,
    }
    _, said = read_files(tmp_path, files)
    assert said == [
        (
            "options/newer.equipment.toml:3: error: units[Alternator].needs[1]: expected a unit or "
            'a function, found "Altenator"; did you mean "Alternator"?'
        ),
        (
            "options/newr.equipment.toml: error: expected the id of an option before .equipment, "
            'found newr; did you mean "newer"?'
        ),
        (
            'options/refit.equipment.toml: error: expected an option with kind = "replace", '
            'found kind = "retrofit"'
        ),
    ]


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("leger.csv", "ledger.csv"),
        ("flet.toml", "fleet.toml"),
        ("equipments.toml", "equipment.toml"),
    ],
)
def test_a_misspelt_file_is_warned_of(tmp_path: Path, wrong: str, right: str) -> None:
    files = {"options/keep.toml": FOLDER["options/keep.toml"]}
    files |= {"scenario.toml": FOLDER["scenario.toml"], wrong: FOLDER[right]}
    case, said = read_files(tmp_path, files)
    assert case is not None
    expected = f'expected a file that is known here, found {wrong}; did you mean "{right}"?'
    assert said == [f"{wrong}: warning: {expected}"]


def test_a_copy_beside_a_file_is_left_alone(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "ledger2.csv": "", "scenario.toml.bak": ""})
    assert said == []
    assert case is not None


def test_a_misspelt_folder_is_warned_of(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "note/keep.md": ""})
    assert case is not None
    assert said == [
        'note: warning: expected a file that is known here, found note; did you mean "notes"?'
    ]


def test_what_only_a_club_can_do_is_warned_of_without_one(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, written("scenario.toml", CLUB, ""))
    wish = "expected a club beside it, found no [club]"
    hint = "add [club] to scenario.toml, or take this out: it changes nothing"
    assert case is not None
    assert said == [
        f"options/refit.toml:25: warning: members: {wish}; {hint}",
        f"options/refit.toml:28: warning: funding: {wish}; {hint}",
    ]


def test_an_owner_s_loan_is_no_mistake(tmp_path: Path) -> None:
    files = {
        "scenario.toml": FOLDER["scenario.toml"].replace(CLUB, ""),
        "options/keep.toml": FOLDER["options/keep.toml"]
        + "[funding]\nloan = { amount = 100, months = 3 }\n",
    }
    case, said = read_files(tmp_path, files)
    assert said == []
    assert case is not None


def test_dates_far_back_are_no_mistake_for_what_was_last_done(tmp_path: Path) -> None:
    files = written("scenario.toml", "2025-08-15", "0001-01-01")
    case, said = read_files(tmp_path, files)
    assert said == []
    assert case is not None
    assert evaluate(case).years == 2


@pytest.mark.parametrize(
    ("old", "endless"),
    [
        ("value = 88000", f"value = 1{'0' * 400}"),
        ("value = 88000", f"value = 0x{'f' * 5000}"),
        ("members = 10", f"members = 1{'0' * 400}"),
        ("years = 2", f"years = 1{'0' * 400}"),
        ('title = "Keep or refit"', f"title = 0x{'f' * 5000}"),
    ],
)
def test_a_number_without_end_is_told_and_not_written_out(
    tmp_path: Path, old: str, endless: str
) -> None:
    case, said = read_files(tmp_path, written("scenario.toml", old, endless))
    assert case is None
    assert [line.partition("found ")[2] for line in said] == ["an endless number"]


@pytest.mark.parametrize("deep", ["x = " + "[" * 3000 + "]" * 3000, "x." * 3000 + "y = 1"])
def test_tables_nested_without_reason_are_told(tmp_path: Path, deep: str) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": deep})
    assert case is None
    assert said[0].startswith(f"options/keep.toml:1: error: {SAYS_TOML}, found ")


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


@settings(
    max_examples=120,
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(spoilt_folders())
def test_a_spoilt_folder_is_read_or_told_of_and_never_fails(files: dict[str, Any]) -> None:
    with TemporaryDirectory() as place:
        folder = write_folder(Path(place) / "club", files)
        case, problems = read_case(folder)
        said = [render(problem) for problem in problems]
    assert all(line.startswith(f"{folder}/") for line in said)
    errors = [line for line in said if ": error: " in line]
    assert (case is None) == bool(errors)
