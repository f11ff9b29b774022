"""What it costs an owner: rows, sentences and the picture against the figures they tell."""

from dataclasses import replace
from itertools import pairwise

import pytest

from panelworth.publishing.charts.hours import hours_chart
from panelworth.publishing.pages.costs import costs_page
from panelworth.publishing.view import View
from panelworth.publishing.words import costs_words


def test_the_rows_show_the_engines_costs_and_add_up(owner: View) -> None:
    rows = {
        label: dict(zip(owner.tags, cells, strict=True))
        for label, cells in costs_words.cost_rows(owner)
    }
    money = owner.formats.money
    for each in owner.tags:
        option, spread = owner.option(each), owner.uncertain(each).range.cost_per_hour
        assert spread is not None
        assert rows["An hour, all costs"][each] == money(option.likely.cost_per_hour)
        assert (
            rows["In 16 of 20 futures between"][each]
            == f"{money(spread.p10)} to {money(spread.p90)}"
        )
    assert rows["A year, all costs"]["keep"] == money(
        owner.option("keep").likely.equivalent_annual_cost
    )
    year = {each: amount(text) for each, text in rows["A year, all costs"].items()}
    for each, told in rows["More or less than Keep"].items():
        assert told == "—" if each == "keep" else year[each] - year["keep"] == amount(told)
    assert rows["Loan, a month"] == {"keep": "—", "refit": "€296", "newer": "€508"}


def amount(text: str) -> float:
    """Read a sum as it is shown."""
    return float(text.replace("−", "-").replace("€", "").replace(",", ""))


def test_the_lead_names_who_costs_least_and_most_a_year(owner: View) -> None:
    told = costs_words.lead(owner)
    years = {each: owner.option(each).likely.equivalent_annual_cost for each in owner.tags}
    least, most = (owner.tags[pick(years, key=years.__getitem__)] for pick in (min, max))
    assert told.startswith(f"{least.short} costs €")
    assert f"; {most.short} costs €" in told


def test_rows_without_a_figure_are_left_out(owner: View) -> None:
    options = {each: replace(found, funded=None) for each, found in owner.figures.options.items()}
    series = {each: replace(found, loan=None) for each, found in owner.figures.series.items()}
    bare = replace(owner, figures=replace(owner.figures, options=options, series=series))
    labels = [label for label, _ in costs_words.cost_rows(bare)]
    assert not {"Loan, a month", "Paid back over"} & set(labels)


@pytest.mark.parametrize("slope", [100.0, 0.0])
def test_an_hour_is_said_to_get_cheaper_only_where_every_curve_falls(
    owner: View, slope: float
) -> None:
    cheaper = "The more it flies, the less an hour costs."
    assert hours_chart(owner).title == cheaper
    curve = owner.figures.by_hours
    turned = {**curve.cost_per_hour, "keep": tuple(100 + slope * hours for hours in curve.hours)}
    figures = replace(owner.figures, by_hours=replace(curve, cost_per_hour=turned))
    assert hours_chart(replace(owner, figures=figures)).title != cheaper


def test_every_line_is_named_at_its_end_and_no_two_names_touch(owner: View) -> None:
    data = hours_chart(owner).spec["datasets"].values()
    names = [row for rows in data for row in rows if "place" in row]
    assert {row["name"] for row in names} == {tag.short for tag in owner.tags.values()}
    costs = [row["y"] for rows in data for row in rows if "y" in row]
    places = sorted(row["place"] for row in names)
    least = 0.08 * (max(costs) - min(costs))
    assert all(b - a >= least for a, b in pairwise(places))


def test_the_page_carries_its_caution_and_one_picture(owner: View) -> None:
    page = costs_page(owner)
    assert page is not None
    assert len(page.content["charts"]) == 1
    assert "your accountant, insurer and lender decide" in page.content["caution"]
