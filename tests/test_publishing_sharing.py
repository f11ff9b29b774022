"""What links show, the site to carry along, and the summary for e-mail."""

import io
import struct
import textwrap
import time
import xml.etree.ElementTree as ET
import zipfile
from dataclasses import replace
from html.parser import HTMLParser

import pytest
import vl_convert
from PIL import Image

from panelworth import templates_folder
from panelworth.publishing.charts import rendering as pencil
from panelworth.publishing.formats import day
from panelworth.publishing.pages.answer import answer_page
from panelworth.publishing.site import link_cards as cards
from panelworth.publishing.site import site_archive as carried
from panelworth.publishing.site.folder import Files
from panelworth.publishing.site.gathering import broken_links
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.site.link_cards import card_of
from panelworth.publishing.site.sharing import absolute, description_of, unfit_address
from panelworth.publishing.terminal.brief import WIDTH, brief
from panelworth.publishing.view import View
from panelworth.publishing.words import handout_words, level_words
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.dates_words import order_day

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


def test_without_an_address_a_page_names_no_picture_and_no_place(files: Files) -> None:
    """Open Graph protocol, ogp.me: og:image and og:url are addresses, so absolute."""
    for name in pages(files):
        assert not {"canonical", "og:url", "og:image"} & set(head_of(files[name]))
    assert not [name for name in files if name.endswith((".png", ".xml"))]


def test_with_an_address_each_page_names_its_place_and_a_picture_of_the_site(
    addressed: Files,
) -> None:
    for name in pages(addressed):
        head = head_of(addressed[name])
        assert head["canonical"] == head["og:url"] == absolute(ADDRESS, name)
        assert head["og:image"].removeprefix(f"{ADDRESS}/") in addressed
        assert head["og:image:alt"]


def test_only_pages_with_something_to_show_have_a_card_of_their_own(addressed: Files) -> None:
    own = {name for name in addressed if name.startswith("brackenholt-owner/cards/")}
    kinds = ("index", "compare", "risk", "dates", "option-keep", "option-newer", "option-refit")
    assert own == {f"brackenholt-owner/cards/{kind}.png" for kind in kinds}
    image = head_of(addressed["brackenholt-owner/airplane.html"])["og:image"]
    assert image.endswith("brackenholt-owner/cards/index.png")


def test_an_address_changes_nothing_else(files: Files, addressed: Files) -> None:
    same = set(files) - set(pages(files)) - {"drawn.json", carried.NAME}
    assert [name for name in sorted(same) if files[name] != addressed[name]] == []


def test_cards_are_of_the_size_that_is_said_and_small(addressed: Files) -> None:
    """PNG specification (ISO/IEC 15948), 11.2.2: width and height begin the header."""
    for name, content in addressed.items():
        if name.endswith(".png"):
            assert content[:8] == b"\x89PNG\r\n\x1a\n"
            assert struct.unpack(">II", content[16:24]) == (1200, 630)
            assert len(content) < 80_000


def test_a_card_s_file_is_made_smaller_and_shows_the_same(club: View) -> None:
    before = vl_convert.svg_to_png(card_of(club, answer_page(club)))
    after = pencil.repacked(before)
    assert len(after) < len(before) / 2
    assert Image.open(io.BytesIO(after)).tobytes() == Image.open(io.BytesIO(before)).tobytes()
    assert pencil.repacked(before) == after


def test_a_card_shows_the_figures_of_its_page(club: View) -> None:
    shown = {page.file: card_of(club, page) for page in pages_of(club)}
    for tag in club.others:
        gap = club.formats.change(level_words.net_benefit(club, tag))
        for file in ("index.html", tag.href):
            assert gap in str(shown[file])
        share = level_words.ahead_share(club, tag, club.baseline)
        assert level_words.futures(share) in str(shown["risk.html"])
        ordered = order_day(club, tag)
        assert ordered
        assert day(ordered) in str(shown["dates.html"])


