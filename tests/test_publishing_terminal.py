"""Tables and names on the terminal: no cell is cut, and names are shown as they are."""

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner
from rich.console import Console

from panelworth.__main__ import main
from panelworth.publishing.formats import NONE
from panelworth.publishing.terminal.console import figures_tables
from panelworth.publishing.terminal.tables import WIDEST, TextTable, fitted, without_empty
from panelworth.publishing.view import View
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


HEAD = ["", "Keep", "Refit in part", "Replace"]
ROWS = [
    ["Present value of all costs", "$336,410", "$359,294", "$428,193"],
    ["Discounted payback", "—", "8 years 6 months", "never"],
    ["Bill", "$463.33", "$468.67, $70.90 once", "$564.27, $500.00 once"],
]


def written(table: TextTable, width: int | None) -> list[str]:
    """Return the lines of a table that is made to fit a width; None: no terminal."""
    text = io.StringIO()
    console = Console(file=text, width=WIDEST, markup=False)
    for part in fitted(table, width):
        console.print(part)
    return [line.rstrip() for line in text.getvalue().splitlines()]


def words_of(lines: list[str]) -> list[str]:
    """Return the words of some lines, sorted."""
    return sorted(re.findall(r"[^\s─]+", " ".join(lines)))


def test_without_a_terminal_each_row_is_one_line_with_its_figures_to_the_right() -> None:
    head, rule, *rows = written(TextTable("", HEAD, ROWS), None)
    assert set(rule) == {"─"}
    assert len(rows) == len(ROWS)
    for cells, line in zip([HEAD, *ROWS], [head, *rows], strict=True):
        assert [cell for cell in re.split(" {2,}", line) if cell] == [c for c in cells if c]
    assert len({len(line) for line in (head, *rows)}) == 1


@pytest.mark.parametrize("width", [200, 100, 80, 60, 50, 40, 32])
def test_a_table_fits_the_terminal_and_breaks_no_word(width: int) -> None:
    lines = written(TextTable("", HEAD, ROWS), width)
    assert max(map(len, lines)) <= width
    names = [row[0] for row in ROWS]
    parts = sum(line.startswith("─") for line in lines)
    figures = [cell for row in [HEAD, *ROWS] for cell in row[1:]]
    assert words_of(lines) == words_of([*figures, *names * parts])


def test_names_give_way_before_a_table_comes_in_parts() -> None:
    rows = [["A rather long name of some cause", "+$1,000", "+$2,000", "+$3,000"]]
    table = TextTable("", ["What moved", "Up front", "Benefit", "Raise"], rows)
    for width, parts in ((60, 1), (33, 1), (32, 2)):
        assert sum(line.startswith("─") for line in written(table, width)) == parts


def test_a_terminal_too_narrow_for_a_word_still_gets_it_whole() -> None:
    lines = written(TextTable("", HEAD, ROWS), 12)
    assert any("$336,410" in line for line in lines)
    assert any("$428,193" in line for line in lines)


def test_rows_and_columns_without_a_figure_are_left_out() -> None:
    rows = [["Dues", NONE, "", NONE], ["Hour", NONE, "$2", NONE]]
    table = without_empty("", ["", "Keep", "Refit", "Replace"], rows)
    assert (table.head, table.rows) == (["", "Refit"], [["Hour", "$2"]])


@pytest.mark.parametrize("name", ["club", "owner"])
def test_no_row_or_column_of_the_figures_is_empty(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    tables = [part for part in figures_tables(view) if isinstance(part, TextTable)]
    assert len(tables) == 3
    for table in tables:
        lines = [row[1:] for row in table.rows] + [column[1:] for column in table.columns[1:]]
        assert lines
        assert all(any(cell not in ("", NONE) for cell in line) for line in lines)


def test_options_without_anything_to_compare_have_no_empty_table(owner: View) -> None:
    alone = replace(owner, tags={"keep": owner.tags["keep"]})
    titles = [part.title for part in figures_tables(alone) if isinstance(part, TextTable)]
    assert titles == ["Likely figures"]
