"""A site of placeholders says so on every page, on paper and in the summary; a finished one not."""

import io
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from panelworth import publish, read, templates_folder, views
from panelworth.__main__ import main
from panelworth.publishing.starter_folder import starting_files
from panelworth.publishing.terminal.brief import brief
from panelworth.publishing.view import View
from strategies import write_folder

MARK = re.compile(r'(, source = "placeholder")|(  # placeholder$)', re.MULTILINE)
SAID = "Not to be decided on: {} of the template stand here that nobody has replaced yet."


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish two new folders, a club's and an owner's."""
    place = tmp_path_factory.mktemp("new")
    cases = []
    for name, owner in (("club", False), ("owner", True)):
        case, _ = read(write_folder(place / name, starting_files(owner=owner)))
        assert case is not None
        cases.append(case)
    assert publish(cases, place / "site", trials=100) == []
    return place / "site"


def test_every_page_of_a_new_folder_says_that_it_holds_placeholders(site: Path) -> None:
    for folder in ("club", "owner"):
        case, _ = read(site.parent / folder)
        assert case is not None
        said = SAID.format(f"{len(case.placeholders)} placeholders")
        pages = sorted((site / folder).glob("*.html"))
        assert len(pages) > 10
        for page in pages:
            assert said in page.read_text(encoding="utf-8"), page.name
    assert SAID.partition("{}")[0] in (site / "index.html").read_text(encoding="utf-8")


def test_the_template_s_own_note_is_on_no_page(site: Path) -> None:
    words = "The story behind the question"
    assert words in starting_files(owner=False)["notes/scenario.md"].decode()
    for page in site.rglob("*.html"):
        assert words not in page.read_text(encoding="utf-8"), page.name


def test_a_note_is_told_once_it_is_somebody_s_own(tmp_path: Path) -> None:
    files = starting_files(owner=True) | {"notes/scenario.md": b"Our own story.\n"}
    case, problems = read(write_folder(tmp_path / "ours", files))
    assert case is not None
    assert case.notes == {"scenario": "Our own story.\n"}
    assert not any("notes" in problem.file for problem in problems)


def test_a_value_written_over_is_counted_no_longer(tmp_path: Path) -> None:
    """Every mark taken out of every file: nothing is left, and nothing else is asked about."""
    for owner in (False, True):
        files = starting_files(owner=owner)
        clean = {name: MARK.sub("", text.decode()) for name, text in files.items()}
        clean["notes/scenario.md"] = "Our own story.\n"
        case, problems = read(write_folder(tmp_path / f"ours-{owner}", clean))
        assert problems == []
        assert case is not None
        assert case.placeholders == {}


def test_the_summary_says_it_too(tmp_path: Path) -> None:
    case, _ = read(write_folder(tmp_path / "ours", starting_files(owner=True)))
    assert case is not None
    [view] = views([case], trials=100)
    said = " ".join(brief(view).split())
    assert SAID.format(f"{len(case.placeholders)} placeholders") in said


def test_a_finished_site_says_nothing_of_it(club: View, owner: View) -> None:
    for view in (club, owner):
        assert "placeholder" not in brief(view)


def test_the_handout_as_a_pdf_says_it_too(tmp_path: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    folder = write_folder(tmp_path / "ours", starting_files(owner=True))
    out = tmp_path / "handout.pdf"
    words = ["handout", str(folder), "--out", str(out), "--trials", "100"]
    assert CliRunner().invoke(main, words).exit_code == 0
    pages = pypdf.PdfReader(io.BytesIO(out.read_bytes())).pages
    assert "Not to be decided on" in " ".join(pages[0].extract_text().split())


def test_the_template_of_every_page_has_a_place_for_it() -> None:
    assert "unfinished" in (templates_folder() / "base.html").read_text(encoding="utf-8")
    for page in templates_folder().glob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert page.name in ("base.html", "parts.html") or '{% extends "base.html" %}' in text
