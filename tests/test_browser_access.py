"""Whoever reads, however: WCAG 2.2 AA by axe, by keyboard, in system colours, on paper."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from browsers import opened, violations

FOCUSABLE = "a[href], button, input, select, summary, [tabindex='0']"
OUTLINED = """() => {
    const style = getComputedStyle(document.activeElement);
    return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
}"""
WHERE = "() => [...document.querySelectorAll('*')].indexOf(document.activeElement)"


@pytest.mark.parametrize("file", ["index.html", "compare.html", "airplane.html"])
def test_the_keyboard_reaches_everything_in_order_and_shows_where_it_is(
    chromium: Browser, club_site: Path, file: str
) -> None:
    page = opened(chromium, club_site / file)
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


def test_the_first_stop_of_the_keyboard_skips_to_the_answer(
    chromium: Browser, club_site: Path
) -> None:
    page = opened(chromium, club_site / "index.html")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Skip to the answer"
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"


def test_system_colours_keep_the_marks_the_place_and_the_focus(
    chromium: Browser, club_site: Path
) -> None:
    page = opened(chromium, club_site / "index.html", forced_colors="active")
    here = page.locator("nav [aria-current]").first
    assert here.evaluate("each => parseFloat(getComputedStyle(each).borderBottomWidth)") >= 2
    mark = page.locator(".option svg.mark path").first
    paper = page.evaluate("() => getComputedStyle(document.body).backgroundColor")
    assert mark.evaluate("each => getComputedStyle(each).fill") != paper
    assert violations(page) == []


@pytest.mark.parametrize("name", ["index.html", "compare.html"])
def test_nothing_moves_by_itself(chromium: Browser, club_site: Path, name: str) -> None:
    page = opened(chromium, club_site / name, reduced_motion="reduce")
    page.wait_for_load_state("networkidle")
    assert page.evaluate("() => document.getAnimations().length") == 0


def test_on_paper_the_pages_stand_without_menu_or_controls(
    chromium: Browser, club_site: Path
) -> None:
    page = opened(chromium, club_site / "compare.html")
    page.emulate_media(media="print")
    assert not page.locator("nav").first.is_visible()
    assert not page.locator("input").first.is_visible()
    assert page.locator("h1").is_visible()
