"""The page on weight: the empty airplane, what it carries, and its loadings, by option."""

import math
from collections.abc import Sequence
from typing import Any

from panelworth.engine.results_airplane import LoadingTrace, WeightFigures
from panelworth.model.equipment import Airplane
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import weight_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_of, airplane_page
from panelworth.publishing.caution_lines import MAINTENANCE, WEIGHT
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import NONE, UNITS, signed, tenths
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("What does it weigh, and what can it carry?")


def weight_page(view: View) -> Page | None:
    """Make the page on weight and balance, None where no airplane is described."""
    tags = [tag for tag in view.tags.values() if tag.id in view.figures.airplane.weight]
    if not tags:
        return None
    answer = Answer(
        lead=lead(view, tags),
        charts=[carried(view, tags)],
        columns=[
            *(say("Option"), say("Empty weight"), say("Empty CG"), say("Useful load")),
            say("Beside full tanks"),
        ],
        rows=[{"option": tag, "cells": _cells(view, tag)} for tag in tags],
        sections=[_section(view, tag) for tag in tags],
        how=[*(say(text) for text in HOW), words.weighing(view)],
        cautions=[*WEIGHT, *MAINTENANCE],
    )
    file, title = "weight.html", say("Weight")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


HOW = (
    noted(
        "New empty weight = old, less what comes out, plus what goes in; its moment likewise with "
        "weight × arm; CG = moment ÷ weight. Useful load = maximum weight less empty weight; "
        "beside full tanks it is less the fuel as well."
    ),
    noted(
        "Each loading is followed from the fuel it starts with to none, exactly along the way and "
        "not at a few points. Furthest forward and aft: what is always aboard, then the most at "
        "every station beyond the limit and nothing at the others, with the fuel that is worse "
        "(after AC 43.13-1B, notes to figures 10-10 and 10-11)."
    ),
    noted(
        "Most fuel by weight: what the maximum weight leaves beside a loading's people and bags, "
        "at most full tanks (AC 43.13-1B 10-18). It says nothing of the CG with that fuel. Margins "
        "are rounded down; below 0 is outside."
    ),
)


def weight_of(view: View, tag: OptionTag) -> WeightFigures:
    """Return an option's weight and balance."""
    return view.figures.airplane.weight[tag.id]


def lead(view: View, tags: Sequence[OptionTag]) -> list[str]:
    """Say what is left beside full tanks, and what each option changes."""
    found = {tag.id: weight_of(view, tag) for tag in tags}
    changed = [tag for tag in tags if found[tag.id].empty_weight_change != 0]
    return [
        words.headline(view, found),
        *(words.change(view, tag, found[tag.id]) for tag in changed),
    ]


def carried(view: View, tags: Sequence[OptionTag]) -> Chart:
    """Draw useful load and payload beside full tanks, a bar an option."""
    weight, data, rows = view.formats.weight, [], []
    groups = say("Useful load"), say("Beside full tanks")
    for tag in tags:
        found = weight_of(view, tag)
        sizes = found.useful_load, found.full_fuel_payload
        for group, size in zip(groups, sizes, strict=True):
            if size is not None:
                at = {"group": group, "option": tag.title, "y": size}
                data.append({**at, "told": weight(size)})
        rows.append([{"option": tag}, *(weight(size) for size in sizes)])
    unit = UNITS[view.formats.units]["weight"]
    return Chart(
        id="carried",
        title=say("What it can carry"),
        summary=say(
            "Useful load is all that is not the empty airplane; beside full tanks is what is left "
            "for people and bags."
        ),
        spec=drawings.grouped(list(view.tags.values()), data, unit),
        head=[say("Option"), *groups],
        rows=rows,
        options=tags,
    )


def _cells(view: View, tag: OptionTag) -> list[Any]:
    found, formats = weight_of(view, tag), view.formats
    weights = (
        (found.empty_weight, found.empty_weight_change),
        (found.useful_load, found.useful_load_change),
        (found.full_fuel_payload, found.full_fuel_payload_change),
    )
    empty, useful, payload = (
        words.with_change(formats.weight(now), None if moved is None else formats.weight(moved))
        for now, moved in weights
    )
    moved = found.empty_cg_change if view.case.options[tag.id].kind != "replace" else None
    shift = None if moved is None else formats.arm(moved)
    cg = words.with_change(formats.arm(found.empty_cg), shift)
    return [empty, cg, useful, payload]


