"""The built site opened from a folder in Chromium, as a member would."""

import json
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser

from browsers import CLUB, opened
from panelworth import read
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.returns.comparison import likely_figures
from panelworth.engine.returns.what_if import shifted, whatif_grid
from panelworth.engine.trials import likely_trial

SCENARIOS = Path(__file__).parents[1] / "scenarios"
# Returns each sum with a sign, and whether a line ends behind the sign.
SIGNED_SUMS = r"""() => {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const top = (node, at) => {
    const range = document.createRange();
    range.setStart(node, at);
    range.setEnd(node, at + 1);
    return range.getBoundingClientRect().top;
  };
  const found = [];
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    for (const sum of node.data.matchAll(/[+\u2212]\u2060?\p{Sc}/gu)) {
      found.push([sum[0], top(node, sum.index) < top(node, sum.index + sum[0].length - 1) - 3]);
    }
  }
  return found;
}"""


def test_the_figures_of_the_json_are_on_the_front_page(chromium: Browser, site: Path) -> None:
    """Each bill beside the baseline's, and the count of 20 of the trials ahead of it."""
    options = json.loads((site / CLUB / "figures.json").read_text())["options"]
    page = opened(chromium, site / CLUB / "index.html", width=360)
    rows = page.locator(".outcomes > li").all_inner_texts()
    base = options["keep"]["bills"][0]["per_month"]
    assert len(rows) == len(options)
    for row, (option_id, option) in zip(rows, options.items(), strict=False):
        leads = option["allowed_start"] or option
        bill = leads["bills"][0]["per_month"]
        if option_id == "keep":
            assert f"${bill:,.0f} a month" in row
            continue
        shown = next(each for each in rows if f"+${bill - base:,.0f}" in each)
        count = round(20 * leads["ahead_of"]["keep"])
        assert (f"{count} of 20 ahead" if count else "Fewer than 1 of 20 ahead") in shown


def test_no_line_ends_between_a_sign_and_a_currency(chromium: Browser, site: Path) -> None:
    """Unicode Standard Annex 14 lets one end there: both are of class PR."""
    for scenario in ("brackenholt-owner", CLUB):
        for name in ("index", "risk", "compare"):
            page = opened(chromium, site / scenario / f"{name}.html")
            for width in (320, 412, 768, 1280):
                page.set_viewport_size({"width": width, "height": 900})
                found = page.evaluate(SIGNED_SUMS)
                assert found
                assert [sum_ for sum_, broken in found if broken] == [], width


def test_without_script_the_pictures_are_there(chromium: Browser, site: Path) -> None:
    page = opened(chromium, site / CLUB / "dates.html", java_script_enabled=False)
    assert page.locator("svg.drawn").first.is_visible()
    page.goto((site / CLUB / "index.html").as_uri())
    assert page.locator("svg.picture").first.is_visible()


def moved(browser: Browser, site: Path, address: str) -> str:
    """Open the comparison page with sliders set by its address; return one option's sum."""
    page = browser.new_page()
    page.goto((site / CLUB / "compare.html").as_uri() + address)
    page.wait_for_selector("#whatif fieldset:enabled")
    found = page.inner_text('#whatif [data-option="full"] [data-figure="sum"]')
    page.close()
    return found


def test_sliders_show_the_engines_figures(chromium: Browser, site: Path) -> None:
    """The expected figures are worked out by the engine at the same shifts."""
    case, _ = read(SCENARIOS / CLUB)
    axes = whatif_grid(case).axes
    likely = {axis.key: axis.likely for axis in axes}
    set_to = {"overrun": 0.25, "hours": 201 - likely["hours"], "joined": 2.0, "fuel": 0.65}
    shifts = np.array([[set_to.get(axis.key, 0.0) for axis in axes]])
    tried = shifted(likely_trial(case), axes, shifts)
    mine, baseline = (flows_of(case, each, tried) for each in ("full", "keep"))
    expected = likely_figures(mine, baseline, without_growth=0.0)  # no slider shows it
    found = moved(chromium, site, "#overrun=25&hours=201&joined=2&fuel=7")
    shown = float(found.translate({0x2212: "-", 0x24: "", 0x2C: ""}))
    assert shown == pytest.approx(expected.net_benefit, abs=51)  # told to 100


def test_sliders_work_by_keyboard_and_keep_their_state_in_the_address(
    chromium: Browser, site: Path
) -> None:
    page = opened(chromium, site / CLUB / "compare.html")
    slider = page.get_by_label("Members beyond those counted on")
    page.wait_for_selector("#whatif fieldset:enabled")
    before = page.locator('#whatif [data-option="full"] [data-figure="sum"]').inner_text()
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert page.url.endswith("#joined=1")
    assert slider.get_attribute("aria-valuetext") == "+1"
    assert page.locator('#whatif [data-option="full"] [data-figure="sum"]').inner_text() != before
    assert "likely brings most" in page.locator("#whatif-status").inner_text()
    page.get_by_role("button", name="Back to plan").click()
    assert page.url.endswith("compare.html")
    assert page.locator('#whatif [data-option="full"] [data-figure="sum"]').inner_text() == before
    assert page.said == []


def test_without_script_there_are_no_sliders(chromium: Browser, site: Path) -> None:
    page = opened(chromium, site / CLUB / "compare.html", java_script_enabled=False)
    assert not page.locator("#whatif input").first.is_visible()
    assert page.locator("#whatif [data-figure=sum]").first.is_visible()
