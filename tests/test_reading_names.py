"""Two names that differ only in capitals, spaces or Unicode form are the same name."""

from pathlib import Path
from typing import Any
from unicodedata import normalize

import pytest
from babel.core import get_global
from babel.numbers import get_territory_currencies

from folder_cases import FOLDER, read_files, written
from panelworth.model.names import folded

COMPOSED = "Café board"
DECOMPOSED = normalize("NFD", COMPOSED)
EQUIPMENT = """
[airplane]
empty_weight = 1500
empty_arm = 80
max_weight = 2400
stations = { "Front seats" = 80, "Rear seats" = 110 }
[[loading_cases]]
name = "Two up"
loads = { "Front seats" = 340 }
[[units]]
name = "Radio"
provides = ["communication"]
[[units]]
name = "Compass"
provides = ["magnetic direction"]
"""
FLEET = '[[aircraft]]\nname = "The cub"\n[[aircraft]]\nname = "The tug"\n'
OLD = FOLDER["equipment.toml"]
REFIT = FOLDER["options/refit.toml"]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("Display", "DISPLAY", True),
        ("Straße", "STRASSE", True),  # full case folding, CaseFolding.txt: 00DF; F; 0073 0073
        (COMPOSED, DECOMPOSED, True),
        ("\u212bngström", "ångström", True),  # the Angstrom sign is canonically Å, UAX 15 figure 3
        ("Front seats", " Front  seats ", True),
        ("Display", "Displays", False),
        ("Display 1", "Display 2", False),
    ],
)
def test_names_are_told_apart_as_unicode_does(one: str, other: str, *, same: bool) -> None:
    assert (folded(one) == folded(other)) is same


@pytest.mark.parametrize(
    ("file", "text", "said"),
    [
        (
            "scenario.toml",
            FOLDER["scenario.toml"].replace(
                'fixed = [ { name = "Hangar"', 'fixed = [ { name = "HANGAR" }, { name = "Hangar"'
            ),
            'aircraft.fixed[Hangar].name: expected each fixed cost to have its own name, found "Ha',
        ),
        (
            "scenario.toml",
            FOLDER["scenario.toml"] + '[[jobs]]\nname = "static HOSES"\n',
            "jobs[static HOSES].name: expected each job to have its own name, found ",
        ),
        (
            "options/refit.toml",
            REFIT + '[[items]]\nname = "DISPLAY"\ncost = 1\n',
            "items[DISPLAY].name: expected each item to have its own name, found ",
        ),
        (
            "equipment.toml",
            EQUIPMENT.replace('"Rear seats"', '"front seats"'),
            "airplane.stations.front seats: expected each station to have its own name, found ",
        ),
        (
            "equipment.toml",
            EQUIPMENT.replace('"Compass"', '"RADIO"'),
            "units[RADIO].name: expected each unit to have its own name, found ",
        ),
        (
            "equipment.toml",
            f'{OLD}provides = ["attitude"]\n[[units]]\nname = "New"\nprovides = ["Attitude"]\n',
            'units[New].provides[1]: expected one spelling of a function: "attitude" stands ',
        ),
        (
            "fleet.toml",
            FLEET.replace("The tug", "the Cub"),
            "aircraft[the Cub].name: expected each aircraft to have its own name, found ",
        ),
    ],
)
def test_two_names_that_are_the_same_are_refused(
    tmp_path: Path, file: str, text: str, said: str
) -> None:
    case, problems = read_files(tmp_path, {**FOLDER, file: text})
    assert case is None
    assert len(problems) == 1
    assert f": error: {said}" in problems[0]


def test_a_ledger_key_is_not_another_item_s_name_in_other_capitals(tmp_path: Path) -> None:
    more = '[[items]]\nname = "Other"\ncost = 1\nledger = "DISPLAY"\n'
    case, problems = read_files(tmp_path, {**FOLDER, "options/refit.toml": REFIT + more})
    assert case is None
    assert [each.partition("error: ")[2] for each in problems] == [
        (
            "items[Other].ledger: expected a name and a ledger key that no other item has, found "
            '"DISPLAY"; the ledger could not tell the two apart; change one'
        )
    ]


