"""Whoever reads, however: WCAG 2.2 AA by axe, by keyboard, in system colours, on paper."""

import re
from itertools import pairwise

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from browsers import CLUB, PAGES, SITE, opened

FRONT = f"{CLUB}/index.html"
SMALL_PHONE, TWICE_AS_LARGE = 320, 640  # a window of 1280 zoomed to 200 % is 640 wide in CSS
FOCUSABLE = "a[href], button, input, select, summary, [tabindex='0']"
LEVELS = "() => [...document.querySelectorAll('h1, h2, h3, h4')].map((each) => +each.tagName[1])"
TITLE = re.compile("<title>([^<]*)</title>")
OUTLINED = """() => {
    const style = getComputedStyle(document.activeElement);
    return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
}"""
WHERE = "() => [...document.querySelectorAll('*')].indexOf(document.activeElement)"


def violations(page: Page) -> list[tuple[str, str]]:
    """Run axe on a page as it is now."""
    found = Axe().run(page).response["violations"]
    return [(each["id"], each["nodes"][0]["html"][:200]) for each in found]


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_for_everybody_in_light_dark_on_a_small_phone_or_zoomed(
    chromium: Browser, name: str
) -> None:
    """WCAG 2.2 AA rules as axe-core has them; nothing scrolls sideways; language and parts."""
    page = opened(chromium, name, width=SMALL_PHONE)
    for scheme in ("light", "dark"):
        page.emulate_media(color_scheme=scheme)
        assert violations(page) == [], scheme
    assert page.evaluate("() => document.documentElement.scrollWidth") <= SMALL_PHONE
    says_its_parts(page)
    page.set_viewport_size({"width": TWICE_AS_LARGE, "height": 450})
    assert violations(page) == []
    assert page.evaluate("() => document.documentElement.scrollWidth") <= TWICE_AS_LARGE
    page.context.close()


def says_its_parts(page: Page) -> None:
    """Hold a page to its language, title, one main part, one first heading, no level left out."""
    assert page.locator("html").get_attribute("lang").startswith("en")
    assert page.title()
    assert page.locator("h1").count() == page.locator("main").count() == 1
    levels = page.evaluate(LEVELS)
    steps = [after - before for before, after in pairwise(levels)]
    assert levels[0] == 1
    assert max(steps, default=0) <= 1


@pytest.mark.parametrize("file", ["index.html", "compare.html", "airplane.html"])
def test_the_keyboard_reaches_everything_in_order_and_shows_where_it_is(
    chromium: Browser, file: str
) -> None:
    page = opened(chromium, f"{CLUB}/{file}")
    wanted = sum(each.is_visible() for each in page.query_selector_all(FOCUSABLE))
    reached = []
    for _ in range(wanted + 5):
        page.keyboard.press("Tab")
        if page.evaluate("() => document.activeElement === document.body"):
            break
        assert page.evaluate(OUTLINED), page.evaluate("() => document.activeElement.outerHTML")
        reached.append(page.evaluate(WHERE))
    assert reached == sorted(set(reached))
    assert len(reached) >= wanted
    page.context.close()


def test_the_first_stop_of_the_keyboard_skips_to_the_answer(chromium: Browser) -> None:
    page = opened(chromium, FRONT)
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Skip to the answer"
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"
    page.context.close()


def test_no_two_pages_have_the_same_title() -> None:
    titles = [TITLE.search((SITE / name).read_text()).group(1) for name in PAGES]
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize("name", [name for name in PAGES if name.startswith(CLUB)])
def test_every_chart_has_its_point_in_words(chromium: Browser, name: str) -> None:
    page = opened(chromium, name, java_script_enabled=False)
    for chart in page.query_selector_all("figure.chart"):
        assert chart.query_selector("figcaption").inner_text().strip()
        assert chart.query_selector("svg.drawn").get_attribute("aria-hidden") == "true"
    for picture in page.query_selector_all("svg.picture"):
        named = picture.get_attribute("aria-label") if picture.get_attribute("role") else None
        assert named or picture.get_attribute("aria-hidden") == "true"
    page.context.close()


def test_system_colours_keep_the_marks_the_place_and_the_focus(chromium: Browser) -> None:
    page = opened(chromium, FRONT, forced_colors="active")
    here = page.locator("nav [aria-current]").first
    assert here.evaluate("each => parseFloat(getComputedStyle(each).borderBottomWidth)") >= 2
    mark = page.locator(".option svg.mark path").first
    paper = page.evaluate("() => getComputedStyle(document.body).backgroundColor")
    assert mark.evaluate("each => getComputedStyle(each).fill") != paper
    assert violations(page) == []
    page.context.close()


@pytest.mark.parametrize("name", [FRONT, f"{CLUB}/compare.html"])
def test_nothing_moves_by_itself(chromium: Browser, name: str) -> None:
    page = opened(chromium, name, reduced_motion="reduce")
    page.wait_for_load_state("networkidle")
    assert page.evaluate("() => document.getAnimations().length") == 0
    page.context.close()


def test_on_paper_the_pages_stand_without_menu_or_controls(chromium: Browser) -> None:
    page = opened(chromium, f"{CLUB}/compare.html")
    page.emulate_media(media="print")
    assert not page.locator("nav").first.is_visible()
    assert not page.locator("input").first.is_visible()
    assert page.locator("h1").is_visible()
    page.context.close()
