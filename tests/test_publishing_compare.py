"""The comparison: the table and the moving marks against the figures of the engine."""

import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ahead_views import PAIRS, unmoved, with_ahead
from panelworth import evaluate, templates_folder
from panelworth.engine.insight import insight_of
from panelworth.publishing.charts.tracks import WIDTH, track_of
from panelworth.publishing.pages.compare import compare_page
from panelworth.publishing.pages.compare_sliders import whatif, whatif_script
from panelworth.publishing.site.layout import Layout, pages_of, render_page
from panelworth.publishing.view import View, view_of
from panelworth.publishing.words import compare_words, level_words, made_of_words, warning_words
from panelworth.publishing.words.outcome_words import moving_step, outcome_step
from small_cases import case_in, refit


def rows_of(view: View) -> dict[str, dict[str, str]]:
    """Return the table's figures by row and option, those of the first kind of member."""
    first = [
        (each if isinstance(each, str) else each[0] for each in (label, *cells))
        for label, cells in compare_words.comparison_rows(view)
    ]
    return {label: dict(zip(view.tags, cells, strict=True)) for label, *cells in first}


def test_the_table_shows_the_clubs_figures(club: View) -> None:
    rows, money = rows_of(club), club.formats.money
    for tag in club.tags.values():
        drawn, bill = club.leading(tag).trials, club.leading(tag).bills[0]
        assert bill.per_month is not None
        assert drawn.chance_below_floor is not None
        month = float(rows["A month: Flies once a month"][tag.id].strip("$"))
        assert month == pytest.approx(bill.per_month, abs=1.0)
        assert rows["An hour, all costs"][tag.id] == money(club.option(tag.id).likely.cost_per_hour)
        grant = float(rows["To grant: enough in 16 of 20"][tag.id].replace(",", "").strip("$"))
        assert 0 <= grant - drawn.budget_p80 <= 0.02 * drawn.budget_p80
        floor = rows["Reserve under its floor in 6 years, of 20"][tag.id]
        assert floor == str(math.floor(drawn.chance_below_floor * 20 + 0.5))
        share = club.figures.airplane.capability.share[tag.id]
        assert rows["Of what members asked for, %"][tag.id] == f"{share * 100:.0f}"
    assert rows["Once, each member"] == {"keep": "—", "part": "$71", "full": "—", "replace": "$500"}
    assert rows["Weeks away, likely"] == {"keep": "0", "part": "3", "full": "9", "replace": "4"}


def test_outcomes_are_told_no_finer_than_their_step_and_the_baseline_has_none(club: View) -> None:
    rows, step = rows_of(club), outcome_step(club)
    for label in ("Ahead of Keep, on average", "2 of 20 futures worse than"):
        assert rows[label]["keep"] == "—"
        for each in ("part", "full", "replace"):
            assert amount(rows[label][each]) % step == 0


def amount(text: str) -> float:
    """Read a sum as it is shown."""
    return float(text.replace("−", "-").replace("$", "").replace(",", "").replace("+", ""))


def test_figures_are_from_the_first_allowed_start_and_the_rest_is_said_to_be_as_planned(
    club: View,
) -> None:
    later = club.option("full").allowed_start
    assert later is not None
    assert warning_words.notes(club)["full"] == "from October 25, 2027"
    assert warning_words.still_as_planned(club).startswith("Refit all cannot start as planned: ")
    month = rows_of(club)["A month: Flies once a month"]["full"]
    assert amount(month) == pytest.approx(later.bills[0].per_month, abs=1.0)
    assert month != rows_of(unmoved(club))["A month: Flies once a month"]["full"]
    assert warning_words.notes(unmoved(club)) == {"part": "on a lapsed quote"}
    assert warning_words.still_as_planned(unmoved(club)) == ""
    marked = {row["option"].id: row["warn"] for row in whatif(club)["rows"]}
    assert marked == {"part": "", "full": "planned start refused", "replace": ""}


def test_an_owner_has_a_cost_a_year_and_no_dues_or_reserve(owner: View) -> None:
    rows = rows_of(owner)
    year = owner.option("keep").likely.equivalent_annual_cost
    assert rows["A year, all costs"]["keep"] == owner.formats.money(year)
    assert not [label for label in rows if "month" in label or "Reserve" in label]
    assert rows["Useful load against today's, kg"]["keep"] == "0"


