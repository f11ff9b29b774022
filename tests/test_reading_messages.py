"""Messages can be read on any terminal: one line each, nothing that steers it, long words cut."""

from pathlib import Path

import pytest

from folder_cases import FOLDER, read_files
from panelworth.problems import LONGEST_PARTS, Problem, nearest, render, visible

HEAD = "date,option,item,kind,amount\n"
CONTROLS = [chr(code) for code in (*range(32), 127, *range(128, 160))]
TURNING = ["\u202a", "\u202e", "\u2066", "\u2069", "\u200e", "\u2028", "\u2029", "\ufeff", "\ud800"]


@pytest.mark.parametrize("mark", [*CONTROLS, *TURNING])
def test_what_cannot_be_printed_is_shown_as_an_escape(mark: str) -> None:
    """Control characters are categories Cc, Cf, Zl and Zp of Unicode, and lone surrogates Cs."""
    problem = Problem(
        file=f"a{mark}.toml", key=f"k{mark}", expected=f"e{mark}", found=f"f{mark}", hint=f"h{mark}"
    )
    said = render(problem)
    assert said.isprintable()
    assert said.count(mark.encode("unicode_escape").decode()) == 5
    said.encode()


def test_letters_of_any_script_are_left_as_they_are() -> None:
    for text in ("Prüfung 12 €", "Δ ≤ 5", "点検", "5 %"):
        assert visible(text) == text


@pytest.mark.parametrize("name", ["ledger.csv", "options/keep.toml", "ballots.csv", "needs.toml"])
def test_a_file_cannot_steer_the_terminal(tmp_path: Path, name: str) -> None:
    nasty = "\x1b]0;title\x07\x1b[2J\u202e"
    text = f"{FOLDER.get(name, '')}{nasty},{nasty},{nasty},{nasty},{nasty}\n{nasty} = {nasty}\n"
    _, said = read_files(tmp_path, {**FOLDER, name: text})
    assert said
    assert all(line.isprintable() for line in said)


def test_names_of_files_that_are_no_text_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "club"
    read_files(tmp_path, FOLDER)
    try:
        (folder / "options" / "a\udcff\n\x1b.toml").write_text("", encoding="utf-8")
    except (OSError, UnicodeError):
        pytest.skip("no such names on this system")
    _, said = read_files(tmp_path, {})
    assert any("a\\udcff\\n\\x1b" in line for line in said)
    assert all(line.isprintable() for line in said)


@pytest.mark.parametrize("column", range(5))
def test_a_long_cell_is_cut(tmp_path: Path, column: int) -> None:
    cells = ["2026-10-12", "refit", "Display", "quote", "5"]
    cells[column] = "x" * 100_000
    _, said = read_files(tmp_path, {**FOLDER, "ledger.csv": f"{HEAD}{','.join(cells)}\n"})
    assert said
    assert all(len(line) < sum(LONGEST_PARTS.values()) for line in said)
    assert any('x…"' in line for line in said)


@pytest.mark.parametrize("before", [0, 1, 7])
def test_a_cell_beyond_the_reader_s_limit_is_told_with_its_line(
    tmp_path: Path, before: int
) -> None:
    """Python's csv module, field_size_limit: 131,072 characters."""
    rows = '2026-10-12,refit,Display,payment,5\n2026-10-12,refit,"Dis\nplay",payment,5\n' * before
    text = f"{HEAD}{rows}2026-10-12,refit,{'x' * 131_073},quote,5\n"
    _, said = read_files(tmp_path, {**FOLDER, "ledger.csv": text})
    assert said == [
        (
            f"ledger.csv:{2 + 3 * before}: error: expected cells of at most 131,072 characters, "
            "found a longer one; shorten it; a quotation mark that is not closed makes one cell "
            "of many"
        )
    ]


def test_mistakes_without_end_are_told_up_to_a_number(tmp_path: Path) -> None:
    rows = "2026-10-12,refitt,Display,quote,5\n" * 5000
    _, said = read_files(tmp_path, {**FOLDER, "ledger.csv": HEAD + rows})
    assert len(said) == 101
    assert said[-2] == (
        "ledger.csv:101: error: expected fewer rows with mistakes, found more than 100; "
        "correct these first; the rest was not checked"
    )


def test_words_without_end_are_not_compared() -> None:
    assert nearest("x" * 100_000, ["x" * 100_000]) == ""
    assert nearest("displays", ["x" * 100_000, "Display"]) == "Display"


@pytest.mark.parametrize("mark", [r"\u001b", r"\u0000", r"\u009b", r"\u202e", r"\uffff", r"\b"])
@pytest.mark.parametrize("where", ['title = "a{}"', '"a{}" = 1', 'jobs = ["a{}"]'])
def test_texts_with_control_characters_are_refused(tmp_path: Path, mark: str, where: str) -> None:
    """No page (HTML), no workbook and no picture (XML 1.0, section 2.2, Char) may hold them."""
    text = 'kind = "keep"\n' + ("" if where.startswith("title") else 'title = "Keep"\n')
    text += where.format(mark)
    case, [told] = read_files(tmp_path, {**FOLDER, "options/keep.toml": text})
    assert case is None
    assert "without control characters, found \\" in told


@pytest.mark.parametrize("mark", ["\x1b", "\0", "\x1a", "\x9b", "\u202e", "\uffff"])
@pytest.mark.parametrize("name", ["ledger.csv", "notes/keep.md", "options/keep.toml"])
def test_files_with_control_characters_are_refused_with_the_line(
    tmp_path: Path, name: str, mark: str
) -> None:
    text = f"{FOLDER.get(name, 'A note.')}\n\n{mark}"
    case, said = read_files(tmp_path, {**FOLDER, name: text})
    line = text.count("\n") + 1
    shown = mark.encode("unicode_escape").decode()
    assert case is None
    assert said == [
        (
            f"{name}:{line}: error: expected text without control characters, found {shown}; "
            'remove it, or save the file again with the encoding "UTF-8"'
        )
    ]


@pytest.mark.parametrize(
    ("file", "old", "key", "most"),
    [
        ("options/refit.toml", '"Refit it"', "title", 200),
        ("options/refit.toml", '"Display"', "items[xxx", 200),
        ("scenario.toml", '"Shall we refit the panel?"', "question", 10_000),
    ],
)
def test_names_and_texts_have_a_greatest_length(
    tmp_path: Path, file: str, old: str, key: str, most: int
) -> None:
    for length in (most, most + 1):
        text = FOLDER[file].replace(old, f'"{"x" * length}"', 1)
        _, said = read_files(tmp_path, {**FOLDER, file: text})
        told = [line for line in said if f"found {most + 1:,}" in line]
        assert len(told) == (length > most)
        assert all(f"error: {key}" in line for line in told)
