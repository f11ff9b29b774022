"""My own bill and Side by side in Chromium: exact, by keyboard, in the address, without script."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Locator, Page, Route

from funded_views import funded
from panelworth import templates_folder
from panelworth.engine.course import course_of
from panelworth.engine.funding import bill_a_month
from panelworth.engine.worlds import likely_worlds
from panelworth.publishing import level_words
from panelworth.publishing.formats import JOINER
from panelworth.publishing.gathering import publish_views
from panelworth.publishing.side_page import groups
from panelworth.publishing.view import View

CHOSEN = "side.html#show=part&show=full&order=cost_per_hour&first=airplane"
Rows = Callable[[Route], None] | None
PAGES = ["bill.html", "bill.html#hours=50", "side.html", CHOSEN]


@pytest.fixture(scope="module")
def site(club: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish the club demo."""
    out = tmp_path_factory.mktemp("members") / "site"
    publish_views([club], out, templates=templates_folder(), progress=lambda _: None)
    return out


@pytest.fixture
def opened(chromium: Browser, site: Path) -> Iterator["Opened"]:
    """Open pages; at the end, none may have said a word or asked for anything but files."""
    made = Opened(chromium, site)
    yield made
    made.close()
    assert made.said == []
    assert [url for url in made.asked if not url.startswith(("file:", "data:"))] == []


class Opened:
    """Pages opened from their files, with what they say and ask for."""

    def __init__(self, browser: Browser, site: Path) -> None:
        self.browser, self.site = browser, site
        self.said: list[str] = []
        self.asked: list[str] = []
        self.pages: list[Page] = []

    def __call__(
        self, name: str, width: int = 1280, *, rows: Rows = None, **context: object
    ) -> Page:
        """Open a page in a context of its own; `rows` deals with the data of Side by side."""
        size = {"width": width, "height": 900}
        page = self.browser.new_context(viewport=size, **context).new_page()
        page.on("console", lambda message: self.said.append(message.text))
        page.on("pageerror", lambda error: self.said.append(str(error)))
        page.on("request", lambda request: self.asked.append(request.url))
        if rows:
            page.route("**/side-rows.js", rows)
        page.goto(f"{self.site.as_uri()}/{name}", wait_until="domcontentloaded" if rows else "load")
        self.pages.append(page)
        return page

    def close(self) -> None:
        """Close every page."""
        for page in self.pages:
            page.context.close()


def unfold(page: Page) -> None:
    """Open all that is folded."""
    page.evaluate("() => document.querySelectorAll('details').forEach((e) => { e.open = true; })")


def bills_of(view: View, hours: float) -> dict[str, float]:
    """Work out every option's bill with the engine itself."""
    worlds, club = likely_worlds(view.case), view.club
    assert club is not None
    found = {}
    for option_id in view.figures.options:
        course = course_of(view.case, option_id, worlds)
        found[option_id] = bill_a_month(club, course, funded(view, option_id), hours)
    return found


def plain(text: str) -> str:
    """Return a figure's text without what keeps its sign on its line."""
    return text.replace(JOINER, "").strip()


def cell(page: Page, option_id: str, key: str) -> str:
    """Read one figure of the live table."""
    return page.inner_text(f'#bill [data-option="{option_id}"][data-figure="{key}"]')


def test_at_any_hours_the_page_shows_the_engines_bills_to_the_cent(
    opened: "Opened", club: View
) -> None:
    """Every half hour from 0 to 60, and some odd numbers, each cell as formats.py writes it."""
    page, cents = opened("bill.html"), club.formats.cents
    field = page.get_by_label("My hours a year")
    for hours in [*(half / 2 for half in range(121)), 7.35, 333.3, 8760]:
        field.fill(f"{hours:g}")
        bills = bills_of(club, hours)
        for option_id, bill in bills.items():
            more = bill - bills[club.figures.baseline]
            assert cell(page, option_id, "month") == cents(bill)
            assert cell(page, option_id, "hour") == (cents(bill * 12 / hours) if hours else "—")
            if option_id != club.figures.baseline:
                assert cell(page, option_id, "gap").lstrip("+") == cents(more)
                assert cell(page, option_id, "year").lstrip("+") == cents(more * 12)


