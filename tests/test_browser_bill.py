"""My own bill in Chromium: exact, by keyboard, in the address, in sight, without script."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browsers import COLOUR_RULES, opened, violations
from funded_views import funded
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.funding.funding_plan import bill_a_month
from panelworth.engine.trials import likely_trial
from panelworth.publishing.charts.sums import bars
from panelworth.publishing.view import View
from panelworth.publishing.words import bill_words, pay_words
from panelworth.publishing.words.rounding import rounded_sum

FIELD, SLIDER = "My hours a year", "My hours a year, by slider"
CELLS = """() => Object.fromEntries(
  [...document.querySelectorAll("#bill [data-option]")].map((row) => [
    row.dataset.option,
    Object.fromEntries(["total", "more"].map((key) => [
      key, row.querySelector(`[data-figure="${key}"]`)?.innerText ?? "",
    ])),
  ]))"""
BARS = """() => Object.fromEntries(
  [...document.querySelectorAll("#bill [data-option]")].map((row) => [
    row.dataset.option,
    [...row.querySelectorAll("rect")].map((each) => Number(each.getAttribute("width"))),
  ]))"""
UNCOVERED = """() => {
  const focused = document.activeElement.getBoundingClientRect();
  const result = document.querySelector(".stay").getBoundingClientRect();
  const beside = focused.right <= result.left || focused.left >= result.right;
  return beside || focused.top >= result.bottom - 1 || focused.bottom <= result.top + 1;
}"""


@pytest.fixture(name="opened")
def opened_pages(chromium: Browser, club_site: Path) -> Iterator["Opened"]:
    """Open pages; at the end, none may have said a word or asked for anything but files."""
    made = Opened(chromium, club_site)
    yield made
    made.gather()
    assert made.said == []
    assert [url for url in made.asked if not url.startswith(("file:", "data:"))] == []


class Opened:
    """Pages opened from their files, with what they say and ask for."""

    def __init__(self, browser: Browser, site: Path) -> None:
        self.browser, self.site = browser, site
        self.said: list[str] = []
        self.asked: list[str] = []
        self.page: Page | None = None

    def __call__(self, name: str, width: int = 1280, height: int = 900, **context: object) -> Page:
        """Open a page in place of the one before."""
        self.gather()
        address = f"{self.site.as_uri()}/{name}"
        self.page = opened(self.browser, address, width, height, **context)
        return self.page

    def gather(self) -> None:
        """Take over what the page that is open has said and asked for."""
        if self.page is not None:
            self.said += self.page.said
            self.asked += self.page.asked


def bills_by_engine(view: View) -> Callable[[float], dict[str, float]]:
    """Return what works out every option's bill at any hours, with the engine itself."""
    trials, club = likely_trial(view.case), view.club
    assert club is not None
    contexts = {each: option_context(view.case, each, trials) for each in view.figures.options}

    def bills_of(hours: float) -> dict[str, float]:
        found = {
            option_id: bill_a_month(club, context, funded(view, option_id), hours)
            for option_id, context in contexts.items()
        }
        assert None not in found.values()
        return found

    return bills_of


def cell(page: Page, option_id: str, key: str) -> str:
    """Read one figure beside the control."""
    return page.inner_text(f'#bill [data-option="{option_id}"] [data-figure="{key}"]')


def test_at_any_hours_the_page_shows_the_engines_bills_rounded_so_that_they_add_up(
    opened: "Opened", club: View
) -> None:
    """Every half hour from 0 to 60, and some odd numbers; the bars by the same rule as at first."""
    page, money, change = opened("bill.html"), club.formats.money, club.formats.change
    field, bills_of = page.get_by_label(FIELD, exact=True), bills_by_engine(club)
    for hours in [*(half / 2 for half in range(121)), 7.35, 333.3, 8760]:
        field.fill(f"{hours:g}")
        bills = bills_of(hours)
        sums = {each: rounded_sum(bills["keep"], bill) for each, bill in bills.items()}
        shown = page.evaluate(CELLS)
        for each, found in sums.items():
            more = "" if each == "keep" else change(found.difference)
            assert shown[each] == {"total": money(found.total), "more": more}
        drawn, expected = page.evaluate(BARS), bars(sums)
        for each, bar in expected.items():
            assert drawn[each] == pytest.approx([bar.common, bar.gap], abs=0.06)


def test_the_one_status_line_tells_who_asks_least_as_the_page_did_at_first(
    opened: "Opened", club: View
) -> None:
    page, own = opened("bill.html"), club.insight.member_bills
    assert own is not None
    assert page.locator("[role=status]").count() == 1
    for hours in (14.0, 1.0, 0.0, 33.5, 200.0):
        page.get_by_label(FIELD, exact=True).fill(f"{hours:g}")
        assert page.inner_text("#bill-status") == bill_words.asks_least(club, own, hours)


def test_slider_and_buttons_work_by_keyboard_and_the_address_keeps_the_hours(
    opened: "Opened",
) -> None:
    page = opened("bill.html")
    before = cell(page, "full", "total")
    slider = page.get_by_label(SLIDER)
    assert slider.get_attribute("aria-valuetext") == "14 hours a year"
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert page.url.endswith("bill.html#hours=15")
    assert page.get_by_label(FIELD, exact=True).input_value() == "15"
    assert slider.get_attribute("aria-valuetext") == "15 hours a year"
    assert cell(page, "full", "total") != before
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Flies once a month: 14"
    page.keyboard.press("Enter")
    assert page.url.endswith("bill.html")
    assert cell(page, "full", "total") == before
    twice = page.get_by_role("button", name="Flies twice a month: 32")
    twice.click()
    assert (page.url[-9:], twice.get_attribute("aria-pressed")) == ("#hours=32", "true")
    assert page.locator("#bill [aria-pressed=true]").count() == 1


