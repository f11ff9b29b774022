"""A new scenario: in order at once, every key with the model's own words, nothing overwritten."""

import csv
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from panelworth import evaluate, read
from panelworth.__main__ import main
from panelworth.model.ledger import Entry
from panelworth.model.scenario import Aircraft
from panelworth.model.value import declaration_of
from panelworth.publishing.starter_folder import starting_files


def run(*words: str | Path) -> Result:
    """Run panelworth as from a shell."""
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.mark.parametrize("kind", [[], ["--owner"]])
def test_a_new_scenario_is_in_order_at_once(tmp_path: Path, kind: list[str]) -> None:
    folder = tmp_path / "scenarios" / "our-club"
    made = run("new", folder, *kind)
    assert (made.exit_code, made.stdout) == (
        0,
        f"{folder}: written; replace its numbers, then: panelworth serve {folder} --open\n",
    )
    checked = run("check", folder)
    count = len(checked.stderr.splitlines())  # of the placeholders, a warning a line
    assert checked.stdout == f"{folder}: in order, 3 options; {count} warnings\n"
    assert [path.name for path in folder.parent.iterdir()] == ["our-club"]


@pytest.mark.parametrize("owner", [False, True])
def test_a_new_scenario_can_be_worked_out(tmp_path: Path, owner: bool) -> None:  # noqa: FBT001
    folder = tmp_path / "ours"
    run("new", folder, *(["--owner"] if owner else []))
    case, problems = read(folder)
    assert case is not None
    assert {problem.found.split()[-1] for problem in problems} <= {"placeholder", "placeholders"}
    assert list(case.options) == ["keep", "refit", "replace"]
    assert (case.scenario.club is None) == owner
    assert case.equipment is not None
    assert case.ledger == ()
    assert case.notes == {}
    figures = evaluate(case, trials=100)
    assert all(option.likely.outlay > 0 for key, option in figures.options.items() if key != "keep")


def test_a_folder_with_anything_in_it_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    result = run("new", tmp_path)
    assert result.exit_code == 1
    assert result.stderr.splitlines() == [
        (
            f"{tmp_path}: error: DIR: expected a folder that is new or empty, found files in it; "
            "name another folder"
        ),
        "1 error; nothing was written",
    ]
    assert [path.name for path in tmp_path.iterdir()] == ["thesis.txt"]


def test_a_file_in_the_place_of_the_folder_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "ours").write_text("a letter")
    result = run("new", tmp_path / "ours")
    assert result.exit_code == 1
    assert "expected a folder that is new or empty, found a file" in result.stderr
    assert (tmp_path / "ours").read_text() == "a letter"


def test_an_empty_folder_one_stands_in_is_filled(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "ours").mkdir()
    monkeypatch.chdir(tmp_path / "ours")
    assert run("new", ".").exit_code == 0
    assert (tmp_path / "ours" / "options" / "refit.toml").is_file()
    assert [path.name for path in tmp_path.iterdir()] == ["ours"]


def test_every_key_stands_under_the_model_s_own_words() -> None:
    text = starting_files(owner=False)["scenario.toml"].decode()
    joined = " ".join(text.replace("\n# ", " ").split())
    for key in tomllib.loads(text)["aircraft"]:
        said = declaration_of(Aircraft, key)
        if said["unit"] in ("list", "table"):
            continue
        assert f"{said['label']} (" in joined, key
        assert f"): {said['meaning']} {key} = " in joined, key


def test_a_key_that_takes_certain_words_lists_them() -> None:
    text = " ".join(starting_files(owner=False)["options/refit.toml"].decode().split())
    for said in (
        "# Kind (keep, retrofit, or replace): Keep the airplane, refit it, or replace it.",
        "# Paid at (order, start, or finish): When it is paid.",
        "# Solve for (dues, hourly_rate, or assessment): Which raise",
        "# Hours (hours): Paid labour hours. hours = { low = 30, likely = 40, high = 60, source",
    ):
        assert said in text, said


def test_every_file_says_that_its_numbers_are_placeholders() -> None:
    for name, content in starting_files(owner=False).items():
        if name.endswith(".toml"):
            assert content.decode().startswith(
                "# Every value marked as a placeholder is invented: write your own over it, and"
            ), name


def test_the_ledger_starts_with_all_its_columns() -> None:
    [heading] = csv.reader(starting_files(owner=True)["ledger.csv"].decode().splitlines())
    assert heading == [key for key in Entry.model_fields if key != "line"]


def test_an_owner_is_not_asked_about_a_club() -> None:
    files = starting_files(owner=True)
    for name in ("scenario.toml", "options/refit.toml", "options/replace.toml"):
        keys = tomllib.loads(files[name].decode())
        assert not {"club", "members"} & set(keys)
        assert set(keys.get("funding", {})) <= {"loan"}
        assert "hourly_rate" not in {**keys.get("aircraft", {}), **keys.get("after", {})}
