"""What changed, from edition to edition: same input, same bytes; every move is told."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from panelworth import publish, views
from panelworth.__main__ import main
from panelworth.model.case import Case
from panelworth.model.edition import SCHEMA
from panelworth.publishing.pages.quotes import MOST_MOVES, quotes_page
from panelworth.publishing.view import View
from panelworth.publishing.words.change_words import cause_rows, change_rows, head, lead
from small_cases import CLUB, case_in, refit

PAID = '[funding]\nsolve = "dues"\n'


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name within."""
    files = sorted(path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def made(folder: Path, cost: str = "15000", **said: str) -> Case:
    """Write the small club in a folder and read it."""
    return case_in(folder / "small", {"refit": refit(f"cost = {cost}", rest=PAID)}, **said)


def built(folder: Path, out: Path, cost: str = "15000", **said: str) -> dict[str, bytes]:
    """Publish the small club with its rest and return the site."""
    said.setdefault("rest", CLUB)
    assert publish([made(folder, cost, **said)], out) == []
    return contents(out)


def compared(folder: Path, site: Path, cost: str, **said: str) -> View:
    """Work out the small club, compared with a site."""
    said.setdefault("rest", CLUB)
    [view] = views([made(folder, cost, **said)], site=site)
    return view


def run(*words: str | Path) -> Result:
    """Run panelworth as from a shell."""
    return CliRunner().invoke(main, [str(word) for word in words])


def test_a_first_edition_has_nothing_to_compare_with(tmp_path: Path) -> None:
    site = built(tmp_path, tmp_path / "site")
    assert "edition.json" in site
    assert "edition-before.json" not in site
    assert "ledger.html" not in site


def test_an_unchanged_scenario_gives_the_same_bytes_however_often_it_is_built(
    tmp_path: Path,
) -> None:
    out = tmp_path / "site"
    first = built(tmp_path, out)
    assert built(tmp_path, out) == first
    second = built(tmp_path, out, "16000")
    assert "ledger.html" in second
    assert second["edition-before.json"] == first["edition.json"]
    assert built(tmp_path, out, "16000") == second
    assert built(tmp_path, out, "16000") == second


def test_the_bytes_follow_from_the_files_and_the_last_edition_that_differs(tmp_path: Path) -> None:
    """Two sites that saw the same two editions are equal, however often each was built."""
    for cost in ("15000", "16000", "16000"):
        one = built(tmp_path, tmp_path / "one", cost)
    for cost in ("14000", "15000", "15000", "16000"):
        two = built(tmp_path, tmp_path / "two", cost)
    assert one == two


def test_words_alone_keep_the_comparison_that_is_shown(tmp_path: Path) -> None:
    out = tmp_path / "site"
    built(tmp_path, out)
    second = built(tmp_path, out, "16000")
    case = made(tmp_path, "{ likely = 16000, source = 'a letter' }", rest=CLUB)
    assert publish([case], out) == []
    third = contents(out)
    assert third["ledger.html"] == second["ledger.html"]
    assert third["edition-before.json"] == second["edition-before.json"]
    assert third["edition.json"] != second["edition.json"]


def test_a_fresh_build_forgets_the_last_edition(tmp_path: Path) -> None:
    out = tmp_path / "site"
    built(tmp_path, out)
    case = made(tmp_path, "16000", rest=CLUB)
    assert publish([case], out, fresh=True) == []
    assert contents(out) == built(tmp_path, tmp_path / "elsewhere", "16000")


def test_the_page_says_what_moved_and_what_it_did(tmp_path: Path) -> None:
    """Month 0 has 20,000 less the refit; no dues can hold it, so nothing is solved."""
    out = tmp_path / "site"
    built(tmp_path, out, "[4000, 5000, 7000]", hours="[90, 100, 110]")
    view = compared(
        tmp_path,
        out,
        "[4500, 6000, 7000]",
        hours="[90, 100, 110]",
        rest=CLUB.replace("dues_per_month = 0", "dues_per_month = 12.5"),
        aircraft="value_change = 0.01",
    )
    attribution = view.updates.attribution
    assert attribution is not None
    told = [
        (row["label"], row["option"] and row["option"].id, row["value"])
        for row in change_rows(view, attribution)
    ]
    assert told == [
        ("Change of value", None, "from 0% to 1%"),
        ("Dues", None, "from $0 to $12.50"),
        ("Item 0: cost", "refit", "from $5,000 ($4,000 to $7,000) to $6,000 ($4,500 to $7,000)"),
    ]
    assert lead(view, attribution) == [
        "3 inputs moved since the last edition, as of January 1, 2026.",
        (
            "Refit brings $1,000 less than it did: now −$6,000 against Keep. "
            "What moved it most: Item 0: cost."
        ),
        "Keep has not moved.",
    ]
    tag = view.tags["refit"]
    labels = [each if isinstance(each, str) else each["label"] for each in head(attribution, tag)]
    assert labels == [
        "What moved", "Up front", "Net benefit", "An hour", "Lowest reserve", "Budget",
    ]  # fmt: skip
    rows = [row["cells"] for row in cause_rows(view.formats, attribution, tag)]
    then, cost, now = rows  # dues come in later than the tightest month, and there is no airplane
    assert then[:5] == ["The last edition", "$5,000", "−$5,000", "$25.00", "$15,000"]
    assert now[:5] == ["This edition", "$6,000", "−$6,000", "$30.00", "$14,000"]
    assert cost[:5] == ["Item 0: cost", "+$1,000", "−$1,000", "+$5.00", "−$1,000"]


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ({}, {"jobs": '["Hoses"]'}, "added: “Hoses”"),
        ({"jobs": '["Hoses"]'}, {}, "taken out: “Hoses”"),
    ],
)
def test_names_that_come_and_go_are_told(
    tmp_path: Path, before: dict[str, str], after: dict[str, str], told: str
) -> None:
    jobs = '[[jobs]]\nname = "Hoses"\nnow = 5\n'

    def case(said: dict[str, str]) -> Case:
        top = "\n".join(f"{key} = {value}" for key, value in said.items())
        return case_in(tmp_path / "small", {"refit": refit("cost = 5", top=top)}, rest=jobs)

    assert publish([case(before)], tmp_path / "site") == []
    [view] = views([case(after)], site=tmp_path / "site")
    assert [row["value"] for row in change_rows(view, view.updates.attribution)] == [told]


