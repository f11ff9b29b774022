"""Small jobs while the panel is open, in sentences: what doing them now likely saves."""

from panelworth.engine.results_airplane import Opening, OpeningFigures
from panelworth.publishing.formats import joined, percent, plural
from panelworth.publishing.view import OptionTag, View


def saving(view: View, tag: OptionTag, found: OpeningFigures) -> str:
    """Say what the jobs an option includes save, over the years counted, in today's money."""
    inside = [job for job in found.jobs if job.included]
    if not inside:
        return f"“{tag.title}” includes none of the {plural(len(found.jobs), 'small job')}."
    whole = f"all {len(inside)}" if len(inside) == len(found.jobs) else str(len(inside))
    likely = sum(job.saving for job in inside)
    low, high = sum(job.saving_low for job in inside), sum(job.saving_high for job in inside)
    change, end = view.formats.change, "saves" if likely >= 0 else "costs"
    return (
        f"“{tag.title}” does {whole} of the {plural(len(found.jobs), 'small job')}: that likely "
        f"{end} {view.formats.money(abs(likely))} in today's money ({change(low)} with everything "
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
