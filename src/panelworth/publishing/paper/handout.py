"""Pages to print: the handout of two pages before a vote, and the members' ballot sheet."""

from typing import Any

from panelworth.publishing.charts.outcomes import axis_of, outcomes_row
from panelworth.publishing.charts.paper import bill_bars, reserve_panes
from panelworth.publishing.formats import day
from panelworth.publishing.language import _
from panelworth.publishing.site.address_code import address_code
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import handout_words, pay_words, row_words, warning_words
from panelworth.publishing.words.answer_words import heads
from panelworth.publishing.words.sentences import joined_sentences


def paper_pages(view: View) -> list[Page]:
    """Return the pages to print: the ballot sheet only for a club, whose members vote."""
    return [handout_page(view), *([ballot_page(view)] if view.club else [])]


def handout_page(view: View) -> Page:
    """Return the handout: one side with the options, one side on their certainty."""
    scenario = view.case.scenario
    return Page(
        file="handout.html",
        template="handout.html",
        title=_("Handout"),
        nav="",
        foot=_("Handout"),
        description=_("Two pages to print: {title}", title=scenario.title),
        content={
            "question": scenario.question or _("Which option?"),
            "club": view.club is not None,
            **_first(view),
            **_second(view),
        },
    )


def _first(view: View) -> dict[str, Any]:
    """Return the content of the first side: outcomes, answers, the draft motion."""
    axis, tags = axis_of(view), list(view.tags.values())
    return {
        "basis": row_words.basis(view),
        "kind": pay_words.for_member(view),
        "axis": axis,
        "baseline": view.baseline,
        "rows": [
            {
                "option": tag,
                "pays": pay_words.pays(view, tag)[:1],
                "marks": outcomes_row(view, tag, axis) if tag is not view.baseline else None,
                "tell": row_words.outcome_texts(view, tag),
                "warn": warning_words.obstacles(view, tag),
            }
            for tag in tags
        ],
        "heads": heads(view),
        "choice": _("Draft motion") if view.club else _("The choice"),
        "motion": handout_words.motion(view.club),
        "draft": handout_words.draft(view.club),
        "choices": [{"option": tag, "sum": handout_words.granted_at(view, tag)} for tag in tags],
    }


def _second(view: View) -> dict[str, Any]:
    """Return the content of the second side: pairs, sums to grant, the reserve, cautions."""
    tags = list(view.tags.values())
    return {
        "pairs_head": handout_words.pairs_head() if view.others else "",
        "pairs": [{"option": tag, "cells": handout_words.pairs(view, tag)} for tag in tags],
        "grant": _("What to grant") if view.club else _("What to set aside"),
        "bill_head": handout_words.bill_head(),
        "bills": [
            {"option": bar.option, "bar": bar, "cells": handout_words.bill_cells(view, bar.option)}
            for bar in bill_bars(view)
        ],
        "reserve_basis": handout_words.reserve_basis(view),
        "panes": [
            {"pane": pane, "end": handout_words.reserve_end(view, pane.option)}
            for pane in reserve_panes(view)
        ],
        "cautions": handout_words.cautions(view.club),
        "address": view.home,
        "code": address_code(view.home) if view.home else "",
    }


def ballot_page(view: View) -> Page:
    """Return the ballot sheet: a box to approve and a box to rank beside each option."""
    scenario = view.case.scenario
    return Page(
        file="ballot.html",
        template="ballot.html",
        title=_("Ballot"),
        nav="",
        foot=_("Ballot"),
        description=_("A ballot sheet to print: {title}", title=scenario.title),
        content={
            "question": scenario.question or _("Which option?"),
            "rows": [
                {"option": tag, "figures": _one_line(view, tag)} for tag in view.tags.values()
            ],
            "kind": pay_words.for_member(view),
            "as_of": day(scenario.as_of),
        },
    )


def _one_line(view: View, tag: OptionTag) -> str:
    """Write what an option asks, and how often it ends ahead, on one line of the ballot."""
    pay, outcome = pay_words.pays(view, tag)[0], row_words.outcome_texts(view, tag)
    asks = _(
        "{asks}. To grant: {sum}.",
        asks=" ".join(filter(None, (pay.value, pay.note))),
        sum=handout_words.granted_at(view, tag),
    )
    warning = warning_words.obstacles(view, tag)
    return joined_sentences(asks, outcome["count"], row_words.away(view.case, tag), warning)
