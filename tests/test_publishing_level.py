"""Which option brings most, which are level, what it rests on: words that turn with the figures."""

import math
import re
from dataclasses import fields, replace

import numpy as np
import pytest

from ahead_views import PAIRS, unmoved, with_ahead
from panelworth.engine.results.figures import (
    BreakEven,
    Figures,
)
from panelworth.model.value import exactly
from panelworth.publishing.paper.handout import handout_page
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.terminal.brief import brief
from panelworth.publishing.view import View
from panelworth.publishing.words import answer_words, figure_names, handout_words, level_words


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
    larger = math.floor(max(share, 1 - share) * 20 + 0.5)  # the smaller count is the rest of 20
    mine = larger if share >= 0.5 else 20 - larger
    assert level_words.level(view.leading(view.tags["part"]), view.leading(view.baseline)) == (
        larger < 13
    )
    close = f"Refit part ends ahead of Keep in {mine} of 20 futures: too close to call."
    assert (close in answer_words.level(view)) == (larger < 13)


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
        assert all(
            level_words.is_ahead(view.leading(named[0]), view.leading(each)) for each in left
        )
    tops = [
        tag
        for tag in named
        if not any(
            level_words.is_ahead(view.leading(each), view.leading(tag))
            for each in view.tags.values()
            if each is not tag
        )
    ]
    for tag in tops:
        assert not any(level_words.level(view.leading(tag), view.leading(each)) for each in left)


def test_the_rule_stands_beside_the_counts_of_pairs() -> None:
    assert "Where neither reaches 13, the two are level." in handout_words.pairs_head()


def test_an_owner_without_a_worth_of_an_hour_is_told_that_lost_time_counts_as_nothing(
    owner: View, club: View
) -> None:
    assert level_words.without_worth(owner.case) == ""  # the demo says what an hour is worth
    scenario = owner.case.scenario
    aircraft = scenario.aircraft.model_copy(update={"worth_per_hour": None})
    scenario = scenario.model_copy(update={"aircraft": aircraft})
    owner = replace(owner, case=replace(owner.case, scenario=scenario))
    told = level_words.without_worth(owner.case)
    assert "counts as nothing" in told
    assert "worth_per_hour" in told
    for words in (flat(owner), str(handout_page(owner).content["heads"])):
        assert told in words
    for key, value in (("worth_per_hour", 200.0), ("hours_lost_per_year", 0.0)):
        aircraft = scenario.aircraft.model_copy(update={key: exactly(value)})
        case = replace(owner.case, scenario=scenario.model_copy(update={"aircraft": aircraft}))
        plain = {
            each: option.model_copy(update={"after": type(option.after)()})
            for each, option in case.options.items()
        }
        case = case if key == "worth_per_hour" else replace(case, options=plain)
        assert level_words.without_worth(case) == ""
    assert level_words.without_worth(club.case) == ""


def test_every_break_even_has_a_name() -> None:
    keys = [key for key, _, _ in figure_names.BREAK_EVENS]
    assert sorted(keys) == sorted(each.name for each in fields(BreakEven))


def test_pages_speak_of_no_cash_payback_and_leave_no_club_better_off(club: View) -> None:
    for page in pages_of(club):
        told = str({key: text for key, text in page.content.items() if key != "story"}).casefold()
        assert "cash payback" not in told
        assert "better off" not in told
        assert "in cash it" not in told
