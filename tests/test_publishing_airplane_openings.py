"""Small jobs while the panel is open, in the words of their page and of the option's own."""

from dataclasses import replace

from panelworth.publishing.airplane import openings_words
from panelworth.publishing.option_page import option_page
from panelworth.publishing.view import View


def test_small_jobs_are_on_the_option_s_own_page(club: View) -> None:
    told = option_page(club, club.tags["full"]).content["openings"]
    likely = club.figures.airplane.openings["full"].included_saving
    assert f"likely saves {club.formats.money(likely)} in today's money" in told[0]
    assert told[1] == "Included though likely cheaper to leave: “Fit new fuel senders”."
    assert option_page(club, club.tags["keep"]).content["openings"] == []
    assert option_page(club, club.tags["replace"]).content["openings"] == []


def test_jobs_left_out_though_cheaper_now_are_named(club: View) -> None:
    found = club.figures.airplane.openings["part"]
    assert openings_words.jobs_apart(found) == [
        "Left out though likely cheaper now: “Renew the brittle wiring behind the panel”."
    ]
    assert openings_words.saving(club, club.tags["part"], found).startswith(
        f"“{club.tags['part'].title}” does 2 of 4 small jobs: that likely saves "
    )
    none = replace(found, jobs=tuple(replace(job, included=False) for job in found.jobs))
    assert openings_words.saving(club, club.tags["part"], none).endswith(
        "includes none of the 4 small jobs."
    )
    assert openings_words.equal(replace(found.jobs[0], equal_chance=None)) == "none"