def test_the_slider_works_by_keyboard_and_the_address_keeps_the_hours(opened: "Opened") -> None:
    page = opened("bill.html")
    before = cell(page, "full", "month")
    page.get_by_label("The same, to slide").focus()
    page.keyboard.press("ArrowRight")
    assert page.url.endswith("bill.html#hours=15")
    assert page.get_by_label("My hours a year").input_value() == "15"
    assert cell(page, "full", "month") != before
    assert page.inner_text("#bill-status").startswith("At 15 hours a year “Keep nursing it” bills")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.url.endswith("bill.html")
    assert cell(page, "full", "month") == before


def test_the_hours_come_back_with_the_address_and_are_kept_nowhere_else(
    opened: "Opened", club: View
) -> None:
    page = opened("bill.html#hours=32.5")
    assert page.get_by_label("My hours a year").input_value() == "32.5"
    assert cell(page, "full", "month") == club.formats.cents(bills_of(club, 32.5)["full"])
    page.evaluate("() => { location.hash = 'hours=40'; }")
    page.wait_for_function("() => document.getElementById('bill-hours').value === '40'")
    page.evaluate("() => { location.hash = 'kinds'; }")
    page.wait_for_function("() => location.hash === '#hours=40'")
    stored = "() => [localStorage.length, sessionStorage.length, document.cookie]"
    assert page.evaluate(stored) == [0, 0, ""]


def test_the_slider_tells_its_hours_from_the_start_and_back_goes_back(opened: "Opened") -> None:
    page = opened("bill.html")
    told = page.get_by_label("The same, to slide").get_attribute("aria-valuetext")
    assert told == "14 hours a year"
    page.evaluate("() => { location.hash = 'hours=28'; }")
    page.wait_for_function("() => document.getElementById('bill-slider').value === '28'")
    page.go_back()
    page.wait_for_function("() => document.getElementById('bill-slider').value === '14'")
    page.get_by_label("My hours a year").fill("9000")
    page.reload()
    assert page.get_by_label("My hours a year").input_value() == "14"


def test_without_script_the_bill_page_shows_every_kind_of_member(
    opened: "Opened", club: View
) -> None:
    page = opened("bill.html", 360, java_script_enabled=False)
    assert not page.locator("#bill").is_visible()
    unfold(page)
    text = page.inner_text("main")
    for tag in club.tags.values():
        for bill in level_words.bills(club, tag):
            assert club.formats.cents(bill.per_month) in text
    assert page.locator("img.chart-still").first.is_visible()


def heads(page: Page) -> list[str]:
    """Read the shown options of the first table, from left to right."""
    cells = page.locator("#costs thead th[data-option]:visible").all()
    return [each.get_attribute("data-option") or "" for each in cells]


def line(page: Page, key: str, part: str) -> list[str]:
    """Read a part of each shown cell of a row, in the order of the page; "" where it is hidden."""
    parts = [each.locator(part) for each in page.locator(f'[data-row="{key}"] td:visible').all()]
    return [each.inner_text() if each.count() else "" for each in parts]


def order_by(page: Page, label: str) -> Locator:
    """Find the button in a row's header."""
    return page.locator("th", has_text=label).locator("button.order").first


