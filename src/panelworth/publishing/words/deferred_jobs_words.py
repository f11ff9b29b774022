"""Small jobs while the panel is open, in sentences: what doing them now likely saves."""

import math
from collections.abc import Sequence

from panelworth.engine.results.airplane import Opening, OpeningFigures
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.language import N_, _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.rounding import money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say what the jobs that each option includes likely save; options alike are told once."""
    groups = grouped(tags, lambda tag: _included(view, tag))
    told = [
        _("{amount} with {options}", amount=amount, options=names(found))
        for amount, found in groups
        if amount
    ]
    none = [tag for amount, found in groups if not amount for tag in found]
    doing = _(
        "Small jobs done while it is open, instead of later, likely bring {amounts} in today's "
        "money.",
        amounts=joined(told),
    )
    without = _(
        "None is done with {options}.", options=joined([tag.short for tag in none], N_("or"))
    )
    return joined_sentences(doing if told else "", without if none else "")


def _included(view: View, tag: OptionTag) -> str:
    """Write what an option's included jobs likely save, "" where it includes none."""
    found = [job for job in view.figures.airplane.openings[tag.id].jobs if job.included]
    return _rounded(view, found)[1] if found else ""


def _rounded(view: View, jobs: Sequence[Opening]) -> tuple[str, str, str]:
    """Write the least, the likely and the most that jobs save, no finer than their range allows."""
    sums = [
        math.fsum(getattr(job, key) for job in jobs)
        for key in ("saving_low", "saving", "saving_high")
    ]
    step = money_step(sums[2] - sums[0])
    low, likely, high = (view.formats.change(to_step(each, step)) for each in sums)
    return low, likely, high


def saving(view: View, found: OpeningFigures) -> str:
    """Say how many of the jobs an option includes, and what that saves over the years counted."""
    inside = [job for job in found.jobs if job.included]
    jobs = plural(len(found.jobs), "small job", "small jobs")
    if not inside:
        return _("None of {jobs} is done while it is open.", jobs=jobs)
    low, likely, high = _rounded(view, inside)
    told = {"jobs": jobs, "count": len(inside), "low": low, "likely": likely, "high": high}
    return _(
        "{count} of {jobs} are done while it is open: likely {likely} against later ({low} to "
        "{high}).",
        **told,
    )


def jobs_apart(found: OpeningFigures) -> list[str]:
    """Say which jobs are likely dearer now than later, though included, and the other way round."""
    lose = joined([job.name for job in found.jobs if job.included and job.saving < 0])
    miss = joined([job.name for job in found.jobs if not job.included and job.saving > 0])
    told = [_("Included though likely cheaper to leave: {jobs}.", jobs=lose)] if lose else []
    return told + ([_("Left out though likely cheaper now: {jobs}.", jobs=miss)] if miss else [])


def equal(job: Opening) -> str:
    """Write the yearly chance from which doing a job now is the cheaper way."""
    if job.equal_chance is None:
        return _("none")
    return _("{share} a year", share=percent(job.equal_chance, 1))


def while_open(view: View, tag: OptionTag) -> str:
    """Say in a sentence what an option's small jobs likely save; "" where it opens no panel."""
    found = view.figures.airplane.openings.get(tag.id)
    if found is None or not found.jobs or not opens(view, tag):
        return ""
    return saving(view, found)


def opens(view: View, tag: OptionTag) -> bool:
    """Say whether an option opens the panel: a refit does, and what includes a job."""
    return view.case.options[tag.id].opens_panel
