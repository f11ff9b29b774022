"""The front page: each figure in its picture, words and rows is the engine's, and they agree.

Quantile dot plots: Kay, Kola, Hullman, Munson 2016. "Level" is the contract's rule of 13 in 20.
"""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelworth import evaluate
from panelworth.engine.deadlines import deadlines
from panelworth.engine.insight import insight_of
from panelworth.publishing.charts.marks import SHAPES
from panelworth.publishing.charts.outcomes import (
    MOST_COLUMNS,
    WIDTH,
    axis_of,
    outcomes,
    outcomes_row,
)
from panelworth.publishing.pages.answer import answer_page
from panelworth.publishing.view import View, view_of
from panelworth.publishing.words import level_words, pay_words
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.outcome_words import outcome_step
from panelworth.publishing.words.rounding import rounded_sum, step_above, step_below
from strategies import case_of, folders

DRAWN = re.compile(r"M([\d.]+) ([\d.]+)")


def marked(view: View, option: str) -> dict[str, int]:
    """Count the marks of an option's picture by their state."""
    row = outcomes_row(view, view.tags[option], axis_of(view))
    return {state: len(DRAWN.findall(path)) for state, path in row.paths.items()}


@pytest.mark.parametrize("option", ["part", "full", "replace"])
def test_as_many_marks_are_filled_as_the_row_says_are_ahead(club: View, option: str) -> None:
    tag, count = club.tags[option], marked(club, option)
    ahead = level_words.count_ahead(club.leading(tag), club.leading(club.baseline))
    assert count.get("ahead", 0) == ahead
    assert sum(count.values()) == 20
    row = next(row for row in answer_page(club).content["rows"] if row["option"] is tag)
    said = row["tell"]["count"]
    assert said == f"{ahead} of 20 ahead." if ahead else "Fewer than 1 of 20 ahead."
    assert f"{ahead} ahead, {20 - ahead} behind" in row["marks"].text


def test_filled_marks_stand_right_of_the_line_and_hollow_ones_left(club: View) -> None:
    axis = axis_of(club)
    for tag in club.others:
        row = outcomes_row(club, tag, axis)
        for state, path in row.paths.items():
            for x, y in DRAWN.findall(path):
                assert (float(x) * row.size > axis.zero) == (state == "ahead")
                assert 0 < float(y) * row.size < row.height


@given(folders())
def test_any_folder_has_a_front_page_whose_picture_is_within_its_frame(folder: dict) -> None:
    case = case_of(folder)
    figures = evaluate(case, trials=60)
    view = view_of(case, figures, insight_of(case, figures))
    axis = axis_of(view)
    assert axis.columns <= MOST_COLUMNS + 8
    labels = [tick.x for tick in axis.ticks]
    assert labels == sorted(labels)
    assert all(0 < x < WIDTH for x in labels)
    for tag in view.others:
        row = outcomes_row(view, tag, axis)
        places = [place for path in row.paths.values() for place in DRAWN.findall(path)]
        assert len(places) == len(outcomes(view.leading(tag)))
        assert len(set(places)) == len(places), "two marks on one another"
        for x, y in places:
            assert 0 <= float(x) * row.size <= WIDTH
            assert 0 < float(y) * row.size < row.height
    words = " ".join(f"{head} {text}" for head, text in heads(view))
    assert "nan" not in words.split()
    assert "None" not in words
    assert len(words.split()) < 260


def test_the_two_counts_of_a_pair_add_up_to_twenty(club: View) -> None:
    tags = list(club.tags.values())
    for one in tags:
        for other in tags:
            if one is not other:
                mine = level_words.count_ahead(club.leading(one), club.leading(other))
                assert mine + level_words.count_ahead(club.leading(other), club.leading(one)) == 20
                assert level_words.level(club.leading(one), club.leading(other)) == (7 < mine < 13)


@given(st.floats(min_value=0, max_value=1))
def test_counts_of_complementary_shares_add_up(share: float) -> None:
    assert level_words.twentieths(share) + level_words.twentieths(1 - share) == 20