def test_a_row_orders_the_options_by_keyboard_and_the_focus_stays(
    opened: "Opened", club: View
) -> None:
    page = opened("side.html")
    assert heads(page) == list(club.tags)
    button = order_by(page, "Value at the end")
    button.press("Enter")
    worth = {each: club.option(each).likely.end_value for each in club.tags}
    best_first = sorted(worth, key=lambda each: -worth[each])
    assert heads(page) == best_first
    assert page.evaluate("() => document.activeElement.dataset.order") == "end_value"
    assert page.url.endswith("side.html#order=end_value")
    said = page.inner_text("#side-status")
    assert "ordered by “Value at the end”, best first: “Sell it and buy a newer one”" in said
    page.keyboard.press("Enter")
    assert heads(page) == best_first[::-1]
    assert page.url.endswith("side.html#turned=end_value")
    assert "“Value at the end”, worst first:" in page.inner_text("#side-status")


def test_differences_are_to_the_first_shown_and_the_best_is_of_those_shown(
    opened: "Opened", club: View
) -> None:
    page = opened("side.html")
    page.get_by_label("Keep nursing it").focus()
    page.keyboard.press("Space")
    assert heads(page) == [each for each in club.tags if each != "keep"]
    rows = {row.key: row for group in groups(club) for row in group.rows}
    expected = [rows["upfront"].difference("part", each) for each in heads(page)]
    assert line(page, "upfront", "small") == expected
    marks = [text.strip() for text in line(page, "upfront", ".best span")]
    assert marks == ["best:", "", ""]
    assert "Differences are to “Refit part of it near home”" in page.inner_text("#side-status")


def test_two_options_at_least_stay(opened: "Opened") -> None:
    page = opened("side.html#show=keep&show=full")
    box = page.get_by_label("Keep nursing it")
    box.click()
    assert box.is_checked()
    assert page.inner_text("#side-status") == "Two options at least are compared."
    assert heads(page) == ["keep", "full"]


def test_what_matters_comes_first_and_nothing_is_lost(opened: "Opened") -> None:
    page = opened("side.html")

    def sections() -> list[str]:
        return page.evaluate("() => [...document.querySelectorAll('section')].map((s) => s.id)")

    before, rows = sections(), page.locator("[data-row]").count()
    status = page.inner_text("#side-status")
    page.get_by_label("Downtime").focus()
    page.keyboard.press("Space")
    assert sections() == ["downtime", *(each for each in before if each != "downtime")]
    assert page.evaluate("() => document.activeElement.value") == "downtime"
    assert page.locator("[data-row]").count() == rows
    assert page.inner_text("#side-status").endswith("First comes: Downtime.")
    page.get_by_label("Risk").check()
    assert page.inner_text("#side-status").endswith("First come: Risk, Downtime.")
    page.get_by_role("button", name="All options, as they were").click()
    assert sections() == before
    assert page.inner_text("#side-status") == status
    assert page.url.endswith("side.html")


def test_what_is_chosen_comes_back_with_the_address(opened: "Opened") -> None:
    page = opened(CHOSEN)
    assert heads(page) == ["part", "full"]
    assert page.locator("section").first.get_attribute("id") == "wants"
    assert page.get_by_label("The airplane").is_checked()
    page.evaluate("() => { location.hash = 'risk'; }")
    page.wait_for_function("() => location.hash.includes('show=part')")
    assert heads(page) == ["part", "full"]


def test_what_is_chosen_before_the_data_is_there_holds(opened: "Opened", club: View) -> None:
    held: list[Route] = []
    page = opened(CHOSEN, rows=lambda route: held.append(route))  # noqa: PLW0108 (its signature)
    assert not page.get_by_label("Keep nursing it").is_checked()
    page.get_by_label("Sell it and buy a newer one").check()
    page.evaluate("() => { location.hash = 'risk'; }")
    page.wait_for_function("() => location.hash.includes('show=replace')")
    assert heads(page) == list(club.tags)
    assert len(held) == 1
    held[0].continue_()
    page.wait_for_function("() => document.querySelector('.side').dataset.count === '3'")
    assert page.url.endswith(CHOSEN.replace("&order", "&show=replace&order"))
    cost = {each: club.option(each).likely.cost_per_hour for each in ("part", "full", "replace")}
    assert heads(page) == sorted(cost, key=lambda each: cost[each] or 0.0)


