"""What pages say of the ledger: each figure's paper, down to its row, and the project so far."""

from dataclasses import replace

import pytest
from panelworth.publishing.option_page import option_page

from panelworth import evaluate
from panelworth.engine.deadlines import deadlines
from panelworth.engine.ledger import settled
from panelworth.engine.results import Funded
from panelworth.publishing import date_words, ledger_words
from panelworth.publishing.deciding_words import by_when
from panelworth.publishing.formats import month
from panelworth.publishing.layout import pages_of
from panelworth.publishing.ledger_page import ledger_page, over_time
from panelworth.publishing.sources import input_rows
from panelworth.publishing.view import Loop, View, view_of
from panelworth.publishing.words import price_words
from panelworth.publishing.words.cash_words import paid_already
from small_cases import case_in

CREDIT = "options.full.credits[Removed units sold]"


@pytest.mark.parametrize(
    ("path", "said"),
    [
        (
            "full.items[Standby instrument and its battery]",
            (
                "quote Q 0391-D of October 21 (ledger.csv, line 12) and "
                "change Q 0391-D rev 1 of October 26 (ledger.csv, line 14)"
            ),
        ),
        (
            "part.items[GPS navigator with approach approval]",
            "quote Q 2231 of September 29, lapsed October 20 (ledger.csv, line 5)",
        ),
        (
            "part.items[Panel survey]",
            (
                "invoice INV 0412 of September 18, final (ledger.csv, line 3); "
                "paid $650.00 on September 24, check 1187 (ledger.csv, line 4)"
            ),
        ),
        (
            "part.items[Work at the home shop]",
            (
                "quote Q 27 of October 8 (ledger.csv, line 7); "
                "less a credit of $325.00 on October 27, letter (ledger.csv, line 15)"
            ),
        ),
        ("full.items[Ferry flight out]", "estimate of October 24 (ledger.csv, line 13)"),
        ("full.credits[Removed units sold]", "quote letter of October 15 (ledger.csv, line 11)"),
        ("full.items[Ferry flight home]", "not on the ledger yet: the option file's guess"),
    ],
)
def test_a_figure_names_the_row_it_stands_on(club: View, path: str, said: str) -> None:
    assert ledger_words.stands_on(club, f"options.{path}", "") == said


def test_a_partial_invoice_is_named_beside_the_quote(owner: View) -> None:
    assert ledger_words.stands_on(owner, "options.refit.items[Work at the workshop]", "") == (
        "quote A 264 of October 9 (ledger.csv, line 4); "
        "invoiced so far €800.00 before tax: invoice R 1090 of October 16 (ledger.csv, line 6); "
        "paid €960.00 on October 19, transfer (ledger.csv, line 7)"
    )


def test_the_option_file_s_source_is_named_where_there_is_no_paper(club: View) -> None:
    found = ledger_words.stands_on(club, "options.full.items[x]", "price list 2026-10")
    assert found == "not on the ledger yet: the option file's figure, from “price list 2026-10”"


def test_the_shares_are_of_likely_money_and_make_up_the_whole(club: View) -> None:
    """Refit near home: 650 invoiced, of 31082, and (11450 + 6480) * 1.06 + 7900 - 325 quoted."""
    assert ledger_words.shares(club, club.tags["part"]) == (
        "Of the likely $31,082, with tax, 2 % is invoiced, 86 % is quoted and "
        "12 % is only in the option file."
    )
    for tag in club.tags.values():
        outlay = club.option(tag.id).likely.outlay
        parts = ledger_words._parts(club.figures.underway[tag.id].items, (), outlay)
        assert sum(parts.values()) == pytest.approx(outlay, abs=4 * ledger_words.CLOSE)


def test_a_lapsed_quote_is_flagged_wherever_its_option_s_money_is_told(club: View) -> None:
    flag = "on a lapsed quote"
    assert flag == ledger_words.lapsed_note(club, club.tags["part"])
    assert not ledger_words.lapsed_note(club, club.tags["full"])
    pages = {page.file: page.content for page in pages_of(club)}
    for file, key in (("index.html", "rows"),):
        notes = {row["option"].id: row["note"] for row in pages[file][key]}
        assert {each: flag in note for each, note in notes.items()} == {
            "keep": False, "part": True, "full": False, "replace": False,
        }  # fmt: skip
        assert "planned" in notes["full"]
    part = next(each for each in pages["index.html"]["meanings"] if each["option"].id == "part")
    told = part["answers"][0]["facts"][-1]
    assert told.startswith("The paper for “GPS navigator with approach approval”")


