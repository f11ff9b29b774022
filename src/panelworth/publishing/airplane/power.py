"""The page on power: load by phase against the alternator, battery minutes, wires."""

from collections.abc import Iterator, Sequence
from typing import Any

from panelworth.engine.results_airplane import CircuitCheck
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import power_words as words
from panelworth.publishing.airplane.names import headed, said
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_of, airplane_page
from panelworth.publishing.caution_lines import MAINTENANCE, POWER
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import NONE, amps, joined
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("Is there power enough?")
HOW = (
    noted(
        "The continuous load of a phase adds up what is on in it; intermittent loads come on top, "
        "all at once. AC 43.13-1B 11-35a asks that the continuous load not exceed 80 % of the "
        "alternator's rating where it is not monitored."
    ),
    noted(
        "Minutes = time until the failure is seen at full load, then what is left of the battery's "
        "usable ampere-hours over the essential load. What is used at times, such as transmitting, "
        "counts too (14 CFR 23.2525(c)), here for a fifth of the time: common practice, no source. "
        "The phase that drains it fastest is told."
    ),
    noted(
        "Wires: the thinnest listed copper wire that carries the current in a bundle (AC 43.13-1B "
        "table 11-9, 105 °C), keeps the voltage drop (table 11-6) and has a listed protector "
        "(table 11-3). The drop is that at 20 °C; a hot wire loses more (11-66)."
    ),
)


def power_page(view: View) -> Page | None:
    """Make the page on electrical load, None where nothing that draws current is described."""
    found = view.figures.airplane.electrical
    tags = [tag for tag in view.tags.values() if tag.id in found]
    if not any(found[tag.id].continuous_load for tag in tags):
        return None
    drawn = phases(view, tags)
    answer = Answer(
        lead=[words.headline(tags, found), words.battery(tags, found)],
        charts=[drawn] if drawn else [],
        columns=[
            *(say("Option"), say("Most in a phase"), say("Share of the alternator")),
            *(say("Essential"), say("On battery")),
        ],
        rows=[{"option": tag, "cells": _cells(view, tag)} for tag in tags],
        sections=[_by_phase(view, tags), *_circuits(view, tags)],
        how=[say(text) for text in HOW],
        cautions=[*POWER, *MAINTENANCE],
    )
    file, title = "power.html", say("Power")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


def phases(view: View, tags: Sequence[OptionTag]) -> Chart | None:
    """Draw each phase's continuous load as a share of the alternator, with the 80 % line."""
    found, data, rows = view.figures.airplane.electrical, [], []
    for tag in tags:
        for phase in found[tag.id].phases:
            if phase.share is None:
                continue
            told = f"{words.current(phase.continuous)}, {words.load_share(phase.share)}"
            at = {"group": headed(phase.phase), "option": tag.title, "told": told}
            data.append({**at, "y": round(100 * phase.share, 1)})
            rows.append([{"option": tag}, said(phase.phase), told])
    if not data:
        return None
    return Chart(
        id="phases",
        title=say("Continuous load in each phase"),
        summary=say("In percent of the alternator's rating; the line is the 80 % rule of thumb."),
        spec=drawings.grouped(
            list(view.tags.values()),
            data,
            say("% of the alternator"),
            limit=(100 * words.RULE, "80 %"),
        ),
        head=[say("Option"), {"label": say("Phase"), "text": True}, say("Load")],
        rows=rows,
        options=tags,
    )


def _cells(view: View, tag: OptionTag) -> list[Any]:
    found, airplane = view.figures.airplane.electrical[tag.id], airplane_of(view, tag)
    worst = next(each for each in found.phases if each.phase == found.worst_phase)
    share = words.load_share(found.load_share) if found.load_share is not None else NONE
    span = found.shortest_endurance
    basis = words.basis(airplane.battery if airplane else None, span)
    at_times = words.at_times(worst.essential_intermittent)
    return [
        {"value": words.current(worst.continuous), "note": said(found.worst_phase)},
        {"value": share, "note": words.verdict(found) if found.verdict != "within" else ""},
        {"value": words.current(worst.essential), "note": at_times},
        {"value": words.minutes(span), "note": basis},
    ]


def _by_phase(view: View, tags: Sequence[OptionTag]) -> Section:
    head = [
        *(say("Phase"), say("Continuous"), say("Intermittent on top")),
        *(say("Essential"), say("On battery")),
    ]
    tables = [
        Table(
            caption=say("By phase: {option}", option=tag.title),
            head=head,
            rows=[
                [
                    headed(phase.phase),
                    words.current(phase.continuous),
                    amps(phase.intermittent.likely),
                    words.current(phase.essential),
                    words.minutes(phase.endurance),
                ]
                for phase in view.figures.airplane.electrical[tag.id].phases
            ],
            folded=True,
        )
        for tag in tags
    ]
    return Section(id="by-phase", title=say("Phase by phase"), tables=tables)


def _circuits(view: View, tags: Sequence[OptionTag]) -> Iterator[Section]:
    """List wires once for all options that share them."""
    groups: dict[tuple[CircuitCheck, ...], list[OptionTag]] = {}
    for tag in tags:
        groups.setdefault(view.figures.airplane.electrical[tag.id].circuits, []).append(tag)
    labels = say("Wire"), say("Protector")
    head = [say("Circuit"), *({"label": label, "text": True} for label in labels)]
    tables = [
        Table(
            caption=say("Wires: {options}", options=joined([tag.title for tag in shared])),
            head=head,
            rows=[[each.name, words.wire(each), words.protector(each)] for each in checks],
            cards=True,
        )
        for checks, shared in groups.items()
        if checks
    ]
    if tables:
        line = say(
            "What published tables give for each circuit; the maker's data and the mechanic decide."
        )
        title = say("Wires and protectors")
        yield Section(id="wires", title=title, lines=[line], tables=tables)
