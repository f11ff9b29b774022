"""The sliders of the comparison in Chromium: an address, Back, reload and paper."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from panelworth import templates_folder
from panelworth.publishing.gathering import publish_views
from panelworth.publishing.view import View

STATE = """() => ({
  sliders: Object.fromEntries(
    [...document.querySelectorAll("#whatif input")].map((each) => [each.name, each.value])),
  told: [...document.querySelectorAll("#whatif output")].map((each) => each.textContent),
  spoken: [...document.querySelectorAll("#whatif input")].map((each) => each.ariaValueText),
  figures: [...document.querySelectorAll("#whatif .cell")].map((each) => each.textContent),
})"""


@pytest.fixture(scope="module")
def site(club: View, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Publish the club demo."""
    out = tmp_path_factory.mktemp("whatif") / "site"
    publish_views([club], out, templates=templates_folder(), progress=lambda _: None)
    return out


@pytest.fixture
def page(chromium: Browser, site: Path) -> Iterator[Page]:
    """Open the comparison; at the end it may not have said a word."""
    made = chromium.new_context().new_page()
    said: list[str] = []
    made.on("console", lambda message: said.append(message.text))
    made.on("pageerror", lambda error: said.append(str(error)))
    made.goto((site / "compare.html").as_uri())
    ready(made)
    yield made
    made.context.close()
    assert said == []


def ready(page: Page) -> None:
    """Wait until the sliders can be moved: their figures come after the page."""
    page.wait_for_selector("#whatif fieldset:enabled")


def go(page: Page, address: str, slider: str, value: str) -> None:
    """Put an address into the open tab, as one that is pasted there, and wait for a slider."""
    page.evaluate("(address) => { location.hash = address; }", address)
    wait(page, slider, value)


def wait(page: Page, slider: str, value: str) -> None:
    """Wait until a slider stands at a value."""
    page.wait_for_function(
        "([id, value]) => document.getElementById(id).value === value",
        arg=[f"whatif-{slider}", value],
    )


def press(page: Page, slider: str, times: int = 1) -> None:
    """Move a slider by keyboard."""
    page.locator(f"#whatif-{slider}").focus()
    for _ in range(times):
        page.keyboard.press("ArrowRight")


def test_an_address_in_the_open_tab_moves_what_it_names_and_puts_the_rest_back(page: Page) -> None:
    before = page.evaluate(STATE)
    go(page, "overrun=40", "overrun", "40")
    moved = page.evaluate(STATE)
    assert moved["figures"] != before["figures"]
    go(page, "fuel=9", "fuel", "9")
    assert page.evaluate(STATE)["sliders"] == {**before["sliders"], "fuel": "9"}
    page.go_back()
    wait(page, "overrun", "40")
    assert page.evaluate(STATE) == moved
    page.go_back()
    wait(page, "overrun", before["sliders"]["overrun"])
    assert page.evaluate(STATE) == before
    assert page.url.endswith("compare.html")


def test_a_jump_within_the_page_and_a_reload_leave_the_sliders(page: Page) -> None:
    press(page, "overrun", 4)
    moved, address = page.evaluate(STATE), page.url
    page.evaluate("() => { location.hash = 'figures'; }")
    page.wait_for_function("() => location.hash.startsWith('#overrun=')")
    assert (page.evaluate(STATE), page.url) == (moved, address)
    page.reload()
    ready(page)
    assert page.evaluate(STATE) == moved
    page.get_by_role("link", name="All of it side by side").click()
    page.go_back()
    page.wait_for_load_state()
    ready(page)
    assert page.evaluate(STATE) == moved


def test_a_jump_with_nothing_moved_keeps_its_address(page: Page) -> None:
    page.evaluate(
        "() => new Promise((done) => { onhashchange = done; location.hash = 'figures'; })"
    )
    assert page.url.endswith("#figures")


@pytest.mark.parametrize("wrong", ["hours=", "hours=%20", "hours=abc", "hours=Infinity"])
def test_what_is_no_number_moves_nothing(page: Page, wrong: str) -> None:
    before = page.evaluate(STATE)
    go(page, "overrun=40", "overrun", "40")
    go(page, wrong, "overrun", before["sliders"]["overrun"])
    assert page.evaluate(STATE) == before


def test_what_is_moved_is_said_on_paper_and_the_hint_is_not(page: Page) -> None:
    status = page.locator("#whatif-status")
    assert status.inner_text().startswith("Move a slider")
    page.emulate_media(media="print")
    assert not status.is_visible()
    page.emulate_media(media="screen")
    go(page, "overrun=40&fuel=9", "fuel", "9")
    page.emulate_media(media="print")
    assert status.is_visible()
    start = "With Price of every project +40 %, Fuel price $9.00: “"
    assert status.inner_text().startswith(start)
    assert status.inner_text().endswith(" likely brings most, in today’s money.")


def test_sliders_tell_their_values_from_the_start(page: Page) -> None:
    found = page.evaluate(STATE)
    assert found["spoken"] == found["told"]
    assert all(found["told"])
    assert {each.get_attribute("aria-live") for each in page.locator("output").all()} == {"off"}
    assert page.locator("#whatif caption").inner_text() == "What if?"


def test_without_their_script_the_sliders_cannot_be_moved(chromium: Browser, site: Path) -> None:
    page = chromium.new_context().new_page()
    page.route("**/whatif.js", lambda route: route.abort())
    page.goto((site / "compare.html").as_uri())
    assert {each.is_enabled() for each in page.locator("#whatif input").all()} == {False}
    page.context.close()


@pytest.mark.parametrize(("less", "alike"), [(0.51, True), (900.0, False)])
def test_no_winner_is_told_by_half_a_dollar(page: Page, less: float, *, alike: bool) -> None:
    """The full refit is set to bring so much less than the part, and its name tells its start."""
    page.evaluate(
        "(less) => { const { options } = window.whatifData;"
        "const under = (id, sum) => { const { values, at } = options.part.benefit;"
        "options[id].benefit = { values: values.map((each) => each - sum), at }; };"
        "under('full', less); under('keep', 2000); under('replace', 50000); }",
        less,
    )
    press(page, "overrun")
    told = page.locator("#whatif-status").inner_text()
    part, full = "“Refit part of it near home”", "“Refit all of it at the distant shop”"
    if alike:
        assert f"{part} and {full} (start refused as planned) likely bring as much" in told
    else:
        assert f"{part} likely brings most" in told