@pytest.mark.parametrize("name", ["side.html", CHOSEN])
def test_without_its_data_the_page_stays_as_it_is(opened: "Opened", club: View, name: str) -> None:
    page = opened(name, rows=lambda route: route.abort())
    page.locator("#side").wait_for(state="hidden")
    assert page.locator("button.order").count() == 0
    assert heads(page) == list(club.tags)
    assert page.url.endswith(name)
    assert [said for said in opened.said if "ERR_FAILED" not in said] == []
    opened.said.clear()  # Chromium tells that the file did not come


def test_a_rows_header_is_named_without_its_button_whose_ring_is_whole(opened: "Opened") -> None:
    page = opened("side.html", 320)
    head = page.locator('[data-row="upfront"] th')
    assert head.get_attribute("abbr") == head.evaluate("(each) => each.firstChild.textContent")
    page.keyboard.press("Tab")  # so that what is focused next shows it
    head.locator("button").focus()
    ring = "() => getComputedStyle(document.activeElement).outlineOffset"
    assert page.evaluate(ring) == "-2px"


def test_back_takes_a_choice_back(opened: "Opened") -> None:
    page = opened("side.html")
    page.evaluate("() => { location.hash = 'show=part&show=full'; }")
    page.wait_for_function("() => document.querySelector('.side').dataset.count === '2'")
    page.go_back()
    page.wait_for_function("() => document.querySelector('.side').dataset.count === '4'")


@pytest.mark.parametrize("hash_", ["show=nobody", "show=keep", "order=nothing", "first=x", "%"])
def test_an_address_that_makes_no_sense_shows_everything(opened: "Opened", hash_: str) -> None:
    page = opened(f"side.html#{hash_}")
    assert len(heads(page)) == 4


@pytest.mark.parametrize("width", [360, 1280])
def test_without_script_the_whole_table_stands(opened: "Opened", club: View, width: int) -> None:
    page = opened("side.html", width, java_script_enabled=False)
    assert not page.locator("#side").is_visible()
    for group in groups(club):
        for row in group.rows:
            shown = page.locator(f'[data-row="{row.key}"] td:visible b')
            said = [plain(text.removeprefix("best:")) for text in shown.all_inner_texts()]
            assert said == [row.cells[each].text for each in club.tags]
    assert page.locator("button").count() == 0 or not page.locator("button").first.is_visible()


def test_on_a_phone_each_figure_stands_beside_its_options_name(opened: "Opened") -> None:
    page = opened("side.html", 320)
    cell = page.locator('[data-row="upfront"] td').first
    named = cell.evaluate("(each) => getComputedStyle(each, '::before').content")
    assert named == '"Keep nursing it"'
    for table in page.locator(".scroll").all():
        assert table.evaluate("(each) => each.scrollWidth <= each.clientWidth")


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_neither_page_scrolls_sideways(opened: "Opened", name: str, width: int) -> None:
    page = opened(name, width)
    unfold(page)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= width


def test_tables_too_wide_for_the_page_scroll_within_themselves(opened: "Opened") -> None:
    """A table set as wide as one of nine options."""
    page = opened("side.html")
    page.evaluate(
        "() => document.querySelectorAll('.side').forEach((e) => { e.dataset.count = 9; })"
    )
    first = page.locator(".scroll").first
    assert first.evaluate("(each) => each.scrollWidth > each.clientWidth")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 1280


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_axe_finds_no_violation(opened: "Opened", name: str, width: int, scheme: str) -> None:
    """WCAG 2.2 AA rules as axe-core has them."""
    page = opened(name, width, color_scheme=scheme)
    unfold(page)
    found = Axe().run(page).response["violations"]
    opened.said.clear()  # axe asks for the stylesheet, which the page's policy refuses
    assert [(each["id"], each["nodes"][0]["html"][:200]) for each in found] == []
