"""What moves while a page opens: nothing, on a phone or a desk."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from layout_shift import opening
from panelworth import templates_folder
from panelworth.publishing.site.gathering import publish_views
from panelworth.publishing.view import View

STEADY = 0.01
PAGES = ("index.html", "bill.html", "compare.html", "risk.html", "dates.html", "option-full.html")


@pytest.fixture(scope="module")
def site(club: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish the club's demo."""
    out = tmp_path_factory.mktemp("opening") / "site"
    quiet = {"templates": templates_folder(), "progress": lambda _: None}
    assert publish_views([club], out, **quiet) == []
    return out


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_moves_while_a_page_opens_and_is_read(
    chromium: Browser, site: Path, name: str, width: int
) -> None:
    """Layout shift as Chromium scores it; 0 is none, 0.1 counts as good (web.dev, "CLS")."""
    found = opening(chromium, site / name, width)
    assert found.shift < STEADY
    assert found.largest > 0


def test_a_page_that_does_move_is_noticed(chromium: Browser, tmp_path: Path) -> None:
    page = tmp_path / "moves.html"
    late = "setTimeout(() => document.body.prepend(document.createElement('hr')), 300)"
    style = "<style>hr { height: 300px } p { height: 400px }</style>"
    page.write_text(f"<!DOCTYPE html>{style}<p>Text that goes down.</p><script>{late}</script>")
    assert opening(chromium, page, 1280, scrolled=False).shift > 0.1
