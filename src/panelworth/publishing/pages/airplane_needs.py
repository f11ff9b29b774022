"""The section on needs: the weight of each, and which options meet it."""

from collections.abc import Sequence
from typing import Any

from panelworth.engine.results.airplane import (
    CapabilityFigures,
)
from panelworth.publishing.formats import percent
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import Part, Section, Table
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import needs_words as words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE

FIRMNESS = N_(
    "How firm the order is: every weight is drawn anew, evenly from half to one and a half times "
    "its own, 10,000 times."
)
NO_APPROVAL = N_(
    "“Yes” says that the units provide it with nothing failed. Whether they may be used for a kind "
    "of flight depends on their approval and the airplane's papers."
)


def needs_section(view: View) -> Section | None:
    """Return the section on needs; None without needs or an option with equipment."""
    capability = view.figures.airplane.capability
    if capability is None:
        return None
    tags = [tag for tag in view.tags.values() if tag.id in capability.share]
    lines = [words.ballots(view.case), *words.order_stability(view.tags, capability)]
    return Section(
        id="needs",
        label=_("what was asked for"),
        question=words.question(view.club),
        answer=[words.lead(capability, tags)],
        table=_table(capability, tags),
        beside=[_(NO_APPROVAL)],
        cautions=[_(AIRPLANE_LINE)],
        more=words.weights(view.club),
        parts=[Part(title=_("If a weight changes"), lines=lines)],
        how=[words.how_weighed(view.club), _(FIRMNESS)],
    )


def _table(capability: CapabilityFigures, tags: Sequence[OptionTag]) -> Table:
    weights = sorted(capability.weights.items(), key=lambda pair: pair[1], reverse=True)
    rows: list[Any] = [
        [need, percent(weight, 0), *(_met(capability, tag, need) for tag in tags)]
        for need, weight in weights
    ]
    shares = [percent(capability.share[tag.id], 0) for tag in tags]
    rows.append({"cells": [_("Share met"), percent(1.0, 0), *shares], "total": True})
    head = [_("Need"), _("Weight"), *({"option": tag} for tag in tags)]
    return Table(caption=_("Which option meets which need"), head=head, rows=rows)


def _met(capability: CapabilityFigures, tag: OptionTag, need: str) -> dict[str, Any]:
    met = need in capability.met[tag.id]
    return {"value": words.yes_or_no(met=met), "strong": met}
