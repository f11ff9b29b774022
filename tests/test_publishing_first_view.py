"""How much a page loads before it can be read: under 100 KB, the chart library left for later."""

import re
from pathlib import PurePosixPath

import pytest

from panelworth import templates_folder
from panelworth.publishing.drawing import LIBRARY
from panelworth.publishing.gathering import gather
from panelworth.publishing.site import Files
from panelworth.publishing.view import View

MOST = 100_000  # bytes, unpacked: many a static host packs nothing
AT_ONCE = 2  # stills that a browser may load for a view 900 pixels high, and what is just below


@pytest.fixture(scope="module")
def site(owner: View, club: View) -> Files:
    """Make the site of both demos."""
    return gather([owner, club], templates=templates_folder(), progress=lambda _: None)


def resolved(page: str, link: str) -> str:
    """Return the site path of a link on a page."""
    parts: list[str] = []
    for part in (PurePosixPath(page).parent / link).parts:
        parts = parts[:-1] if part == ".." else [*parts, part]
    return "/".join(parts)


def loaded(page: str, text: str) -> list[str]:
    """Return what a page loads at once: itself, style, scripts, the first pictures."""
    styles = re.findall(r'<link rel="stylesheet" href="([^"]+)"', text)
    scripts = re.findall(r'<script src="([^"]+)"', text)
    stills = re.findall(r'<img class="chart-still has-dark" src="([^"]+)"', text)
    return [page, *(resolved(page, each) for each in (*styles, *scripts, *stills[:AT_ONCE]))]


def fonts(site: Files) -> list[str]:
    """Return the fonts that every page needs: those declared for letters of any kind."""
    rules = re.findall(r"@font-face ?{[^}]*}", site["assets/fonts.css"].decode())
    always = [rule for rule in rules if "unicode-range" not in rule and "local(" not in rule]
    return [f"assets/{found}" for rule in always for found in re.findall(r'url\("([^"]+)"', rule)]


def test_the_first_view_of_every_page_takes_less_than_100_kb(site: Files) -> None:
    sizes = {
        name: sum(len(site[each]) for each in [*loaded(name, content.decode()), *fonts(site)])
        for name, content in site.items()
        if name.endswith(".html")
    }
    assert len(sizes) > 40
    assert len(fonts(site)) == 3
    assert {name: size for name, size in sizes.items() if size >= MOST} == {}


def test_no_page_loads_the_chart_library_or_a_specification_before_a_chart_comes_near(
    site: Files,
) -> None:
    later = [LIBRARY, *(name for name in site if "/charts/" in name and name.endswith(".js"))]
    assert len(later) > 40
    for name, content in site.items():
        if name.endswith(".html"):
            assert not set(loaded(name, content.decode())) & set(later)


def test_pictures_wait_and_keep_their_place(site: Files) -> None:
    screens = [name for name in site if name.endswith(".html") and "handout" not in name]
    for name in screens:  # a handout's pictures are there at once, for whoever prints it
        for tag in re.findall(rb"<img [^>]*>", site[name]):
            assert b'loading="lazy"' in tag
            assert re.search(rb' height="\d+"', tag)


def test_each_chart_hands_its_specification_over_under_its_name(site: Files) -> None:
    for name, content in site.items():
        if name.endswith(".js") and "/charts/" in name and "themes" not in name:
            chart = PurePosixPath(name).stem
            start = f'(window.chartSpecs ??= {{}})["{chart}"] = {{'
            assert content.decode().startswith(start)
