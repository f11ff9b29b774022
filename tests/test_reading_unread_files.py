"""Files that are not read though they look as if they should be: each is warned of, no other is."""

from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files

OPTION = 'title = "A copy"\nkind = "keep"\n'


def said_of(tmp_path: Path, name: str) -> list[str]:
    """Read the folder in order with one more file; return what is said of it."""
    case, said = read_files(tmp_path, {**FOLDER, name: OPTION})
    assert case is not None
    return said


@pytest.mark.parametrize(
    ("name", "shown", "hint"),
    [
        ("ledger-east.csv", "ledger-east.csv", 'only "ledger.csv" is read: put its content there'),
        ("ledger2.csv", "ledger2.csv", 'only "ledger.csv" is read: put its content there'),
        ("Ledger.CSV", "Ledger.CSV", 'only "ledger.csv" is read: put its content there'),
        ("ledger.xls", "ledger.xls", 'only "ledger.csv" is read: put its content there'),
        ("ledger-east.ods", "ledger-east.ods", 'only "ledger.csv" is read: put its content there'),
        ("squawk.csv", "squawk.csv", 'did you mean "squawks.csv"?'),
        ("needs.tml", "needs.tml", 'did you mean "needs.toml"?'),
        ("ballot.csv", "ballot.csv", 'did you mean "ballots.csv"?'),
        ("needs.toml.txt", "needs.toml.txt", 'did you mean "needs.toml"?'),
        (
            "full.toml.txt",
            "full.toml.txt",
            "if it is an option, put it into the folder options",
        ),
        ("full.toml", "full.toml", "if it is an option, put it into the folder options"),
        ("story.md", "story.md", "if it is the story of an option, put it into the folder notes"),
        ("option/full.toml", "option", 'only "options" is read: put its content there'),
        ("Options/full.toml", "Options", 'only "options" is read: put its content there'),
        ("Notes/refit.md", "Notes", 'did you mean "notes"?'),
        ("options/full.txt", "options/full.txt", 'did you mean "full.toml"?'),
        ("options/full.toml.txt", "options/full.toml.txt", 'did you mean "full.toml"?'),
        ("options/full.TOML", "options/full.TOML", 'did you mean "full.toml"?'),
        ("options/full.md", "options/full.md", "did you mean notes/full.md?"),
        ("notes/refit.txt", "notes/refit.txt", 'did you mean "refit.md"?'),
    ],
)
def test_a_file_that_is_not_read_is_warned_of_with_what_was_meant(
    tmp_path: Path, name: str, shown: str, hint: str
) -> None:
    found = shown.rpartition("/")[2]
    assert said_of(tmp_path, name) == [
        f"{shown}: warning: expected a known file, found {found}; {hint}"
    ]


@pytest.mark.parametrize(
    "name",
    [
        *(".ledger.csv.swp", "ledger.csv~", "scenario.toml.bak", "~$ledger.xlsx", "#ledger.csv#"),
        *("options/.#refit.toml", "options/._keep.toml", "options/refit.toml.bak", "Thumbs.db"),
        *(".git/config", "README.md", "notes/README.md", "quote-118.pdf", "panel.jpg"),
        *("quotes/shop.pdf", "votes/motion.csv", "site/index.html", "notes/panel.png"),
        *("options/old/refit.toml", "flights.xlsx"),
    ],
)
def test_leftovers_papers_and_pictures_are_passed_over(tmp_path: Path, name: str) -> None:
    assert said_of(tmp_path, name) == []


@pytest.mark.parametrize("name", ["Options", "option", "OPTIONS", "optons"])
def test_options_in_a_folder_of_another_name_are_one_error(tmp_path: Path, name: str) -> None:
    files = {each.replace("options/", f"{name}/"): text for each, text in FOLDER.items()}
    case, said = read_files(tmp_path, files)
    assert case is None
    assert said == [f'{name}: error: expected a folder named options, found "{name}"; rename it']


def test_a_scenario_in_capitals_is_named(tmp_path: Path) -> None:
    case, said = read_files(tmp_path, {"Scenario.toml": FOLDER["scenario.toml"]})
    assert case is None
    assert said == [
        (
            "scenario.toml: error: expected a scenario folder with this file, found Scenario.toml; "
            "rename Scenario.toml"
        )
    ]


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Ledger.xlsx", "ledger.xlsx"),
        ("ledger.xls", "ledger.xlsx"),
        ("leger.ods", "ledger.ods"),
        ("ledger.numbers", "ledger.csv"),
        ("ledger.csv.txt", "ledger.csv"),
    ],
)
def test_without_a_ledger_that_of_the_nearest_ending_is_meant(
    tmp_path: Path, name: str, meant: str
) -> None:
    files = {key: text for key, text in FOLDER.items() if key != "ledger.csv"}
    _, said = read_files(tmp_path, {**files, name: "x"})
    assert said == [
        f'{name}: warning: expected a known file, found {name}; did you mean "{meant}"?'
    ]