def test_a_card_cuts_what_finds_no_room_and_stays_well_formed() -> None:
    long = "A title <with> & so many words that no picture of this size could hold it, " * 4
    rows = [cards.Row(label=long, figure="$1,000,000", number=8)] * 6
    made = cards.drawn(cards.Content(over=long, headline=long, note=long, rows=rows, foot="Foot."))
    texts = ["".join(each.itertext()) for each in ET.fromstring(made).iter() if each.text]  # noqa: S314
    assert any(text.startswith("And 2 more. Foot.") for text in texts)
    assert sum("…" in text for text in texts) == 7
    assert max(map(len, texts)) < 120


def test_a_card_takes_no_character_that_a_picture_cannot_hold() -> None:
    """XML 1.0, 2.2: most control characters may not be there."""
    told = cards.Content(over="", headline="One\x0b\x00two", note="", rows=[], foot="")
    assert "One two" in ET.fromstring(cards.drawn(told)).itertext()  # noqa: S314 (our own)


def test_the_cards_have_the_look_of_the_pages() -> None:
    css = (templates_folder() / "assets" / "style" / "1-ground.css").read_text()
    assert f"--paper: {cards.PAPER};" in css
    assert f"--accent: {cards.ACCENT};" in css


def test_the_site_map_lists_every_page(addressed: Files) -> None:
    """Protocol of sitemaps.org: urlset, url, loc, absolute addresses."""
    root = ET.fromstring(addressed["sitemap.xml"])  # noqa: S314 (our own)
    assert root.tag == f"{NAMESPACE}urlset"
    found = [each.text for each in root.iter(f"{NAMESPACE}loc")]
    assert found == [absolute(ADDRESS, name) for name in pages(addressed)]


@pytest.mark.parametrize("address", ["", ADDRESS, f"{ADDRESS}/", "http://192.0.2.7:8080/a%20b"])
def test_addresses_that_can_be_used(address: str) -> None:
    assert unfit_address(address) == []


@pytest.mark.parametrize(
    "address",
    [
        *("club.example", "/panel", "ftp://club.example", "https://", "https://[", "https://a b"),
        *("https://club.example/?a=1", "https://club.example/#top", "javascript:alert(1)"),
    ],
)
def test_addresses_that_cannot_be_used(address: str) -> None:
    [problem] = unfit_address(address)
    assert problem.key == "--address"
    assert problem.found == f'"{address}"'


def test_the_carried_site_is_whole_and_leads_nowhere_outside(files: Files) -> None:
    archive = zipfile.ZipFile(io.BytesIO(files[carried.NAME]))
    assert archive.testzip() is None
    inside = {name.removeprefix(carried.FOLDER): archive.read(name) for name in archive.namelist()}
    assert sorted(inside) == list(inside)
    assert broken_links(inside) == []
    assert pages(inside) == pages(files)
    assert carried.NAME not in inside
    assert not [name for name, page in inside.items() if carried.NAME.encode() in page]
    for name, content in inside.items():
        assert name.endswith(".html") or content == files[name]


def test_the_carried_site_tells_no_time_and_is_the_same_each_time(files: Files) -> None:
    first = carried.zipped(files)
    backwards = dict(reversed(files.items()))
    assert carried.zipped(backwards) == first == files[carried.NAME]
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
        assert handout_words.granted_at(club, row["option"]) in flat
        assert row["option"].title.upper() in flat


def test_the_summary_says_what_is_asked_what_decides_and_who_decides(
    club: View, owner: View
) -> None:
    for view in (club, owner):
        flat = " ".join(brief(view).split())
        assert view.case.scenario.question in flat
        for head, text in heads(view):
            assert head.upper() in flat
            assert text in flat
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


@pytest.mark.parametrize("letters", ["x", "long ", "日本", "é,"])
def test_a_card_of_a_title_without_end_is_cut_as_soon_as_it_is_full(letters: str) -> None:
    words = letters * 200_000
    begun = time.process_time()
    for room in (0.0, 40.0, 300.0, cards.ROOM):
        cut = cards._cut(words, 30, room)
        assert cut.endswith("…")
        assert cards.width(cut, 30) <= max(room, cards.width("…", 30))
        assert words.startswith(cut.removesuffix("…"))
    _, lines = cards._fitted(words)
    assert 1 <= len(lines) <= 4
    assert time.process_time() - begun < 5
