"""How much a page loads before it can be read: under 100 KB, its charts within it."""

import re
from pathlib import PurePosixPath

from panelworth.publishing.site.folder import Files

MOST = 100_000  # bytes, unpacked: many a static host packs nothing


def resolved(page: str, link: str) -> str:
    """Return the site path of a link on a page."""
    parts: list[str] = []
    for part in (PurePosixPath(page).parent / link).parts:
        parts = parts[:-1] if part == ".." else [*parts, part]
    return "/".join(parts)


def loaded(page: str, text: str) -> list[str]:
    """Return what a page loads at once: itself with its pictures, style, scripts."""
    styles = re.findall(r'<link rel="stylesheet" href="([^"]+)">', text)  # not those for print
    scripts = re.findall(r'<script src="([^"]+)"', text)
    return [page, *(resolved(page, each) for each in (*styles, *scripts))]


def fonts(files: Files) -> list[str]:
    """Return the fonts that every page needs: those declared for letters of any kind."""
    rules = re.findall(r"@font-face ?{[^}]*}", files["assets/fonts.css"].decode())
    always = [rule for rule in rules if "unicode-range" not in rule and "local(" not in rule]
    return [f"assets/{found}" for rule in always for found in re.findall(r'url\("([^"]+)"', rule)]


def test_the_first_view_of_every_page_takes_less_than_100_kb(files: Files) -> None:
    sizes = {
        name: sum(len(files[each]) for each in [*loaded(name, content.decode()), *fonts(files)])
        for name, content in files.items()
        if name.endswith(".html")
    }
    assert len(sizes) > 20
    assert len(fonts(files)) == 3
    assert {name: size for name, size in sizes.items() if size >= MOST} == {}


def test_no_page_needs_a_file_for_its_charts(files: Files) -> None:
    for name, content in files.items():
        if name.endswith(".html"):
            assert b"data-picture" not in content, name
            assert not re.search(rb'<img[^>]*src="charts/', content), name


def test_charts_take_the_page_s_colours_and_fonts(files: Files) -> None:
    charts = [
        chart
        for name, content in files.items()
        if name.endswith(".html")
        for chart in re.findall(r'<svg[^>]*class="drawn".*?</svg>', content.decode(), re.DOTALL)
    ]
    assert len(charts) > 5
    for chart in charts:
        assert "var(--ink)" in chart or "var(--soft)" in chart
        assert not re.search(r"#[0-9a-f]{6}", chart)
        assert "font-family" not in chart
