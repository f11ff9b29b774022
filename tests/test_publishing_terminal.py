"""Names out of files on the terminal: shown as they are, whatever brackets they have."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from panelworth.__main__ import main
from small_cases import case_in, refit

NAMES = ["[/x]", "[bold]Refit", "[link=https://example.org]", ":smile:", "{x} %s", "a [red]b[/red]"]


def run(*words: str | Path) -> str:
    """Run panelworth as from a shell, wide enough for any name."""
    result = CliRunner().invoke(main, [str(word) for word in words], env={"COLUMNS": "300"})
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.mark.parametrize("name", NAMES)
def test_a_title_in_brackets_is_shown_as_it_is(tmp_path: Path, name: str) -> None:
    option = refit("cost = 5").replace('"Refit"', f'"{name}"')
    case_in(tmp_path / "[small]", {"refit": option})
    assert name in run("figures", tmp_path / "[small]", "--trials", "100")


@pytest.mark.parametrize("name", NAMES)
def test_a_choice_in_brackets_is_shown_as_it_is(tmp_path: Path, name: str) -> None:
    path = tmp_path / "vote.csv"
    path.write_text(f"{name},Other\nx,\nx,\n,x\n")
    told = run("tally", path)
    assert name in told
    assert f"\\{name}" not in told
