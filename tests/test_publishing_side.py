"""Side by side: ranks, best marks and differences, and the rows against the figures they show."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from panelworth import evaluate, templates_folder
from panelworth.publishing import level_words, side_rows
from panelworth.publishing.layout import Layout, laid_out, pages_of
from panelworth.publishing.side_page import groups, side_page
from panelworth.publishing.side_rows import Cell, Group, Row
from panelworth.publishing.view import View, view_of
from small_cases import case_in, refit


def rows_of(view: View) -> dict[str, Row]:
    """Return every row of the page by its key."""
    return {row.key: row for group in groups(view) for row in (*group.rows, *group.folded)}


def texts(row: Row) -> dict[str, str]:
    """Return what a row says of each option."""
    return {option_id: cell.text for option_id, cell in row.cells.items()}


def small(better: side_rows.Better, **values: float | None) -> Row:
    """Make a row of whole numbers."""
    return side_rows.row("k", "K", values, lambda value: f"{value:.0f}", better=better,
                         gap=side_rows.plain)  # fmt: skip


def test_cells_are_ranked_from_the_least_up_and_those_that_read_alike_alike() -> None:
    row = small("low", a=3.0, b=1.0, c=None, d=3.2)
    assert row.ranks == {"a": 1, "b": 0, "c": None, "d": 1}
    assert row.best() == ["b"]
    assert replace(row, better="high").best() == ["a", "d"]


def test_nothing_is_best_where_all_are_alike_or_no_end_is_better() -> None:
    assert small("low", a=2.0, b=2.0).best() == []
    assert small("low", a=2.0, b=None).best() == []
    assert small("", a=2.0, b=1.0).best() == []


def test_a_difference_has_its_sign_and_is_left_out_where_both_read_alike() -> None:
    row = small("low", a=3.0, b=1.0, c=None, d=3.2)
    assert [row.difference("a", each) for each in "abcd"] == ["", "−2", "", ""]
    assert row.difference("b", "a") == "+2"


def test_what_cannot_be_subtracted_differs() -> None:
    never = {"a": Cell(text="1 year", value=12.0), "b": Cell(text="never", value=float("inf"))}
    row = Row(key="k", label="K", cells=never, better="low", gap=side_rows.by_months)
    assert (row.difference("a", "b"), row.best()) == ("differs", ["a"])
    assert side_rows.told("k", "K", {"a": "yes", "b": "no"}).difference("a", "b") == "differs"


def test_differences_are_worded_in_their_own_units() -> None:
    assert side_rows.by_months(27.0) == "2 years 3 months later"
    assert side_rows.by_months(-1.0) == "1 month sooner"
    assert side_rows.by_days(-7.0) == "7 days earlier"
    assert [side_rows.points(gap) for gap in (0.01, -0.128)] == ["+1 point", "−13 points"]
    assert side_rows.in_100(-0.034) == "−3 in 100"
    assert [side_rows.counted("unit", "units")(gap) for gap in (1.0, -1.0)] == [
        "+1 unit",
        "−1 unit",
    ]


def test_the_rows_show_the_figures_of_figures_json(club: View) -> None:
    rows, money = rows_of(club), club.formats.money
    for tag in club.tags.values():
        likely = club.option(tag.id).likely
        assert texts(rows["upfront"])[tag.id] == money(likely.upfront)
        assert texts(rows["cost_per_hour"])[tag.id] == club.formats.cents(likely.cost_per_hour)
        assert texts(rows["budget"])[tag.id] == money(level_words.drawn(club, tag).budget_p80)
        bill = level_words.bills(club, tag)[1].per_month
        assert texts(rows["bill-1"])[tag.id] == club.formats.cents(bill)
    gap = club.option("full").likely.upfront - club.option("part").likely.upfront
    assert rows["upfront"].difference("part", "full") == f"+{money(gap)}"


def test_the_page_says_which_figures_are_from_the_first_allowed_start(club: View) -> None:
    page = side_page(club, ())
    assert page is not None
    [told] = page.content["moved"]
    assert told.startswith(
        "“Refit all of it at the distant shop”: what it brings, what members pay"
    )
    assert "from October 25, 2027" in told


def test_the_best_are_those_that_the_figures_say(club: View) -> None:
    rows, likely = rows_of(club), {each: club.option(each).likely for each in club.tags}
    assert rows["upfront"].best() == [min(likely, key=lambda each: likely[each].upfront)]
    least = min(likely, key=lambda each: club.uncertain(each).budget_p80)
    assert rows["budget"].best() == [least]
    assert rows["irr"].best() == rows["cg"].best() == rows["items-labour"].best() == []


def test_every_unit_that_takes_several_has_a_row_with_the_count_of_what_goes(club: View) -> None:
    """Counted here from the engine's figures, means such as vacuum left out as on the page."""
    rows = {row.label: row for group in groups(club) for row in group.folded}
    several = set()
    for option_id, found in club.figures.airplane.failures.items():
        for each in found.failures:
            gone = len(set(each.lost) - set(found.means))
            several |= {each.unit} if gone > 1 else set()
            if each.unit in rows:
                assert rows[each.unit].cells[option_id].text == (str(gone) if gone else "nothing")
    assert set(rows) == several
    assert "not aboard" in texts(rows["Vacuum pump and lines"]).values()