def test_rows_whose_files_are_missing_are_left_out_and_so_are_sliders_of_a_single_option(
    tmp_path: Path,
) -> None:
    case = case_in(tmp_path, {"refit": refit("cost = 900")})
    view = view_of(case, evaluate(case, trials=50))
    assert not [label for label in rows_of(view) if "failures" in label or "load" in label]
    for only in (case_in(tmp_path / "one", {}), case):
        figures = evaluate(only, trials=50)
        view = view_of(only, figures, insight_of(only, figures))
        assert bool(whatif(view)) == (len(view.tags) > 1)
        pages = pages_of(view)
        page = next(each for each in pages if each.file == "compare.html")
        text = render_page(Layout.of(templates_folder()), view, page, pages, root="")
        assert ("<form" in text) == ("made of" in text) == (len(view.tags) > 1)


@pytest.mark.parametrize("share", [0.0, 0.02, 0.31, 0.98, 1.0])
def test_a_chance_of_the_floor_is_a_count_of_20_that_is_never_none_where_some_are_left(
    club: View, share: float
) -> None:
    part = club.uncertain("part")
    assert part.reserve is not None
    reserve = replace(part.reserve, chance_below_floor=share)
    options = {**club.figures.uncertainty.options, "part": replace(part, reserve=reserve)}
    drawn = replace(club.figures.uncertainty, options=options)
    view = replace(club, figures=replace(club.figures, uncertainty=drawn))
    told = rows_of(view)["Reserve under its floor in 6 years, of 20"]["part"]
    assert told == {0.0: "0", 0.02: "fewer than 1", 0.31: "6", 0.98: "nearly all", 1.0: "20"}[share]


@pytest.mark.parametrize("name", ["club", "owner"])
def test_the_parts_of_the_average_add_up_to_the_net_benefit(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    *parts, whole = made_of_words.made_of_rows(view)
    for place, tag in enumerate(view.others):
        likely = view.option(tag.id).likely
        assert whole[1][place] == view.formats.change(likely.net_benefit)
        shown = [cells[place].translate({0x2212: "-", 0x2B: "", 0x2C: ""}) for _, cells in parts]
        total = sum(float(each.replace("$", "").replace("€", "")) for each in shown)
        assert total == pytest.approx(likely.net_benefit, abs=len(parts))


@pytest.mark.parametrize("seed", range(30))
def test_the_status_names_one_option_only_where_none_is_level_with_it(
    club: View, seed: int
) -> None:
    shares = np.random.default_rng(seed).uniform(0.3, 0.7, len(PAIRS)).tolist()
    view = with_ahead(unmoved(club), dict(zip(PAIRS, shares, strict=True)))
    told = compare_words.standing(view)
    named = [tag for tag in view.tags.values() if tag.short in told]
    assert named == level_words.bring_most(view)
    assert ("too close to call" in told) == (len(named) > 1)


@pytest.mark.parametrize("name", ["club", "owner"])
def test_the_scale_holds_all_that_the_sliders_can_make_of_an_option(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    track = track_of(view)
    for tag in view.others:
        found = view.insight.whatif.gains(tag.id, view.figures.baseline)
        assert all(0 <= track.x(gain) <= WIDTH for gain in found)
        row = next(each for each in whatif(view)["rows"] if each["option"] is tag)
        assert row["x"] == track.x(view.option(tag.id).likely.net_benefit)
    for tick in track.ticks:
        written = tick.label.translate({0x2212: "-", 0x2C: "", 0x24: "", 0x20AC: "", 0x2B: ""})
        assert tick.x == track.x(float(written))


def test_the_script_is_handed_the_engines_gains_at_every_grid_point(club: View) -> None:
    text = whatif_script(club)
    data = json.loads(text.partition(" = ")[2].rstrip(";\n"))
    grid = club.insight.whatif
    for tag in club.others:
        row = data["gains"][tag.id]
        found = [row["values"][at] for at in row["at"]]
        both = zip(grid.figures[tag.id]["benefit"], grid.figures["keep"]["benefit"], strict=True)
        assert found == pytest.approx([mine - base for mine, base in both])
    assert data["step"] == moving_step(club) == outcome_step(club) / 5


def test_the_page_carries_both_cautions_and_explains_the_average(club: View) -> None:
    page = compare_page(club)
    assert len(page.content["cautions"]) == 2
    text = render_page(Layout.of(templates_folder()), club, page, pages_of(club), root="")
    assert "Cash, the airplane's value and the hours flown are counted together" in text.replace(
        "&#39;", "'"
    )
