"""The page on small jobs: cheap while the panel is open, dear later."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results_airplane import Opening
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import openings_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import LIKELY, MAINTENANCE, MONEY
from panelworth.publishing.charts import Chart
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("What should be done while it is open?")
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


def openings_page(view: View) -> Page | None:
    """Make the page on small jobs, None where there are none or no option opens the panel."""
    found = view.figures.airplane.openings
    tags = [tag for tag in view.tags.values() if tag.id in found and words.opens(view, tag)]
    if not tags or not view.case.scenario.jobs:
        return None
    answer = Answer(
        lead=[
            words.headline(view, tags),
            *(words.saving(view, tag, found[tag.id]) for tag in tags),
        ],
        charts=[saved(view, tags[-1])],
        sections=[_prices(view), *(_section(view, tag) for tag in tags)],
        how=[say(text) for text in HOW],
        cautions=[*MONEY, LIKELY, *MAINTENANCE],
    )
    file, title = "open.html", say("While it's open")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


def saved(view: View, tag: OptionTag) -> Chart:
    """Draw what each job saves if done with one option, with its range."""
    jobs, change = view.figures.airplane.openings[tag.id].jobs, view.formats.change
    axis = say("Saving, {currency}", currency=view.formats.symbol)
    data = [
        {
            "name": job.name,
            "option": tag.title,
            "low": round(job.saving_low, 2),
            "likely": round(job.saving, 2),
            "high": round(job.saving_high, 2),
            "told": say(
                "{likely} ({low} to {high})",
                likely=change(job.saving),
                low=change(job.saving_low),
                high=change(job.saving_high),
            ),
        }
        for job in jobs
    ]
    return Chart(
        id="saved",
        title=say("What doing each job now saves: {option}", option=tag.title),
        summary=say(
            "In today's money; the mark is the likely view, the bar runs from everything against "
            "it to everything for it. Left of the line it costs."
        ),
        spec=drawings.ranges(list(view.tags.values()), data, axis),
        head=[say("Job"), say("Likely"), say("At its worst"), say("At its best")],
        rows=[
            [job.name, change(job.saving), change(job.saving_low), change(job.saving_high)]
            for job in jobs
        ],
        height=drawings.height_of(len(jobs)),
    )


def _prices(view: View) -> Section:
    formats = view.formats
    rows = [
        [
            job.name,
            formats.quantity(job.now, "money"),
            formats.quantity(job.later, "money"),
            formats.quantity(job.chance_per_year, "share"),
        ]
        for job in view.case.scenario.jobs
    ]
    head = [say("Job"), say("Now"), say("Later"), say("Chance a year")]
    caption = say("Prices and chances, as the files give them")
    table = Table(caption=caption, head=head, rows=rows, cards=True)
    line = say(
        "Only money is weighed here: what a mechanic finds unairworthy is mended whatever it saves."
    )
    return Section(id="jobs", title=say("Now or later"), lines=[line], tables=[table])


def _section(view: View, tag: OptionTag) -> Section:
    found = view.figures.airplane.openings[tag.id]
    rows = [_row(view, job) for job in found.jobs]
    head: Sequence[Any] = [
        *(say("Job"), say("In this option"), say("Likely saving")),
        say("Pays from a chance of"),
    ]
    caption = say("Jobs with {option}", option=tag.title)
    table = Table(caption=caption, head=head, rows=rows, cards=True)
    lines = [*words.jobs_apart(found)]
    return Section(id=f"open-{tag.id}", option=tag, lines=lines, tables=[table])


def _row(view: View, job: Opening) -> list[Any]:
    change = view.formats.change
    span = say("{low} to {high}", low=change(job.saving_low), high=change(job.saving_high))
    inside = say("included") if job.included else say("left out")
    return [job.name, inside, {"value": change(job.saving), "note": span}, words.equal(job)]