def test_the_kind_of_member_chosen_on_the_site_is_where_the_page_begins(
    opened: "Opened", club: View
) -> None:
    for place, kind in enumerate(bill_words.kinds(club.club)):
        page = opened(f"bill.html?member={place}")
        page.wait_for_selector("#bill fieldset:enabled")
        assert float(page.get_by_label(FIELD, exact=True).input_value()) == kind.hours
        for tag in club.tags.values():
            sums = pay_words.monthly(club, tag, place)
            assert sums is not None
            assert cell(page, tag.id, "total") == club.formats.money(sums.total)
        assert "#" not in page.url
    page = opened("bill.html?member=2#hours=20")
    assert page.get_by_label(FIELD, exact=True).input_value() == "20"
    for wrong in ("?member=99", "?member=x", "?member=-1", "?member="):
        page = opened(f"bill.html{wrong}")
        assert page.get_by_label(FIELD, exact=True).input_value() == "14"


def test_the_hours_come_back_with_the_address_and_are_kept_nowhere_else(
    opened: "Opened", club: View
) -> None:
    page = opened("bill.html#hours=32.5")
    assert page.get_by_label(FIELD, exact=True).input_value() == "32.5"
    bills = bills_by_engine(club)(32.5)
    full = club.formats.money(rounded_sum(bills["keep"], bills["full"]).total)
    assert cell(page, "full", "total") == full
    page.evaluate("() => { location.hash = 'hours=40'; }")
    page.wait_for_function("() => document.getElementById('bill-hours').value === '40'")
    page.evaluate("() => { location.hash = 'main'; }")
    page.wait_for_function("() => location.hash === '#hours=40'")
    page.go_back()
    page.go_back()
    page.wait_for_function("() => document.getElementById('bill-hours').value === '32.5'")
    stored = "() => [localStorage.length, sessionStorage.length, document.cookie]"
    assert page.evaluate(stored) == [0, 0, ""]
    page.get_by_label(FIELD, exact=True).fill("9000")
    page.reload()
    assert page.get_by_label(FIELD, exact=True).input_value() == "14"


def test_without_script_every_kind_of_member_is_there_and_no_control(opened: "Opened") -> None:
    page = opened("bill.html", 360, java_script_enabled=False)
    assert not page.locator("#bill input").first.is_visible()
    assert page.locator("#bill-status").is_visible()
    page.locator("summary").click()
    text = page.inner_text("details")
    for kind in ("Flies once a month: 14", "Trains for instruments: 70"):
        assert kind in text


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_on_a_phone_the_result_stays_in_sight_and_never_covers_what_has_focus(
    opened: "Opened", name: str
) -> None:
    page = opened(name, 360, 740)
    page.wait_for_selector("fieldset:enabled")
    for way in ("Tab", "Shift+Tab"):
        for _ in range(30):
            page.keyboard.press(way)
            if page.evaluate("() => Boolean(document.activeElement.closest('.controls'))"):
                assert page.evaluate(UNCOVERED), page.evaluate("() => document.activeElement.id")
                shown = page.locator(".stay").bounding_box()
                assert shown is not None
                assert shown["y"] >= 0
                assert shown["y"] + shown["height"] <= 740


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_where_the_window_is_low_the_result_lets_go(opened: "Opened", name: str) -> None:
    page = opened(name, 640, 360)
    assert page.locator(".stay").evaluate("(each) => getComputedStyle(each).position") == "static"


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_on_a_wide_screen_the_result_has_a_column_of_its_own(opened: "Opened", name: str) -> None:
    page = opened(name)
    result, controls = page.locator(".stay"), page.locator(".controls")
    beside, left = result.bounding_box(), controls.bounding_box()
    assert beside is not None
    assert left is not None
    assert left["x"] + left["width"] < beside["x"]
    assert abs(left["y"] - beside["y"]) < 40


@pytest.mark.parametrize("name", ["bill.html", "bill.html#hours=50", "compare.html"])
def test_no_page_scrolls_sideways(opened: "Opened", name: str) -> None:
    page = opened(name)
    page.evaluate("() => document.querySelectorAll('details').forEach((e) => { e.open = true; })")
    for width in (320, 360, 768, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("() => document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_with_letters_twice_as_large_a_phone_still_scrolls_one_way(
    opened: "Opened", name: str
) -> None:
    page = opened(name, 360)
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_what_is_pressed_is_at_least_24_pixels_high(opened: "Opened", name: str) -> None:
    """WCAG 2.2, success criterion 2.5.8, Target Size (Minimum)."""
    page = opened(name, 360)
    for each in page.locator("main :is(input, button, summary, .option a)").all():
        if each.is_visible():
            box = each.bounding_box()
            assert box is not None
            assert box["height"] >= 24, each.evaluate("(e) => e.outerHTML")


@pytest.mark.parametrize("name", ["bill.html", "bill.html#hours=50", "compare.html"])
def test_axe_finds_no_violation(opened: "Opened", name: str) -> None:
    """WCAG 2.2 AA rules as axe-core has them; colours in both schemes at each width."""
    page = opened(name, 360)
    page.evaluate("() => document.querySelectorAll('details').forEach((e) => { e.open = true; })")
    for width, first, second in ((360, "light", "dark"), (1280, "dark", "light")):
        page.set_viewport_size({"width": width, "height": 900})
        page.emulate_media(color_scheme=first)
        assert violations(page) == [], (width, first)
        page.emulate_media(color_scheme=second)
        assert violations(page, COLOUR_RULES) == [], (width, second)
    page.said.clear()  # axe asks for the stylesheet, which the page's policy refuses