def test_each_kind_of_value_is_told_as_a_reader_would(tmp_path: Path) -> None:
    before = """
title = "Refit"
kind = "retrofit"
[schedule]
order = 2026-02-01
start = 2026-03-02
weeks_down = [3, 4, 6]
[[items]]
name = "Radio"
cost = 5
when = "order"
[[items]]
name = "Work"
hours = [30, 40, 60]
rate = 100
"""
    after = before.replace("2026-03-02", "2026-03-09").replace('"order"', '"start"')
    after = after.replace("cost = 5", "cost = 5\nresale = true")
    after = after.partition('[[items]]\nname = "Work"')[0]
    after += "[funding]\nloan = { amount = 5, apr = 0.08, months = 6 }\n"
    season = "season = [1,1,1,1,1,1,1,1,1,1,1,{}]"
    first = case_in(tmp_path / "small", {"refit": before}, aircraft=season.format(1), seed=7)
    assert publish([first], tmp_path / "site") == []
    second = case_in(tmp_path / "small", {"refit": after}, aircraft=season.format(2), seed=8)
    [view] = views([second], site=tmp_path / "site")
    told = {row["label"]: row["value"] for row in change_rows(view, view.updates.attribution)}
    assert told == {
        "Season weights": "from 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, and 1 to "
        "1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, and 2",
        "Seed": "from 7 to 8",
        "Schedule": "from order February 1, 2026, start March 2, 2026, 4 weeks (3 to 6) down to "
        "order February 1, 2026, start March 9, 2026, 4 weeks (3 to 6) down",
        "Radio: paid at": "from order to start",
        "Radio: counts for resale": "added: yes",
        "Project item “Work”": "taken out; it was 40 (30 to 60) hours at $100",
        "Loan": "added: $5 at 8% for 6 months",
    }


