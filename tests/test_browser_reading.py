"""How a phone's reader gets through the site: length, reach, reflow, size of what is pressed.

Reflow and text size: WCAG 2.2, 1.4.10 and 1.4.4. Size of targets: 2.5.8. Budgets: `budgets.py`.
"""

import re
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from budgets import BUDGETS
from panelworth import templates_folder
from panelworth.publishing.site.gathering import publish_views
from panelworth.publishing.view import View

PHONE = {"width": 360, "height": 740}
FOLDERS = ("quillmeadow-club", "brackenholt-owner")
# The words of `main` as they are seen, without cautions and without what is folded.
WORDS = """() => {
  for (const each of document.querySelectorAll(".caution, details > :not(summary)")) each.remove();
  return document.getElementById("main").innerText.split(/\\s+/).filter(Boolean).length;
}"""
SCREENS = "() => document.documentElement.scrollHeight / innerHeight"
LARGER = "(size) => document.documentElement.style.setProperty('font-size', size)"
SIDEWAYS = "() => document.documentElement.scrollWidth - innerWidth"
# What has the focus: whether it is seen, at its middle at least, and where its link leads.
FOCUSED = """() => {
  const each = document.activeElement;
  const box = each.getBoundingClientRect();
  const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
  const top = document.elementFromPoint(x, y);
  const seen = each === document.body || each.contains(top) || (top?.contains(each) ?? false);
  return { seen, leads: each.getAttribute("href"), what: each.outerHTML.slice(0, 120) };
}"""
SMALL = """() => [...document.querySelectorAll("nav a, button, input, select, .next, .doors a")]
  .map((each) => [each.getBoundingClientRect(), each])
  .filter(([box, each]) => each.checkVisibility() && box.bottom > 0)
  .filter(([box]) => box.width < 24 || box.height < 24)
  .map(([box, each]) => `${each.outerHTML.slice(0, 80)} ${box.width} x ${box.height}`)"""


