"""The comparison in Chromium: exact sliders, an address, Back, reload and paper, and the table."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.returns.benefit import total_benefit
from panelworth.engine.returns.what_if import shifted
from panelworth.engine.trials import Trials, likely_trial
from panelworth.publishing.charts.tracks import track_of
from panelworth.publishing.pages.compare_sliders import WORDS
from panelworth.publishing.view import View
from panelworth.publishing.words import pay_words
from panelworth.publishing.words.outcome_words import moving_step
from panelworth.publishing.words.rounding import to_step

LOW, HIGH = -4, 7  # steps from the plan that every slider has
SET = """(values) => values.forEach(([key, value]) => {
  const slider = document.getElementById(`whatif-${key}`);
  slider.value = value;
  slider.dispatchEvent(new Event("input", { bubbles: true }));
})"""

STATE = """() => ({
  sliders: Object.fromEntries(
    [...document.querySelectorAll("#whatif input")].map((each) => [each.name, each.value])),
  told: [...document.querySelectorAll("#whatif output")].map((each) => each.textContent),
  spoken: [...document.querySelectorAll("#whatif input")].map((each) => each.ariaValueText),
  figures: [...document.querySelectorAll("#whatif [data-figure]")].map(
    (each) => each.getAttribute("transform") ?? each.textContent),
})"""


@pytest.fixture
def page(chromium: Browser, club_site: Path) -> Iterator[Page]:
    """Open the comparison; at the end it may not have said a word."""
    made = chromium.new_context().new_page()
    said: list[str] = []
    made.on("console", lambda message: said.append(message.text))
    made.on("pageerror", lambda error: said.append(str(error)))
    made.goto((club_site / "compare.html").as_uri())
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
    page.get_by_role("link", name="How sure", exact=True).click()
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


def test_what_is_moved_is_said_on_screen_and_on_paper(page: Page) -> None:
    status = page.locator("#whatif-status")
    assert status.inner_text() == "As planned, Refit part ends ahead of the others."
    go(page, "overrun=40&fuel=9", "fuel", "9")
    start = "With Price of every project +40%, Fuel price $9.00: "
    for media in ("screen", "print"):
        page.emulate_media(media=media)
        assert status.is_visible()
        assert status.inner_text().startswith(start)
        assert status.inner_text().endswith(" likely brings most.")
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Back to plan").click()
    assert status.inner_text() == "As planned, Refit part ends ahead of the others."


def test_at_any_setting_the_page_shows_what_the_engine_works_out(page: Page, club: View) -> None:
    """Ten settings drawn at random within the sliders' ends, worked out by the engine itself."""
    axes, trials, rng = club.insight.whatif.axes, likely_trial(club.case), np.random.default_rng(5)
    change, step, track = club.formats.change, moving_step(club), track_of(club)
    for _ in range(10):
        shifts = [axis.step * rng.integers(LOW, HIGH) for axis in axes]
        keys = [
            (
                axis.key,
                (shift + (axis.likely if WORDS[axis.key].offset else 0))
                * (100.0 if WORDS[axis.key].percents else 1.0),
            )
            for axis, shift in zip(axes, shifts, strict=True)
        ]
        page.evaluate(SET, [[key, f"{value:.12g}"] for key, value in keys])
        tried = shifted(trials, axes, np.array([shifts]))
        brought = {each: benefit(club, each, tried) for each in club.tags}
        for tag in club.others:
            gain = brought[tag.id] - brought["keep"]
            row = page.locator(f'#whatif [data-option="{tag.id}"]')
            assert row.locator("b").inner_text() == change(to_step(gain, step))
            moved = row.locator("[data-figure=mark]").get_attribute("transform")
            x = float(moved.removeprefix("translate(").partition(" ")[0])
            assert x == pytest.approx(track.x(gain), abs=0.06)


def benefit(view: View, option_id: str, trials: Trials) -> float:
    """Work out what an option brings, in the one trial that is tried."""
    flows = flows_of(view.case, option_id, trials, likely_loan_month=True)
    return float(total_benefit(flows)[0])


def test_sliders_tell_their_values_from_the_start(page: Page) -> None:
    found = page.evaluate(STATE)
    assert found["spoken"] == found["told"]
    assert all(found["told"])
    assert {each.get_attribute("aria-live") for each in page.locator("output").all()} == {"off"}
    assert page.locator("[role=status]").count() == 1


def test_without_their_script_the_sliders_cannot_be_moved(
    chromium: Browser, club_site: Path
) -> None:
    page = chromium.new_context().new_page()
    page.route("**/whatif.js", lambda route: route.abort())
    page.goto((club_site / "compare.html").as_uri())
    assert {each.is_enabled() for each in page.locator("#whatif input").all()} == {False}
    page.context.close()


@pytest.mark.parametrize(
    ("less", "told"),
    [
        (0.51, "Refit part and Refit all likely bring most, and the same."),
        (900.0, "Refit part likely brings most."),
        (-900.0, "Refit all likely brings most."),
    ],
)
def test_no_winner_is_told_by_half_a_dollar(page: Page, less: float, told: str) -> None:
    """The full refit is set to bring so much less than the part: what reads alike is alike."""
    page.evaluate(
        "(less) => { const { gains } = window.whatifData; const { values, at } = gains.part;"
        "gains.full = { values: values.map((each) => each - less), at };"
        "gains.part = { values: values.map((each) => each - 0), at }; }",
        less,
    )
    press(page, "fuel")
    assert page.locator("#whatif-status").inner_text() == f"With Fuel price $6.40: {told}"


def test_the_baseline_brings_most_where_all_others_are_behind_it(page: Page) -> None:
    go(page, "overrun=60&hours=121", "hours", "121")
    assert page.locator("#whatif-status").inner_text().endswith(": Keep likely brings most.")


def test_the_sum_of_the_chosen_kind_of_member_is_in_the_table(
    chromium: Browser, club_site: Path, club: View
) -> None:
    page = chromium.new_page()
    page.goto(f"{(club_site / 'compare.html').as_uri()}?member=1")
    row = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="A month: "))
    assert "Flies twice a month" in row.inner_text()
    sums = [pay_words.monthly(club, tag, 1) for tag in club.tags.values()]
    told = [each.inner_text() for each in row.get_by_role("cell").all()]
    assert told == [club.formats.money(each.total) for each in sums if each]
    page.close()


def test_columns_beyond_the_fourth_scroll_within_a_named_region_that_takes_focus(
    page: Page,
) -> None:
    page.set_viewport_size({"width": 360, "height": 740})
    region = page.get_by_role("region", name="All figures")
    fits = "(each) => each.scrollWidth <= each.clientWidth"
    assert region.evaluate(fits)
    page.evaluate(
        "() => document.querySelectorAll('.by-option').forEach((e) => { e.dataset.count = 8; })"
    )
    assert not region.evaluate(fits)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 360
    region.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("() => document.querySelector('.wide').scrollLeft > 0")


def test_on_a_phone_a_row_s_name_stands_above_its_figures(page: Page) -> None:
    for width, above in ((360, True), (1280, False)):
        page.set_viewport_size({"width": width, "height": 740})
        row = page.get_by_role("row").filter(has_text="An hour, all costs")
        name, figure = row.get_by_role("rowheader"), row.get_by_role("cell").first
        top, below = name.bounding_box(), figure.bounding_box()
        assert top is not None
        assert below is not None
        assert (top["y"] + top["height"] <= below["y"] + 1) == above
