"""Small jobs while the panel is open, in sentences: what doing them now likely saves."""

from collections.abc import Sequence

from panelworth.engine.results_airplane import Opening, OpeningFigures
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.view import OptionTag, View


def headline(view: View, tags: Sequence[OptionTag]) -> str:
    """Say what the jobs that each option includes likely save."""
    found, money = view.figures.airplane.openings, view.formats.money
    told = [f"{money(found[tag.id].included_saving)} with “{tag.title}”" for tag in tags]
    return (
        "Doing the included small jobs while it is open, instead of later, likely saves "
        f"{joined(told)}, in today's money."
    )


def saving(view: View, tag: OptionTag, found: OpeningFigures) -> str:
    """Say what the jobs an option includes save, over the years counted, in today's money."""
    inside = [job for job in found.jobs if job.included]
    if not inside:
        return f"“{tag.title}” includes none of the {plural(len(found.jobs), 'small job', 'small jobs')}."
    whole = plural(len(found.jobs), "small job", "small jobs")
    whole = f"all {whole}" if len(inside) == len(found.jobs) else f"{len(inside)} of {whole}"
    likely = sum(job.saving for job in inside)
    low, high = sum(job.saving_low for job in inside), sum(job.saving_high for job in inside)
    change, end = view.formats.change, "saves" if likely >= 0 else "costs"
    return (
        f"“{tag.title}” does {whole}: that likely {end} "
        f"{view.formats.money(abs(likely))} in today's money ({change(low)} with everything "
        f"against it, {change(high)} with everything for it)."
    )


def jobs_apart(found: OpeningFigures) -> list[str]:
    """Say which jobs are likely dearer now than later, though included, and the other way round."""
    lose = [f"“{job.name}”" for job in found.jobs if job.included and job.saving < 0]
    miss = [f"“{job.name}”" for job in found.jobs if not job.included and job.saving > 0]
    told = [f"Included though likely cheaper to leave: {joined(lose)}."] if lose else []
    return told + ([f"Left out though likely cheaper now: {joined(miss)}."] if miss else [])


def equal(job: Opening) -> str:
    """Write the yearly chance from which doing a job now is the cheaper way."""
    if job.equal_chance is None:
        return "none"
    return f"{percent(job.equal_chance, 1)} a year"


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
