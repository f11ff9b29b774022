"""Notes: links that lead nowhere are told by `check`, with note and line; their size is bounded."""

import random
import time
from pathlib import Path

import pytest
from click.testing import CliRunner

from folder_cases import FOLDER
from panelworth import read
from panelworth.__main__ import main
from panelworth.problems import render
from panelworth.publishing.site import note_bounds
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.site.note_bounds import excess_of
from panelworth.publishing.site.note_links import ALWAYS, SOMETIMES, files_of
from panelworth.publishing.site.prose import html_of
from panelworth.publishing.view import View
from small_cases import case_in, refit
from strategies import write_folder

ROOT = Path(__file__).parents[1]
WHOLE = "a page or file of this scenario's site, or a whole address (https://…)"
PIECES = [
    *("[", "]", "(", ")", "![", "*", "**", "_", "`", "``", "<", "<a ", ">", "<!--", "-->"),
    *("<![CDATA[", "]]>", "&", "\\", "|", "#", "> ", "- ", "1. ", "\n", "\n\n", "    ", "a", " "),
    *("http://x", "[a]: b\n", "---\n", "| a | b |\n|---|---|\n", "<div>", "</div>", "=\n", "~"),
    *("[a](", "[a](<", '"', "'", "{", "\t", "\u00a0", "é", "a@b.c"),
]


def noted(tmp_path: Path, note: str) -> tuple[bool, list[str]]:
    """Read a folder with this note on an option, from its third line on."""
    folder = write_folder(tmp_path / "club", {**FOLDER, "notes/refit.md": f"# A story\n\n{note}\n"})
    case, problems = read(folder)
    said = [render(problem).removeprefix(f"{folder}/") for problem in problems]
    return case is not None, [line for line in said if line.startswith("notes/")]


@pytest.mark.parametrize(
    "link",
    [
        *("dates.html", "option-keep.html", "index.html", "ballot.html", "ledger.html"),
        *("figures.csv", "workbook.xlsx", "calendar.ics", "airplane.html#weight"),
        *("https://example.org/a", "mailto:a@example.org", "#a-story", "option%2Dkeep.html"),
    ],
)
def test_links_that_lead_on_are_no_problem(tmp_path: Path, link: str) -> None:
    assert noted(tmp_path, f"See [this]({link}).") == (True, [])


@pytest.mark.parametrize(
    ("note", "link", "hint"),
    [
        ("[a](option-full.html)", "option-full.html", 'did you mean "option-refit.html"?'),
        ("[a](datse.html)", "datse.html", 'did you mean "dates.html"?'),
        ("[a](../other/index.html)", "../other/index.html", 'did you mean "index.html"?'),
        ("[a](/dates.html)", "/dates.html", 'did you mean "dates.html"?'),
        ("[a](<my file.pdf>)", "my file.pdf", "write such as dates.html, or option-ID.html"),
        ("[a]\n\n[a]: charts/none.svg", "charts/none.svg", ""),
        ('<a href="none.html">a</a>', "none.html", ""),
        ("[a](www.example.org)", "www.example.org", ""),
    ],
)
def test_a_link_that_leads_nowhere_is_an_error_with_its_line(
    tmp_path: Path, note: str, link: str, hint: str
) -> None:
    ok, [told] = noted(tmp_path, note)
    line = 5 if "]: " in note else 3
    assert not ok
    assert told.startswith(
        f'notes/refit.md:{line}: error: link: expected {WHOLE}, found "{link}"; {hint}'
    )


def test_a_link_is_told_on_each_of_its_lines(tmp_path: Path) -> None:
    _, said = noted(tmp_path, "[a](x.html)\n\n[b](dates.html)\n\n[c](x.html)")
    assert [line.split(":")[1] for line in said] == ["3", "7"]


def test_an_anchor_that_no_heading_of_the_note_has_is_warned_of(tmp_path: Path) -> None:
    ok, said = noted(tmp_path, "[a](#nothing)")
    assert ok
    assert said == [
        (
            "notes/refit.md:3: warning: link: expected the anchor of a heading of this note, "
            'found "#nothing"; name a page before the #'
        )
    ]


@pytest.mark.parametrize("several", [False, True])
def test_what_check_accepts_is_published_and_the_rest_is_told(
    tmp_path: Path, *, several: bool
) -> None:
    """Pages that there is nothing to say on, and anchors of other pages, show when it is built."""
    names = ("small", "other") if several else ("small",)
    for name in names:
        case_in(tmp_path / name, {"refit": refit("cost = 5")})
    note = "# A\n\n[1](ledger.html)\n[2](dates.html#none)\n[3](#none) [4](option-keep.html)\n"
    write_folder(tmp_path / "small", {"notes/refit.md": note})
    out = tmp_path / "site"
    words = ["build", *(tmp_path / name for name in names), "--out", out, "--trials", "100"]
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    note = f"{tmp_path / 'small'}/notes/refit.md"  # as the user named the folder
    told = [line for line in result.stderr.splitlines() if line.startswith(note)]
    assert [line.partition(" link: ")[0] for line in told] == [
        *(f"{note}:{line}: warning:" for line in (5, 3, 4)),  # the first when it was read
    ]
    page = (out / ("small" if several else "") / "option-refit.html").read_text()
    assert "ledger.html" not in page
    assert '<a href="option-keep.html"' in page


def test_the_files_that_a_note_may_name_are_those_of_the_site(
    club: View, owner: View, site: Path
) -> None:
    for view in (club, owner):
        made = {page.file for page in pages_of(view)}
        known = files_of(view.case)
        assert made <= known
        assert {name for name in known - made if name.endswith(".html")} <= set(SOMETIMES)
        assert all((site / view.case.name / name).is_file() for name in ALWAYS)


@pytest.mark.parametrize(
    ("note", "line", "expected"),
    [
        ("[" * 39_000, 0, 'at most 300 "[" in a note'),
        ("a <b> " * 301, 0, 'at most 300 "<" in a note'),
        ("> a\n" * 301, 0, 'at most 300 ">" in a note'),
        ("word " * 8001, 0, "at most 40,000 characters in a note"),
        ("a\n\n" * 1001, 0, "at most 2,000 lines in a note"),
        ("word " * 1001, 3, "at most 5,000 characters between two empty lines"),
    ],
)
def test_a_note_beyond_a_bound_is_told(tmp_path: Path, note: str, line: int, expected: str) -> None:
    ok, [told] = noted(tmp_path, note)
    place = f"notes/refit.md:{line}" if line else "notes/refit.md"
    assert not ok
    assert told.startswith(f"{place}: error: expected {expected}, found ")
    assert told.endswith("shorten the note, or put empty lines between its paragraphs")


@pytest.mark.parametrize("seed", range(12))
def test_a_note_within_its_bounds_is_set_soon(seed: int) -> None:
    """Marks put together at random, as many as a note may have."""
    chance = random.Random(seed)  # noqa: S311 (a test)
    pieces = chance.sample(PIECES, chance.randint(1, 4))
    text = ""
    while len(text) < note_bounds.LONGEST:
        longer = text + chance.choice(pieces) + chance.choice(("", "", " ", "\n\n"))
        if excess_of(longer):
            break
        text = longer
    begun = time.process_time()
    html_of(text)
    assert time.process_time() - begun < 8
