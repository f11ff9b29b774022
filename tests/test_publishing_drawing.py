"""Pictures: drawn beside the build, or taken over where they are the same, byte for byte."""

import json
import shutil
from pathlib import Path

import altair as alt
import pytest

from panelworth import publish, read, templates_folder
from panelworth.publishing import aside
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts import drawing
from panelworth.publishing.charts import rendering as pencil
from panelworth.publishing.charts.drawing import INDEX, Pen, digest, nothing, read_index
from panelworth.publishing.site.folder import kept_by
from panelworth.publishing.site.gathering import gather, publish_views
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.site.preview_state import PreviewState
from panelworth.publishing.view import View

ROOT = Path(__file__).parents[1]
OWNER = ROOT / "scenarios" / "brackenholt-owner"
SPEC = json.dumps(
    {
        "data": {"values": [{"x": 1, "y": 2}, {"x": 2, "y": 1}]},
        "mark": {"type": "line", "clip": True},
        "encoding": {"x": {"field": "x"}, "y": {"field": "y"}},
    }
)


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name within."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def published(view: View, out: Path, *, reuse: bool = True) -> int:
    """Publish a scenario and return how many pictures were taken over."""
    with Pen(kept_by(out) if reuse else nothing) as pen:
        quiet = {"templates": templates_folder(), "progress": lambda _: None}
        assert publish_views([view], out, pen=pen, **quiet) == []
        return pen.reused


def test_what_is_taken_over_is_what_would_be_drawn(tmp_path: Path, owner: View) -> None:
    out = tmp_path / "site"
    assert published(owner, out) == 0
    drawn = contents(out)
    index = json.loads(drawn[INDEX])["files"]
    assert published(owner, out) == len(index)
    assert contents(out) == drawn


@pytest.mark.parametrize("name", ["charts/hours-cost.svg"])
def test_a_picture_whose_bytes_are_others_is_drawn_again(
    tmp_path: Path, owner: View, name: str
) -> None:
    out = tmp_path / "site"
    published(owner, out)
    drawn = contents(out)
    (out / name).write_text("<svg>another</svg>")
    assert published(owner, out) == len(json.loads(drawn[INDEX])["files"]) - 1
    assert contents(out) == drawn


@pytest.mark.parametrize("index", [b"", b"{", b"[]", b'{"schema": "panelworth-drawn/1"}', b"\xff"])
def test_an_index_that_cannot_be_read_gives_nothing(index: bytes) -> None:
    assert read_index(index) == {}


def test_a_picture_of_other_versions_is_drawn_again(monkeypatch: pytest.MonkeyPatch) -> None:
    with Pen() as pen:
        pen.ask("a.svg", SPEC)
        site = pen.files()
    with Pen(site.get) as pen:
        pen.ask("a.svg", SPEC)
        assert pen.reused == 1
    monkeypatch.setattr(drawing, "DRAWN_WITH", "something newer")
    with Pen(site.get) as pen:
        pen.ask("a.svg", SPEC)
        assert pen.reused == 0


def test_fresh_builds_and_new_folders_take_nothing_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case, _ = read(OWNER)
    found: list[int] = []
    ended = Pen.__exit__

    def counting(pen: Pen, *error: object) -> None:
        found.append(pen.reused)
        ended(pen, *error)

    monkeypatch.setattr(Pen, "__exit__", counting)
    for fresh in (False, True, False):
        assert publish([case], tmp_path / "site", trials=200, fresh=fresh) == []
    assert found[:2] == [0, 0]
    assert found[2] == len(read_index((tmp_path / "site" / INDEX).read_bytes())) > 0


def test_one_row_of_the_ledger_leaves_other_pictures_as_they_are(tmp_path: Path) -> None:
    folder, out = tmp_path / "brackenholt-owner", tmp_path / "site"
    shutil.copytree(OWNER, folder)
    publish([read(folder)[0]], out, trials=200)
    before = read_index((out / INDEX).read_bytes())
    ledger = folder / "ledger.csv"
    with ledger.open("a") as lines:
        lines.write("2026-10-30,refit,labour,payment,10.00,,,,a shop,P-99,,,\n")
    case, problems = read(folder)
    assert case is not None, problems
    publish([case], out, trials=200)
    after = read_index((out / INDEX).read_bytes())
    assert 0 < sum(after[name] != before[name] for name in before) < len(before)
    fresh = tmp_path / "fresh"
    publish([case], fresh, trials=200)
    assert read_index((fresh / INDEX).read_bytes()) == after


def test_where_no_process_can_be_had_pictures_are_drawn_here(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with Pen() as pen:
        pen.ask("a.svg", SPEC)
        drawn = pen.files()
    monkeypatch.setattr(aside.sys, "executable", "/nowhere/python")
    with Pen() as pen:
        pen.ask("a.svg", SPEC)
        assert pen.files() == drawn


def test_a_picture_is_the_same_whatever_was_drawn_before_it() -> None:
    """Vega numbers clip paths on and on."""
    first = pencil.drawn(SPEC)
    assert b'id="clip1"' in first
    assert pencil.drawn(SPEC) == first


def test_every_chart_of_the_demos_is_valid(club: View, owner: View) -> None:
    """By the Vega-Lite schema that altair carries; builds leave the check out."""
    for view in (club, owner):
        for page in pages_of(view):
            for chart in page.content.get("charts", ()):
                alt.Chart.from_dict(json.loads(json.dumps(chart.spec)), validate=True)


def test_making_specifications_unchecked_leaves_the_library_as_it_was() -> None:
    with charts.unchecked():
        alt.Scale(type="bent")
    with pytest.raises(alt.utils.schemapi.SchemaValidationError):
        alt.Scale(type="bent")


def test_a_picture_says_nothing_for_ears_and_is_told_by_its_bytes(owner: View) -> None:
    files = gather([owner], templates=templates_folder(), progress=lambda _: None)
    drawn = [name for name in files if name.endswith(".svg")]
    assert drawn
    for name in drawn:
        assert b"aria-label" not in files[name]
        assert digest(files[name]) == read_index(files[INDEX])[name][1]


def test_pictures_of_one_page_share_no_name() -> None:
    svg = pencil.drawn(SPEC).decode()
    one, other = (charts.within_page(each, svg) for each in ("one", "other"))
    assert 'id="one-clip1"' in one
    assert "url(#one-clip1)" in one
    assert "one-clip1" not in other


def test_a_preview_keeps_the_last_site_without_problems(owner: View) -> None:
    """So that pictures can be taken over from it once the problems are mended."""
    shelf = PreviewState(templates_folder())
    files = gather([owner], templates=templates_folder(), progress=lambda _: None)
    shelf.show(files)
    shelf.show_problems([])
    with Pen(shelf.good.get) as pen:
        again = gather([owner], templates=templates_folder(), progress=lambda _: None, pen=pen)
        assert pen.reused == len(read_index(files[INDEX]))
    assert again == files
