"""`tally` with a scenario: its options as columns, its rules, and the decision that is written."""

import os
from pathlib import Path

import pytest

from panelworth.reading.folder import read_case
from small_cases import CLUB, KEEP, SCENARIO, refit
from strategies import write_folder
from test_reading_vote import run

TITLES = {"full": "Refit all of it", "part": "Refit half of it"}
RULES = "[vote]\nentitled = 8  # without guests\nquorum = 0.5\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a club's folder with three options and rules for its vote."""
    text = SCENARIO.format(
        rates="",
        hours=100,
        aircraft="",
        rest=f"{CLUB}\n{RULES}",
        trials=100,
        seed=7,
        correlation=0.0,
    )
    options = {
        option_id: refit("cost = 5").replace('"Refit"', f'"{title}"')
        for option_id, title in TITLES.items()
    }
    options["part"] = f'short = "Half"\n{options["part"]}'
    files = {f"options/{option_id}.toml": text for option_id, text in options.items()}
    return write_folder(
        tmp_path / "club", {"scenario.toml": text, "options/keep.toml": KEEP, **files}
    )


def votes(tmp_path: Path, text: str) -> Path:
    """Write a file of votes."""
    path = tmp_path / "votes.csv"
    path.write_text(text, encoding="utf-8")
    return path


def errors_of(*words: str | Path) -> list[str]:
    """Return the errors of a command, without the place of its files."""
    result = run(*words)
    assert result.exit_code == 1, result.output
    return [line.rpartition("/")[2] for line in result.stderr.splitlines() if "error: " in line]


@pytest.mark.parametrize(
    "head", ["keep,full,part", "KEEP,refit-all of it,Half", "Keep,Full,Refit  half of it"]
)
def test_columns_are_ids_titles_or_short_names(tmp_path: Path, folder: Path, head: str) -> None:
    result = run("tally", folder, votes(tmp_path, f"{head}\nx,,\n,x,x\n,x,\n,x,\n,-,-\n"))
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines()[-8:] == [
        "“Refit all of it” has most approvals.",
        "",
        "Turnout: 5 ballots cast, 1 of them blank; 8 members entitled to vote; 62.5%.",
        "Quorum: 50% of those entitled, which is 4 ballots; met.",
        "Majority: more than 50% of the ballots with a mark, which is 3 votes or more.",
        "- most approvals: “Refit all of it” with 3 votes: a majority",
        "",
        "The club's bylaws, not this program, decide which count holds and what a tie means.",
    ]


def test_a_quorum_that_is_not_met_and_a_tie_are_said(tmp_path: Path, folder: Path) -> None:
    said = run("tally", folder, votes(tmp_path, "keep,full,part\nx,,\n,x,\n"), "--kind", "approval")
    assert "Quorum: 50% of those entitled, which is 4 ballots; not met.\n" in said.stdout
    assert (
        "- most approvals: “Keep” and “Refit all of it” with 1 vote each, a tie: no majority\n"
    ) in said.stdout


def test_without_a_folder_any_column_is_an_option_and_there_are_no_rules(tmp_path: Path) -> None:
    said = run("tally", votes(tmp_path, "this,that\nx,\nx,x\n")).stdout
    assert "Turnout" not in said
    assert "nothing here prefers one." in said


def test_unknown_columns_are_refused_and_missing_ones_asked_about(
    tmp_path: Path, folder: Path
) -> None:
    said = errors_of("tally", folder, votes(tmp_path, "keep,fulll,Name\nx,x,\n"))
    assert said == [
        (
            "votes.csv:1: error: fulll: expected the id, title or short name of an option of the "
            'scenario, found "fulll"; did you mean "full"?'
        ),
        (
            'votes.csv:1: error: Name: expected the name of an option, found "Name"; remove the '
            "column: ballots carry no names and no numbers"
        ),
    ]
    result = run("tally", folder, votes(tmp_path, "keep,full\nx,x\nx,\n"))
    assert result.exit_code == 0
    assert (
        "votes.csv:1: warning: Refit half of it: expected a column for each option of the "
        "scenario, found none; leave it so if the option was not on the ballot"
    ) in result.stderr


def test_two_columns_of_one_option_are_refused(tmp_path: Path, folder: Path) -> None:
    path = votes(tmp_path, "keep,part,Half\nx,x,\n")
    assert any("one column for each option" in line for line in errors_of("tally", folder, path))


def test_a_name_of_two_options_is_refused(tmp_path: Path, folder: Path) -> None:
    (folder / "options" / "part.toml").write_text(
        refit("cost = 5").replace('"Refit"', '"Refit all of it"')
    )
    path = votes(tmp_path, "keep,full,Refit all of it\nx,x,\n")
    assert any(
        line.endswith('found "Refit all of it"; two options have this name: write the id of one')
        for line in errors_of("tally", folder, path)
    )
    result = run("tally", folder, votes(tmp_path, "keep,full,part\nx,x,\n,x,\n"))
    assert "“full” has most approvals." in result.stdout


