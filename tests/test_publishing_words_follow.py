"""Sentences that once were stated now follow from figures: they turn where the figures turn."""

import re
from dataclasses import replace
from typing import Any

import pytest

from panelworth.engine.deadlines import deadlines
from panelworth.engine.results.editions import Deadline
from panelworth.model.fleet import Fleet, OtherAircraft
from panelworth.model.option import Option
from panelworth.publishing.formats import near_day
from panelworth.publishing.terminal.brief import brief
from panelworth.publishing.view import View
from panelworth.publishing.words import (
    answer_words,
    handout_words,
    pay_words,
    raise_words,
    row_words,
    sentences,
    warning_words,
)
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.date_words import event
from panelworth.publishing.words.milestones import days_to_decide


def with_option(view: View, option_id: str, **changed: Any) -> View:  # noqa: ANN401 (a record)
    """Return the view with some keys of one option's file changed."""
    option: Option = view.case.options[option_id].model_copy(update=changed)
    case = replace(view.case, options={**view.case.options, option_id: option})
    return replace(view, case=case)


def _away(view: View, option_id: str) -> list[str]:
    day = view.case.scenario.as_of
    down = Deadline(kind="down", first=day, last=day, option=option_id, past=False)
    tag = view.tags[option_id]
    return [row_words.away(view.case, tag), event(view.case, down)]


def test_without_an_airplane_is_only_who_has_no_other(club: View, owner: View) -> None:
    other = Fleet(aircraft=(OtherAircraft(name="The glider tug"),))
    with_two = replace(owner, case=replace(owner.case, fleet=other))
    for told in _away(owner, "newer"):
        assert re.search("without an airplane|no airplane", told.casefold())
    for view, option_id in ((club, "replace"), (with_two, "newer")):
        for told in _away(view, option_id):
            assert not re.search("without an airplane|no airplane", told.casefold())
            assert "one airplane less" in told.casefold()


def test_without_kinds_of_member_each_is_told_what_is_asked_of_all(club: View) -> None:
    """Where the file names no kinds of member there is no bill to show beside an option."""
    options = {key: replace(each, bills=()) for key, each in club.figures.options.items()}
    view = replace(club, figures=replace(club.figures, options=options))
    [pay] = pay_words.pays(view, club.tags["part"])
    assert "$148.00 an hour" in pay.value
    funded = club.option("part").funded
    once = funded.assessment_per_member if funded else None
    assert f"{raise_words.up(club.formats, once or 0.0)} each, once" in pay.value
    assert pay_words.pays(view, club.tags["keep"])[0].value == "nothing more"
    assert pay_words.least_and_most(view) == ""
    assert f"Asked of members: {pay.value}." in re.sub(r"\s+", " ", brief(view))


def lines_with(text: str, words: str) -> list[str]:
    """Return the lines of a brief, each with all of its text, in which some words stand."""
    flat = re.sub(r"\n  +", " ", text)
    return [line for line in flat.splitlines() if words in line]


def test_the_brief_says_once_what_a_member_needs_to_know(club: View) -> None:
    text = brief(club)
    bills = lines_with(text, "A member's bill a month")
    assert len(bills) == len(lines_with(text, "Asked of members: ")) == len(club.tags)
    assert len(lines_with(text, "lapsed")) == 1  # one option has a lapsed quote
    assert len(lines_with(text, "October 25, 2027")) == 1  # one is refused as planned
    [level] = lines_with(text, "level")
    assert level.startswith("- Keep and Refit all: level")
    assert not lines_with(text, "asks least")  # the bills above show it


def test_the_brief_lists_every_day_on_which_something_is_due(club: View, owner: View) -> None:
    for demo in (club, owner):
        due = deadlines(demo.case, demo.figures)
        view = replace(demo, updates=replace(demo.updates, deadlines=due))
        flat = re.sub(r"\s+", " ", brief(view))
        assert len(days_to_decide(view)) > 2
        for day in days_to_decide(view):
            assert f"- {near_day(day, view.case.scenario.as_of)}: " in flat


def test_money_that_comes_in_is_told_where_nothing_is_paid(club: View) -> None:
    option = club.option("keep")
    option = replace(option, likely=replace(option.likely, outlay=0.0, upfront=-900.0))
    figures = replace(club.figures, options={**club.figures.options, "keep": option})
    told = sentences.upfront(club.formats, figures.options["keep"].likely)
    assert told == "Nothing is paid up front; sales and credits bring in $900."


@pytest.mark.parametrize("name", ["club", "owner"])
def test_the_brief_says_what_the_front_page_and_the_handout_say(
    name: str, request: pytest.FixtureRequest
) -> None:
    view: View = request.getfixturevalue(name)
    text = re.sub(r"\s+", " ", brief(view))
    assert all(head.upper() in text for head, _ in heads(view))
    for said in (answer_words.decides(view), answer_words.goes_wrong(view)):
        assert said in text
    flagged = 0
    for tag in view.tags.values():
        assert f": {handout_words.granted(view, tag)}." in text
        assert row_words.outcome_texts(view, tag)["rest"] in text
        flagged += bool(warning_words.lapsed(view.case, tag.id))
        assert warning_words.lapsed(view.case, tag.id) in text
        if view.club:
            assert handout_words.bill_range(view, tag) in text
    assert flagged == 1
    assert all(caution in text for caution in handout_words.cautions(view.club))
