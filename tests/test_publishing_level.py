"""Which option brings most, which are level, what it rests on: words that turn with the figures."""

import math
import re
from dataclasses import fields, replace
from itertools import pairwise

import numpy as np
import pytest
from panelworth.publishing.front_page import front_page, lead
from panelworth.publishing.handout_page import handout_page
from panelworth.publishing.option_page import option_page

from ahead_views import PAIRS, unmoved, with_ahead
from panelworth.engine.results import BreakEven, Figures
from panelworth.model.value import exactly
from panelworth.publishing import compare_page, figure_names, level_words, risk_words, sentences
from panelworth.publishing.best_words import best_views
from panelworth.publishing.brief import brief
from panelworth.publishing.deciding_words import basis
from panelworth.publishing.side_money import costs
from panelworth.publishing.view import View


def with_likely(view: View, option_id: str, **changed: object) -> View:
    """Return the view with some likely figures of one option changed."""
    option = view.option(option_id)
    new = replace(option, likely=replace(option.likely, **changed))
    options = {**view.figures.options, option_id: new}
    figures: Figures = replace(view.figures, options=options)
    return replace(view, figures=figures)


def flat(view: View) -> str:
    """Return the brief on one line."""
    return re.sub(r"\s+", " ", brief(view))


@pytest.mark.parametrize("share", [each / 40 for each in range(41)])
def test_level_is_said_exactly_where_neither_is_ahead_in_13_of_20(club: View, share: float) -> None:
    view = with_ahead(unmoved(club), {("part", "keep"): share})
    told = level_words.sure(view, view.tags["part"])
    larger = math.floor(max(share, 1 - share) * 20 + 0.5)  # the smaller count is the rest of 20
    mine = larger if share >= 0.5 else 20 - larger
    assert ("level" in told) == (larger < 13)
    if 0 < mine < 20:
        assert f"in {mine} of 20 futures" in told
    assert told in sentences.against_baseline(view, view.tags["part"])
    [first] = [each for each in lead(view) if each.startswith("“Refit part of it near home”")]
    assert ("are level" in first) == ("level" in told)
    assert level_words.futures(share) in first
    assert any(told in each for each in compare_page.compare_page(view).content["lead"])


@pytest.mark.parametrize("seed", range(60))
def test_no_option_is_named_as_the_one_that_brings_most_beside_one_level_with_it(
    club: View, seed: int
) -> None:
    shares = np.random.default_rng(seed).uniform(0.3, 0.7, len(PAIRS)).tolist()
    view = with_ahead(unmoved(club), dict(zip(PAIRS, shares, strict=True)))
    named = level_words.bring_most(view)
    assert named
    left = [tag for tag in view.tags.values() if tag not in named]
    if len(named) == 1:
        assert all(level_words.is_ahead(view, named[0], each) for each in left)
    tops = [
        tag
        for tag in named
        if not any(
            level_words.is_ahead(view, each, tag) for each in view.tags.values() if each is not tag
        )
    ]
    for tag in tops:
        assert not any(level_words.level(view, tag, each) for each in left)
    label = "Brings members most over 10 years"
    _, tags, told = next(best for best in best_views(view) if best[0] == label)
    assert tags == named
    assert ("not ranked" in told) == (len(named) > 1)
    row = next(each for each in costs(view).rows if each.key == "net_benefit")
    assert not (row.best() and level_words.any_level(view))


def test_the_rule_stands_beside_the_figures(club: View) -> None:
    assert "neither ends ahead in 13 of 20 futures are called level" in basis(club)


@pytest.mark.parametrize(("more", "alone"), [(0.51, False), (1000.0, True)])
def test_half_a_dollar_makes_no_winner(club: View, more: float, *, alone: bool) -> None:
    view = with_likely(club, "part", cost_per_hour=190.0, upfront=20_000.0)
    view = with_likely(view, "keep", cost_per_hour=190.0 + more, upfront=20_000.0 + more)
    best = {label: [tag.id for tag in tags] for label, tags, _ in best_views(view)}
    together = ["part"] if alone else ["keep", "part"]
    assert best["Least cost an hour flown"] == together
    assert best["Least to pay up front"] == together


def test_what_is_least_says_what_it_rests_on(club: View) -> None:
    told = {label: text for label, _, text in best_views(club)}
    assert told["Least to pay up front"].endswith("at likely prices")
    assert told["Least cost an hour flown"].endswith("an hour, at likely prices and hours")
    assert told["Least time down"].endswith("likely")


def test_no_list_of_bests_names_a_refused_option_without_saying_so(club: View) -> None:
    view = with_likely(club, "full", upfront=10.0, cost_per_hour=1.0)
    option = view.option("full")
    ahead = dict.fromkeys(option.allowed_start.ahead_of, 0.99)
    allowed = replace(option.allowed_start, ahead_of=ahead)
    options = {**view.figures.options, "full": replace(option, allowed_start=allowed)}
    view = replace(view, figures=replace(view.figures, options=options))
    naming = [told for _, tags, told in best_views(view) if view.tags["full"] in tags]
    assert len(naming) == 3
    assert all("cannot start as planned" in told for told in naming)
    free = [told for _, tags, told in best_views(unmoved(view)) if view.tags["full"] in tags]
    assert not any("planned" in told for told in free)