def _section(view: View, tag: OptionTag) -> Section:
    found, airplane = weight_of(view, tag), airplane_of(view, tag)
    small = words.negligible(view, found.negligible, found)
    extremes = [words.adverse(view, check) for check in found.adverse]
    plot = picture(view, tag, airplane) if airplane and airplane.envelope else None
    return Section(
        id=f"weight-{tag.id}",
        option=tag,
        lines=[small] if small else [],
        charts=[plot] if plot else [],
        bullets=[told for told in (*extremes, words.slim(view, found)) if told],
        tables=[*_loadings(view, found), *_lines(view, found)],
    )


def picture(view: View, tag: OptionTag, airplane: Airplane) -> Chart | None:
    """Draw the envelope with every loading from its number, full, to its ring, empty."""
    loadings, corners = weight_of(view, tag).loadings, airplane.envelope
    if not loadings:
        return None
    ends = zip(corners, [*corners[1:], corners[0]], strict=True)
    edges = [{"x": a[0], "y": a[1], "x2": b[0], "y2": b[1]} for a, b in ends]
    paths = [
        each
        for number, trace in enumerate(loadings, start=1)
        for each in _path(view, tag, trace, number)
    ]
    units = UNITS[view.formats.units]
    return Chart(
        id=f"envelope-{tag.id}",
        title=say("Loadings inside the envelope: {option}", option=tag.title),
        summary=say("Each loading runs from its number, as it starts, to its ring, tanks empty."),
        spec=drawings.envelope(
            list(view.tags.values()),
            edges,
            paths,
            axes=(
                say("CG, {unit}", unit=units["arm"]),
                say("Weight, {unit}", unit=units["weight"]),
            ),
        ),
        head=[say("Loading"), say("Starts at"), "", say("Tanks empty"), ""],
        rows=[
            [
                f"{number}. {trace.name}",
                view.formats.weight(trace.start_weight),
                view.formats.arm(trace.start_cg),
                view.formats.weight(trace.no_fuel_weight),
                view.formats.arm(trace.no_fuel_cg),
            ]
            for number, trace in enumerate(loadings, start=1)
        ],
    )


def _path(view: View, tag: OptionTag, trace: LoadingTrace, number: int) -> list[dict[str, Any]]:
    formats, last = view.formats, len(trace.path) - 1
    return [
        {
            "option": tag.title,
            "name": trace.name,
            "number": str(number),
            "step": step,
            "x": arm,
            "y": weight,
            "first": step == last,
            "last": step == 0,
            "told": say(
                "{weight} at {arm}, {fuel} aboard",
                weight=formats.weight(weight),
                arm=formats.arm(arm),
                fuel=formats.fuel(fuel),
            ),
        }
        for step, (fuel, arm, weight) in enumerate(trace.path)
    ]


def _loadings(view: View, found: WeightFigures) -> list[Table]:
    if not found.loadings:
        return []
    arm, weight = view.formats.arm_margin, view.formats.weight_margin
    rows = [
        [
            f"{number}. {trace.name}",
            {"value": words.verdict(view, trace)},
            weight(trace.weight_margin),
            words.most_fuel(view, trace),
            arm(trace.forward_margin),
            arm(trace.aft_margin),
        ]
        for number, trace in enumerate(found.loadings, start=1)
    ]
    head = [
        *(say("Loading"), say("Throughout"), say("Below maximum"), say("Most fuel by weight")),
        *(say("Behind forward limit"), say("Ahead of aft limit")),
    ]
    caption = say("Loadings, the least margin of each")
    return [Table(caption=caption, head=head, rows=rows, cards=True)]


def _lines(view: View, found: WeightFigures) -> list[Table]:
    if not found.lines:
        return []
    weight, arm = view.formats.weight, view.formats.arm
    rows: list[Any] = [
        [line.name, signed(weight(line.weight)), arm(line.arm), signed(tenths(line.moment))]
        for line in found.lines
    ]
    total = (
        math.fsum(line.weight for line in found.lines),
        math.fsum(line.moment for line in found.lines),
    )
    rows.append({"cells": [say("Total"), signed(weight(total[0])), NONE, signed(tenths(total[1]))]})
    rows[-1]["total"] = True
    head = [say("Unit"), say("Weight"), say("Arm"), say("Moment")]
    caption = say("What comes out (−) and goes in (+)")
    return [Table(caption=caption, head=head, rows=rows, folded=True)]
