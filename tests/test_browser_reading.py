"""How a phone's reader gets through the site: the menu, the steps, the keyboard's way."""

import re
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

import browsers

PHONE = {"width": 360, "height": 740}
FOLDERS = ("quillmeadow-club", "brackenholt-owner")
# What has the focus: whether it is seen, at its middle at least, and where its link leads.
FOCUSED = """() => {
  const each = document.activeElement;
  const box = each.getBoundingClientRect();
  const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
  const top = document.elementFromPoint(x, y);
  const seen = each === document.body || each.contains(top) || (top?.contains(each) ?? false);
  return { seen, leads: each.getAttribute("href"), what: each.outerHTML.slice(0, 120) };
}"""


def opened(chromium: Browser, site: Path, name: str) -> Page:
    """Open a page on a phone."""
    return browsers.opened(chromium, site / name, **PHONE)


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
def test_the_menu_has_at_most_five_entries_in_one_row(
    chromium: Browser, site: Path, folder: str
) -> None:
    page = opened(chromium, site, f"{folder}/index.html")
    tops = page.locator(".menu a").evaluate_all("all => all.map((a) => a.offsetTop)")
    assert len(tops) <= 5
    assert len(set(tops)) == 1


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


def test_an_address_with_a_kind_that_is_not_there_shows_the_first(
    chromium: Browser, site: Path
) -> None:
    page = opened(chromium, site, f"{FOLDERS[0]}/index.html")
    first = page.locator(".pay").all_inner_texts()
    for odd in ("9", "-1", "x", "1.5", ""):
        page.goto(f"{(site / FOLDERS[0] / 'index.html').as_uri()}?member={odd}")
        assert page.locator(".pay").all_inner_texts() == first


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