def test_the_first_allowed_start_stands_beside_the_plan_on_every_page(club: View) -> None:
    tag, change = club.tags["full"], club.formats.change
    later = level_words.allowed(club, tag)
    assert later is not None
    both = {change(later.net_benefit), change(club.option("full").likely.net_benefit)}
    row = next(each for each in front_page(club).content["rows"] if each["option"] is tag)
    paper = next(each for each in handout_page(club).content["rows"] if each["option"] is tag)
    timing = option_page(club, tag).content["timing"]
    assert club.formats.money(abs(later.net_benefit)) in flat(club)
    assert change(club.option("full").likely.net_benefit) in flat(club)
    for told in (str(row["cells"]), str(paper["cells"]), " ".join(timing)):
        assert all(sum_ in told for sum_ in both)
    for words in (sentences.brings(club, tag), lead(club)[2]):
        assert club.formats.money(abs(later.net_benefit)) in words
    assert risk_words.from_allowed_start(club, club.tags["part"]) == ""
    assert level_words.from_allowed(unmoved(club), tag) == ""


@pytest.mark.parametrize("left", [-900.0, 12_345.0])
def test_without_growth_is_told_where_it_differs(club: View, left: float) -> None:
    tag = club.tags["part"]
    view = with_likely(club, "part", without_growth=left)
    told = f"Without new members and more flying: {club.formats.change(left)}."
    assert level_words.without_growth(view, tag) == told
    assert told in sentences.against_baseline(view, tag)
    assert told in str(compare_page.compare_page(view).content["lead"])
    same = with_likely(club, "part", without_growth=club.option("part").likely.net_benefit)
    assert level_words.without_growth(same, tag) == ""


def test_an_owner_without_a_worth_of_an_hour_is_told_that_lost_time_counts_as_nothing(
    owner: View, club: View
) -> None:
    assert level_words.without_worth(owner) == ""  # the demo says what an hour is worth
    scenario = owner.case.scenario
    aircraft = scenario.aircraft.model_copy(update={"worth_per_hour": None})
    scenario = scenario.model_copy(update={"aircraft": aircraft})
    owner = replace(owner, case=replace(owner.case, scenario=scenario))
    told = level_words.without_worth(owner)
    assert "counts as nothing" in told
    assert "worth_per_hour" in told
    for words in (str(lead(owner)), flat(owner), str(handout_page(owner).content["likely"])):
        assert told in words
    for key, value in (("worth_per_hour", 200.0), ("hours_lost_per_year", 0.0)):
        aircraft = scenario.aircraft.model_copy(update={key: exactly(value)})
        case = replace(owner.case, scenario=scenario.model_copy(update={"aircraft": aircraft}))
        plain = {
            each: option.model_copy(update={"after": type(option.after)()})
            for each, option in case.options.items()
        }
        case = case if key == "worth_per_hour" else replace(case, options=plain)
        assert level_words.without_worth(replace(owner, case=case)) == ""
    assert level_words.without_worth(club) == ""


@pytest.mark.parametrize("name", ["club", "owner"])
def test_the_bars_add_up_to_the_net_benefit(name: str, request: pytest.FixtureRequest) -> None:
    view: View = request.getfixturevalue(name)
    chart = compare_page.made_of(view)
    data = [each for rows in chart.spec["datasets"].values() for each in rows if "to" in each]
    for tag in view.others:
        bars = [each for each in data if each["option"] == tag.title]
        *parts, whole = bars
        assert parts[0]["from"] == whole["from"] == 0.0
        assert all(b["from"] == pytest.approx(a["to"], abs=1.0) for a, b in pairwise(parts))
        assert parts[-1]["to"] == pytest.approx(whole["to"], abs=1.0)
        assert whole["to"] == pytest.approx(view.option(tag.id).likely.net_benefit, abs=0.01)
    row = dict(zip((tag.id for tag in view.others), chart.rows, strict=True))
    for tag in view.others:
        assert row[tag.id][-1] == view.formats.change(view.option(tag.id).likely.net_benefit)


def test_every_break_even_has_a_name() -> None:
    keys = [key for key, _, _ in figure_names.BREAK_EVENS]
    assert sorted(keys) == sorted(each.name for each in fields(BreakEven))


def test_pages_speak_of_no_cash_payback_and_leave_no_club_better_off(club: View) -> None:
    for page in (front_page(club), compare_page.compare_page(club)):
        told = str({key: text for key, text in page.content.items() if key != "story"}).casefold()
        assert "cash payback" not in told
        assert "better off" not in told
        assert "in cash it" not in told
