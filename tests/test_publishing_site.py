"""Publishing: the same bytes each time, whole or not at all, every link leading somewhere."""

import re
import shutil
from pathlib import Path

import pytest

from panelworth import publish, read, templates_folder
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.site import folder as site
from panelworth.publishing.site.files import assets, broken_links, publish_views
from panelworth.publishing.site.folder import Files
from panelworth.publishing.site.site_archive import ARCHIVE
from panelworth.publishing.view import View

ROOT = Path(__file__).parents[1]


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name within."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


@pytest.mark.committed
def test_a_fresh_build_gives_the_bytes_of_the_committed_site(files: Files) -> None:
    """All but the archive of these very files, which is not committed."""
    fresh, committed = (
        {name: content for name, content in made.items() if name != ARCHIVE}
        for made in (files, contents(ROOT / "site"))
    )
    assert sorted(fresh) == sorted(committed)
    assert [name for name in fresh if fresh[name] != committed[name]] == []


def test_a_second_build_in_the_same_process_gives_the_same_bytes(
    tmp_path: Path, owner: View
) -> None:
    for out in (tmp_path / "a", tmp_path / "b"):
        publish_views([owner], out, templates=templates_folder(), progress=lambda _: None)
    assert contents(tmp_path / "a") == contents(tmp_path / "b")


def test_one_scenario_is_published_at_the_root(tmp_path: Path, owner: View) -> None:
    out = tmp_path / "site"
    assert publish_views([owner], out, templates=templates_folder(), progress=print) == []
    assert (out / "option-refit.html").is_file()
    assert "All scenarios" not in (out / "index.html").read_text()


def test_a_build_replaces_the_old_site_and_leaves_nothing_beside_it(
    tmp_path: Path, owner: View
) -> None:
    out = tmp_path / "site"
    for _ in range(2):
        publish_views([owner], out, templates=templates_folder(), progress=lambda _: None)
        (out / "stale.html").write_text("old")
    publish_views([owner], out, templates=templates_folder(), progress=lambda _: None)
    assert not (out / "stale.html").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_failed_build_leaves_the_published_site_as_it_was(
    tmp_path: Path, owner: View, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "site"
    publish_views([owner], out, templates=templates_folder(), progress=lambda _: None)
    before = contents(out)

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(OSError, match="No space left"):
        publish_views([owner], out, templates=templates_folder(), progress=lambda _: None)
    assert contents(out) == before
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_folder_of_somebody_elses_is_not_replaced(tmp_path: Path, owner: View) -> None:
    (tmp_path / "thesis.txt").write_text("years of work")
    problems = publish_views(
        [owner], tmp_path, templates=templates_folder(), progress=lambda _: None
    )
    assert [problem.found for problem in problems] == ["other files"]
    assert (tmp_path / "thesis.txt").read_text() == "years of work"


def test_a_broken_link_in_a_note_stops_the_build(tmp_path: Path) -> None:
    folder = tmp_path / "owner"
    shutil.copytree(ROOT / "scenarios" / "brackenholt-owner", folder)
    (folder / "notes" / "refit.md").write_text("See [the quote](quote.pdf).")
    case, problems = read(folder)
    assert case is None
    errors = [problem for problem in problems if problem.severity == "error"]
    assert [(Path(each.file).name, each.line) for each in errors] == [("refit.md", 1)]
    assert "quote.pdf" in errors[0].found


@pytest.mark.parametrize(
    ("link", "broken"),
    [
        ("a.html", False),
        ("a.html#here", False),
        ("#there", True),
        ("a.html#gone", True),
        ("../up.html", True),
        ("https://example.org/x", False),
        ("b/c.html", True),
        ("mailto:somebody@example.org", False),
    ],
)
def test_links_are_followed_within_the_site(link: str, broken: bool) -> None:  # noqa: FBT001
    pages = {"index.html": f'<a href="{link}">x</a>'.encode(), "a.html": b'<p id="here">y</p>'}
    assert bool(broken_links(pages)) is broken


def test_a_users_text_is_escaped_on_every_page(tmp_path: Path) -> None:
    folder = tmp_path / "owner"
    shutil.copytree(ROOT / "scenarios" / "brackenholt-owner", folder)
    text = (folder / "options" / "refit.toml").read_text()
    hostile = "<script>alert('x')</script>"
    title = f'title = "Refit {hostile}"'
    (folder / "options" / "refit.toml").write_text(
        re.sub(r"^title = .*$", title, text, count=1, flags=re.MULTILINE)
    )
    case, _ = read(folder)
    assert case is not None
    assert publish([case], tmp_path / "site") == []
    for path in (tmp_path / "site").rglob("*.html"):
        assert hostile not in path.read_text()
        assert "</script>alert" not in path.read_text()


def test_no_page_carries_style_or_script_within_or_asks_for_another_host(files: Files) -> None:
    for text in (content.decode() for name, content in files.items() if name.endswith(".html")):
        assert "Content-Security-Policy" in text
        assert not re.search(r"<style|\sstyle=|\son[a-z]+=", text)
        for script in re.findall(r"<script([^>]*)>", text):
            assert "src=" in script or 'type="application/json"' in script
        assert not re.search(r'(src|href)="(https?:)?//', text)


def test_the_charts_have_the_colours_of_the_stylesheet() -> None:
    css = assets(templates_folder())["assets/style.css"].decode()
    light = css.split("prefers-color-scheme:dark")[0]
    for name, colour in charts.COLOURS.items():
        assert f"--{name}:{colour}" in light


def test_every_page_with_money_says_who_to_ask(files: Files) -> None:
    pages = [name for name in files if "/" in name and name.endswith(".html")]
    assert len(pages) > 20
    for name in pages:
        assert b"accountant, insurer and lender" in files[name], name


def test_only_publishing_knows_where_files_go(files: Files) -> None:
    assert site.MARKER in files
