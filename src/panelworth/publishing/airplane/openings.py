"""The section on small jobs: cheap while the panel is open, dear later."""

from typing import Any

from panelworth.engine.results_airplane import Opening
from panelworth.publishing.airplane import openings_words as words
from panelworth.publishing.airplane.parts import Part, Section, Table
from panelworth.publishing.caution_lines import AIRPLANE_LINE, MONEY_LINE
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, View

HOW = (
    noted(
        "Now: the price while the panel is open, paid at the finish. Later: what the job costs "
        "then, times the chance that it falls due in a year, over the years counted, for as long "
        "as it has not been done. Both in today's money."
    ),
    noted(
        "Pays from: the chance a year from which doing it now is the cheaper way. Lows and highs "
        "take a job's prices and chance at their worst and at their best all together, which is "
        "wider than 8 in 10 futures."
    ),
)


def openings_section(view: View) -> Section | None:
    """Make the section on small jobs, None without any or without an option that opens a panel."""
    found = view.figures.airplane.openings
    tags = [tag for tag in view.tags.values() if tag.id in found and words.opens(view, tag)]
    if not tags or not view.case.scenario.jobs:
        return None
    return Section(
        id="open",
        label=say("while it is open"),
        question=say("What should be done while it is open?"),
        told=[words.headline(view, tags)],
        table=_prices(view),
        beside=[
            say(
                "Only money is weighed here: what a mechanic finds unairworthy is mended whatever "
                "it saves."
            )
        ],
        cautions=[say(MONEY_LINE), say(AIRPLANE_LINE)],
        more=say("What each job saves, option by option"),
        parts=[_part(view, tag) for tag in tags],
        how=[say(text) for text in HOW],
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
    head = [say("Job"), say("Now"), say("Later"), say("Falls due, a year")]
    return Table(caption=say("Likely prices and chances"), head=head, rows=rows)


def _part(view: View, tag: OptionTag) -> Part:
    found = view.figures.airplane.openings[tag.id]
    head = [say("Job"), say("In this option"), say("Likely saving"), say("Pays from a chance of")]
    caption = say("Jobs with {option}", option=tag.short)
    table = Table(caption=caption, head=head, rows=[_row(view, job) for job in found.jobs])
    return Part(option=tag, lines=words.jobs_apart(found), tables=[table])


def _row(view: View, job: Opening) -> list[Any]:
    change = view.formats.change
    span = say("{low} to {high}", low=change(job.saving_low), high=change(job.saving_high))
    inside = say("included") if job.included else say("left out")
    return [job.name, inside, {"value": change(job.saving), "note": span}, words.equal(job)]
