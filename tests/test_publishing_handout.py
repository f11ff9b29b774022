"""What goes on paper before a vote: the handout, its PDF, and the ballot sheet."""

import io
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader
from pypdf.generic import StreamObject

from panelworth import templates_folder
from panelworth.__main__ import main
from panelworth.engine.deadlines import deadlines
from panelworth.publishing.charts.axes import option_colour
from panelworth.publishing.charts.paper import bill_bars, reserve_panes
from panelworth.publishing.formats import NONE
from panelworth.publishing.paper.handout import ballot_page, paper_pages
from panelworth.publishing.paper.pdf import paper_pdf
from panelworth.publishing.site.address_code import address_code
from panelworth.publishing.site.files import assets
from panelworth.publishing.site.folder import Files
from panelworth.publishing.site.layout import Layout, render_page
from panelworth.publishing.view import Updates, View
from panelworth.publishing.words import handout_words, pay_words, warning_words
from panelworth.publishing.words.answer_words import heads

SCENARIOS = Path(__file__).parents[1] / "scenarios"
CLUB, OWNER = SCENARIOS / "quillmeadow-club", SCENARIOS / "brackenholt-owner"
ADDRESS = "https://club.example/panel/"
PAPER_SIZES = {"letter": (612, 792), "a4": (595, 842)}  # points: ANSI Y14.1 A, ISO 216 A4


def with_days(view: View, address: str = "") -> View:
    """Add the days to keep in mind, and an address."""
    return replace(
        view,
        updates=Updates(deadlines=deadlines(view.case, view.figures)),
        address=address,
        home=address,
    )


def laid(view: View, name: str) -> str:
    """Lay out a page for paper."""
    pages = paper_pages(view)
    [page] = [each for each in pages if each.file == name]
    return render_page(Layout.of(templates_folder()), view, page, pages, root="")


