"""Chromium for the browser tests: how a page is opened, and what axe finds wrong with it."""

from pathlib import Path
from shutil import which

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

# The one without windows shows a page in a third of the time.
CHROMIUM = which("chromium-headless-shell") or which("chromium") or "/usr/bin/chromium"
CLUB = "quillmeadow-club"
COLOUR_RULES = ("color-contrast", "link-in-text-block")
TABS: dict[tuple[object, ...], Page] = {}
AXE = Axe().axe_script
# Only violations are sent back: what is in order takes as long to write down as to find.
RUN = """(rules) => axe.run(document, {
  resultTypes: ["violations"],
  ...(rules ? { runOnly: { type: "rule", values: rules } } : {}),
}).then((found) => found.violations.map((each) => [each.id, each.nodes[0].html.slice(0, 200)]))"""


def opened(
    browser: Browser, path: Path | str, width: int = 1280, height: int = 900, **context: object
) -> Page:
    """Open a page of a site from its file, or any address, noting what it says and asks for.

    One tab is kept for each kind of context: to make one takes as long as to show a page. A site
    keeps nothing from page to page but in addresses, which its own tests hold it to.
    """
    page = tab(browser, **context)
    page.goto("about:blank")  # so that what follows is not a jump within the page that was there
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(media="null", color_scheme="null")
    page.said, page.asked = [], []
    page.goto(path if isinstance(path, str) else path.as_uri())
    page.wait_for_selector("html:not(.is-waiting)")  # its fonts are there: it can be read
    return page


def tab(browser: Browser, **context: object) -> Page:
    """Return the tab of a kind of context."""
    key = (browser, *sorted(context.items()))
    if key not in TABS:
        TABS[key] = page = browser.new_context(**context).new_page()
        page.said, page.asked = [], []
        page.on("console", lambda message: page.said.append(message.text))
        page.on("pageerror", lambda error: page.said.append(str(error)))
        page.on("request", lambda request: page.asked.append(request.url))
    return TABS[key]


def violations(page: Page, rules: tuple[str, ...] | None = None) -> list[list[str]]:
    """Run axe-core's rules on a page as it is now: all, or those named. WCAG 2.2 AA and more."""
    if page.evaluate("() => typeof axe === 'undefined'"):
        page.evaluate(AXE)
    found: list[list[str]] = page.evaluate(RUN, rules and list(rules))
    return found
