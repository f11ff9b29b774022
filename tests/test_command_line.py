"""The commands a person types: what they print, where, and with which exit code."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from panelworth.__main__ import main

ROOT = Path(__file__).parents[1]
SCENARIOS = ROOT / "scenarios"


def run(*words: str | Path) -> Result:
    """Run panelworth as from a shell."""
    return CliRunner().invoke(main, [str(word) for word in words])


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    """Make the owner demo with three mistakes in two files."""
    folder = tmp_path / "owner"
    shutil.copytree(SCENARIOS / "brackenholt-owner", folder)
    path = folder / "scenario.toml"
    text = path.read_text()
    text = text.replace("hourly_rate = 0 ", "hourly_rat = 0 ")
    path.write_text(text.replace("[0.03, 0.04, 0.055]", "[0.055, 0.04, 0.03]"))
    (folder / "options" / "newer.toml").write_text('title = "Newer"\nkind = "swap"\n')
    return folder


def test_check_says_that_all_is_in_order() -> None:
    result = run("check", SCENARIOS)
    assert result.exit_code == 0
    assert result.stdout.splitlines() == [
        f"{SCENARIOS / 'brackenholt-owner'}: in order, 3 options",
        (
            f"{SCENARIOS / 'quillmeadow-club'}: in order, 4 options; 1 warning; $650.00 of "
            "payments up to 2026-11-01 are taken as already out of the reserve"
        ),
    ]


def test_check_lists_every_mistake_with_its_place_and_what_to_do(broken: Path) -> None:
    result = run("check", broken)
    assert result.exit_code == 1
    lines = result.stderr.splitlines()
    assert lines[0] == (
        f'{broken}/options/newer.toml:2: error: kind: expected "keep", "retrofit" or "replace", '
        'found "swap"'
    )
    assert lines[1].endswith(
        "error: rates.discount: expected low ≤ likely ≤ high, found [0.055, 0.04, 0.03]; "
        "put the three in rising order"
    )
    assert lines[2].endswith(
        'error: aircraft.hourly_rat: expected a known key, found "hourly_rat"; '
        'did you mean "hourly_rate"?'
    )
    assert lines[-1] == "3 errors"


def test_a_missing_baseline_is_told_beside_other_mistakes(broken: Path) -> None:
    (broken / "options" / "keep.toml").unlink()
    result = run("check", broken)
    assert result.exit_code == 1
    assert "hourly_rat" in result.stderr
    [told] = [line for line in result.stderr.splitlines() if "keep.toml" in line]
    assert told == (
        f"{broken}/options/keep.toml: error: expected the file of an option that is named in "
        "ledger.csv:8, notes/keep.md, scenario.toml:10, found no such file; put it back, or change "
        "these places"
    )


def test_a_name_that_one_file_alone_misspells_keeps_its_own_message(tmp_path: Path) -> None:
    folder = shutil.copytree(SCENARIOS / "brackenholt-owner", tmp_path / "owner")
    path = folder / "ledger.csv"
    path.write_text(path.read_text().replace(",refit,", ",refti,"))
    result = run("check", folder)
    assert result.stderr.count('found "refti"; did you mean "refit"?') > 1
    assert "options/refti.toml" not in result.stderr


def test_check_reads_all_folders_before_it_ends(broken: Path) -> None:
    result = run("check", broken, SCENARIOS / "quillmeadow-club")
    assert result.exit_code == 1
    assert result.stderr.splitlines()[-1] == "3 errors, 1 warning"
    assert "quillmeadow-club: in order, 4 options; 1 warning" in result.stdout


@pytest.mark.parametrize(
    ("command", "writes"),
    [("build", True), ("handout", True), ("figures", False), ("brief", False)],
)
def test_only_a_command_that_writes_says_that_nothing_was_written(
    tmp_path: Path, command: str, *, writes: bool
) -> None:
    result = run(command, tmp_path / "gone")
    assert result.exit_code == 1
    assert result.stderr.splitlines()[-1] == f"1 error{'; nothing was written' if writes else ''}"


def test_the_help_says_where_to_begin_and_cuts_no_line() -> None:
    text = run("--help").stdout
    begin = text[text.index("Where to begin:") :]
    words = ("new DIR", "serve DIR --open", "check DIR", "build DIR")
    places = [begin.index(f"panelworth {each}") for each in words]
    assert places == sorted(places)
    assert "..." not in text.replace("[ARGS]...", "")


def test_a_missing_folder_is_told_without_a_traceback(tmp_path: Path) -> None:
    result = run("figures", tmp_path / "gone", "--json")
    assert result.exit_code == 1
    assert "expected a scenario folder with this file, found no such folder" in result.stderr
    assert "Traceback" not in result.output


def test_figures_prints_the_published_json(site: Path) -> None:
    result = run("figures", SCENARIOS / "quillmeadow-club", "--json")
    assert result.exit_code == 0
    published = site / "quillmeadow-club" / "figures.json"
    assert json.loads(result.stdout) == json.loads(published.read_text())


def test_figures_prints_tables_for_a_person() -> None:
    result = run("figures", SCENARIOS / "brackenholt-owner")
    assert result.exit_code == 0
    assert "Net present value" in result.stdout
    assert "The difference in cash" in result.stdout
    payback = next(each for each in result.stdout.splitlines() if each.startswith("Payback"))
    assert payback.split()[1] == "—"  # the baseline pays nothing back, and never fails to


def test_build_publishes_where_it_is_told(tmp_path: Path) -> None:
    out = tmp_path / "site"
    result = run("build", SCENARIOS / "brackenholt-owner", "--out", out)
    assert result.exit_code == 0, result.output
    assert (out / "index.html").is_file()


def test_build_of_a_broken_folder_leaves_the_site_alone(tmp_path: Path, broken: Path) -> None:
    out = tmp_path / "site"
    run("build", SCENARIOS / "brackenholt-owner", "--out", out)
    before = (out / "index.html").read_bytes()
    result = run("build", broken, "--out", out)
    assert result.exit_code == 1
    assert (out / "index.html").read_bytes() == before


def test_two_scenarios_of_one_name_are_refused(tmp_path: Path) -> None:
    other = tmp_path / "brackenholt-owner"
    shutil.copytree(SCENARIOS / "brackenholt-owner", other)
    result = run("build", SCENARIOS / "brackenholt-owner", other, "--out", tmp_path / "site")
    assert result.exit_code == 1
    assert "expected scenario folders of different names" in result.stderr


@pytest.mark.parametrize("file", ["scenario", "option", "equipment", "fleet"])
def test_schema_prints_a_json_schema(file: str) -> None:
    made = json.loads(run("schema", file).stdout)
    assert made["$schema"].startswith("https://json-schema.org/")
    assert made["additionalProperties"] is False


def test_breakeven_finds_every_value_of_an_input() -> None:
    result = run(
        "breakeven", SCENARIOS / "quillmeadow-club", "full", "items[Two-axis autopilot].cost"
    )
    assert result.exit_code == 0
    first, second = result.stdout.splitlines()
    assert first == (
        "Two-axis autopilot: cost, USD; likely $8,650; searched between $0 and $1,000,000"
    )
    assert second.startswith(
        "“Refit all of it at the distant shop” comes out ahead of “Keep nursing it” if it is at "
        "most $5,7"
    )


def test_breakeven_says_that_no_value_does_it() -> None:
    result = run("breakeven", SCENARIOS / "quillmeadow-club", "replace", "after.repairs.per_year")
    assert result.exit_code == 0
    assert result.stdout.splitlines()[1] == (
        "“Sell it and buy a newer one” against “Keep nursing it”: never pays"
    )


@pytest.mark.parametrize(
    ("option", "path", "told"),
    [
        ("ful", "aircraft.value", 'found "ful"; did you mean "full"?'),
        ("keep", "aircraft.value", "expected the id of an option other than the baseline"),
        ("full", "aircraft.fuel_pric", 'did you mean "aircraft.fuel_price"?'),
        ("full", "after.repair.growth", 'did you mean "after.repairs.growth"?'),
    ],
)
def test_breakeven_helps_with_names(option: str, path: str, told: str) -> None:
    result = run("breakeven", SCENARIOS / "quillmeadow-club", option, path)
    assert result.exit_code == 1
    assert told in result.stderr


def test_trials_of_the_command_line_rule() -> None:
    few, more = (
        json.loads(run("figures", SCENARIOS / "brackenholt-owner", "--json", *words).stdout)
        for words in (("--trials", "500"), ("--trials", "1000"))
    )
    assert few["options"]["refit"]["likely"] == more["options"]["refit"]["likely"]
    assert few["options"]["refit"]["range"] != more["options"]["refit"]["range"]
    assert run("figures", SCENARIOS / "brackenholt-owner", "--trials", "3").exit_code == 2


def test_brief_prints_a_summary_and_where_to_read_on() -> None:
    words = ("brief", SCENARIOS / "quillmeadow-club", "--trials", 200)
    result = run(*words, "--address", "https://club.example/panel")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("The blue four-seater's panel")
    assert result.output.endswith("- https://club.example/panel\n")


def test_build_names_an_address_when_it_is_given_one_and_keeps_it_nowhere(tmp_path: Path) -> None:
    words = ("build", SCENARIOS / "brackenholt-owner", "--out", tmp_path / "site", "--trials", 200)
    assert run(*words, "--address", "https://club.example").exit_code == 0
    assert "club.example" in (tmp_path / "site" / "index.html").read_text()
    assert run(*words).exit_code == 0
    assert "club.example" not in (tmp_path / "site" / "index.html").read_text()


@pytest.mark.parametrize("command", ["build", "brief"])
def test_an_address_that_is_none_is_told_before_anything_else(command: str) -> None:
    result = run(command, SCENARIOS / "brackenholt-owner", "--address", "club.example")
    assert result.exit_code == 1
    assert "--address: expected the address of the site's folder" in result.output
    assert 'found "club.example"' in result.output