def test_an_option_without_paper_says_so(club: View) -> None:
    items = tuple(
        replace(each, basis="written", invoiced=0.0) for each in club.figures.underway["full"].items
    )
    underway = {"full": replace(club.figures.underway["full"], items=items)}
    view = replace(club, figures=replace(club.figures, underway=underway))
    assert ledger_words.shares(view, club.tags["full"]) == (
        "None of the likely $82,730 is on the ledger yet: all of it is only in the option file."
    )


def test_the_project_is_told_in_words_first(club: View) -> None:
    found = club.figures.underway["part"]
    assert ledger_words.so_far(club, found) == (
        "$27,231 is quoted or invoiced: what is committed once it is ordered. Of that, $650 is "
        "invoiced. $650 is paid. $30,432 is still to be paid."
    )
    assert ledger_words.done(found) == "1 item of 9 is billed in full: “Panel survey”."
    # planned 70 * 112 + 11600 * 1.06 against 7575 + 11450 * 1.06; two instruments on one quote
    assert ledger_words.drift(club, club.tags["part"]) == (
        "That is $339 less (1.1 %) than the option file's own likely figures, $31,421."
    )
    assert [each.name for each in ledger_words.drifted(found)][:2] == [
        "Work at the home shop",
        "GPS navigator with approach approval",
    ]
    assert ledger_words.lapsed(club, club.tags["part"]) == (
        "The paper for “GPS navigator with approach approval” has lapsed: it still counts here; "
        "ask again."
    )


def with_funded(view: View, **now: float | None) -> View:
    """Return the view with other figures of how the full refit is paid."""
    option = view.option("full")
    assert isinstance(option.funded, Funded)
    options = {
        **view.figures.options,
        "full": replace(option, funded=replace(option.funded, **now)),
    }
    return replace(view, figures=replace(view.figures, options=options))


def test_what_the_drift_does_to_dues_and_reserve_is_told(club: View) -> None:
    before = club.figures.underway["full"].planned_funded
    assert before is not None
    assert before.dues_increase is not None
    same = with_funded(club, **{key: getattr(before, key) for key in vars(before)})
    assert ledger_words.what_it_does(same, club.tags["full"]).startswith(
        "What members are asked for stays as planned. The reserve's lowest stays "
    )
    raised = {"dues_increase": before.dues_increase + 2, "lowest_balance": 15001.0}
    dearer = with_funded(club, **raised, lowest_balance_month=4)
    cents, as_of = club.formats.cents, club.case.scenario.as_of
    assert ledger_words.what_it_does(dearer, club.tags["full"]) == (
        f"The raise in dues becomes {cents(before.dues_increase + 2)} a month instead of "
        f"{cents(before.dues_increase)}. The reserve's lowest is $15,001 in March 2027; planned "
        f"was {club.formats.money(before.lowest_balance)} in "
        f"{month(as_of, before.lowest_balance_month or 0)}."
    )
    lost = with_funded(club, dues_increase=None)
    assert ledger_words.what_it_does(lost, club.tags["full"]).startswith(
        "The raise in dues that was to hold the reserve above its floor no longer can."
    )


def test_the_page_is_in_the_menu_only_with_a_ledger(owner: View) -> None:
    assert "Project" in [page.nav for page in pages_of(owner)]
    bare = replace(owner, case=replace(owner.case, ledger=()))
    assert "Project" not in [page.nav for page in pages_of(bare)]


def test_the_page_has_each_option_with_rows_and_a_chart_where_something_moved(club: View) -> None:
    page = ledger_page(club)
    assert [each["option"].id for each in page.content["options"]] == list(club.tags)
    assert [chart.id for chart in page.content["charts"]] == ["ledger-part", "ledger-full"]


