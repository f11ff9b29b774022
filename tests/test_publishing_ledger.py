"""What pages say of the ledger: each figure's paper, down to its row, and the project so far."""

from dataclasses import replace

import pytest

from panelworth import evaluate
from panelworth.engine.deadlines import deadlines
from panelworth.engine.results.figures import (
    Funded,
)
from panelworth.model.case import TableFile
from panelworth.publishing.charts.quotes import over_time, parts_bar
from panelworth.publishing.pages.quotes import quotes_page
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.view import Updates, View, view_of
from panelworth.publishing.words import date_words, ledger_words, quotes_words
from panelworth.publishing.words.cash_words import paid_already
from panelworth.publishing.words.raise_words import up
from panelworth.publishing.words.sources import input_rows
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
    assert ledger_words.price_basis(club.case, club.formats, f"options.{path}", "") == said


def test_a_partial_invoice_is_named_beside_the_quote(owner: View) -> None:
    assert ledger_words.price_basis(
        owner.case, owner.formats, "options.refit.items[Work at the workshop]", ""
    ) == (
        "quote A 264 of October 9 (ledger.csv, line 4); "
        "invoiced so far €800.00 before tax: invoice R 1090 of October 16 (ledger.csv, line 6); "
        "paid €960.00 on October 19, transfer (ledger.csv, line 7)"
    )


def test_a_row_of_a_workbook_is_named_by_file_and_row(club: View) -> None:
    case = replace(club.case, ledger_file=TableFile(name="ledger.xlsx", sheet="Ours"))
    path = "options.part.items[GPS navigator with approach approval]"
    assert ledger_words.price_basis(case, club.formats, path, "") == (
        "quote Q 2231 of September 29, lapsed October 20 (ledger.xlsx, row 5)"
    )


def test_the_option_file_s_source_is_named_where_there_is_no_paper(club: View) -> None:
    found = ledger_words.price_basis(
        club.case, club.formats, "options.full.items[x]", "price list 2026-10"
    )
    assert found == "not on the ledger yet: the option file's figure, from “price list 2026-10”"


def test_the_parts_of_a_sum_make_up_the_whole(club: View) -> None:
    for tag in club.tags.values():
        outlay, progress = club.option(tag.id).likely.outlay, club.figures.project_progress[tag.id]
        assert progress.outlay == outlay
        assert sum(progress.rests_on.values()) == pytest.approx(outlay)


def test_an_option_without_paper_says_so(club: View) -> None:
    progress = club.figures.project_progress["full"]
    none = dict.fromkeys(progress.rests_on, 0.0)
    bare = replace(progress, rests_on={**none, "written": progress.outlay})
    assert quotes_words.rests_on(bare) == "100% on no paper."


def test_the_page_says_what_is_paid_and_which_quotes_to_ask_for_again(club: View) -> None:
    """Refit part: $650 for the survey; the navigator's quote lapsed on October 20."""
    assert quotes_words.lead(club) == [
        "The ledger has 16 rows, the last of October 29. $650 is paid for Refit part.",
        (
            "Ask again for GPS navigator with approach approval (Refit part): the quote has lapsed "
            "and still counts here."
        ),
    ]


def test_a_bar_s_parts_are_told_in_its_words_and_fill_it_up(club: View, owner: View) -> None:
    assert quotes_words.rests_on(club.figures.project_progress["part"]) == (
        "2% invoiced, 86% quoted, 12% on no paper."
    )
    for view in (club, owner):
        for tag in quotes_words.with_rows(view):
            bar, shares = (
                parts_bar(view, tag),
                quotes_words.shares_of(view.figures.project_progress[tag.id]),
            )
            assert list(bar.paths) == list(shares)
            assert sum(shares.values()) == pytest.approx(1, abs=4 * quotes_words.LEAST_SHARE)
            wide = [float(each.partition("h")[2].partition("v")[0]) for each in bar.paths.values()]
            assert wide == pytest.approx([320 * share for share in shares.values()], abs=0.06)
            assert quotes_words.rests_on(view.figures.project_progress[tag.id]) in bar.text


def test_what_moved_from_the_plan_is_told_by_its_largest_part(club: View) -> None:
    """Planned 70 * 112 + 11600 * 1.06 against 7575 + 11450 * 1.06; two instruments on one quote."""
    part, full, replaced, kept = quotes_words.plan_drift(club)
    assert part.startswith(
        "Refit part: $339 under its plan of $31,421. Most of it: Work at the home shop, "
    )
    assert full.startswith("Refit all: $181 over its plan of $82,549. Most of it: Standby ")
    assert replaced.startswith("Replace: $50 over its plan of $222,590.")
    assert kept == "Keep stands as planned."


def with_funded(view: View, **now: float | None) -> View:
    """Return the view with other figures of how the partial refit is paid."""
    option = view.option("part")
    assert isinstance(option.funded, Funded)
    funded = replace(option.funded, **now)
    options = {**view.figures.options, "part": replace(option, funded=funded)}
    return replace(view, figures=replace(view.figures, options=options))


def told_of(view: View, option: str) -> str:
    """Return what is said to have moved of an option."""
    name = view.tags[option].short
    return next((each for each in quotes_words.plan_drift(view) if each.startswith(name)), "")