def test_rows_of_the_ledger_are_told_by_kind_day_and_sum(tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    heading = "date,option,item,kind,amount,low,high\n"
    (small / "ledger.csv").write_text(heading + "2025-11-01,refit,Item 0,estimate,4000,,\n")
    built(tmp_path, tmp_path / "site")
    (small / "ledger.csv").write_text(
        heading + "2025-12-01,refit,Item 0,quote,4900.50,,\n"
        "2025-12-02,refit,Item 0,quote,4800,4500,5200\n"
    )
    view = compared(tmp_path, tmp_path / "site", "15000")
    assert [
        (row["label"], row["value"]) for row in change_rows(view, view.updates.attribution)
    ] == [
        (
            "Ledger: Item 0 (quote and estimate)",
            (
                "taken out: estimate of November 1, 2025, $4,000; added: quote of December 1, "
                "2025, $4,900.50 and quote of December 2, 2025, $4,800 ($4,500 to $5,200)"
            ),
        )
    ]


def test_the_page_is_at_the_foot_and_carries_the_caution(tmp_path: Path) -> None:
    out = tmp_path / "site"
    built(tmp_path, out)
    built(tmp_path, out, "16000")
    page = (out / "ledger.html").read_text()
    assert 'id="changes"' in page
    assert "accountant, insurer and lender" in page
    assert '<a href="ledger.html">Quotes and bills</a>' in (out / "index.html").read_text()
    assert json.loads((out / "edition-before.json").read_text())["schema"] == SCHEMA


def test_many_moves_are_told_in_part_and_the_rest_folded(tmp_path: Path) -> None:
    def costs(first: int) -> str:
        return refit(*(f"cost = {first + place}" for place in range(MOST_MOVES + 3)))

    publish([case_in(tmp_path / "small", {"refit": costs(100)})], tmp_path / "site")
    [view] = views([case_in(tmp_path / "small", {"refit": costs(900)})], site=tmp_path / "site")
    page = quotes_page(view)
    assert page is not None
    changes = page.content["changes"]
    assert (len(changes["moved"]), len(changes["rest"])) == (MOST_MOVES, 3)


def test_changes_prints_what_the_next_build_will_show(tmp_path: Path) -> None:
    out = tmp_path / "site"
    built(tmp_path, out)
    made(tmp_path, "16000", rest=CLUB)
    result = run("changes", tmp_path / "small", "--site", out)
    assert result.exit_code == 0, result.output
    assert result.stdout.splitlines()[:2] == [
        "1 input moved since the last edition, as of January 1, 2026.",
        "  Refit, Item 0: cost: from $15,000 to $16,000",
    ]
    assert re.search(r"This edition +\$16,000 ", result.stdout)


def test_changes_says_that_nothing_moved(tmp_path: Path) -> None:
    out = tmp_path / "site"
    built(tmp_path, out)
    result = run("changes", tmp_path / "small", "--site", out)
    assert (result.exit_code, result.stdout) == (
        0,
        f"{tmp_path / 'small'}: nothing moved since {out} was built\n",
    )


def test_changes_without_a_site_says_what_to_do(tmp_path: Path) -> None:
    made(tmp_path, rest=CLUB)
    result = run("changes", tmp_path / "small", "--site", tmp_path / "gone")
    assert result.exit_code == 1
    assert result.stderr.splitlines()[-2:] == [
        (
            f"{tmp_path}/gone: error: --site: expected an edition of small, found none; build the "
            "site first, or name it with --site"
        ),
        "1 error",
    ]


def test_a_payment_that_moved_a_figure_is_named_on_the_page(tmp_path: Path) -> None:
    """What is paid by as_of is out of the reserve, so that the option brings that much more."""
    small = tmp_path / "small"
    small.mkdir()
    heading = "date,option,item,kind,amount\n"
    (small / "ledger.csv").write_text(heading + "2025-11-01,refit,Item 0,quote,15000\n")
    built(tmp_path, tmp_path / "site")
    paid = "2025-11-01,refit,Item 0,quote,15000\n2025-12-01,refit,Item 0,payment,6000\n"
    (small / "ledger.csv").write_text(heading + paid)
    view = compared(tmp_path, tmp_path / "site", "15000")
    attribution = view.updates.attribution
    assert attribution is not None
    rows = cause_rows(view.formats, attribution, view.tags["refit"])
    [named] = [row["cells"] for row in rows if row["cells"][0] == "Ledger: Item 0 (payment)"]
    at = [str(column) for column in head(attribution, view.tags["refit"])]
    [gain] = [cell for cell, title in zip(named, at, strict=True) if "Net benefit" in title]
    assert gain == "+$6,000"
    assert "brings $6,000 more than it did" in " ".join(lead(view, attribution))
