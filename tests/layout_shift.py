"""What a page does while it opens, as Chromium's PerformanceObserver tells it."""

from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser

PAUSE = 800  # milliseconds for charts to come alive
WATCH = """
window.seen = { shift: 0, largest: 0 };
new PerformanceObserver((list) => {
  for (const each of list.getEntries()) if (!each.hadRecentInput) window.seen.shift += each.value;
}).observe({ type: "layout-shift", buffered: true });
new PerformanceObserver((list) => {
  for (const each of list.getEntries()) window.seen.largest = each.startTime;
}).observe({ type: "largest-contentful-paint", buffered: true });
"""


@dataclass(frozen=True, kw_only=True)
class Opening:
    """Layout shift (a score), largest contentful paint (ms), and what was asked for by then."""

    shift: float
    largest: float
    asked: tuple[str, ...]


def opening(browser: Browser, page_file: Path, width: int, *, scrolled: bool = True) -> Opening:
    """Open a page from its file, scroll down it as a reader would, and say what moved."""
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.add_init_script(WATCH)
    page.goto(page_file.as_uri())
    page.wait_for_load_state("networkidle")
    at_first = tuple(asked)
    for _ in range(page.evaluate("document.body.scrollHeight") // 700 if scrolled else 0):
        page.mouse.wheel(0, 700)
        page.wait_for_timeout(60)
    page.wait_for_timeout(PAUSE)
    seen = page.evaluate("window.seen")
    context.close()
    return Opening(shift=seen["shift"], largest=seen["largest"], asked=at_first)
