"""What is said of a user's mistakes: every rule, word for word, and never a traceback.

The mistakes are those of cases/problems.toml, each a small change to the folder cases/folder.
"""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from folder_cases import CASES, FOLDER, read_files, written
from panelworth.engine.evaluate import evaluate
from panelworth.engine.ledger.settlement import settled

MISTAKES = tomllib.loads((CASES / "problems.toml").read_text(encoding="utf-8"))["mistake"]
CLUB = "[club]\nmembers = 10\ndues_per_month = 72\n"
SAYS_TOML = 'expected TOML, such as: key = 12, key = "text" or [table]'


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
        (
            f'options/keep.toml:1: error: {SAYS_TOML}, found "title = Keep it"; '
            'put text in quotation marks: "Keep it"'
        ),
        (
            "options/refit.toml:13: error: items[Display].cost: expected a number of at least 0, "
            "found -1"
        ),
        (
            "options/refit.toml:14: error: items[Display].legder: expected a known key, "
            'found "legder"; did you mean "ledger"?'
        ),
        (
            'scenario.toml:6: error: years: expected a whole number, found "2"; '
            "write it without quotation marks"
        ),
        (
            "scenario.toml:9: error: rates.discount: expected a number between -0.2 and 1, "
            "found -5; write a rate as a fraction a year: 5 % is 0.05"
        ),
        (
            "scenario.toml:15: error: aircraft.selling_cost: expected a number between 0 and 1, "
            "found -5; write a share as a fraction: 5 % is 0.05"
        ),
    ]


def test_a_folder_without_options_has_no_baseline(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {"scenario.toml": FOLDER["scenario.toml"]})
    assert case is None
    assert said == [
        (
            "scenario.toml:5: error: baseline: expected the id of an option, which is its file's "
            'name without .toml, found "keep"; put options/keep.toml back, or name another option; '
            "there is nothing"
        )
    ]


def test_a_baseline_whose_file_is_broken_is_no_unknown_name(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": "title = 3\nkind = 'keep'"})
    assert case is None
    assert said == ["options/keep.toml:1: error: title: expected text in quotation marks, found 3"]


def test_lines_are_counted_the_same_with_windows_line_ends(tmp_path: Path) -> None:
    broken = written("scenario.toml", "years = 2", "years = 0")
    broken["options/keep.toml"] = 'title = "Keep it"\nkind "keep"\n'
    windows = {name: text.replace("\n", "\r\n") for name, text in broken.items()}
    _, said = read_files(tmp_path, windows)
    assert said == [
        (
            f'options/keep.toml:2: error: {SAYS_TOML}, found "kind "keep""; '
            "write = between the key and its value"
        ),
        "scenario.toml:6: error: years: expected a number between 1 and 40, found 0",
    ]


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


@pytest.mark.parametrize("key", ["joined = 0", "over_months = 0"])
@pytest.mark.parametrize(
    "raised",
    [
        *("assessment_per_member = 0", "dues_increase = 0", "hourly_rate_increase = 0"),
        *('solve = "dues"', "solve_chance = 0.8", "raise_years = 1"),
    ],
)
def test_keys_that_only_a_club_has_are_errors_without_one(
    tmp_path: Path, key: str, raised: str
) -> None:
    """Whatever their values: nobody is there whom they could be about."""
    files = written("scenario.toml", CLUB, "")
    worth = files["scenario.toml"].replace("value = 88000", "value = 88000\nworth_per_hour = 90")
    files["scenario.toml"] = worth
    refit = files["options/refit.toml"].replace("joined = 2", key).replace('solve = "dues"', raised)
    case, said = read_files(tmp_path, {**files, "options/refit.toml": refit})
    told = "expected a [club] in scenario.toml, found no [club]; add [club] to scenario.toml, or"
    assert case is None
    assert said == [
        f"options/refit.toml:26: error: members.{key.partition(' ')[0]}: {told} remove this",
        f"options/refit.toml:29: error: funding.{raised.partition(' ')[0]}: {told} remove this",
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
    files = written("scenario.toml", "2025-08-15", "1900-01-01")
    case, said = read_files(tmp_path, files)
    assert said == []
    assert case is not None
    assert evaluate(settled(case)).years == 2


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
    assert [line.partition("found ")[2] for line in said] == ["a very long number"]


@pytest.mark.parametrize(
    ("deep", "place"),
    [
        ("x = " + "[" * 3000 + "]" * 3000, "options/keep.toml"),
        ("x." * 3000 + "y = 1", "options/keep.toml:1"),
        ("\n[" + "'x' . " * 60 + "y]", "options/keep.toml:2"),
        ("a = { " + "x." * 60 + "y = 1 }", "options/keep.toml:1"),
    ],
)
def test_tables_nested_without_reason_are_told(tmp_path: Path, deep: str, place: str) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "options/keep.toml": deep})
    assert case is None
    expected = "expected tables and lists a few levels deep, found more than 50 levels"
    assert said == [f"{place}: error: {expected}"]