def test_the_chart_s_lines_only_have_marks_where_they_move_and_run_to_as_of(club: View) -> None:
    chart = over_time(club, club.tags["part"])
    assert chart is not None
    values = chart.spec["datasets"][chart.spec["data"]["name"]]
    paid = [each for each in values if each["series"] == "paid"]
    assert [(each["x"], each["y"]) for each in paid if each["mark"]] == [("2026-09-24", 650.0)]
    assert paid[-1]["x"] == "2026-11-01"


def test_what_is_paid_is_said_to_be_out_of_the_reserve_already(club: View, owner: View) -> None:
    """The demo club paid 650 for the survey on 24 September; an owner has no reserve."""
    assert list(paid_already(club)) == ["$650 is already paid."]
    assert list(paid_already(owner)) == []
    received = replace(club.case.standings[CREDIT], paid=120.0)
    standings = {**club.case.standings, CREDIT: received}
    view = replace(club, case=replace(club.case, standings=standings))
    assert list(paid_already(view))[1:] == ["$120 is already received."]


BUYING = """
title = "Buy"
kind = "replace"
jobs = []
[schedule]
start = 2026-06-01
weeks_down = 2
[sell]
[buy]
price = 90000
"""
DOING = """
title = "Refit"
kind = "retrofit"
jobs = ["Hoses"]
[[items]]
name = "Display"
cost = 5000
"""
JOBS = """
[[jobs]]
name = "Hoses"
now = 900
later = 1900
chance_per_year = 0.1
"""
ROWS = (
    "date,option,item,kind,amount,reference,expires\n"
    "2025-12-10,buy,buy,quote,87000,B 1,2026-02-28\n"
    "2025-12-11,buy,sell,quote,61000,S 1,2025-12-20\n"
    "2025-12-12,refit,Hoses,quote,950,J 1,2026-03-31\n"
)


@pytest.fixture(scope="module")
def traded(tmp_path_factory: pytest.TempPathFactory) -> View:
    """Return a view whose ledger has rows of a purchase, a sale and a small job."""
    folder = tmp_path_factory.mktemp("traded")
    (folder / "ledger.csv").write_text(ROWS, encoding="utf-8")
    case = case_in(
        folder, {"buy": BUYING, "refit": DOING}, aircraft="value = 60000", rest=JOBS, trials=100
    )
    case = settled(case)
    figures = evaluate(case)
    return view_of(case, figures, loop=Loop(deadlines=deadlines(case, figures)))


def test_a_purchase_a_sale_and_a_job_are_named_wherever_the_ledger_sets_their_price(
    traded: View,
) -> None:
    """Each on its option's page, the pages of the project, of dates and of inputs."""
    rows = {
        "buy": {"The other airplane": "quoted", "Sale of today's airplane": ""},
        "refit": {"Hoses": "quoted"},
    }
    for option_id, named in rows.items():
        tag = traded.tags[option_id]
        told = {price.name: price.status for price in price_words.prices_of(traded, tag)}
        besides = " ".join(ledger_words.besides(traded, tag))
        for name, status in named.items():
            assert told.get(name, "") == status
            assert f"{name}: " in besides
    assert ledger_words.lapsed(traded, traded.tags["buy"]).startswith(
        "The paper for “Sale of today's airplane” has lapsed"
    )
    told = [date_words.heading(traded, each) for each in traded.loop.deadlines]
    assert "Quote lapses: The other airplane" in told
    assert "Quote lapsed: Sale of today's airplane" in told
    assert "“The other airplane” (Buy)" in " ".join(by_when(traded))
    paths = ["options.buy.buy.price", "options.buy.sell.price", "options.refit.jobs[Hoses].now"]
    sources = [each["source"] for each in input_rows(traded, paths)]
    assert [each.partition(" of ")[0] for each in sources] == [
        "quote B 1",
        "quote S 1",
        "quote J 1",
    ]


def test_a_quoted_purchase_is_not_called_a_guess(traded: View) -> None:
    assert ledger_words.shares(traded, traded.tags["buy"]) == (
        "Of the likely $87,000, with tax, 100 % is quoted."
    )
    told = ledger_words.shares(traded, traded.tags["refit"])  # 950 of 5,950
    assert (
        told
        == "Of the likely $5,950, with tax, 16 % is quoted and 84 % is only in the option file."
    )
