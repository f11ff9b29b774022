"""Small jobs while the panel is open, in sentences: what doing them now likely saves."""

import math
from collections.abc import Sequence

from panelworth.engine.results_airplane import Opening, OpeningFigures
from panelworth.publishing.formats import joined, percent, plural, quoted
from panelworth.publishing.language import say
from panelworth.publishing.view import OptionTag, View


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say what the jobs that each option includes likely save."""
    found, money = view.figures.airplane.openings, view.formats.money
    told = [
        say(
            "{amount} with “{option}”",
            amount=money(found[tag.id].included_saving),
            option=tag.title,
        )
        for tag in tags
    ]
    return say(
        "Doing the included small jobs while it is open, instead of later, likely saves {amounts}, "
        "in today's money.",
        amounts=joined(told),
    )


def saving(view: View, tag: OptionTag, found: OpeningFigures) -> str:
    """Say what the jobs an option includes save, over the years counted, in today's money."""
    inside = [job for job in found.jobs if job.included]
    jobs = plural(len(found.jobs), "small job", "small jobs")
    if not inside:
        return say("“{option}” includes none of the {jobs}.", option=tag.title, jobs=jobs)
    likely = math.fsum(job.saving for job in inside)
    low, high = (
        math.fsum(job.saving_low for job in inside),
        math.fsum(job.saving_high for job in inside),
    )
    told = {
        "option": tag.title,
        "jobs": say("all {jobs}", jobs=jobs)
        if len(inside) == len(found.jobs)
        else say("{count} of {jobs}", count=len(inside), jobs=jobs),
        "amount": view.formats.money(abs(likely)),
        "low": view.formats.change(low),
        "high": view.formats.change(high),
    }
    if likely >= 0:
        return say(
            "“{option}” does {jobs}: that likely saves {amount} in today's money ({low} with "
            "everything against it, {high} with everything for it).",
            **told,
        )
    return say(
        "“{option}” does {jobs}: that likely costs {amount} in today's money ({low} with "
        "everything against it, {high} with everything for it).",
        **told,
    )


def jobs_apart(found: OpeningFigures) -> list[str]:
    """Say which jobs are likely dearer now than later, though included, and the other way round."""
    lose = joined([quoted(job.name) for job in found.jobs if job.included and job.saving < 0])
    miss = joined([quoted(job.name) for job in found.jobs if not job.included and job.saving > 0])
    told = [say("Included though likely cheaper to leave: {jobs}.", jobs=lose)] if lose else []
    return told + ([say("Left out though likely cheaper now: {jobs}.", jobs=miss)] if miss else [])


def equal(job: Opening) -> str:
    """Write the yearly chance from which doing a job now is the cheaper way."""
    if job.equal_chance is None:
        return say("none")
    return say("{share} a year", share=percent(job.equal_chance, 1))


def for_option(view: View, tag: OptionTag) -> list[str]:
    """Say on an option's own page what its small jobs save; nothing where it opens no panel."""
    found = view.figures.airplane.openings.get(tag.id)
    if found is None or not found.jobs or not opens(view, tag):
        return []
    return [saving(view, tag, found), *jobs_apart(found)]


def opens(view: View, tag: OptionTag) -> bool:
    """Say whether an option opens the panel: a refit does, and what includes a job."""
    option = view.case.options[tag.id]
    return option.kind == "retrofit" or bool(option.jobs)
