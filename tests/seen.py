"""A page of the site as Chromium shows it: opened once, and measured for all tests that ask."""

from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page

from browsers import opened, violations

SMALL_PHONE, PHONE = (320, 740), (360, 740)
ZOOMED = (640, 450)  # a window of 1280 zoomed to 200 % is 640 wide in CSS
# The words of `main` as they are seen, without cautions and without what is folded.
WORDS = """() => {
  for (const each of document.querySelectorAll(".caution, details > :not(summary)")) each.remove();
  return document.getElementById("main").innerText.split(/\\s+/).filter(Boolean).length;
}"""
SCREENS = "() => document.documentElement.scrollHeight / innerHeight"
LETTERS = "(size) => document.documentElement.style.setProperty('font-size', size)"
SIDEWAYS = "() => document.documentElement.scrollWidth - innerWidth"
SMALL = """() => [...document.querySelectorAll("nav a, button, input, select, .next, .doors a")]
  .map((each) => [each.getBoundingClientRect(), each])
  .filter(([box, each]) => each.checkVisibility() && box.bottom > 0)
  .filter(([box]) => box.width < 24 || box.height < 24)
  .map(([box, each]) => `${each.outerHTML.slice(0, 80)} ${box.width} x ${box.height}`)"""
PARTS = """() => ({
  lang: document.documentElement.lang,
  title: document.title,
  firsts: document.querySelectorAll("h1").length,
  mains: document.querySelectorAll("main").length,
  levels: [...document.querySelectorAll("h1, h2, h3, h4")].map((each) => +each.tagName[1]),
  last: document.querySelector("main > :last-child").className,
})"""


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What was found of a page.

    `said`: its console; `asked`: addresses; `violations` by axe, by what was set; `sideways`: CSS
    pixels that cannot be seen without scrolling, by what was set; `small`: what is pressed and is
    under 24 pixels; `screens` and `words`: its length on a phone; `parts`: see PARTS.
    """

    said: list[str]
    asked: list[str]
    violations: dict[str, list[list[str]]]
    sideways: dict[str, int]
    small: list[str]
    screens: float
    words: int
    parts: dict[str, object]


def seen_of(browser: Browser, path: Path, *, thorough: bool) -> Seen:
    """Open a page on a phone, then set it to other widths; thorough: in both schemes at each.

    Otherwise axe runs on a small phone in light and on a zoomed desk in dark: each width and each
    scheme is met once.
    """
    page = opened(browser, path, *PHONE)
    small = page.evaluate(SMALL)
    screens, parts = page.evaluate(SCREENS), page.evaluate(PARTS)
    page.evaluate(LETTERS, "200%")
    sideways = {"letters twice as large": page.evaluate(SIDEWAYS)}
    page.evaluate(LETTERS, "")
    sized(page, SMALL_PHONE)
    sideways["small phone"] = page.evaluate(SIDEWAYS)
    said, asked = [*page.said], [*page.asked]  # axe will ask for more
    found = {"small phone": violations(page)}
    page.emulate_media(color_scheme="dark")
    if thorough:
        found["small phone, dark"] = violations(page)
    sized(page, ZOOMED)
    found["zoomed, dark"] = violations(page)
    sideways["zoomed"] = page.evaluate(SIDEWAYS)
    if thorough:
        page.emulate_media(color_scheme="light")
        found["zoomed"] = violations(page)
    sized(page, PHONE)
    words = page.evaluate(WORDS)
    return Seen(
        said=said,
        asked=asked,
        violations=found,
        sideways=sideways,
        small=small,
        screens=screens,
        words=words,
        parts=parts,
    )


def sized(page: Page, size: tuple[int, int]) -> None:
    """Give a page's window another size."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
