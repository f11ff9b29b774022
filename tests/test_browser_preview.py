"""The preview in Chromium: pages follow as files are saved, and say what is wrong with them."""

import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browsers import violations
from terminals import as_in_a_terminal

ROOT = Path(__file__).parents[1]
PATIENCE = 90_000  # milliseconds, on a busy machine


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Copy the owner demo."""
    shutil.copytree(ROOT / "scenarios" / "brackenholt-owner", tmp_path / "ours")
    return tmp_path / "ours"


@pytest.fixture
def address(folder: Path) -> Iterator[str]:
    """Start the preview, and end it as Ctrl-C does."""
    command = [sys.executable, "-m", "panelworth", "serve", folder, "--port", "0"]
    site = ["--site", folder.parent / "site", "--trials", "100"]
    process = subprocess.Popen(
        [*command, *site],
        stdout=subprocess.PIPE,
        text=True,
        preexec_fn=as_in_a_terminal,  # noqa: PLW1509 (it takes no lock)
    )
    assert process.stdout is not None
    told = [process.stdout.readline(), process.stdout.readline()]
    found = re.match(r"Shown until Ctrl-C: (http://127\.0\.0\.1:\d+/)$", told[1])
    assert found, told
    yield found.group(1)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=30) == 0
    process.stdout.close()
    assert [path.name for path in folder.parent.iterdir()] == ["ours"]


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """Open a page that notes what it says."""
    page = chromium.new_page(viewport={"width": 360, "height": 900})
    page.said = []
    page.on("console", lambda message: page.said.append(message.text))
    page.on("pageerror", lambda error: page.said.append(str(error)))
    yield page
    page.close()


def test_a_page_follows_its_files_and_says_what_is_wrong(
    folder: Path, address: str, page: Page
) -> None:
    scenario = folder / "scenario.toml"
    good = scenario.read_text()
    page.goto(f"{address}dates.html")
    site_title = page.locator(".site-name a")
    expect(site_title).to_have_text(re.compile("An owner's old touring airplane"))
    scenario.write_text(good.replace("An owner's old touring airplane", "A title just saved"))
    expect(site_title).to_have_text(re.compile("A title just saved"), timeout=PATIENCE)
    assert page.url == f"{address}dates.html"
    scenario.write_text(good.replace("years = 12", 'years = "twelve"'))
    heading = page.locator("h1")
    expect(heading).to_have_text("The files cannot be shown yet", timeout=PATIENCE)
    assert 'years: expected a whole number, found "twelve"' in page.inner_text("main")
    assert violations(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
    scenario.write_text(good)
    expect(heading).to_have_text("By when must you decide?", timeout=PATIENCE)
    assert page.said == []
