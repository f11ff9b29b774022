"""What several tests share: the demo scenarios, read and worked out once."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, expect, sync_playwright

from panelworth import evaluate, read
from panelworth.engine.insight import insight_of
from panelworth.publishing.view import View, view_of

ROOT = Path(__file__).parents[1]
CLUB = ROOT / "scenarios" / "quillmeadow-club"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
OWNER = ROOT / "scenarios" / "brackenholt-owner"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Take --long: the tests marked long run too, which need other browsers or much time."""
    parser.addoption("--long", action="store_true", help="run the long tests, too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out the long tests, unless they are asked for."""
    if not config.getoption("--long"):
        long = [item for item in items if "long" in item.keywords]
        config.hook.pytest_deselected(items=long)
        items[:] = [item for item in items if "long" not in item.keywords]


def _view(folder: Path) -> View:
    case, problems = read(folder)
    assert case is not None, problems
    figures = evaluate(case)
    return view_of(case, figures, insight_of(case, figures))


@pytest.fixture(scope="session")
def club() -> View:
    """Work out the club demo."""
    return _view(CLUB)


@pytest.fixture(scope="session")
def owner() -> View:
    """Work out the owner demo."""
    return _view(OWNER)


expect.set_options(timeout=60_000)  # milliseconds: the machine may be busy
settings.register_profile("patient", deadline=None)  # for the same reason
settings.load_profile("patient")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start Chromium once."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=ARGUMENTS)
        yield browser
        browser.close()
