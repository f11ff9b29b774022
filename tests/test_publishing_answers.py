"""The first page answers what a member asks, in figures, and leads to where they are worked out."""

from pathlib import Path

from panelworth import evaluate
from panelworth.publishing.airplane.failure_words import count_ending
from panelworth.publishing.answers import answers
from panelworth.publishing.formats import percent
from panelworth.publishing.front_page import front_page
from panelworth.publishing.layout import pages_of
from panelworth.publishing.view import View, view_of
from small_cases import case_in

ASKED = ["What it costs", "What you get", "What can go wrong", "When it is away"]


def test_every_option_answers_the_same_questions_in_the_same_order(club: View, owner: View) -> None:
    for view in (club, owner):
        for tag in view.tags.values():
            assert [each["question"] for each in answers(view, tag)] == ASKED


def test_every_answer_leads_to_a_page_of_the_site(club: View, owner: View) -> None:
    for view in (club, owner):
        files = {page.file for page in pages_of(view)}
        for tag in view.tags.values():
            assert {each["href"] for each in answers(view, tag)} <= files


def test_what_you_get_is_what_the_airplane_s_figures_say(club: View) -> None:
    found = club.figures.airplane
    for tag in club.tags.values():
        told = answers(club, tag)[1]["facts"]
        failures = found.failures[tag.id]
        share = percent(found.capability.share[tag.id], 0)
        assert told[0] == f"It has {share} of what members want."
        count = count_ending(failures, "IFR")
        assert told[1] == (
            f"{count} of {len(failures.failures)} units alone take something that 91.205 lists for "
            "IFR."
        )
    assert answers(club, club.tags["full"])[1]["facts"][2] == (
        "It carries 603.1 lb of people and bags beside full tanks (+9.1 lb)."
    )


def test_an_airplane_without_files_of_its_own_says_nothing_of_what_you_get(
    tmp_path: Path,
) -> None:
    case = case_in(tmp_path, {"refit": 'title = "Refit"\nkind = "retrofit"\n'})
    small = view_of(case, evaluate(case, trials=100))
    for tag in small.tags.values():
        assert "What you get" not in [each["question"] for each in answers(small, tag)]


def test_the_first_page_says_by_when_to_decide_and_what_chances_are(club: View) -> None:
    content = front_page(club).content
    assert content["basis"].startswith(
        "“12 of 20 futures” and “46 in 100” are counted in 10,000 possible futures"
    )
    assert [each["option"].id for each in content["meanings"]] == list(club.tags)
