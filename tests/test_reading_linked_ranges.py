"""An error in one file says nothing of another: what may stand in it is not missed elsewhere."""

from pathlib import Path
from typing import Any

import pytest

from folder_cases import FOLDER, read_files

UNITS = '[[units]]\nname = "Gyro"\nprovides = ["attitude"]\n'
NEEDS = '[[needs]]\nname = "A"\nfunctions = ["gps approach", "attitude", "vhf"]\n'
FILES = {
    **FOLDER,
    "options/refit.toml": FOLDER["options/refit.toml"] + 'provides = ["gps approach"]\n',
    "options/newer.equipment.toml": UNITS,
    "equipment.toml": FOLDER["equipment.toml"] + 'provides = ["vhf"]\n',
    "needs.toml": NEEDS,
    "ballots.csv": "A\nx\n",
    "notes/refit.md": "A note.\n",
    "notes/scenario.md": "A note.\n",
}
SPOILT = ("discount = 5 %\n", "[[", "titel = 3\n", "\0", b"\xff\xfe\0")


def test_the_folder_is_in_order(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, FILES)
    assert (case is not None, said) == (True, [])


@pytest.mark.parametrize("spoilt", SPOILT)
@pytest.mark.parametrize("name", [name for name in FILES if name.endswith(".toml")])
def test_only_the_spoilt_file_is_told_of(tmp_path: Path, name: str, spoilt: Any) -> None:  # noqa: ANN401
    """Its equipment, its items in the ledger, its note, its functions are not called unknown."""
    text = FILES[name]
    files = {**FILES, name: spoilt + (text.encode() if isinstance(spoilt, bytes) else text)}
    case, said = read_files(tmp_path, files)
    assert case is None
    assert {line.partition(":")[0] for line in said} == {name}


def test_an_option_with_a_name_that_does_not_fit_is_known_all_the_same(tmp_path: Path) -> None:
    files = {name.replace("refit.", "re fit."): text for name, text in FILES.items()}
    files["ledger.csv"] = files["ledger.csv"].replace(",refit,", ",re fit,")
    _, said = read_files(tmp_path, files)
    assert said == [
        (
            "options/re fit.toml: error: expected a file name of letters, digits, - and _, "
            'found "re fit"; rename the file'
        )
    ]


def test_a_row_with_a_mistake_is_not_missed_by_the_rows_that_rest_on_it(tmp_path: Path) -> None:
    ledger = (
        "date,option,item,kind,amount\n2026-10-12,refit,Display,quote,a lot\n"
        "2026-10-13,refit,Display,change,5\n2026-10-14,refit,Display,quote,7\n"
    )
    _, said = read_files(tmp_path, {**FILES, "ledger.csv": ledger})
    assert said == [
        'ledger.csv:2: error: amount: expected a number, found "a lot"; write it as 1234.50'
    ]


@pytest.mark.parametrize(
    ("old", "new", "guess"),
    [
        (",refit,", ",Refit,", "refit"),
        (",refit,", ",refitt,", "refit"),
        (",display,", ",Displays,", "display"),
        (",display,", ",DISPLAY,", "display"),
    ],
)
def test_a_misspelt_name_gets_the_nearest(tmp_path: Path, old: str, new: str, guess: str) -> None:
    assert old in FILES["ledger.csv"]
    _, said = read_files(tmp_path, {**FILES, "ledger.csv": FILES["ledger.csv"].replace(old, new)})
    assert [line.rpartition("; ")[2].casefold() for line in said] == [f'did you mean "{guess}"?']