@pytest.fixture(scope="module")
def site(club: View, owner: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish both demos."""
    out = tmp_path_factory.mktemp("reading") / "site"
    quiet = {"templates": templates_folder(), "progress": lambda _: None}
    assert publish_views([club, owner], out, **quiet) == []
    return out


def opened(chromium: Browser, site: Path, name: str, **size: int) -> Page:
    """Open a page on a phone."""
    page = chromium.new_page(viewport={**PHONE, **size})
    page.goto((site / name).as_uri())
    page.locator("h1").wait_for()
    return page


def pages(site: Path, folder: str) -> list[str]:
    """Return the pages of a scenario, by their names within the site."""
    return sorted(f"{folder}/{path.name}" for path in (site / folder).glob("*.html"))


def budget_of(name: str) -> tuple[int, float] | None:
    """Return how long a page may be; all option pages have one budget."""
    file = name.rpartition("/")[2]
    return BUDGETS.get("option.html" if file.startswith("option-") else file)


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_page_keeps_to_its_budget(chromium: Browser, site: Path, folder: str) -> None:
    over = {}
    for name in pages(site, folder):
        budget = budget_of(name)
        if budget is None:
            continue
        page = opened(chromium, site, name)
        screens, words = page.evaluate(SCREENS), page.evaluate(WORDS)
        page.close()
        if words > budget[0] or round(screens, 1) > budget[1]:
            over[name] = (words, round(screens, 2), budget)
    assert over == {}


@pytest.mark.parametrize("folder", FOLDERS)
def test_nothing_is_more_than_two_steps_from_the_front(site: Path, folder: str) -> None:
    def linked(name: str) -> set[str]:
        found = re.findall(r'href="([^"]+)"', (site / folder / name).read_text())
        return {urlsplit(each).path for each in found if urlsplit(each).path.endswith(".html")}

    one = linked("index.html")
    two = {each for name in one if (site / folder / name).exists() for each in linked(name)}
    every = {path.name for path in (site / folder).glob("*.html")}
    assert every - one - two - {"index.html"} == set()


@pytest.mark.parametrize("folder", FOLDERS)
def test_every_page_ends_in_a_way_on(chromium: Browser, site: Path, folder: str) -> None:
    paper = {f"{folder}/handout.html", f"{folder}/ballot.html", f"{folder}/index.html"}
    for name in pages(site, folder):
        if name not in paper:
            page = opened(chromium, site, name)
            last = page.locator("main > :last-child")
            assert last.get_attribute("class") == "next", name
            page.close()


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_menu_has_at_most_five_entries_in_one_row(
    chromium: Browser, site: Path, folder: str
) -> None:
    page = opened(chromium, site, f"{folder}/index.html")
    tops = page.locator(".menu a").evaluate_all("all => all.map((a) => a.offsetTop)")
    assert len(tops) <= 5
    assert len(set(tops)) == 1
    page.close()


@pytest.mark.parametrize(("width", "scale"), [(320, 1), (360, 2)])
@pytest.mark.parametrize("folder", FOLDERS)
def test_no_page_scrolls_sideways(
    chromium: Browser, site: Path, folder: str, width: int, scale: int
) -> None:
    wide = {}
    for name in pages(site, folder):
        page = opened(chromium, site, name, width=width)
        page.evaluate(
            f"() => document.documentElement.style.setProperty('font-size', '{scale}00%')"
        )
        if (sideways := page.evaluate(SIDEWAYS)) > 0:
            wide[name] = sideways
        page.close()
    assert wide == {}


@pytest.mark.parametrize("folder", FOLDERS)
def test_what_is_pressed_is_at_least_24_pixels_large(
    chromium: Browser, site: Path, folder: str
) -> None:
    found = {}
    for name in pages(site, folder):
        page = opened(chromium, site, name)
        if small := page.evaluate(SMALL):
            found[name] = small
        page.close()
    assert found == {}


def test_the_kind_of_member_goes_along_through_the_site(chromium: Browser, site: Path) -> None:
    page = opened(chromium, site, f"{FOLDERS[0]}/index.html")
    first = page.locator(".pay").first.inner_text()
    page.select_option("#member", index=2)
    assert page.locator(".pay").first.inner_text() != first
    assert urlsplit(page.url).query == "member=2"
    page.locator(".menu a").nth(2).click()
    assert urlsplit(page.url).query == "member=2"
    page.locator(".menu a").first.click()
    expect(page.locator("#member")).to_have_value("2")
    page.select_option("#member", index=0)
    assert urlsplit(page.url).query == ""
    assert page.locator(".pay").first.inner_text() == first
    page.close()


def test_an_address_with_a_kind_that_is_not_there_shows_the_first(
    chromium: Browser, site: Path
) -> None:
    page = opened(chromium, site, f"{FOLDERS[0]}/index.html")
    first = page.locator(".pay").all_inner_texts()
    for odd in ("9", "-1", "x", "1.5", ""):
        page.goto(f"{(site / FOLDERS[0] / 'index.html').as_uri()}?member={odd}")
        assert page.locator(".pay").all_inner_texts() == first
    page.close()


@pytest.mark.parametrize("folder", FOLDERS)
def test_the_five_minute_path_can_be_walked_by_keyboard(
    chromium: Browser, site: Path, folder: str
) -> None:
    """From the front through the menu's pages by Tab and Enter; nothing ever covers what has focus.

    WCAG 2.2, 2.4.11: focus not obscured.
    """
    page = opened(chromium, site, f"{folder}/index.html")
    menu = page.locator(".menu a").evaluate_all("all => all.map((a) => a.getAttribute('href'))")
    for there in menu[1:]:
        page.evaluate("() => document.getElementById('main').focus()")
        for _ in range(60):
            page.keyboard.press("Tab")
            here = page.evaluate(FOCUSED)
            assert here["seen"], here
            if here["leads"] == there:
                break
        assert here["leads"] == there
        page.keyboard.press("Enter")
        page.wait_for_url(f"**/{there}*")
        page.locator("h1").wait_for()
    page.close()
