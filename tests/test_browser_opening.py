"""What moves while a page opens: nothing, on a phone or a desk."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from layout_shift import opening

STEADY = 0.01
PAGES = ("index.html", "bill.html", "compare.html", "risk.html", "dates.html", "option-full.html")


@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_moves_while_a_page_opens_and_is_read(
    chromium: Browser, club_site: Path, name: str, width: int
) -> None:
    """Layout shift as Chromium scores it; 0 is none, 0.1 counts as good (web.dev, "CLS")."""
    found = opening(chromium, club_site / name, width)
    assert found.shift < STEADY
    assert found.largest > 0


def test_a_page_that_does_move_is_noticed(chromium: Browser, tmp_path: Path) -> None:
    page = tmp_path / "moves.html"
    late = "setTimeout(() => document.body.prepend(document.createElement('hr')), 300)"
    style = "<style>hr { height: 300px } p { height: 400px }</style>"
    page.write_text(f"<!DOCTYPE html>{style}<p>Text that goes down.</p><script>{late}</script>")
    assert opening(chromium, page, 1280, scrolled=False).shift > 0.1
