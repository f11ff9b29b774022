"""Handout and ballot in Chromium: on paper, on a phone, for axe, and for a phone's camera."""

import io
import shutil
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from airplane_views import text_of
from browsers import COLOUR_RULES, opened, violations
from panelworth import read, templates_folder, views
from panelworth.publishing.site.files import assets
from strategies import write_folder

SCENARIOS = Path(__file__).parents[1] / "scenarios"
CLUB, OWNER = "quillmeadow-club", "brackenholt-owner"
ADDRESS = "https://club.example/panel"
PAGES = (f"{CLUB}/handout.html", f"{CLUB}/ballot.html", f"{OWNER}/handout.html")
PAPERS = ("Letter", "A4")


@pytest.fixture(scope="module")
def site(addressed_site: Path) -> Path:
    """Return the site of both demos that was built for an address."""
    return addressed_site


def printed(browser: Browser, path: Path, paper: str) -> list[str]:
    """Print a page, in the site's own fonts; return the words of each sheet."""
    page = opened(browser, path)
    sheets = PdfReader(io.BytesIO(page.pdf(format=paper))).pages
    fonts = [each for sheet in sheets for each in sheet["/Resources"]["/Font"].values()]
    assert all("Panelworth" in each.get_object()["/BaseFont"] for each in fonts)
    return [sheet.extract_text() for sheet in sheets]


def with_options(folder: Path, count: int) -> Path:
    """Write the club demo's papers with so many options, the added ones copies of a refit."""
    scenario = folder / "club"
    shutil.copytree(SCENARIOS / CLUB, scenario)
    text = (scenario / "options" / "part.toml").read_text()
    for number in range(count - 4):
        title = f'title = "Refit part of it at shop number {number + 2}"'
        (scenario / "options" / f"more-{number}.toml").write_text(
            text.replace('title = "Refit part of it near home"', title)
        )
    case, problems = read(scenario)
    assert case is not None, problems
    assert len(case.options) == count
    [view] = views([case], trials=200, address=ADDRESS)
    files = {name: text_of(view, name).encode() for name in ("handout.html", "ballot.html")}
    return write_folder(folder / "papers", files | assets(templates_folder()))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", [CLUB, OWNER])
def test_a_handout_prints_on_two_sheets(
    chromium: Browser, site: Path, name: str, paper: str
) -> None:
    first, second = printed(chromium, site / name / "handout.html", paper)
    assert "Decide by" in first
    assert "What to" in second
    assert "Who decides" in second


@pytest.mark.parametrize("paper", PAPERS)
def test_a_ballot_prints_on_one_sheet(chromium: Browser, site: Path, paper: str) -> None:
    [sheet] = printed(chromium, site / CLUB / "ballot.html", paper)
    assert "Write no name" in sheet
    assert "For those who count" not in sheet


def test_five_options_print_on_two_sheets(chromium: Browser, tmp_path: Path) -> None:
    folder = with_options(tmp_path, 5)
    for paper in PAPERS:
        assert len(printed(chromium, folder / "handout.html", paper)) == 2
        assert len(printed(chromium, folder / "ballot.html", paper)) == 1


def uncut(page: Page) -> list[str]:
    """Return the parts of a page that printing may cut in two."""
    page.emulate_media(media="print")
    return page.evaluate(
        "() => [...document.querySelectorAll('main :is(tr, li, .says > div)')]"
        ".filter(each => getComputedStyle(each).breakInside !== 'avoid')"
        ".map(each => each.outerHTML.slice(0, 80))"
    )


def test_many_options_take_more_sheets_and_cut_no_row(chromium: Browser, tmp_path: Path) -> None:
    folder = with_options(tmp_path, 12)
    sheets = printed(chromium, folder / "handout.html", "Letter")
    assert len(sheets) > 2
    page = chromium.new_page()
    for name in ("handout.html", "ballot.html"):
        page.goto((folder / name).as_uri())
        assert uncut(page) == []
    page.close()


def test_a_camera_reads_the_address_off_the_handout(chromium: Browser, site: Path) -> None:
    """Read by ZXing, a library that has nothing to do with the one that draws the code."""
    page = chromium.new_page(viewport={"width": 1280, "height": 900}, color_scheme="dark")
    page.goto((site / CLUB / "handout.html").as_uri())
    picture = Image.open(io.BytesIO(page.locator(".code img").screenshot()))
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [f"{ADDRESS}/{CLUB}/"]
    page.close()


@pytest.mark.parametrize("name", PAGES)
def test_the_pages_fit_a_small_phone_and_axe_finds_nothing(
    chromium: Browser, site: Path, name: str
) -> None:
    page = opened(chromium, site / name, width=320)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 320
    assert page.said == []
    assert [url for url in page.asked if not url.startswith(("file:", "data:"))] == []
    assert violations(page) == []
    page.emulate_media(color_scheme="dark")
    assert violations(page, COLOUR_RULES) == []


def test_every_page_s_foot_leads_to_both(chromium: Browser, site: Path) -> None:
    page = chromium.new_page()
    page.goto((site / CLUB / "index.html").as_uri())
    page.get_by_role("contentinfo").get_by_role("link", name="Handout").click()
    assert page.url.endswith("handout.html")
    page.get_by_role("contentinfo").get_by_role("link", name="Ballot").click()
    assert page.url.endswith("ballot.html")
    page.close()


@pytest.mark.parametrize("paper", PAPERS)
def test_the_front_page_prints_on_one_sheet_without_its_controls(
    chromium: Browser, site: Path, paper: str
) -> None:
    [sheet] = printed(chromium, site / CLUB / "index.html", paper)
    assert "Decide by" in sheet
    assert "Skip to" not in sheet
    assert "Your hours, your month" not in sheet  # a door to another page
