"""What links show, the site as one archive, and the summary for e-mail."""

import io
import textwrap
import xml.etree.ElementTree as ET
import zipfile
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from panelworth.publishing.pages.answer import answer_page
from panelworth.publishing.site.files import broken_links
from panelworth.publishing.site.folder import Files
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.site.sharing import absolute_address, address_problems, description_of
from panelworth.publishing.site.site_archive import ARCHIVE, FOLDER, archive_of
from panelworth.publishing.terminal.brief import WIDTH, brief
from panelworth.publishing.view import View
from panelworth.publishing.words import answer_words, handout_words
from panelworth.publishing.words.answer_words import heads

ADDRESS = "https://club.example/panel"
NAMESPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


def quietly(_: str) -> None:
    """Say nothing of the progress."""


class _Head(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "meta" and (name := given.get("property") or given.get("name")):
            self.found[name] = given.get("content") or ""
        if tag == "link" and given.get("rel") == "canonical":
            self.found["canonical"] = given.get("href") or ""


def head_of(page: bytes) -> dict[str, str]:
    """Return a page's meta elements and canonical address by name."""
    reader = _Head()
    reader.feed(page.decode())
    return reader.found


def pages(files: Files) -> list[str]:
    """Return the names of a site's pages."""
    return sorted(name for name in files if name.endswith(".html"))


def test_every_page_says_what_it_says_in_its_first_sentences(files: Files, club: View) -> None:
    for name in pages(files):
        head = head_of(files[name])
        assert 20 < len(head["description"]) <= 400
        assert head["og:description"] == head["description"]
        assert head["og:title"]
    told = head_of(files["quillmeadow-club/airplane.html"])["description"]
    assert told.startswith("What fails, weighs, draws, falls due? Refit all meets most of it")
    front = head_of(files["quillmeadow-club/index.html"])
    assert front["description"].startswith(club.case.scenario.question)


def test_a_description_ends_with_a_whole_sentence(club: View) -> None:
    for page in pages_of(club):
        text = description_of(page)
        assert text == page.description or text[-1] in ".?)"


def test_without_an_address_a_page_names_no_place(files: Files) -> None:
    """Open Graph protocol, ogp.me: og:url is an address, so absolute_address."""
    for name in pages(files):
        assert not {"canonical", "og:url"} & set(head_of(files[name]))
    assert "sitemap.xml" not in files


def test_with_an_address_each_page_names_its_place(addressed: Files) -> None:
    for name in pages(addressed):
        head = head_of(addressed[name])
        assert head["canonical"] == head["og:url"] == absolute_address(ADDRESS, name)


def test_an_address_changes_nothing_else(files: Files, addressed: Files) -> None:
    same = set(files) - set(pages(files)) - {ARCHIVE}
    assert [name for name in sorted(same) if files[name] != addressed[name]] == []


def test_the_site_map_lists_every_page(addressed: Files) -> None:
    """Protocol of sitemaps.org: urlset, url, loc, absolute_address addresses."""
    root = ET.fromstring(addressed["sitemap.xml"])  # noqa: S314 (our own)
    assert root.tag == f"{NAMESPACE}urlset"
    found = [each.text for each in root.iter(f"{NAMESPACE}loc")]
    assert found == [absolute_address(ADDRESS, name) for name in pages(addressed)]


@pytest.mark.parametrize("address", ["", ADDRESS, f"{ADDRESS}/", "http://192.0.2.7:8080/a%20b"])
def test_addresses_that_can_be_used(address: str) -> None:
    assert address_problems(address) == []


@pytest.mark.parametrize(
    "address",
    [
        *("club.example", "/panel", "ftp://club.example", "https://", "https://[", "https://a b"),
        *("https://club.example/?a=1", "https://club.example/#top", "javascript:alert(1)"),
    ],
)
def test_addresses_that_cannot_be_used(address: str) -> None:
    [problem] = address_problems(address)
    assert problem.key == "--address"
    assert problem.found == f'"{address}"'


def test_the_archived_site_is_whole_and_leads_nowhere_outside(files: Files) -> None:
    archive = zipfile.ZipFile(io.BytesIO(files[ARCHIVE]))
    assert archive.testzip() is None
    inside = {name.removeprefix(FOLDER): archive.read(name) for name in archive.namelist()}
    assert sorted(inside) == list(inside)
    assert broken_links(inside) == []
    assert pages(inside) == pages(files)
    assert ARCHIVE not in inside
    assert not [name for name, page in inside.items() if ARCHIVE.encode() in page]
    for name, content in inside.items():
        assert name.endswith(".html") or content == files[name]


def test_the_archive_tells_no_time_and_is_the_same_each_time(files: Files) -> None:
    first = archive_of(files)
    backwards = dict(reversed(files.items()))
    assert archive_of(backwards) == first == files[ARCHIVE]
    for entry in zipfile.ZipFile(io.BytesIO(first)).infolist():
        assert entry.date_time == (1980, 1, 1, 0, 0, 0)
        assert entry.create_system == 3


def test_it_is_offered_on_the_first_page_and_with_the_other_downloads(files: Files) -> None:
    assert 'href="site.zip"' in files["index.html"].decode()
    assert 'href="../site.zip"' in files["quillmeadow-club/inputs.html"].decode()
    assert broken_links(files) == []


def test_the_summary_fits_a_line_of_72_characters(club: View, owner: View) -> None:
    for view in (club, owner):
        assert max(map(len, brief(view).splitlines())) <= WIDTH == 72


def test_the_summary_tells_of_each_option_what_its_row_on_the_front_tells(club: View) -> None:
    flat = " ".join(brief(club).split())
    for row in answer_page(club).content["rows"]:
        assert f"{row['tell']['count']} {row['tell']['rest']}".strip() in flat
        assert row["warn"] in flat
        assert handout_words.granted(club, row["option"]) in flat
        assert row["option"].title.upper() in flat


def test_the_summary_says_what_is_asked_what_decides_and_who_decides(
    club: View, owner: View
) -> None:
    for view in (club, owner):
        flat = " ".join(brief(view).split())
        assert view.case.scenario.question in flat
        assert all(head.upper() in flat for head, _ in heads(view))
        assert answer_words.decides(view) in flat
        assert "ask your accountant, insurer and lender first" in flat
        assert "The maker's data takes precedence" in flat


def test_the_summary_names_where_the_rest_is_only_if_that_is_known(club: View) -> None:
    assert "http" not in brief(club)
    assert brief(club, ADDRESS).endswith(f"ALL OF IT\n- {ADDRESS}\n")


def test_the_summary_keeps_a_long_address_whole(club: View) -> None:
    long = f"https://club.example/{'a-very-long-path-' * 6}"
    assert f"- {long}\n" in brief(club, long)


def test_the_summary_lets_no_text_break_out_of_its_line(club: View) -> None:
    scenario = club.case.scenario.model_copy(update={"question": "One?\n\nFROM\x1b[2J: else"})
    case = replace(club.case, scenario=scenario)
    text = brief(replace(club, case=case))
    assert textwrap.fill("One? FROM [2J: else") in text
    assert text.replace("\n", "").isprintable()
