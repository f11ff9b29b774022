"""Small jobs while the panel is open, in the words of the airplane's page and of the option's."""

from dataclasses import replace

from airplane_views import part_of, section_of
from panelworth.publishing.view import View
from panelworth.publishing.words import deferred_jobs_words


def test_an_option_that_opens_the_panel_says_what_its_jobs_save(club: View) -> None:
    told = deferred_jobs_words.jobs_summary(club, club.tags["part"])
    assert told.startswith("2 of 4 small jobs are done while it is open: likely +$")
    for other in ("keep", "replace"):
        assert deferred_jobs_words.jobs_summary(club, club.tags[other]) == ""


def test_what_jobs_save_is_told_no_finer_than_it_is_sure(club: View) -> None:
    """The likely saving of two jobs spreads over some 2,700, so steps of 50 would say too much."""
    found = club.figures.airplane.deferred_jobs["part"]
    exact = club.formats.change(found.included_saving)
    assert exact not in deferred_jobs_words.saving(club.formats, found)


def test_an_option_without_jobs_says_so_and_is_named_on_the_page(club: View) -> None:
    found = club.figures.airplane.deferred_jobs["part"]
    none = replace(found, jobs=tuple(replace(job, included=False) for job in found.jobs))
    assert (
        deferred_jobs_words.saving(club.formats, none)
        == "None of 4 small jobs is done while it is open."
    )
    airplane = replace(
        club.figures.airplane, deferred_jobs={**club.figures.airplane.deferred_jobs, "part": none}
    )
    view = replace(club, figures=replace(club.figures, airplane=airplane))
    assert section_of(view, "open").answer[0].endswith("None is done with Refit part.")


def test_jobs_that_money_alone_would_choose_otherwise_are_named(club: View) -> None:
    assert part_of(club, "open", "part").lines == [
        "Left out though likely cheaper now: Renew the brittle wiring behind the panel."
    ]
    assert part_of(club, "open", "full").lines == [
        "Included though likely cheaper to leave: Fit new fuel senders."
    ]
    job = club.figures.airplane.deferred_jobs["part"].jobs[0]
    assert deferred_jobs_words.equal(replace(job, equal_chance=None)) == "none"
