"""What several tests share: the demos, read, worked out and built once for all workers."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from playwright.sync_api import Browser, expect, sync_playwright

from browsers import CHROMIUM
from panelworth import evaluate, publish, read
from panelworth.engine.insight import insight_of
from panelworth.publishing.site.folder import Files
from panelworth.publishing.view import View, view_of
from shared import Shared

ROOT = Path(__file__).parents[1]
CLUB = ROOT / "scenarios" / "quillmeadow-club"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
ADDRESS = "https://club.example/panel"
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
def shared(tmp_path_factory: pytest.TempPathFactory) -> Shared:
    """Share what is worked out with the other workers of this run."""
    return Shared(tmp_path_factory)


@pytest.fixture(scope="session")
def club(shared: Shared) -> View:
    """Work out the club demo."""
    return shared.once("club", lambda: _view(CLUB))


@pytest.fixture(scope="session")
def owner(shared: Shared) -> View:
    """Work out the owner demo."""
    return shared.once("owner", lambda: _view(OWNER))


@pytest.fixture(scope="session")
def site(shared: Shared) -> Path:
    """Build the site of both demos, as `panelworth build scenarios --fresh` does; only to be read.

    A test that changes a site builds one of its own.
    """
    return shared.once("site", lambda: _built(shared.folder / "site"))


@pytest.fixture(scope="session")
def addressed_site(shared: Shared) -> Path:
    """Build the same for an address, ADDRESS."""
    return shared.once("addressed", lambda: _built(shared.folder / "addressed", ADDRESS))


def _built(out: Path, address: str = "") -> Path:
    cases = [read(folder)[0] for folder in (OWNER, CLUB)]
    assert publish([case for case in cases if case], out, fresh=True, address=address) == []
    return out


@pytest.fixture(scope="session")
def club_site(site: Path) -> Path:
    """Return where the club's pages are in the built site."""
    return site / CLUB.name


@pytest.fixture(scope="session")
def files(site: Path) -> Files:
    """Read every file of the built site, by its name within."""
    return _files(site)


@pytest.fixture(scope="session")
def addressed(addressed_site: Path) -> Files:
    """Read every file of the site that was built for an address."""
    return _files(addressed_site)


def _files(site: Path) -> Files:
    found = sorted(path for path in site.rglob("*") if path.is_file())
    return {path.relative_to(site).as_posix(): path.read_bytes() for path in found}


expect.set_options(timeout=60_000)  # milliseconds: the machine may be busy
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.function_scoped_fixture]
settings.register_profile(
    "quick",
    max_examples=25,
    derandomize=True,  # the same examples in every run
    database=None,
    deadline=None,  # for the same reason as above
    suppress_health_check=SLOW,
)
settings.register_profile(
    "long", settings.get_profile("quick"), max_examples=200, derandomize=False
)


def pytest_configure(config: pytest.Config) -> None:
    """Take few examples of each law, always the same; with --long many, others each time."""
    settings.load_profile("long" if config.getoption("--long") else "quick")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start Chromium once."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()
