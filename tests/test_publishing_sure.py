"""How sure the comparison is: every count is drawn, every sum is enough, no range is overstated."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ahead_views import PAIRS, unmoved, with_ahead
from airplane_views import text_of, view_in
from funded_views import with_funded
from panelworth.engine.results.trials import OptionUncertainty
from panelworth.publishing.charts import pairs, swings
from panelworth.publishing.charts.marks import shape
from panelworth.publishing.charts.outcomes import LETTER, WIDTH
from panelworth.publishing.charts.pairs import RowOfTwenty
from panelworth.publishing.pages.sure import sure_page
from panelworth.publishing.view import View
from panelworth.publishing.words import level_words, sure_words
from small_cases import CLUB, refit


def counted(row: RowOfTwenty, state: str) -> int:
    """Count the marks of a row that are drawn so."""
    return sum(part.path.count(shape(part.number)) for part in row.parts if part.state == state)


def with_drawn(view: View, option_id: str, **changed: object) -> View:
    """Return the view with some of what the futures say of an option changed."""
    drawn = view.figures.uncertainty
    new: OptionUncertainty = replace(drawn.options[option_id], **changed)
    options = {**drawn.options, option_id: new}
    return replace(view, figures=replace(view.figures, uncertainty=replace(drawn, options=options)))


@pytest.mark.parametrize("seed", range(20))
def test_the_counts_of_a_pair_are_its_marks_and_add_up_to_20(club: View, seed: int) -> None:
    shares = np.random.default_rng(seed).uniform(0.0, 1.0, len(PAIRS)).tolist()
    view = with_ahead(unmoved(club), dict(zip(PAIRS, shares, strict=True)))
    found = pairs.pairs(view)
    assert len(found) == 6
    for pair in found:
        assert (
            pair.ahead
            == level_words.count_ahead(view.leading(pair.left), view.leading(pair.right))
            >= 10
        )
        assert (counted(pair.row, "ahead"), counted(pair.row, "behind")) == (
            pair.ahead, pair.behind,
        )  # fmt: skip
        assert pair.ahead + pair.behind == 20
        told = sure_words.verdict(view.leading(pair.left), view.leading(pair.right))
        assert ("Level" in told) == (pair.ahead < 13)


def test_of_many_options_the_best_is_set_beside_each_other(tmp_path: Path) -> None:
    costs = {f"way-{cost}": refit(f"cost = {cost}00") for cost in range(5, 9)}
    view = view_in(tmp_path, costs)
    found = pairs.pairs(view)
    assert len(view.tags) == 5
    assert len(found) == 4
    assert {pair.left.id for pair in found} == {pairs.by_rank(view)[0].id}


@pytest.mark.parametrize(
    ("shares", "told"),
    [
        (dict.fromkeys(PAIRS, 0.5), ("Money does not decide between Keep, Refit part, Refit all, "
         "and Replace: none of them ends ahead of each other in 13 of 20 futures.")),
        ({("full", "keep"): 0.9, ("full", "part"): 0.7, ("full", "replace"): 1.0},
         "Refit all ends ahead of each other option in at least 14 of 20 futures."),
    ],
)  # fmt: skip
def test_the_lead_names_the_best_or_says_that_none_is(
    club: View, shares: dict[tuple[str, str], float], told: str
) -> None:
    view = with_ahead(unmoved(club), shares)
    assert sure_words.lead(view).startswith(told)


def test_the_hollow_marks_of_the_floor_are_the_futures_that_break_it(club: View) -> None:
    page = sure_page(club)
    for row in page.content["floors"]:
        share = club.leading(row["option"]).trials.chance_below_floor
        assert counted(row["row"], "behind") == level_words.twentieths(share)
        assert row["count"] == level_words.of_twenty(share)
        assert row["count"] in row["row"].text


@pytest.mark.parametrize("amount", [17.61, 0.0, None])
def test_a_count_beside_a_raise_is_said_to_be_asked_for_only_where_the_raise_was_worked_out(
    club: View, amount: float | None
) -> None:
    told = " ".join(sure_words.asked_for(with_funded(club, "full", dues_increase=amount)))
    asked, _, failed = told.partition("No raise of the kind asked for holds it: ")
    assert ("Refit all" in asked) == bool(amount)
    assert ("Refit all" in failed) == (amount is None)
    assert "Keep" not in told


@given(cost=st.floats(1.0, 500_000.0), spread=st.floats(0.0, 0.8))
def test_the_sum_to_grant_is_enough_and_hardly_more(club: View, cost: float, spread: float) -> None:
    bills = np.linspace(cost * (1 - spread / 2), cost * (1 + spread / 2), 101)
    found = with_drawn(
        club, "part", outlay_quantiles=tuple(bills.tolist()), budget_p80=float(bills[80]),
        likely_outlay=cost,
    )  # fmt: skip
    told = sure_words.budget(found, found.tags["part"])
    enough = float(re.sub(r"[$,]", "", told["enough"]))
    step = max((bills[90] - bills[10]) / 50, 1.0)
    assert bills[80] - 1e-6 * cost <= enough < bills[80] + step + 1e-6 * cost


@given(
    start=st.floats(0.0, WIDTH), wide=st.floats(0.0, WIDTH), names=st.tuples(
        st.text("0123456789", min_size=1, max_size=12),
        st.text("0123456789", min_size=1, max_size=12),
    ),
)  # fmt: skip
def test_the_labels_of_a_bar_stay_apart_and_within_the_picture(
    start: float, wide: float, names: tuple[str, str]
) -> None:
    placed = swings._placed((start, min(start + wide, WIDTH)), names)
    left, right = placed["left"], placed["right"]
    assert left.x >= -0.1
    assert left.x + len(names[0]) * LETTER < right.x - len(names[1]) * LETTER
    assert right.x <= WIDTH + 0.1


@pytest.mark.parametrize("name", ["club", "owner"])
def test_each_bar_runs_from_its_worse_end_to_its_better_one(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    for tag in view.others:
        found = swings.swings(view, tag)
        assert found is not None
        assert 1 <= len(found.bars) <= 4
        for bar, swing in zip(found.bars, view.option(tag.id).swings, strict=False):
            low, high = sure_words.range_ends(view, swing.input)
            worse = low if swing.low <= swing.high else high
            assert (bar.left.label, bar.right.label) == (worse, high if worse == low else low)
            crosses = min(swing.low, swing.high) < 0 < max(swing.low, swing.high)
            assert crosses == (bar.hollow[1] > 0 and bar.filled[1] > 0)
            assert bar.filled[1] == 0 or bar.filled[0] >= found.zero - 0.1


def test_a_value_that_makes_two_options_even_is_told_within_its_range_alone(club: View) -> None:
    tag = club.tags["part"]
    points = club.insight.break_even_points["part"]
    for found in points[:4]:
        each = club.inputs[found.input].quantity
        told = sure_words.turns(club, tag, found.input)
        inside = [root for root in found.roots if each.low <= root.value <= each.high]
        assert bool(told) == (len(inside) == 1)
    moved = replace(points[0], roots=(replace(points[0].roots[0], value=1e6),))
    insight = replace(club.insight, break_even_points={"part": (moved,)})
    assert sure_words.turns(replace(club, insight=insight), tag, moved.input) == ""


def test_another_option_takes_over_only_where_it_can_start_as_planned(club: View) -> None:
    """The demo's third option would be best with 3.5 new members, from a start that is refused."""
    tag = club.tags["part"]
    assert sure_words.others_take_over(club, tag) == []
    assert sure_words.others_take_over(unmoved(club), tag) == [
        "Refit all becomes the best at 3.5 (Refit all: net members gained)."
    ]


@pytest.mark.parametrize("name", ["club", "owner"])
def test_chances_are_counts_of_20_and_nothing_is_quoted(
    name: str, request: pytest.FixtureRequest
) -> None:
    text = text_of(request.getfixturevalue(name), "risk.html")
    main = text[text.index("<main") : text.index("</main>")]
    assert not re.search(r"of 100|in 100|“", main)
    assert ("floor" in main) == (name == "club")


@pytest.mark.parametrize("rest", ["", CLUB])
def test_a_folder_without_ranges_has_a_page(tmp_path: Path, rest: str) -> None:
    text = text_of(view_in(tmp_path, {"refit": refit("cost = 500")}, rest=rest), "risk.html")
    assert "no range bears on it" in text
    assert "What moves" not in text
