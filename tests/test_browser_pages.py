"""Every page of both demos: for everybody, on any width, within its budget, without a request.

By axe: WCAG 2.2 AA rules as axe-core has them. Reflow and text size: WCAG 2.2, 1.4.10 and 1.4.4.
Size of targets: 2.5.8. Budgets: `budgets.py`.
"""

import re
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from budgets import BUDGETS
from seen import Seen, seen_of
from shared import Shared

FOLDERS = ("quillmeadow-club", "brackenholt-owner")
TITLE = re.compile("<title>([^<]*)</title>")
UNTOLD = """() => [
  ...[...document.querySelectorAll("figure.chart")].filter((each) =>
    !each.querySelector("figcaption").innerText.trim() ||
    each.querySelector("svg.drawn").getAttribute("aria-hidden") !== "true"),
  ...[...document.querySelectorAll("svg.picture")].filter((each) =>
    !(each.getAttribute("role") && each.getAttribute("aria-label")) &&
    each.getAttribute("aria-hidden") !== "true"),
].map((each) => each.outerHTML.slice(0, 200))"""

Look = Callable[[str], Seen]


@pytest.fixture(scope="session")
def look(request: pytest.FixtureRequest, shared: Shared, chromium: Browser, site: Path) -> Look:
    """Return what looks at a page of the site; no page is opened twice, whoever asks."""
    thorough = request.config.getoption("--long")

    def at(name: str) -> Seen:
        key = f"seen-{name.replace('/', '-')}"
        return shared.once(key, lambda: seen_of(chromium, site / name, thorough=thorough))

    return at


def pages(site: Path, folder: str = "") -> list[str]:
    """Return the pages of a scenario, or of the whole site, by their names within the site."""
    found = (site / folder).rglob("*.html")
    return sorted(path.relative_to(site).as_posix() for path in found)


@pytest.fixture(params=[*FOLDERS, "front"])
def names(request: pytest.FixtureRequest, site: Path) -> list[str]:
    """Return the pages of a scenario, or the front of both."""
    found = pages(site, request.param) if request.param in FOLDERS else ["index.html"]
    assert found
    return found


def test_a_page_opens_from_a_folder_without_error_or_request(look: Look, names: list[str]) -> None:
    for name in names:
        assert look(name).said == [], name
        outside = [url for url in look(name).asked if not url.startswith(("file:", "data:"))]
        assert outside == [], name


def test_a_page_is_for_everybody_in_light_dark_on_a_small_phone_or_zoomed(
    look: Look, names: list[str]
) -> None:
    found = {
        name: {key: bad for key, bad in look(name).violations.items() if bad} for name in names
    }
    assert {name: bad for name, bad in found.items() if bad} == {}


def test_no_page_scrolls_sideways(look: Look, names: list[str]) -> None:
    wide = {name: {key: by for key, by in look(name).sideways.items() if by > 0} for name in names}
    assert {name: by for name, by in wide.items() if by} == {}


def test_a_page_says_its_language_and_title_and_leaves_out_no_level_of_heading(
    look: Look, names: list[str]
) -> None:
    for name in names:
        parts = look(name).parts
        levels = parts["levels"]
        assert parts["lang"].startswith("en"), name
        assert parts["title"], name
        assert (parts["firsts"], parts["mains"], levels[0]) == (1, 1, 1), name
        assert max((after - before for before, after in pairwise(levels)), default=0) <= 1, name


def test_what_is_pressed_is_at_least_24_pixels_large(look: Look, names: list[str]) -> None:
    found = {name: look(name).small for name in names}
    assert {name: small for name, small in found.items() if small} == {}


def budget_of(name: str) -> tuple[int, float] | None:
    """Return how long a page may be; all option pages have one budget."""
    file = name.rpartition("/")[2]
    return BUDGETS.get("option.html" if file.startswith("option-") else file)


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_page_keeps_to_its_budget(look: Look, site: Path, folder: str) -> None:
    over = {}
    for name in pages(site, folder):
        found, budget = look(name), budget_of(name)
        if budget and (found.words > budget[0] or round(found.screens, 1) > budget[1]):
            over[name] = (found.words, round(found.screens, 2), budget)
    assert over == {}


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_page_ends_in_a_way_on(look: Look, site: Path, folder: str) -> None:
    paper = {f"{folder}/handout.html", f"{folder}/ballot.html", f"{folder}/index.html"}
    ends = {name: look(name).parts["last"] for name in pages(site, folder) if name not in paper}
    assert {name: end for name, end in ends.items() if end != "next"} == {}


def test_no_two_pages_have_the_same_title(site: Path) -> None:
    titles = [TITLE.search((site / name).read_text()).group(1) for name in pages(site)]
    assert len(set(titles)) == len(titles) > len(FOLDERS)


def test_every_chart_has_its_point_in_words(chromium: Browser, site: Path) -> None:
    page = chromium.new_context(java_script_enabled=False).new_page()
    found = {}
    for name in pages(site, FOLDERS[0]):
        page.goto((site / name).as_uri())
        found[name] = page.evaluate(UNTOLD)
    page.context.close()
    assert {name: untold for name, untold in found.items() if untold} == {}