def test_two_option_files_that_some_disks_take_for_one_are_refused(tmp_path: Path) -> None:
    case, problems = read_files(tmp_path, {**FOLDER, "options/Refit.toml": REFIT})
    assert case is None
    assert (
        "options/refit.toml: error: expected a file name that differs from "
        '"Refit.toml" in more than capitals, found "refit.toml"; rename one of the two'
    ) in problems


def test_a_name_is_found_in_either_unicode_form(tmp_path: Path) -> None:
    """As one system composes accents and another does not (UAX 15): no hint could show why."""
    files: dict[str, Any] = {
        **written("options/refit.toml", '"Display"', f'"{DECOMPOSED}"'),
        "ledger.csv": f"date,option,item,kind,amount\n2026-10-12,refit,{COMPOSED},quote,14000\n",
        "needs.toml": f'[[needs]]\nname = "{DECOMPOSED}"\nfunctions = ["attitude"]\n',
        "ballots.csv": f"{COMPOSED}\nx\n",
    }
    files["equipment.toml"] = f'{OLD}provides = ["attitude"]\n'
    files["options/refit.toml"] = files["options/refit.toml"].replace('ledger = "display"\n', "")
    case, problems = read_files(tmp_path, files)
    assert problems == []
    assert case is not None
    assert case.ledger[0].item == case.options["refit"].items[0].name == COMPOSED
    assert case.ballots[0].marks == {COMPOSED: 1}


@pytest.mark.parametrize(
    ("file", "old", "new", "hint"),
    [
        ("scenario.toml", 'baseline = "keep"', 'baseline = "Keep"', 'did you mean "keep"?'),
        ("ledger.csv", "refit,", "Refit,", 'did you mean "refit"?'),
        ("ledger.csv", "display,", "DISPLAY,", 'did you mean "Display"?'),
    ],
)
def test_a_name_in_other_capitals_gets_the_spelling_that_is_there(
    tmp_path: Path, file: str, old: str, new: str, hint: str
) -> None:
    files = {
        **FOLDER,
        "ledger.csv": "date,option,item,kind,amount\n2026-10-12,refit,display,quote,1\n",
    }
    assert old in files[file]
    _, problems = read_files(tmp_path, {**files, file: files[file].replace(old, new)})
    assert [each.rpartition("; ")[2] for each in problems] == [hint]


@pytest.mark.parametrize(("code", "meant"), [("usd", "USD"), ("Usd", "USD"), ("EUT", "EUR")])
def test_a_currency_that_is_none_gets_the_nearest_code(
    tmp_path: Path, code: str, meant: str
) -> None:
    case, problems = read_files(tmp_path, written("scenario.toml", '"USD"', f'"{code}"'))
    assert case is None
    assert problems == [
        (
            "scenario.toml:4: error: currency: expected a three-letter ISO 4217 code such as USD, "
            f'found "{code}"; did you mean "{meant}"?'
        )
    ]


@pytest.mark.parametrize("code", ["ABC", "EURO", "", "$", "€"])
def test_what_is_no_code_of_iso_4217_is_refused(tmp_path: Path, code: str) -> None:
    case, problems = read_files(tmp_path, written("scenario.toml", '"USD"', f'"{code}"'))
    assert case is None
    assert len(problems) == 1


def test_every_currency_in_use_is_taken(tmp_path: Path) -> None:
    """Codes that the Unicode CLDR, by way of Babel, has as tender of some territory today."""
    lands = get_global("territory_currencies")
    in_use = {code for land in lands for code in get_territory_currencies(land)}
    assert len(in_use) > 150
    for code in sorted(in_use):
        case, problems = read_files(tmp_path, written("scenario.toml", '"USD"', f'"{code}"'))
        assert problems == [], code
        assert case is not None
