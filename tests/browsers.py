"""Chromium for the browser tests: where the site is, and how one of its pages is opened."""

from pathlib import Path

from playwright.sync_api import Browser, Page

SITE = Path(__file__).parents[1] / "site"
PAGES = sorted(path.relative_to(SITE).as_posix() for path in SITE.rglob("*.html"))
CLUB = "quillmeadow-club"


def opened(browser: Browser, name: str, width: int = 1280, **context: object) -> Page:
    """Open a page of the site from its file, noting what it says and asks for."""
    page = browser.new_context(viewport={"width": width, "height": 900}, **context).new_page()
    page.said, page.asked = [], []
    page.on("console", lambda message: page.said.append(message.text))
    page.on("pageerror", lambda error: page.said.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    page.goto((SITE / name).as_uri())
    page.wait_for_selector("html:not(.is-waiting)")  # its fonts are there: it can be read
    return page