def test_an_airplane_with_fewer_loadings_is_no_worse_for_it(owner: View) -> None:
    row = rows_of(owner)["loadings"]
    assert texts(row) == {"keep": "3 of 3", "refit": "3 of 3", "newer": "2 of 2"}
    assert (row.best(), row.difference("keep", "newer")) == ([], "")
    cells = {"keep": Cell(text="3 of 3", value=0.0), "newer": Cell(text="1 of 2", value=-1.0)}
    tight = replace(row, cells=cells)
    assert (tight.best(), tight.difference("keep", "newer")) == (["keep"], "1 more outside")


def test_small_jobs_and_items_follow_the_option_files(club: View) -> None:
    rows = rows_of(club)
    hoses = next(row for row in rows.values() if row.label.startswith("Replace the old pitot"))
    assert texts(hoses) == {
        "keep": "not opened", "part": "included", "full": "included", "replace": "not opened",
    }  # fmt: skip
    priced = club.insight.priced["full"]
    assert texts(rows["items-labour"])["full"] == club.formats.money(priced["labour"])
    assert sum(priced.values()) == pytest.approx(club.option("full").likely.project)


def test_an_owner_sees_no_dues_and_no_reserve(owner: View) -> None:
    labels = {row.label for row in rows_of(owner).values()}
    assert not {each for each in labels if "member" in each.lower() or "dues" in each.lower()}
    assert "Lowest reserve" not in labels
    assert "Loan payment a month" in labels


def test_groups_whose_files_are_missing_are_left_out(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit("cost = 900")})
    view = view_of(case, evaluate(case, trials=50))
    assert [group.id for group in groups(view)] == ["costs", "risk"]
    page = side_page(view, {"compare.html"})
    assert page is not None
    assert [each["href"] for each in page.content["groups"]] == ["compare.html#figures", ""]


def test_a_single_option_is_compared_with_nothing(tmp_path: Path) -> None:
    case = case_in(tmp_path, {})
    view = view_of(case, evaluate(case, trials=50))
    assert side_page(view, set()) is None


def test_no_two_rows_share_a_key_and_each_is_for_every_option(club: View, owner: View) -> None:
    for view in (club, owner):
        found: list[Group] = groups(view)
        keys = [row.key for group in found for row in (*group.rows, *group.folded)]
        assert len(keys) == len(set(keys))
        assert all(list(row.cells) == list(view.tags) for row in rows_of(view).values())


def test_the_page_stands_without_script_and_carries_what_the_script_places(club: View) -> None:
    pages = pages_of(club)
    page = next(each for each in pages if each.file == "side.html")
    text = laid_out(Layout.of(templates_folder()), club, page, pages, root="")
    found = rows_of(club)
    assert text.count("<tr data-row=") == len(found)
    data = json.loads(page.later[page.content["rows_script"]].partition(" = ")[2].rstrip(";\n"))
    assert data["ids"] == list(club.tags)
    row = data["rows"]["upfront"]
    assert row["gaps"][0][2] == found["upfront"].difference(data["ids"][0], data["ids"][2])
    assert f"{row['gaps'][0][2]}</small>" in text
    best = club.formats.money(0)
    assert f"best: </span>{best}</b>" in text
