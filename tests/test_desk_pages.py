"""The desk in Chromium: on a phone and a desktop, with and without script, by eye, ear and key."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from browsers import opened as shown
from browsers import violations
from desk_cases import OpenDesk, contents, opened
from panelworth.publishing.desk.server import entrance
from seen import LETTERS, PARTS, SIDEWAYS

PAGES = {
    "": "What would you like to change?",
    "scenario": "The question",
    "scenario/aircraft": "Airplane",
    "scenario/aircraft/fixed": "Fixed costs",
    "scenario/vote": "Vote",
    "options/full": "Refit all of it at the distant shop",
    "options/full/items": "Items",
    "options/full/items/1": "Two ten-inch flight displays with sensors",
    "options/full/items/new": "Items: a new one",
    "options/full/funding": "Funding",
    "new-option": "A new option",
    "nothing": "There is no such page",
}
TARGET = 44  # CSS pixels: WCAG 2.2, criterion 2.5.5
SMALL = """(least) => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
  .filter((each) => each.type !== "hidden" && !each.matches(".skip, .site-name a"))
  .filter((each) => each.checkVisibility() && each.getBoundingClientRect().height < least)
  .map((each) => each.outerHTML.slice(0, 80))"""


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[OpenDesk]:
    """Open a desk."""
    with opened(tmp_path_factory.mktemp("pages")) as found:
        yield found


def visited(chromium: Browser, desk: OpenDesk, rest: str, width: int, **context: bool) -> Page:
    """Enter the desk, and open one of its pages."""
    page = shown(chromium, entrance(desk.address, desk.desk), width, **context)
    page.goto(f"{desk.address}desk/ours/{rest}")
    page.wait_for_selector("html:not(.is-waiting)")
    return page


@pytest.mark.parametrize("rest", PAGES)
def test_a_page_is_clear_for_everybody(chromium: Browser, desk: OpenDesk, rest: str) -> None:
    page = visited(chromium, desk, rest, 360)
    parts = page.evaluate(PARTS)
    assert page.inner_text("h1") == PAGES[rest]
    assert (parts["firsts"], parts["mains"], parts["lang"]) == (1, 1, "en")
    assert page.evaluate(SMALL, TARGET) == []
    for width, scheme in ((320, "light"), (1280, "dark")):
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)
        assert page.evaluate(SIDEWAYS) <= 0
        assert violations(page) == []
    page.set_viewport_size({"width": 360, "height": 800})
    page.evaluate(LETTERS, "200%")
    assert page.evaluate(SIDEWAYS) <= 0
    assert [text for text in page.said if "404" not in text] == []


def test_a_form_with_mistakes_says_so_to_everybody(chromium: Browser, desk: OpenDesk) -> None:
    page = visited(chromium, desk, "scenario/rates", 360)
    page.fill("[name='rates.discount:likely']", "ten")
    page.click("text=Save")
    expect(page.locator("[role=alert]")).to_contain_text("Nothing was saved")
    page.wait_for_selector("html:not(.is-waiting)")
    field = page.locator("[name='rates.discount:likely']")
    expect(field).to_have_value("ten")
    expect(field).to_have_attribute("aria-invalid", "true")
    ids = (field.get_attribute("aria-describedby") or "").split()
    described = " ".join(page.inner_text(f"[id='{one}']") for one in ids)
    assert "a number such as 14200 or 0.05" in described
    assert "What money is worth over time" in described
    assert violations(page) == []
    assert page.evaluate(SIDEWAYS) <= 0


def test_everything_works_without_script(chromium: Browser, desk: OpenDesk) -> None:
    before = contents(desk.folder)
    page = visited(chromium, desk, "", 360, java_script_enabled=False)
    page.click("main >> text=Club")
    page.fill("[name='club.dues_per_month:likely']", "80")
    page.click("text=Save")
    expect(page.locator("[role=status]")).to_contain_text("Saved.")
    assert b"dues_per_month = 80\n" in (desk.folder / "scenario.toml").read_bytes()
    page.click("text=Member profiles")
    page.click("text=Copy >> nth=0")
    expect(page.locator("h1")).to_have_text("Flies once a month (copy)")
    page.click("button:text-is('Remove')")
    expect(page.locator("h1")).to_have_text("Member profiles")
    for _ in range(3):
        page.click("text=Undo it")
        expect(page.locator("[role=status]")).to_contain_text("Undone.")
    assert page.locator("text=Undo it").count() == 0
    assert contents(desk.folder) == before


def test_the_page_is_beside_its_form_where_there_is_room(chromium: Browser, desk: OpenDesk) -> None:
    page = visited(chromium, desk, "options/full", 1280)
    assert page.locator("iframe").count() == 0
    assert page.get_attribute("[data-preview]", "href") == "/option-full.html"
    page.set_viewport_size({"width": 1700, "height": 900})
    expect(page.locator("iframe.preview")).to_have_attribute("title", "See the page")
    box = page.locator("iframe.preview").bounding_box()
    form = page.locator("main").bounding_box()
    assert box is not None
    assert form is not None
    assert box["x"] >= form["x"] + form["width"]
    assert box["width"] >= 380
    assert page.evaluate(SIDEWAYS) <= 0


def test_a_changed_form_is_not_left_by_mistake(chromium: Browser, desk: OpenDesk) -> None:
    page = visited(chromium, desk, "scenario/rates", 1280)
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.click("nav.crumbs >> text=All parts")
    assert asked == []
    page.go_back()
    page.locator("[name='rates.inflation:likely']").press_sequentially("0")
    page.click("nav.crumbs >> text=All parts")
    page.wait_for_url("**/desk/ours/")
    assert asked == ["beforeunload"]