def test_more_ballots_than_members_entitled_are_a_warning(tmp_path: Path, folder: Path) -> None:
    head, row = "keep,full,part\n", "x,x,\n"
    assert "ballots, since" not in run("tally", folder, votes(tmp_path, head + row * 8)).stderr
    result = run("tally", folder, votes(tmp_path, head + row * 9))
    assert result.exit_code == 0
    assert (
        "votes.csv: warning: expected at most 8 ballots, since so many members are entitled to "
        "vote, found 9; look for ballots that were typed twice, or correct entitled in [vote]"
    ) in result.stderr


DECISION = '\n[decision]\nchosen = "part"\non = 2026-02-03\n'


@pytest.mark.parametrize("name", ["part", "Half", "refit HALF of it"])
def test_a_stated_decision_is_written_and_all_else_stays(
    tmp_path: Path, folder: Path, name: str
) -> None:
    file = folder / "scenario.toml"
    before = file.read_text(encoding="utf-8")
    result = run(
        *("tally", folder, votes(tmp_path, "keep,full,part\nx,x,\n,x,\n")),
        *("--write", name, "--on", "2026-02-03"),
    )
    assert result.exit_code == 0, result.output
    assert result.stdout.endswith(f"{file}: [decision] chosen = part, on = 2026-02-03\n")
    assert file.read_text(encoding="utf-8") == before + DECISION
    assert sorted(os.listdir(folder)) == ["options", "scenario.toml"]  # noqa: PTH208 (the names)
    case, problems = read_case(folder)
    assert case is not None, problems
    assert case.scenario.decision is not None
    assert case.scenario.decision.chosen == "part"


def test_a_decision_may_be_written_without_a_count(folder: Path) -> None:
    result = run("tally", folder, "--write", "part", "--on", "2026-02-03")
    assert result.exit_code == 0, result.output
    assert "Turnout" not in result.stdout


def test_another_decision_is_replaced_only_on_request(folder: Path) -> None:
    file = folder / "scenario.toml"
    before = file.read_text(encoding="utf-8")
    stated = DECISION.replace("\n[decision]", "\n[decision]  # of May\nbudget = 900")
    file.write_text(before + stated, encoding="utf-8")
    words = ("tally", folder, "--write", "keep", "--on", "2026-03-04")
    assert errors_of(*words) == [
        (
            "scenario.toml: error: decision: expected no other decision than keep on 2026-03-04, "
            "found part on 2026-02-03; --replace overwrites it"
        )
    ]
    assert file.read_text(encoding="utf-8") == before + stated
    assert run(*words, "--replace").exit_code == 0
    changed = stated.replace("part", "keep").replace("02-03", "03-04")
    assert file.read_text(encoding="utf-8") == before + changed


def test_the_same_decision_may_be_written_again(folder: Path) -> None:
    words = ("tally", folder, "--write", "part", "--on", "2026-02-03")
    assert [run(*words).exit_code, run(*words).exit_code] == [0, 0]
    assert (folder / "scenario.toml").read_text(encoding="utf-8").count("[decision]") == 1


@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        (
            ("--write", "parts", "--on", "2026-02-03"),
            'the id, title or short name of an option, found "parts"; did you mean "part"?',
        ),
        (("--write", "part"), "expected both --write OPTION and --on DATE"),
        (("--on", "2026-02-03"), "expected both --write OPTION and --on DATE"),
        ((), "expected a file of votes after the folder"),
        (
            ("--write", "part", "--on", "1026-02-03"),
            "expected a day from the year 1900 on",
        ),
    ],
)
def test_what_is_not_stated_in_full_is_refused(
    folder: Path, words: tuple[str, ...], wrong: str
) -> None:
    before = (folder / "scenario.toml").read_bytes()
    result = run("tally", folder, *words)
    assert result.exit_code == 1
    assert wrong in result.stderr
    assert (folder / "scenario.toml").read_bytes() == before


def test_without_a_folder_nothing_can_be_written(tmp_path: Path) -> None:
    path = votes(tmp_path, "keep,part\nx,x\nx,\n")
    result = run("tally", path, "--write", "part", "--on", "2026-02-03")
    assert result.exit_code == 1
    assert "expected a scenario folder before the files" in result.stderr


def test_a_decision_after_which_the_folder_cannot_be_read_is_refused(folder: Path) -> None:
    """The work cannot have started after the status date, which is the day of the vote here."""
    option = folder / "options" / "part.toml"
    schedule = "[schedule]\nstart = 2026-05-01\nweeks_down = 2\nstarted = 2026-06-01\n"
    option.write_text(option.read_text() + schedule)
    before = (folder / "scenario.toml").read_bytes()
    result = run("tally", folder, "--write", "part", "--on", "2026-02-03")
    assert result.exit_code == 1
    assert "schedule.started: expected a day on or before the status date" in result.stderr
    assert (folder / "scenario.toml").read_bytes() == before


def test_a_link_is_not_written_through(folder: Path) -> None:
    file, real = folder / "scenario.toml", folder / "notes" / "real.toml"
    real.parent.mkdir()
    file.rename(real)
    file.symlink_to(real)
    before = real.read_bytes()
    result = run("tally", folder, "--write", "part", "--on", "2026-02-03")
    assert result.exit_code == 1
    assert real.read_bytes() == before
    assert file.is_symlink()
