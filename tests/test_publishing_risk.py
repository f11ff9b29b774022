"""Chances in words, and the charts of the risk page against the figures they show."""

from dataclasses import replace
from typing import Any

import pytest

from panelworth.engine.results import Turning
from panelworth.engine.results_trials import Spread
from panelworth.publishing import risk_words
from panelworth.publishing.charts import Chart
from panelworth.publishing.option_page import option_page
from panelworth.publishing.risk_page import bill, risk_page, spread, tornado
from panelworth.publishing.risk_words import chance
from panelworth.publishing.view import View


def plotted(chart: Chart) -> list[dict[str, Any]]:
    """Return the rows a chart draws: its largest set of data."""
    return max(chart.spec["datasets"].values(), key=len)


@pytest.mark.parametrize(
    ("share", "error", "told"),
    [
        (0.4567, None, "46 in 100"),
        (0.4567, 0.012, "46 in 100, give or take 2.4"),
        (0.0, 0.0, "under 1 in 100"),
        (0.9999, 0.0, "over 99 in 100"),
        (None, None, "—"),
    ],
)
def test_a_chance_is_counted_in_a_hundred(
    share: float | None, error: float | None, told: str
) -> None:
    assert chance(share, error) == told


def test_a_figure_that_does_not_vary_carries_no_range(club: View) -> None:
    still = Spread(p10=5.0, p50=5.0, p80=5.0, p90=5.0, mean=5.0)
    assert risk_words.below(club, still) == ""
    assert risk_words.middle(club, still) == ""
    moving = replace(still, p80=36200.4, p90=40000.0, p10=-3.2)
    assert risk_words.below(club, moving) == "8 in 10 below $36,200"
    assert risk_words.middle(club, moving) == "8 in 10 from −$3 to +$40,000"


def test_the_budget_is_the_p80_and_says_how_likely_the_sum_of_likely_prices_is_enough(
    club: View,
) -> None:
    found = club.uncertain("part")
    likely, often = club.formats.money(found.likely_outlay), chance(found.chance_likely_enough)
    assert risk_words.budget(club, club.tags["part"]) == (
        f"Ask the members to grant {club.formats.money(found.budget_p80)}, before sales and "
        f"credits: that is enough in 8 of 10 futures. The chance that the sum of likely prices, "
        f"{likely}, is enough: {often}."
    )


def test_an_owner_is_told_what_to_set_aside_and_nothing_of_members(owner: View) -> None:
    tag = owner.tags["refit"]
    money = owner.formats.money(owner.uncertain("refit").budget_p80)
    assert risk_words.budget(owner, tag).startswith(f"Set aside {money}: ")
    for page in (option_page(owner, tag), risk_page(owner)):
        told = [str(value) for key, value in page.content.items() if key not in ("story", "inputs")]
        assert not [text for text in told if "members" in text.casefold()]


def test_a_turning_value_names_both_options_and_its_side(club: View) -> None:
    turn = Turning(
        input="aircraft.fuel_price", likely=6.35, least=0.0, most=60.0, best="full",
        value=8.0, then="keep", jump=False,
    )  # fmt: skip
    assert risk_words.turning(club, turn) == (
        "Fuel price: above $8 (likely $6.35) “Keep nursing it” takes over from "
        "“Refit all of it at the distant shop”."
    )
    never = replace(turn, value=None, then=None)
    assert risk_words.turning(club, never) == (
        "Fuel price: “Refit all of it at the distant shop” stays the best at any value between "
        "$0 and $60."
    )


def test_the_chances_of_being_best_add_up_to_one(club: View, owner: View) -> None:
    for view in (club, owner):
        assert sum(view.uncertain(each).chance_best for each in view.tags) == pytest.approx(1.0)


def test_the_cost_curve_marks_half_and_eighty_in_a_hundred(club: View) -> None:
    chart = bill(club)
    assert chart is not None
    values = plotted(chart)
    marked = [each for each in values if each["option"] == club.tags["full"].title and each["mark"]]
    found = club.uncertain("full")
    assert [each["y"] for each in marked] == [50, 80]
    assert marked[1]["x"] == pytest.approx(100 * found.budget_p80 / found.likely_outlay, abs=0.06)


def test_the_distribution_holds_almost_all_futures(club: View) -> None:
    chart = spread(club)
    assert chart is not None
    values = plotted(chart)
    for tag in club.others:
        whole = sum(each["y"] for each in values if each["option"] == tag.title)
        assert 96.0 <= whole <= 100.5


def test_the_tornado_is_the_swings(club: View) -> None:
    chart = tornado(club, club.tags["full"])
    assert chart is not None
    ends = [each["x"] for each in plotted(chart)]
    swings = club.option("full").swings[:8]
    assert ends == [round(end, 2) for each in swings for end in (each.low, each.high)]


def test_a_certain_scenario_has_a_page_without_these_charts(club: View) -> None:
    page = risk_page(replace(club, figures=_certain(club)))
    assert [chart.id for chart in page.content["charts"]] == []


def _certain(view: View) -> object:
    """Return figures in which nothing varies."""
    drawn = view.figures.uncertainty
    still = {
        key: replace(
            each,
            outlay_quantiles=(each.likely_outlay,) * 101,
            gap_quantiles=(0.0,) * 101,
        )
        for key, each in drawn.options.items()
    }
    options = {key: replace(each, swings=()) for key, each in view.figures.options.items()}
    return replace(
        view.figures, uncertainty=replace(drawn, options=still, moved={}), options=options
    )
