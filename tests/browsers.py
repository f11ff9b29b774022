"""Chromium for the browser tests: how a page is opened, and what axe finds wrong with it."""

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

CLUB = "quillmeadow-club"
COLOUR_RULES = ("color-contrast", "link-in-text-block")
AXE = Axe().axe_script
# Only violations are sent back: what is in order takes as long to write down as to find.
RUN = """(rules) => axe.run(document, {
  resultTypes: ["violations"],
  ...(rules ? { runOnly: { type: "rule", values: rules } } : {}),
}).then((found) => found.violations.map((each) => [each.id, each.nodes[0].html.slice(0, 200)]))"""


def opened(browser: Browser, path: Path, width: int = 1280, **context: object) -> Page:
    """Open a page of a site from its file, noting what it says and asks for."""
    page = browser.new_context(viewport={"width": width, "height": 900}, **context).new_page()
    page.said, page.asked = [], []
    page.on("console", lambda message: page.said.append(message.text))
    page.on("pageerror", lambda error: page.said.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.goto(path.as_uri())
    page.wait_for_selector("html:not(.is-waiting)")  # its fonts are there: it can be read
    return page


def violations(page: Page, rules: tuple[str, ...] | None = None) -> list[list[str]]:
    """Run axe-core's rules on a page as it is now: all, or those named. WCAG 2.2 AA and more."""
    if page.evaluate("() => typeof axe === 'undefined'"):
        page.evaluate(AXE)
    found: list[list[str]] = page.evaluate(RUN, rules and list(rules))
    return found
