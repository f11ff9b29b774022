"""Small jobs while the panel is open, in sentences: what doing them now likely saves."""

from collections.abc import Sequence

from panelworth.engine.results.airplane import (
    DeferredJob,
    DeferredJobs,
)
from panelworth.engine.results.airplane_sums import saving_of
from panelworth.publishing.formats import Formats, joined, percent, plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words.groups import grouped, names
from panelworth.publishing.words.rounding import money_step, to_step
from panelworth.publishing.words.sentences import joined_sentences


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say what the jobs that each option includes likely save; equal options share a sentence."""
    deferred_jobs = view.figures.airplane.deferred_jobs
    groups = grouped(tags, lambda tag: _included(view.formats, deferred_jobs[tag.id]))
    amounts = [
        _("{amount} with {options}", amount=amount, options=names(group))
        for amount, group in groups
        if amount
    ]
    none = [tag for amount, group in groups if not amount for tag in group]
    doing = _(
        "Small jobs done while it is open, instead of later, likely bring {amounts} in today's "
        "money.",
        amounts=joined(amounts),
    )
    without = _("None is done with {options}.", options=joined([tag.short for tag in none], "or"))
    return joined_sentences(doing if amounts else "", without if none else "")


def _included(formats: Formats, deferred: DeferredJobs) -> str:
    """Write what an option's included jobs likely save, "" where it includes none."""
    jobs = [job for job in deferred.jobs if job.included]
    return _rounded(formats, jobs)[1] if jobs else ""


def _rounded(formats: Formats, jobs: Sequence[DeferredJob]) -> tuple[str, str, str]:
    """Write the least, the likely and the most that jobs save, rounded by their range."""
    saving = saving_of(jobs)
    step = money_step(saving.width)
    low, likely, high = (
        formats.change(to_step(sum_, step)) for sum_ in (saving.low, saving.likely, saving.high)
    )
    return low, likely, high


def saving(formats: Formats, deferred: DeferredJobs) -> str:
    """Say how many of the jobs an option includes, and what that saves over the years counted."""
    included = [job for job in deferred.jobs if job.included]
    jobs = plural(len(deferred.jobs), "small job", "small jobs")
    if not included:
        return _("None of {jobs} is done while it is open.", jobs=jobs)
    low, likely, high = _rounded(formats, included)
    return _(
        "{count} of {jobs} are done while it is open: likely {likely} against later ({low} to "
        "{high}).",
        jobs=jobs,
        count=len(included),
        low=low,
        likely=likely,
        high=high,
    )


def jobs_apart(deferred: DeferredJobs) -> list[str]:
    """Say which included jobs cost more now than later, and which omitted jobs cost less."""
    lose = joined([job.name for job in deferred.jobs if job.included and job.saving < 0])
    miss = joined([job.name for job in deferred.jobs if not job.included and job.saving > 0])
    texts = []
    if lose:
        texts.append(_("Included though likely cheaper to leave: {jobs}.", jobs=lose))
    if miss:
        texts.append(_("Left out though likely cheaper now: {jobs}.", jobs=miss))
    return texts


def equal(job: DeferredJob) -> str:
    """Write the yearly chance from which doing a job now is the cheaper way."""
    if job.equal_chance is None:
        return _("none")
    return _("{share} a year", share=percent(job.equal_chance, 1))


def jobs_summary(view: View, tag: OptionTag) -> str:
    """Say in a sentence what an option's small jobs likely save; "" where it opens no panel."""
    deferred = view.figures.airplane.deferred_jobs.get(tag.id)
    if deferred is None or not deferred.jobs or not view.case.options[tag.id].opens_panel:
        return ""
    return saving(view.formats, deferred)
