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

from panelworth import publish, read, templates_folder
from panelworth.__main__ import main
from panelworth.engine.deadlines import deadlines
from panelworth.publishing import deciding_words, handout_words, level_words, raise_words
from panelworth.publishing.address_code import address_code
from panelworth.publishing.handout_page import ballot_page, handout_page, paper_pages
from panelworth.publishing.handout_pdf import paper_pdf
from panelworth.publishing.layout import Layout, laid_out
from panelworth.publishing.view import Loop, View

SCENARIOS = Path(__file__).parents[1] / "scenarios"
CLUB, OWNER = SCENARIOS / "quillmeadow-club", SCENARIOS / "brackenholt-owner"
ADDRESS = "https://club.example/panel/"
PAPER_SIZES = {"letter": (612, 792), "a4": (595, 842)}  # points: ANSI Y14.1 A, ISO 216 A4


def with_days(view: View, address: str = "") -> View:
    """Add the days to keep in mind, and an address."""
    return replace(
        view, loop=Loop(deadlines=deadlines(view.case, view.figures)), address=address, home=address
    )


def laid(view: View, name: str) -> str:
    """Lay out a page for paper."""
    pages = paper_pages(view)
    [page] = [each for each in pages if each.file == name]
    return laid_out(Layout.of(templates_folder()), view, page, pages, root="")


def words(html: str) -> str:
    """Return what a reader sees of the main part."""
    main_part = html.partition("<main")[2].partition("</main>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main_part)).split())


def pdf(view: View, paper: str = "letter", *, ballot: bool = False) -> bytes:
    """Make the handout as the command does."""
    templates = templates_folder()
    styles = {f"assets/{file.name}": file.read_bytes() for file in templates.glob("assets/*.css")}
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
        asked = club.formats.money(level_words.drawn(club, tag).budget_p80)
        assert f"{tag.title} {asked}" in said


def test_a_handout_carries_every_option_s_headline_figures(club: View) -> None:
    said = words(laid(with_days(club), "handout.html")).replace("\N{WORD JOINER}", "")
    for tag in club.tags.values():
        likely, found = club.option(tag.id).likely, club.uncertain(tag.id)
        assert club.formats.money(likely.upfront) in said
        assert club.formats.money(likely.cost_per_hour) in said
        assert level_words.futures(found.chance_best) in said
        if tag.id != club.figures.baseline:
            assert club.formats.change(level_words.net_benefit(club, tag)) in said
            assert club.formats.change(likely.net_benefit) in said


def test_the_nearest_day_is_that_of_the_ledger_and_the_order_days(club: View) -> None:
    """As ledger.csv and the option files have it."""
    assert deciding_words.by_when(with_days(club)) == [
        "Up to November 30, 2026 no price lapses and no order day passes.",
        (
            "Prices lapse after November 30, 2026: “Two ten-inch flight displays with sensors” "
            "(Refit all of it at the distant shop) and “Two-axis autopilot” (Refit all of it at "
            "the distant shop)."
        ),
        (
            "To be ordered by: November 30, 2026, “Refit part of it near home”; January 11, 2027, "
            "“Sell it and buy a newer one”; September 13, 2027, “Refit all of it at the distant "
            "shop” (for the first start that is allowed; as planned, which is refused: December 7, "
            "2026)."
        ),
        (
            "Lapsed already, ask again before ordering: “GPS navigator with approach approval” "
            "(Refit part of it near home)."
        ),
    ]


def test_bills_change_by_as_much_as_the_figures_say(club: View) -> None:
    bills, cents = club.option("part").bills, club.formats.cents
    pairs = zip(bills, club.option("keep").bills, strict=True)
    changes = sorted(new.per_month - old.per_month for new, old in pairs)
    assert handout_words.bill_change(club, club.tags["part"]) == {
        "value": f"+{cents(changes[0])} to +{cents(changes[-1])}",
        "note": f"and {raise_words.up(club, bills[0].assessment)} once",
    }


def test_what_can_go_wrong_is_counted_in_futures(club: View) -> None:
    tag = club.tags["full"]
    behind = 1 - level_words.allowed(club, tag).ahead_of["keep"]
    said = deciding_words.can_go_wrong(club, tag)
    assert said.startswith(
        f"In {level_words.futures(behind)} it ends behind “Keep nursing it”; 1 in 10 that more "
    )
    assert "below its floor, as was asked for" in said
    assert "asked for" not in deciding_words.can_go_wrong(club, club.tags["keep"])
    assert said.endswith("; up to 12 weeks down.")


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


def test_the_code_leads_to_each_scenario_s_own_pages(tmp_path: Path) -> None:
    cases = [case for case, _ in map(read, (CLUB, OWNER)) if case]
    out = tmp_path / "site"
    assert publish(cases, out, trials=100, address="https://club.example/panel") == []
    for case in cases:
        text = (out / case.name / "handout.html").read_text()
        assert address_code(f"https://club.example/panel/{case.name}/") in text.replace(
            "&#34;", '"'
        )


@pytest.mark.parametrize("paper", PAPER_SIZES)
def test_the_pdf_has_two_pages_of_the_paper_s_size(club: View, owner: View, paper: str) -> None:
    for view in (with_days(club, ADDRESS), with_days(owner)):
        pages = PdfReader(io.BytesIO(pdf(view, paper))).pages
        assert len(pages) == 2
        assert tuple(round(float(side)) for side in pages[0].mediabox[2:]) == PAPER_SIZES[paper]
        said = " ".join(pages[0].extract_text().split())
        assert view.case.scenario.question in said
        assert "Skip to" not in said
        assert "What can go wrong" in pages[1].extract_text()


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
    """Alternative text of figures: ISO 14289-1 (PDF/UA-1), 7.3; what is decoration is none."""
    sheets = {
        pdf(with_days(club, ADDRESS)): 3,  # two pictures and the code
        pdf(with_days(owner)): 2,
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


def test_the_pdf_shows_each_option_s_colour_and_both_pictures(club: View) -> None:
    """A colour of a PDF is three shares of one: #1c89de is 0.11 0.54 0.87."""
    reader = PdfReader(io.BytesIO(pdf(with_days(club))))
    objects = (reader.get_object(number) for number in range(1, reader.trailer["/Size"]))
    drawn = b"".join(each.get_data() for each in objects if isinstance(each, StreamObject))
    assert re.search(rb"0\.109\d* 0\.537\d* 0\.870\d* rg", drawn)
    assert len(handout_page(with_days(club)).content["pictures"]) == 2


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
