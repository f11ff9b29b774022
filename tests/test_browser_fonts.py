"""The bundled fonts in Chromium: used from a folder, the second part only where it is needed."""

import io
import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from panelworth import templates_folder
from panelworth.publishing.charts import axes as charts
from panelworth.publishing.charts.rendering import rendered
from panelworth.publishing.fonts import FAMILY, HEADS
from panelworth.publishing.site.files import assets

ENGLISH = "A member’s bill: +$9,277 − “8 in 10” · 3 × 4 °"
POLISH = "Zażółć gęślą jaźń, 4 500,00 zł"
FIRST = {"heads.woff2", "strong.woff2", "text.woff2"}
REST = {"heads-more.woff2", "strong-more.woff2", "text-more.woff2"}
PICTURE = {
    "data": {"values": [{"x": "A word"}, {"x": "Słowo"}]},
    "mark": "bar",
    "encoding": {"x": {"field": "x"}},
    "config": charts.theme(),
}
POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the assets of a site, and a page in each of two languages."""
    out = tmp_path_factory.mktemp("fonts")
    for name, content in assets(templates_folder()).items():
        path = out / "site" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    picture = charts.for_page("a", rendered(json.dumps(PICTURE)))
    styles = ("fonts", "style")
    links = "".join(f'<link rel="stylesheet" href="../assets/{each}.css">' for each in styles)
    for name, words, shown in (("english", ENGLISH, ""), ("polish", POLISH, picture)):
        page = out / "site" / "club" / f"{name}.html"
        page.parent.mkdir(exist_ok=True)
        page.write_text(
            f'<!DOCTYPE html><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" '
            f'content="{POLICY}">{links}<script src="../assets/fonts.js"></script><title>A</title>'
            f"<h1>{words}</h1><p>{words} <b>{words}</b></p>{shown}"
        )
    return out / "site" / "club"


def families(pdf: bytes) -> set[str]:
    """Return the families of the fonts in a printed page."""
    names = {
        str(found.get_object()["/BaseFont"])
        for page in PdfReader(io.BytesIO(pdf)).pages
        for found in page["/Resources"]["/Font"].values()
    }
    return {re.sub(r"^/\w{6}\+|(?:SemiBold|Regular)$", "", name) for name in names}


@pytest.mark.parametrize(("name", "asked_for"), [("english", FIRST), ("polish", FIRST | REST)])
def test_a_page_is_set_in_the_sites_fonts_and_loads_what_its_letters_need(
    chromium: Browser, folder: Path, name: str, asked_for: set[str]
) -> None:
    page = chromium.new_page()
    said, asked = [], set()
    page.on("console", lambda message: said.append(message.text))
    page.on("request", lambda request: asked.add(request.url.rpartition("/")[2]))
    page.goto((folder / f"{name}.html").as_uri())
    page.locator("h1").wait_for()
    assert {each for each in asked if each.endswith(".woff2")} == asked_for
    ours = {each.replace(" ", "") for each in (HEADS, FAMILY)}
    assert families(page.pdf()) == ours
    assert said == []
    page.close()


@pytest.mark.parametrize("script", [True, False])
def test_a_page_whose_fonts_do_not_come_is_shown_all_the_same(
    chromium: Browser, folder: Path, *, script: bool
) -> None:
    page = chromium.new_context(java_script_enabled=script).new_page()
    page.route("**/*.woff2", lambda route: route.abort())
    page.goto((folder / "english.html").as_uri())
    page.locator("h1").wait_for(state="visible")
    page.context.close()


def test_a_page_whose_fonts_take_too_long_is_shown_without(chromium: Browser, folder: Path) -> None:
    page, waiting = chromium.new_context().new_page(), []
    page.route("**/*.woff2", lambda route: waiting.append(route))  # noqa: PLW0108
    page.goto((folder / "english.html").as_uri(), wait_until="domcontentloaded")
    assert not page.locator("h1").is_visible()
    page.locator("h1").wait_for(state="visible")
    for each in waiting:
        each.abort()
    page.context.close()
