"""The page on what members want: what each need weighs, and how much of it an option meets."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results_airplane import CapabilityFigures
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import needs_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import MAINTENANCE, NEEDS
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import percent
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

HOW = (
    noted(
        "An option meets a need when its units, with nothing failed, provide every function the "
        "need takes. What a need weighs is its share of all marks on the ballots, or of all points "
        "where ballots rank: with n needs the first gets n points, the second one less, and so "
        "on; equal ranks share."
    ),
    noted(
        "How firm the order is: every weight is drawn anew, evenly from half to one and a half "
        "times its own, 10,000 times."
    ),
)


NO_APPROVAL = noted(
    "“Yes” says that the units provide it with nothing failed. Whether they may be used for a kind "
    "of flight depends on their approval and the airplane's papers."
)


def needs_page(view: View) -> Page | None:
    """Make the page on needs, None without needs or without an option that says its equipment."""
    found = view.figures.airplane.capability
    if found is None:
        return None
    tags = [tag for tag in view.tags.values() if tag.id in found.share]
    answer = Answer(
        lead=words.lead(view, found, tags),
        charts=[met(view, found, tags)],
        sections=[
            Section(
                id="needs",
                title=say("Need by need"),
                lines=[words.ballots(view), say(NO_APPROVAL)],
                tables=[_table(found, tags)],
            ),
            Section(
                id="firm", title=say("How firm this is"), bullets=words.firm(view, found, tags)
            ),
        ],
        how=[say(text) for text in HOW],
        cautions=[*NEEDS, *MAINTENANCE],
    )
    return airplane_page(
        file="needs.html", title=words.title(view), question=words.question(view), answer=answer
    )


def met(view: View, found: CapabilityFigures, tags: Sequence[OptionTag]) -> Chart:
    """Draw the share of all wishes that each option meets."""
    data = [
        {
            "option": tag.title,
            "x": round(100 * found.share[tag.id], 1),
            "told": percent(found.share[tag.id], 0),
        }
        for tag in tags
    ]
    return Chart(
        id="met",
        title=say("How much of what is wanted each option gives"),
        summary=say("In percent of all weight on the ballots."),
        spec=drawings.shares(list(view.tags.values()), data, say("% of what is wanted")),
        head=[say("Option"), say("Share met")],
        rows=[[{"option": tag}, percent(found.share[tag.id], 0)] for tag in tags],
        height=drawings.height_of(len(tags)),
    )


def _table(found: CapabilityFigures, tags: Sequence[OptionTag]) -> Table:
    weights = sorted(found.weights.items(), key=lambda pair: -pair[1])
    rows: list[Any] = [
        [
            need,
            percent(weight, 0),
            *(words.yes(met=need in found.met[tag.id]) for tag in tags),
        ]
        for need, weight in weights
    ]
    whole = [percent(found.share[tag.id], 0) for tag in tags]
    rows.append({"cells": [say("Share met"), percent(1.0, 0), *whole], "total": True})
    head = [say("Need"), say("Weight"), *({"option": tag} for tag in tags)]
    return Table(caption=say("Which option meets which need"), head=head, rows=rows)
