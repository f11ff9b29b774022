"""The ledger's page in a browser: by keyboard, without script, on a phone."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browsers import violations
from desk_cases import OpenDesk, opened
from panelworth.publishing.desk.server import entrance


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk on the club demo."""
    with opened(tmp_path) as found:
        yield found


@pytest.fixture(params=[(True, 360), (True, 1280), (False, 360), (False, 1280)])
def page(chromium: Browser, desk: OpenDesk, request: pytest.FixtureRequest) -> Iterator[Page]:
    """Show the ledger with and without script, on a phone and on a wide screen."""
    script, width = request.param
    context = chromium.new_context(
        java_script_enabled=script, viewport={"width": width, "height": 800}
    )
    found = context.new_page()
    found.goto(entrance(desk.address, desk.desk))
    found.goto(f"{desk.address}desk/ours/ledger")
    yield found
    context.close()


def test_a_row_is_added_with_the_keyboard_alone(page: Page, desk: OpenDesk) -> None:
    before = (desk.folder / "ledger.csv").read_bytes()
    page.keyboard.press("Tab")
    while page.locator("[name='n0.date']:focus").count() == 0:
        page.keyboard.press("Tab")
    page.keyboard.type("10302026")  # month, day and year are fields of their own
    while page.locator("[name='n0.option']:focus").count() == 0:
        page.keyboard.press("Tab")
    for text in ("full", "displays", "inv", "18100.5"):
        page.keyboard.type(text)
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/ledger?page=1&done=added")
    assert page.inner_text("[role=status]").startswith("Added.")
    after = (desk.folder / "ledger.csv").read_bytes()
    assert after == before + b"2026-10-30,full,displays,invoice,18100.5,,,,,,,,\n"
    page.click("text=Undo it")
    page.wait_for_url("**/ledger?done=undone")
    assert (desk.folder / "ledger.csv").read_bytes() == before


def test_a_wrong_cell_is_described_and_nothing_lies_sideways(page: Page) -> None:
    page.fill("[name='n0.amount']", "abc")
    page.click("text=Save")
    cell = page.locator("[name='n0.amount']")
    assert cell.get_attribute("aria-invalid") == "true"
    described = cell.get_attribute("aria-describedby")
    assert "Expected a number" in (page.text_content(f"#{described}") or "")
    assert cell.input_value() == "abc"
    right = page.locator(".ledger :is(input, select, button):visible").evaluate_all(
        "all => Math.max(...all.map((one) => one.getBoundingClientRect().right))"
    )
    assert right <= page.viewport_size["width"]


@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing(chromium: Browser, desk: OpenDesk, width: int) -> None:
    context = chromium.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    page.goto(entrance(desk.address, desk.desk))
    page.goto(f"{desk.address}desk/ours/ledger")
    assert violations(page) == []
    page.click("text=Paste rows from a spreadsheet")
    page.fill("[name='rows']", "2026-10-30\tfull\tdiplays\tquote\t1,200.00\n\tfull\n")
    page.click("text=Show these rows")
    page.wait_for_selector("[name='n1.option']")
    assert page.input_value("[name='n0.amount']") == "1,200.00"
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()


def test_the_items_follow_the_option(chromium: Browser, desk: OpenDesk) -> None:
    context = chromium.new_context()
    page = context.new_page()
    page.goto(entrance(desk.address, desk.desk))
    page.goto(f"{desk.address}desk/ours/ledger")
    item = page.locator("[name='n0.item']")
    assert item.get_attribute("list") == "items"
    page.fill("[name='n0.option']", "part")
    assert item.get_attribute("list") == "items-part"
    texts = page.locator("#items-part option").evaluate_all("all => all.map((one) => one.value)")
    assert "navigator" in texts
    page.fill("[name='n0.option']", "part + full")
    assert item.get_attribute("list") == "items"
    context.close()