def test_what_a_move_asks_of_members_is_told_in_whole_units(club: View) -> None:
    before = club.figures.project_progress["part"].planned_funded
    assert before is not None
    assert before.assessment_per_member is not None
    plan, key = before.assessment_per_member, "assessment_per_member"
    dearer = with_funded(club, **{key: plan + 12})
    asked = f"asked for {up(club.formats, plan + 12)} each, once, not {up(club.formats, plan)}."
    assert told_of(dearer, "part").endswith(f"Members are then {asked}")
    same = with_funded(club, **{key: plan + 0.001})
    assert "Members" not in told_of(same, "part")
    lost = with_funded(club, **{key: None})
    assert told_of(lost, "part").endswith("hold the reserve above its floor no longer can.")


def test_of_an_option_that_is_refused_as_planned_no_raise_is_told(club: View) -> None:
    assert "Members" not in told_of(club, "full")
    assert quotes_words.from_allowed(club, club.tags["full"]).startswith(
        "Cannot start as planned; from October 25, 2027 it comes to $"
    )
    assert quotes_words.from_allowed(club, club.tags["part"]) == ""


def test_the_page_is_there_only_with_a_ledger(owner: View) -> None:
    assert "ledger.html" in [page.file for page in pages_of(owner)]
    bare = replace(owner, case=replace(owner.case, ledger=()))
    assert "ledger.html" not in [page.file for page in pages_of(bare)]


def test_each_option_with_rows_has_a_bar_and_its_items(club: View) -> None:
    page = quotes_page(club)
    assert page is not None
    assert [each["option"].id for each in page.content["options"]] == list(club.tags)
    part = next(each for each in page.content["options"] if each["option"].id == "part")
    paid = {row[0]: row[-1] for row in part["rows"]}
    assert paid["Panel survey"] == "$650"
    assert len(paid) == 5
    assert [chart.id for chart in page.content["charts"]] == ["ledger-part", "ledger-full"]


def test_a_chart_leaves_out_lines_that_never_leave_0_and_names_the_others_at_their_end(
    club: View,
) -> None:
    """Nothing is invoiced or paid of the full refit; of the other what is invoiced is paid."""
    for option, series, words in (
        ("part", 3, {"likely total: $31,082", "quoted or invoiced: $27,231", "invoiced and paid"}),
        ("full", 1, {"likely total: $82,730", "quoted or invoiced: $49,051"}),
    ):
        chart = over_time(club, club.tags[option])
        assert chart is not None
        rows = [row for rows in chart.spec["datasets"].values() for row in rows]
        lines = [row for row in rows if "series" in row]
        assert len({row["series"] for row in lines}) == series
        assert max(row["x"] for row in lines) == "2026-11-01"
        told = {row["words"].removesuffix(": $650") for row in rows if "words" in row}
        assert told == words


def test_what_is_paid_is_said_to_be_out_of_the_reserve_already(club: View, owner: View) -> None:
    """The demo club paid 650 for the survey on 24 September; an owner has no reserve."""
    assert list(paid_already(club.case, club.formats)) == ["The ledger says $650 is paid."]
    assert list(paid_already(owner.case, owner.formats)) == []
    received = replace(club.case.ledger_statuses[CREDIT], paid=120.0)
    ledger_statuses = {**club.case.ledger_statuses, CREDIT: received}
    view = replace(club, case=replace(club.case, ledger_statuses=ledger_statuses))
    assert list(paid_already(view.case, view.formats))[1:] == ["$120 is already received."]


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
    figures = evaluate(case)
    return view_of(case, figures, updates=Updates(deadlines=deadlines(case, figures)))


def test_a_purchase_a_sale_and_a_job_are_named_wherever_the_ledger_sets_their_price(
    traded: View,
) -> None:
    """Each on the pages of quotes, of dates and of inputs."""
    rows = {
        "buy": {"The other airplane": "quote B 1 of", "Sale of today's airplane": "quote S 1 of"},
        "refit": {"Hoses": "quote J 1 of"},
    }
    for option_id, named in rows.items():
        papers = [
            ledger_words.price_basis(traded.case, traded.formats, each.path, "")
            for each in traded.case.ledger_statuses_of(option_id)
        ]
        listed = [row[0] for row in quotes_words.item_rows(traded, traded.tags[option_id])]
        for name, paper in named.items():
            assert any(paper in told for told in papers)
            assert name in listed
    assert ledger_words.lapsed_things(traded.case, "buy") == ["Sale of today's airplane"]
    told = [date_words.heading(traded, each) for each in traded.updates.deadlines]
    assert "Quote lapses: The other airplane" in told
    assert "Quote lapsed: Sale of today's airplane" in told
    paths = ["options.buy.buy.price", "options.buy.sell.price", "options.refit.jobs[Hoses].now"]
    sources = [each["source"] for each in input_rows(traded, paths)]
    assert [each.partition(" of ")[0] for each in sources] == [
        "quote B 1",
        "quote S 1",
        "quote J 1",
    ]


def test_a_quoted_purchase_is_not_called_a_guess(traded: View) -> None:
    assert quotes_words.rests_on(traded.figures.project_progress["buy"]) == "100% quoted."
    told = quotes_words.rests_on(traded.figures.project_progress["refit"])  # 950 of 5,950
    assert told == "16% quoted, 84% on no paper."
