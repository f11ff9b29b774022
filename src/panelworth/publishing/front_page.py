"""The first page: what is asked, the options side by side, what each means for a member."""

from typing import Any

from panelworth.publishing import sentences
from panelworth.publishing.answers import answers
from panelworth.publishing.caution_lines import LIKELY, MONEY
from panelworth.publishing.formats import day, duration, plural
from panelworth.publishing.handout_words import basis, by_when
from panelworth.publishing.ledger_words import lapsed_note
from panelworth.publishing.prose import html_of
from panelworth.publishing.risk_words import below, middle
from panelworth.publishing.view import OptionTag, Page, View


def front_page(view: View) -> Page:
    """Make the page a member reads in five minutes before the vote."""
    scenario = view.case.scenario
    note = view.case.notes.get("scenario", "")
    return Page(
        file="index.html",
        template="front.html",
        title=scenario.title,
        nav="The question",
        description=scenario.question or scenario.title,
        content={
            "question": scenario.question or "Which option?",
            "lead": lead(view),
            "columns": columns(view),
            "rows": [_row(view, tag) for tag in view.tags.values()],
            "meanings": [_meaning(view, tag) for tag in view.tags.values()],
            "by_when": by_when(view),
            "basis": basis(view),
            "own_bill": view.insight.own_bills is not None,
            "best": sentences.best_views(view),
            "story": html_of(note) if note else "",
            "dates": bool(view.loop.deadlines),
            "ballot": view.club is not None,
            "cautions": [LIKELY, *MONEY],
        },
    )


def lead(view: View) -> list[str]:
    """Say in a sentence each how the options fare against the baseline."""
    scenario = view.case.scenario
    named = plural(len(view.tags), "option", "options")
    said = [
        f"{named}, compared over {plural(scenario.years, 'year', 'years')}, as of {day(scenario.as_of)}."
    ]
    for tag in view.others:
        gain = view.option(tag.id).likely.npv_vs_baseline
        money = view.formats.money(abs(gain))
        if abs(gain) < sentences.CLOSE:
            said.append(f"“{tag.title}” comes out the same as “{view.baseline.title}”.")
        else:
            end = "better" if gain > 0 else "worse"
            said.append(
                f"“{tag.title}” likely comes out {money} {end} than “{view.baseline.title}”."
            )
    return said


def columns(view: View) -> list[Any]:
    """Return the heading of the table of options."""
    per = "A member a month" if view.club else "A year"
    ahead = {"label": f"Against “{view.baseline.title}”", "note": "today's money"}
    return [
        "Option",
        "Up front",
        {"label": per, "note": "all costs, spread"},
        {"label": "An hour", "note": "all costs, spread"},
        ahead,
        "Cash payback",
        "Time down",
    ]


def _row(view: View, tag: OptionTag) -> dict[str, Any]:
    likely, formats = view.option(tag.id).likely, view.formats
    schedule = view.case.options[tag.id].schedule
    is_baseline = tag.id == view.figures.baseline
    found = view.uncertain(tag.id).range
    hour, gap = found.cost_per_hour, middle(view, found.npv_vs_baseline)
    spread = likely.cost_per_member_month if view.club else likely.equivalent_annual_cost
    return {
        "option": tag,
        "note": lapsed_note(view, tag),
        "cells": [
            {"value": formats.money(likely.upfront), "note": below(view, found.upfront)},
            formats.money(spread),
            {"value": formats.money(likely.cost_per_hour), "note": below(view, hour)},
            "—" if is_baseline else {"value": formats.change(likely.npv_vs_baseline), "note": gap},
            "—" if is_baseline else duration(likely.payback_months),
            sentences.weeks(schedule) if schedule else "none",
        ],
    }


def _meaning(view: View, tag: OptionTag) -> dict[str, Any]:
    """Say what an option means: its summary, its answers, each member's bill."""
    return {
        "option": tag,
        "summary": view.case.options[tag.id].summary,
        "answers": answers(view, tag),
        "bills": bill_lines(view, tag),
    }


def bill_lines(view: View, tag: OptionTag) -> list[str]:
    """Say what each kind of member pays a month under the option, and how that changes."""
    lines, cents = [], view.formats.cents
    before = {bill.name: bill.per_month for bill in view.option(view.figures.baseline).bills}
    for bill in view.option(tag.id).bills:
        change = bill.per_month - before.get(bill.name, bill.per_month)
        once = f", and {cents(bill.assessment)} once" if bill.assessment else ""
        more = "more" if change > 0 else "less"
        differs = f" ({cents(abs(change))} {more})" if abs(change) >= 0.005 else ""  # noqa: PLR2004
        lines.append(f"{bill.name}: {cents(bill.per_month)} a month{differs}{once}")
    return lines
