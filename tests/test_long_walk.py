"""A walk through the site in Firefox and WebKitGTK: figures, controls and address agree throughout.

Of the long tests, which run with --long.
"""

import base64
import io
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from other_browsers import ARROW, BACKSPACE, PATIENCE, Driven, Firefox, WebKit
from panelworth import templates_folder
from panelworth.publishing.site.files import build_files
from panelworth.publishing.site.folder import Files, replace_site
from panelworth.publishing.site.preview import serving
from panelworth.publishing.site.preview_state import PreviewState
from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import rounded_sum
from test_browser_bill import bills_by_engine

pytestmark = pytest.mark.long

# What a page of controls says of itself: what is set, what is shown, what is spoken.
STATE = """({
  set: [...document.querySelectorAll("form input")].map(e => e.value.replace(",", ".")),
  told: [...document.querySelectorAll("form output, [role=status]")].map(e => e.textContent),
  spoken: [...document.querySelectorAll("form input")].map(e => e.getAttribute("aria-valuetext")),
  figures: [...document.querySelectorAll("form [data-figure]")].map(
    e => e.getAttribute("transform") ?? e.textContent),
})"""
MOVE = """((id, values) => values.forEach((value) => {
  const slider = document.getElementById(id);
  slider.value = value;
  slider.dispatchEvent(new Event("input", { bubbles: true }));
}))"""
PRINTED = """[...document.styleSheets].flatMap((sheet) => [...sheet.cssRules])
  .filter((rule) => rule.media?.mediaText === "print")
  .map((rule) => { rule.media.mediaText = "all"; })"""


@pytest.fixture(scope="module")
def files(club: View) -> Files:
    """Make the site of the club demo."""
    return build_files([club], templates=templates_folder(), progress=lambda _: None)


@pytest.fixture(scope="module")
def site(files: Files, tmp_path_factory: pytest.TempPathFactory) -> str:
    """Publish the site, and say where."""
    out = tmp_path_factory.mktemp("walk") / "site"
    replace_site(files, out)
    return out.as_uri()


@pytest.fixture(scope="module", params=["firefox", "webkit"])
def browser(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Driven]:
    """Start a browser once."""
    made = Firefox(tmp_path_factory.mktemp("profile")) if request.param == "firefox" else WebKit()
    yield made
    made.close()
    if isinstance(made, Firefox):
        assert made.said == []


def opened(browser: Driven, address: str) -> None:
    """Open a page, and wait until its controls can be used."""
    browser.go(address)
    browser.until("document.querySelector('fieldset:disabled') === null")


def agreed(browser: Driven) -> dict[str, list[object]]:
    """Return what a page says of itself; its address, opened anew, must make it say the same."""
    found, address = browser.look(STATE), browser.look("location.href")
    browser.go("about:blank")
    opened(browser, address)
    shows(browser, found)
    return dict(found)


def shows(browser: Driven, state: dict[str, list[object]]) -> None:
    """Wait until a page says this of itself."""
    end = time.monotonic() + PATIENCE
    while (found := browser.look(STATE)) != state and time.monotonic() < end:
        time.sleep(0.05)
    assert found == state


def survives(browser: Driven, link: str = ".menu a") -> None:
    """See that what is chosen outlasts a reload, and Back after a link, also when done twice."""
    state = agreed(browser)
    browser.reload()
    shows(browser, state)
    for _ in range(2):
        browser.leave(link)
        browser.return_()
        shows(browser, state)


def test_the_first_page_leads_to_the_others(browser: Driven, site: str) -> None:
    opened(browser, f"{site}/index.html")
    assert browser.look("document.querySelector('h1').textContent.length") > 0
    browser.leave("a[href='compare.html']")
    browser.until("document.querySelector('main svg path') !== null")


def test_sliders_stay_where_they_were_moved_to(browser: Driven, site: str) -> None:
    opened(browser, f"{site}/compare.html")
    first, entries = browser.look(STATE), browser.look("history.length")
    browser.focus("#whatif-overrun")
    browser.type(ARROW * 3)
    assert browser.look("history.length") == entries
    moved = browser.look(STATE)
    assert moved["figures"] != first["figures"]
    survives(browser)
    browser.focus("#whatif-fuel")
    browser.type(ARROW)
    keys = "[...new URLSearchParams(location.hash.slice(1)).keys()]"
    assert browser.look(keys) == ["overrun", "fuel"]
    survives(browser)


