"""The section on small jobs, which cost less while the panel is open than later."""

from typing import Any

from panelworth.engine.results.airplane import (
    DeferredJob,
)
from panelworth.publishing.formats import Formats
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import Part, Section, Table
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import deferred_jobs_words as words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, MONEY_LINE

HOW = (
    N_(
        "Now: the price while the panel is open, paid at the finish. Later: what the job costs "
        "then, times the chance that it falls due in a year, over the years counted, for as long "
        "as it has not been done. Both in today's money."
    ),
    N_(
        "Pays from: the chance a year from which doing it now is the cheaper way. Lows and highs "
        "take a job's prices and chance at their worst and at their best all together, which is "
        "wider than 8 in 10 futures."
    ),
)


def deferred_jobs_section(view: View) -> Section | None:
    """Return the section on small jobs; None without jobs or an option that opens a panel."""
    deferred, options = view.figures.airplane.deferred_jobs, view.case.options
    tags = [tag for tag in view.tags.values() if tag.id in deferred and options[tag.id].opens_panel]
    if not tags or not view.case.scenario.jobs:
        return None
    return Section(
        id="open",
        label=_("while it is open"),
        question=_("What should be done while it is open?"),
        answer=[words.headline(view, tags)],
        table=_prices(view),
        beside=[
            _(
                "Only money is weighed here: what a mechanic finds unairworthy is mended whatever "
                "it saves."
            )
        ],
        cautions=[_(MONEY_LINE), _(AIRPLANE_LINE)],
        more=_("What each job saves, option by option"),
        parts=[_part(view, tag) for tag in tags],
        how=[_(text) for text in HOW],
    )


def _prices(view: View) -> Table:
    measure = view.formats.measure
    rows = [
        [
            job.name,
            measure(job.now.likely, "money"),
            measure(job.later.likely, "money"),
            measure(job.chance_per_year.likely, "share"),
        ]
        for job in view.case.scenario.jobs
    ]
    head = [_("Job"), _("Now"), _("Later"), _("Falls due, a year")]
    return Table(caption=_("Likely prices and chances"), head=head, rows=rows)


def _part(view: View, tag: OptionTag) -> Part:
    deferred = view.figures.airplane.deferred_jobs[tag.id]
    head = [_("Job"), _("In this option"), _("Likely saving"), _("Pays from a chance of")]
    caption = _("Jobs with {option}", option=tag.short)
    table = Table(
        caption=caption, head=head, rows=[_row(view.formats, job) for job in deferred.jobs]
    )
    return Part(option=tag, lines=words.jobs_apart(deferred), tables=[table])


def _row(formats: Formats, job: DeferredJob) -> list[Any]:
    change = formats.change
    span = _("{low} to {high}", low=change(job.saving_low), high=change(job.saving_high))
    inside = _("included") if job.included else _("left out")
    return [job.name, inside, {"value": change(job.saving), "note": span}, words.equal(job)]
