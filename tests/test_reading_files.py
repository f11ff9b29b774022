"""Which files of a folder are read; those missing, linked, too large or misnamed are told."""

from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files, read_folder, written
from panelworth.reading.tables import LARGEST_FILE
from strategies import write_folder


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
    assert said == [f"{name}: error: expected a file that can be read, found a folder"]


def test_a_name_with_dots_that_lead_up_reads_nothing_outside(tmp_path: Path) -> None:
    write_folder(tmp_path, {"secret.toml": FOLDER["options/keep.toml"]})
    files = written("scenario.toml", 'baseline = "keep"', 'baseline = "../../secret"')
    files["ledger.csv"] = files["ledger.csv"].replace(",refit,", ",../../secret,")
    files["options/up..keep.toml"] = FOLDER["options/keep.toml"]
    case, said = read_files(tmp_path, files)
    assert case is None
    assert said == [
        (
            'ledger.csv:2: error: option: expected the id of an option, found "../../secret"; '
            'there is "keep", "newer", "refit" or "up..keep"'
        ),
        (
            "options/up..keep.toml: error: expected a file name of letters, digits, - and _, "
            'found "up..keep"; rename the file'
        ),
        (
            "scenario.toml:5: error: baseline: expected the id of an option, which is its file's "
            'name without .toml, found "../../secret"; there is "keep", "newer", "refit" '
            'or "up..keep"'
        ),
    ]


@pytest.mark.parametrize("name", ["scenario", "equipment", "fleet", "ledger"])
def test_an_option_may_not_bear_the_name_of_another_file(tmp_path: Path, name: str) -> None:
    case, said = read_files(tmp_path, {**FOLDER, f"options/{name}.toml": "titel = 3\n"})
    assert case is None
    assert said == [
        (
            f"options/{name}.toml: error: expected a file name that has no other meaning, "
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
    expected = f'expected a known file, found {wrong}; did you mean "{right}"?'
    assert said == [f"{wrong}: warning: {expected}"]


def test_a_misspelt_folder_is_warned_of(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {**FOLDER, "note/keep.md": ""})
    assert case is not None
    assert said == ['note: warning: expected a known file, found note; did you mean "notes"?']