@given(st.floats(min_value=1e-6, max_value=1e12))
def test_steps_are_1_2_or_5_times_a_power_of_ten_about_their_size(size: float) -> None:
    for step in (step_below(size), step_above(size)):
        assert f"{step:e}"[0] in "125"
        assert f"{step:.3e}"[1:5] == ".000"
    assert step_below(size) <= size * (1 + 1e-6)
    assert step_above(size) >= size * (1 - 1e-6)
    assert step_above(size) <= 2.5 * size * (1 + 1e-6)


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_a_total_is_what_a_reader_adds_up(base: float, total: float) -> None:
    told = rounded_sum(base, total)
    assert told.total == told.base + told.difference
    assert abs(told.total - total) <= 1.0


def test_outcomes_are_told_no_finer_than_a_fiftieth_of_their_spread(club: View) -> None:
    spreads = [club.leading(tag).trials.range.net_benefit for tag in club.others]
    narrowest = min(each.p90 - each.p10 for each in spreads)
    assert narrowest / 50 / 2.5 <= outcome_step(club) <= narrowest / 50


def test_what_the_front_says_of_the_club_demo(club: View) -> None:
    """Each sum is the engine's, rounded to the step of its spread; the words are the page's."""
    loop = replace(club.updates, deadlines=deadlines(club.case, club.figures))
    said = dict(heads(replace(club, updates=loop)))
    mean = club.leading(club.tags["part"]).trials.range.net_benefit.mean
    step = outcome_step(club)
    assert step == 500
    told = f"${round(mean / step) * step:,.0f}"
    assert (
        f"On average over 10 years, Refit part brings members {told} more than Keep"
        in (said["What differs"])
    )
    assert said["What differs"].startswith("Keep asks least of you each month, Replace most.")
    assert (
        "Refit all ends ahead of Keep in 9 of 20 futures: too close to call."
        in (said["Level in money"])
    )
    assert "Refit all meets 95% of what members asked for, Keep 36%" in said["Level in money"]
    assert (
        "The raises of Refit part, Refit all, and Replace were set to accept as much."
        in said["What could go wrong"]
    )
    assert said["Decide by"] == (
        "November 30: Refit part must be ordered that day and 2 prices of Refit all lapse."
    )


def test_a_refused_plan_never_leads(club: View) -> None:
    """The row shows the first allowed start, and says in the same row that the plan is refused."""
    rows = {row["option"].id: row for row in answer_page(club).content["rows"]}
    assert rows["full"]["warn"] == ("Cannot start January 18, 2027; shown from October 25, 2027.")
    later = club.option("full").allowed_start
    assert later is not None
    assert outcomes(club.leading(club.tags["full"])) == later.outcomes
    bill = later.bills[0].per_month - club.option("keep").bills[0].per_month
    assert rows["full"]["pays"][0].value == f"+${bill:,.0f}"


def test_members_pay_what_the_engine_bills_and_owners_what_a_year_costs(
    club: View, owner: View
) -> None:
    keep = club.option("keep").bills
    assert [pay.value for pay in pay_words.pays(club, club.baseline)] == [
        f"${bill.per_month:,.0f}" for bill in keep
    ]
    assert [pay.note for pay in pay_words.pays(club, club.tags["replace"])] == (
        ["a month, $500 once"] * len(keep)
    )
    yearly = owner.option("keep").likely.equivalent_annual_cost
    assert pay_words.pays(owner, owner.baseline)[0].value == f"€{yearly:,.0f}"


def test_where_options_are_the_same_nothing_is_ranked(club: View) -> None:
    """An option whose every outcome is the baseline's is drawn on the line, as one mark."""
    same = replace(club.uncertain("part"), outcomes=(0.0,) * 20)
    options = {**club.figures.uncertainty.options, "part": same}
    figures = replace(club.figures, uncertainty=replace(club.figures.uncertainty, options=options))
    view = replace(club, figures=figures)
    assert marked(view, "part") == {"even": 1}


def test_each_option_number_has_a_shape_of_its_own() -> None:
    assert len(set(SHAPES)) == len(SHAPES) == 8
