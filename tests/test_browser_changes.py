"""What moved since the last edition in Chromium: fits a small phone, nothing for axe to find."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browsers import COLOUR_RULES, violations
from panelworth import publish, read

ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def page_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish the club demo, then again after some of its numbers moved."""
    folder = tmp_path_factory.mktemp("loop")
    shutil.copytree(ROOT / "scenarios" / "quillmeadow-club", folder / "club")
    for moved in (False, True):
        path = folder / "club" / "scenario.toml"
        text = path.read_text().replace("likely = 6.35", "likely = 6.95")
        if moved:
            path.write_text(text.replace("dues_per_month = 74", "dues_per_month = 79"))
        case, problems = read(folder / "club")
        assert case is not None, problems
        assert publish([case], folder / "site", trials=200) == []
    return folder / "site" / "ledger.html"


def test_axe_finds_no_violation_on_the_page_of_changes(chromium: Browser, page_file: Path) -> None:
    page = chromium.new_page(viewport={"width": 320, "height": 900})
    page.goto(page_file.as_uri())
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 320
    page.evaluate("() => document.querySelectorAll('details').forEach(each => each.open = true)")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 320
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page, COLOUR_RULES) == []
    assert "Dues" in page.inner_text("main")
    page.close()