def words(html: str) -> str:
    """Return what a reader sees of the main part."""
    main_part = html.partition("<main")[2].partition("</main>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main_part)).split())


def pdf(view: View, paper: str = "letter", *, ballot: bool = False) -> bytes:
    """Make the handout as the command does."""
    templates = templates_folder()
    styles = {name: each for name, each in assets(templates).items() if name.endswith(".css")}
    made = paper_pdf(view, Layout.of(templates), styles, paper, ballot=ballot)
    assert isinstance(made, bytes), made
    return made


def run(*given: str | Path) -> Result:
    """Run panelworth as from a shell."""
    return CliRunner().invoke(main, [str(word) for word in given])


def test_a_motion_names_the_question_and_every_option_with_its_sum(club: View) -> None:
    said = words(laid(with_days(club), "handout.html"))
    assert club.case.scenario.question in said
    assert handout_words.MOTION in said
    for tag in club.tags.values():
        assert f"{tag.title} {handout_words.granted_at(club, tag)}" in said


def test_a_sum_to_grant_is_enough_and_hardly_more(club: View) -> None:
    for tag in club.tags.values():
        found = club.leading(tag).trials
        asked = float(handout_words.granted(club, tag).replace(",", "").removeprefix("$"))
        spread = found.outlay_quantiles[90] - found.outlay_quantiles[10]
        assert found.budget_p80 <= asked <= found.budget_p80 + max(spread / 50, 1.0)


def test_a_handout_says_what_the_front_page_says(club: View, owner: View) -> None:
    for view in (with_days(club), with_days(owner)):
        said = words(laid(view, "handout.html"))
        for head, text in heads(view):
            assert head in said
            assert text in said
        for tag in view.tags.values():
            pay = pay_words.pays(view, tag)[0]
            assert f"{tag.short} {pay.value} {pay.note}" in said
            assert warning_words.obstacles(view, tag) in said


def test_the_counts_of_a_pair_add_up_to_20(club: View) -> None:
    tags = list(club.tags.values())
    table = {tag: dict(zip(tags, handout_words.pairs(club, tag), strict=True)) for tag in tags}
    for one in tags:
        assert table[one][one] == NONE
        for other in set(tags) - {one}:
            assert int(table[one][other]) + int(table[other][one]) == 20


def test_every_pane_of_the_reserve_is_on_one_scale_and_its_band_holds_its_line(club: View) -> None:
    panes = reserve_panes(club)
    assert [pane.option for pane in panes] == list(club.tags.values())
    assert len({pane.floor for pane in panes}) == 1
    for pane in panes:
        band, middle = points(pane.band), points(pane.middle)
        upper = dict(reversed(band[len(middle) :]))
        assert all(upper[x] <= y <= low for (x, y), (_, low) in zip(middle, band, strict=False))


def points(path: str) -> list[tuple[float, float]]:
    """Return the corners of a path."""
    pairs = re.findall(r"([\d.]+) ([\d.]+)", path)
    return [(float(x), float(y)) for x, y in pairs]


def test_an_owner_has_no_reserve_to_draw(owner: View) -> None:
    assert reserve_panes(owner) == []
    assert [bar.option for bar in bill_bars(owner)] == list(owner.tags.values())


def test_no_words_stand_in_the_pictures_of_the_second_page(club: View) -> None:
    """So that none can fall on another, such as a floor's name on the numbers of an axis."""
    second = laid(with_days(club), "handout.html").split('class="leaf"')[2]
    assert "<svg" in second
    assert "<text" not in second


@pytest.mark.parametrize("name", ["club", "owner"])
def test_a_handout_keeps_to_700_words(name: str, request: pytest.FixtureRequest) -> None:
    view = with_days(request.getfixturevalue(name), ADDRESS)
    assert len(words(laid(view, "handout.html")).split()) <= 700


def test_an_owner_s_handout_speaks_of_no_members_motion_or_ballot(owner: View) -> None:
    view = with_days(owner)
    said = words(laid(view, "handout.html")).casefold()
    assert not re.search(r"\b(club|member|members|motion|ballot|vote|dues|reserve)\b", said)
    assert [page.file for page in paper_pages(view)] == ["handout.html"]


def test_nothing_on_paper_recommends_an_option(club: View, owner: View) -> None:
    for view in (with_days(club), with_days(owner)):
        for page in paper_pages(view):
            said = words(laid(view, page.file)).casefold()
            assert not re.search(r"\b(recommend\w*|should|ought|advise|better choice)\b", said)


def test_a_handout_carries_the_cautions_of_money_and_airplane(club: View) -> None:
    said = words(laid(with_days(club), "handout.html"))
    assert "ask your accountant, insurer and lender first" in said
    assert "The maker's data takes precedence over anything here, and local regulation" in said
    assert "Weight, balance and electrical figures are for comparison only." in said
    assert "Only properly licensed persons may do, inspect or approve the work." in said


def test_without_an_address_there_is_no_code_and_no_word_of_one(club: View) -> None:
    html = laid(with_days(club), "handout.html")
    assert 'class="code"' not in html
    assert "address" not in words(html)
    assert ADDRESS in laid(with_days(club, ADDRESS), "handout.html")


def test_a_ballot_offers_two_boxes_beside_each_option_and_asks_no_name(club: View) -> None:
    page = ballot_page(with_days(club))
    html = laid(with_days(club), "ballot.html")
    assert [row["option"].title for row in page.content["rows"]] == [
        tag.title for tag in club.tags.values()
    ]
    assert html.count('class="box"') == 2 * len(club.tags)
    assert "Write no name on this sheet." in words(html)


def test_the_code_leads_to_each_scenario_s_own_pages(addressed: Files) -> None:
    for folder in (CLUB, OWNER):
        text = addressed[f"{folder.name}/handout.html"].decode()
        code = address_code(f"https://club.example/panel/{folder.name}/")
        assert code in text.replace("&#34;", '"')


@pytest.mark.parametrize("paper", PAPER_SIZES)
def test_the_pdf_has_two_pages_of_the_paper_s_size(club: View, owner: View, paper: str) -> None:
    for view in (with_days(club, ADDRESS), with_days(owner)):
        pages = PdfReader(io.BytesIO(pdf(view, paper))).pages
        assert len(pages) == 2
        assert tuple(round(float(side)) for side in pages[0].mediabox[2:]) == PAPER_SIZES[paper]
        said = " ".join(pages[0].extract_text().split())
        assert view.case.scenario.question in said
        assert "Skip to" not in said
        assert "What could go wrong" in said
        assert "Who decides" in pages[1].extract_text()


def test_the_pdf_is_the_same_byte_for_byte(club: View) -> None:
    assert pdf(with_days(club, ADDRESS)) == pdf(with_days(club, ADDRESS))


def elements(node: Any) -> Iterator[Any]:  # noqa: ANN401 (whatever a PDF holds)
    """Yield every structure element of a tagged PDF below a node (ISO 32000-1, 14.7)."""
    node = node.get_object()
    if isinstance(node, list):
        for each in node:
            yield from elements(each)
    elif isinstance(node, dict):
        yield node
        yield from elements(node["/K"]) if "/K" in node else ()


def test_every_figure_of_the_pdf_has_words_for_who_cannot_see_it(club: View, owner: View) -> None:
    """Alternative text of figures: ISO 14289-1 (PDF/UA-1), 7.3; what is decoration is none.

    The axis and three rows of outcomes, four bars, four panes of the reserve, the code; of an owner
    the axis, two rows, three bars.
    """
    sheets = {
        pdf(with_days(club, ADDRESS)): 13,
        pdf(with_days(owner)): 6,
        pdf(with_days(club, ADDRESS), ballot=True): 0,
    }
    for content, count in sheets.items():
        tree = PdfReader(io.BytesIO(content)).trailer["/Root"]["/StructTreeRoot"]
        figures = [each for each in elements(tree) if each.get("/S") == "/Figure"]
        texts = {str(each.get("/Alt", "")).strip() for each in figures}
        assert len(figures) == len(texts - {""}) == count


def links(content: bytes) -> list[str]:
    """Return the addresses that a PDF leads to."""
    return [
        note.get_object()["/A"]["/URI"]
        for page in PdfReader(io.BytesIO(content)).pages
        for note in page.get("/Annots", [])
    ]


def test_the_pdf_leads_to_the_site_s_address_or_nowhere(club: View) -> None:
    assert links(pdf(with_days(club))) == []
    found = links(pdf(with_days(club, ADDRESS)))
    assert f"{ADDRESS}option-full.html" in found
    assert all(link.startswith(ADDRESS) for link in found)


def test_the_pdf_s_pictures_are_in_the_options_colours(club: View) -> None:
    """A colour of a PDF is three shares of one: #a85c00 is 0.66 0.36 0."""
    reader = PdfReader(io.BytesIO(pdf(with_days(club))))
    objects = (reader.get_object(number) for number in range(1, reader.trailer["/Size"]))
    drawn = b"".join(each.get_data() for each in objects if isinstance(each, StreamObject))
    for number in (2, 3, 4):
        colour = option_colour(number)
        shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        found = [
            each
            for each in re.findall(rb"([\d.]+) ([\d.]+) ([\d.]+) (?:rg|RG)", drawn)
            if [float(share) for share in each] == pytest.approx(shares, abs=0.002)
        ]
        assert found, colour


def test_handout_writes_a_pdf_where_it_is_told(tmp_path: Path) -> None:
    out = tmp_path / "for the meeting.pdf"
    result = run("handout", OWNER, "--out", out, "--paper", "a4", "--trials", "100")
    assert result.exit_code == 0, result.output
    assert result.stdout == f"{out}: written\n"
    assert len(PdfReader(out).pages) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["for the meeting.pdf"]


def test_a_club_s_ballot_is_one_sheet_and_an_owner_has_none(tmp_path: Path) -> None:
    out = tmp_path / "ballot.pdf"
    result = run("handout", CLUB, "--ballot", "--out", out, "--trials", "100")
    assert result.exit_code == 0, result.output
    [page] = PdfReader(out).pages
    said = " ".join(page.extract_text().split())
    assert "Write no name on this sheet." in said
    assert "Refit all of it at the distant shop" in said
    assert "panelworth tally" not in said  # told on the screen, to those who count
    out.unlink()
    result = run("handout", OWNER, "--ballot", "--out", out, "--trials", "100")
    assert (result.exit_code, out.exists()) == (1, False)
    expected = "scenario.toml: error: club: expected a club, whose members vote on a ballot"
    assert f"{expected}, found a single owner" in result.stderr


def test_handout_writes_over_nothing_but_a_pdf(tmp_path: Path) -> None:
    out = tmp_path / "scenario.toml"
    out.write_text("title = 'Ours'")
    result = run("handout", OWNER, "--out", out)
    assert result.exit_code == 1
    assert "expected the name of a PDF file" in result.stderr
    assert out.read_text() == "title = 'Ours'"


def test_without_pango_handout_says_what_to_install(tmp_path: Path) -> None:
    """Every library is kept from loading, as on a machine that has none."""
    program = (
        "import cffi, sys\n"
        "def gone(*_): raise OSError('cannot load library')\n"
        "cffi.FFI.dlopen = gone\n"
        "from panelworth.__main__ import main\n"
        "main(['handout', *sys.argv[1:], '--trials', '100'])"
    )
    words = [sys.executable, "-c", program, OWNER, "--out", tmp_path / "a.pdf"]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.splitlines()[-2:] == [
        (
            "handout: error: expected the Pango library, which lays out the text, found none that "
            "can be loaded; install it (Debian, Ubuntu: apt-get install libpango-1.0-0 "
            "libpangoft2-1.0-0 libharfbuzz-subset0), or print the page of the built site from a "
            "browser"
        ),
        "1 error; nothing was written",
    ]
    assert not (tmp_path / "a.pdf").exists()


@pytest.mark.parametrize(
    "address", ["club.example", "ftp://club.example", "https://a b", f"https://x/{'y' * 200}"]
)
def test_an_address_that_no_phone_opens_is_refused(tmp_path: Path, address: str) -> None:
    result = run("build", OWNER, "--out", tmp_path / "site", "--address", address)
    assert result.exit_code == 1
    shown = address[:190]  # messages cut what is long
    line = next(each for each in result.stderr.splitlines() if ": error: " in each)
    assert line.startswith(
        "build: error: --address: expected the address of the site's folder, such as "
        f'https://club.example/panel, found "{shown}'
    )
    assert line.endswith(
        '"; begin with https:// or http://, leave out what follows ? or #, keep it short'
    )
    assert not (tmp_path / "site").exists()