def test_the_address_follows_however_often_a_slider_moves(browser: Driven, site: str) -> None:
    """WebKit lets a page write its address 100 times in 30 seconds."""
    opened(browser, f"{site}/compare.html")
    values = [str(number % 40) for number in range(0, 1500, 5)]
    browser.look(f"({MOVE}('whatif-overrun', {[*values, '20']}), true)")
    browser.until("location.hash === '#overrun=20'")
    survives(browser)
    browser.look(f"({MOVE}('whatif-overrun', {[*values, '-10']}), true)")
    browser.leave(".menu a")
    browser.return_()
    browser.until("location.hash === '#overrun=-10'")
    agreed(browser)


def test_the_bill_is_that_of_the_hours_in_the_field(browser: Driven, site: str, club: View) -> None:
    opened(browser, f"{site}/bill.html")
    browser.focus("#bill-hours")
    browser.type("33,5")
    bills = bills_by_engine(club)(33.5)
    for option_id, bill in bills.items():
        cell = f"document.querySelector('[data-option={option_id}] [data-figure=total]')"
        total = club.formats.money(rounded_sum(bills["keep"], bill).total)
        assert browser.look(f"{cell}.textContent") == total
    survives(browser)
    browser.focus("#bill-hours")
    browser.type("9000")
    wrong = "Write a number of hours from 0 to 8,760."
    assert browser.look("document.getElementById('bill-status').textContent") == wrong
    assert browser.look(f"{cell}.textContent") == "—"
    browser.type(BACKSPACE)
    assert browser.look("location.hash") == "#hours=900"
    survives(browser)
    browser.focus("#bill-slider")
    browser.type(ARROW)
    survives(browser)


def test_what_is_moved_stands_on_paper_and_the_controls_do_not(
    browser: Driven, site: str, files: Files
) -> None:
    """On Firefox's own print; WebKitGTK's driver prints nothing: there by the print styles."""
    if isinstance(browser, Firefox):
        opened(browser, f"{site}/compare.html#overrun=20")
        pdf = PdfReader(io.BytesIO(base64.b64decode(browser.printed())))
        text = " ".join(" ".join(page.extract_text() for page in pdf.pages).split())
        assert "With Price of every project +20 %" in text
        assert "Back to plan" not in text
        return
    state = PreviewState(templates_folder())
    state.show(files)
    with serving(state, 0) as address:  # a page opened as a file may not look at its styles
        opened(browser, f"{address}compare.html#overrun=20")
        shown = "document.querySelector({!r}).getClientRects().length"
        assert browser.look(shown.format(".controls")) == 1
        browser.look(f"({PRINTED}, true)")
        assert browser.look(shown.format(".controls")) == 0
        assert browser.look(shown.format("#whatif-status")) > 0
        browser.go("about:blank")


def test_the_preview_follows_what_is_put_on_its_shelf(browser: Driven, files: Files) -> None:
    state = PreviewState(templates_folder())
    state.show(files)
    with serving(state, 0) as address:
        opened(browser, f"{address}bill.html#hours=33")
        assert browser.look("document.getElementById('bill-hours').value") == "33"
        state.show({**files, "bill.html": files["bill.html"].replace(b"<h1>", b"<h1>New: ")})
        browser.until("document.querySelector('h1').textContent.startsWith('New: ')")
        browser.until("document.getElementById('bill-hours').value === '33'")
        browser.go("about:blank")


def test_another_site_can_neither_load_nor_frame_nor_open_the_preview(
    browser: Driven, files: Files, tmp_path: Path
) -> None:
    """A page from a file is of another site than the preview."""
    state = PreviewState(templates_folder())
    state.show({**files, "secret.js": b"window.secret = 1;"})
    with serving(state, 0) as address:
        page = tmp_path / "other.html"
        page.write_text(
            f'<script src="{address}secret.js" onload="loaded = 1" onerror="failed = 1"></script>'
            f'<iframe src="{address}index.html"></iframe>'
            f'<a href="{address}index.html">look</a>'
        )
        browser.go(page.as_uri())
        browser.until("window.failed === 1")
        assert browser.look("[window.secret ?? 0, window.loaded ?? 0]") == [0, 0]
        if isinstance(browser, Firefox):  # says what it keeps from a page, and by which header
            assert any("Cross-Origin-Resource-Policy" in each for each in browser.said)
            assert any("frame-ancestors" in each for each in browser.said)
            browser.said.clear()
        browser.look("(document.querySelector('a').click(), true)")
        browser.until("location.protocol === 'http:' && document.readyState === 'complete'")
        assert "answers no other site" in browser.look("document.body.textContent")
        browser.go("about:blank")
