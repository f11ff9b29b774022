"""The first page: what is asked, the options side by side, what each means for a member."""

from typing import Any

from panelworth.model.scenario import HALF_A_CENT
from panelworth.publishing import level_words, raise_words, sentences
from panelworth.publishing.answers import answers
from panelworth.publishing.best_words import best_views
from panelworth.publishing.caution_lines import LIKELY, MONEY
from panelworth.publishing.deciding_words import basis, by_when
from panelworth.publishing.formats import NONE, day, duration, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import flags
from panelworth.publishing.made_of import made_of
from panelworth.publishing.prose import html_of
from panelworth.publishing.risk_words import below, gap_cell
from panelworth.publishing.view import OptionTag, Page, View


def front_page(view: View) -> Page:
    """Make the page a member reads in five minutes before the vote."""
    scenario = view.case.scenario
    note = view.case.notes.get("scenario", "")
    return Page(
        file="index.html",
        template="front.html",
        title=scenario.title,
        nav=say("The question"),
        description=scenario.question or scenario.title,
        content={
            "question": scenario.question or say("Which option?"),
            "lead": lead(view),
            "columns": columns(view),
            "rows": [_row(view, tag) for tag in view.tags.values()],
            "charts": [made_of(view)] if view.others else [],
            "meanings": [_meaning(view, tag) for tag in view.tags.values()],
            "by_when": by_when(view),
            "basis": basis(view),
            "own_bill": view.insight.own_bills is not None,
            "best": best_views(view),
            "story": html_of(note) if note else "",
            "dates": bool(view.loop.deadlines),
            "ballot": view.club is not None,
            "cautions": [LIKELY, *MONEY[1:]],
        },
    )


def lead(view: View) -> list[str]:
    """Say in a sentence each how the options fare against the baseline."""
    scenario = view.case.scenario
    first = say(
        "{options}, compared over {years}, as of {day}.",
        options=plural(len(view.tags), "option", "options"),
        years=plural(scenario.years, "year", "years"),
        day=day(scenario.as_of),
    )
    said = [first, *(_fares(view, tag) for tag in view.others), level_words.without_worth(view)]
    return [each for each in said if each]


def _fares(view: View, tag: OptionTag) -> str:
    """Say what an option brings, how sure that is, from which start, and without growth."""
    return sentences.joined_sentences(
        _brings(view, tag),
        level_words.from_allowed(view, tag),
        level_words.without_growth(view, tag),
    )


def _brings(view: View, tag: OptionTag) -> str:
    gain, formats = level_words.net_benefit(view, tag), view.formats
    names = {"option": tag.title, "baseline": view.baseline.title}
    if level_words.level(view, tag, view.baseline):
        return say(
            "“{option}” and “{baseline}” are level: it ends ahead in {futures}, and likely brings "
            "{sum}, in today's money.",
            futures=level_words.futures(level_words.ahead_share(view, tag, view.baseline)),
            sum=formats.change(gain),
            **names,
        )
    fares = noted("“{option}” likely brings {whom} {sum} less than “{baseline}”, in today's money.")
    if abs(gain) < sentences.CLOSE:
        fares = noted("“{option}” likely brings as much as “{baseline}”, in today's money.")
    elif gain > 0:
        fares = noted(
            "“{option}” likely brings {whom} {sum} more than “{baseline}”, in today's money."
        )
    whom = say("members") if view.club else say("you")
    said = say(fares, sum=formats.money(abs(gain)), whom=whom, **names)
    return sentences.joined_sentences(said, level_words.sure(view, tag))


def columns(view: View) -> list[Any]:
    """Return the heading of the table of options."""
    per = say("A member a month") if view.club else say("A year")
    ahead = say("Brings members") if view.club else say("Brings you")
    against = say("against “{baseline}”, today's money", baseline=view.baseline.title)
    spread = say("all costs, spread")
    return [
        say("Option"),
        say("Up front"),
        {"label": per, "note": spread},
        {"label": say("An hour"), "note": spread},
        {"label": ahead, "note": against},
        {"label": say("Payback"), "note": say("what hours are worth counted")},
        say("Time down"),
    ]


def _row(view: View, tag: OptionTag) -> dict[str, Any]:
    likely, formats = view.option(tag.id).likely, view.formats
    schedule = view.case.options[tag.id].schedule
    is_baseline = tag.id == view.figures.baseline
    found = view.uncertain(tag.id).range
    hour = found.cost_per_hour
    spread = likely.cost_per_member_month if view.club else likely.equivalent_annual_cost
    return {
        "option": tag,
        "note": flags(view, tag),
        "cells": [
            {"value": formats.money(likely.upfront), "note": below(view, found.upfront)},
            formats.money(spread),
            {"value": formats.money(likely.cost_per_hour), "note": below(view, hour)},
            NONE if is_baseline else gap_cell(view, tag),
            NONE if is_baseline else duration(likely.payback_months),
            sentences.weeks(schedule) if schedule else say("none"),
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
    for bill in level_words.bills(view, tag):
        if bill.per_month is None:
            lines.append(say("{name}: nobody knows, no raise funds it", name=bill.name))
            continue
        change = bill.per_month - (before.get(bill.name) or bill.per_month)
        monthly = noted("{sum} a month")
        if change >= HALF_A_CENT:
            monthly = noted("{sum} a month ({change} more)")
        elif change <= -HALF_A_CENT:
            monthly = noted("{sum} a month ({change} less)")
        told = say(monthly, sum=cents(bill.per_month), change=cents(abs(change)))
        if bill.assessment:
            sum_ = raise_words.once(view, tag, bill.assessment)
            told = say("{monthly}, and {sum} once", monthly=told, sum=sum_)
        lines.append(f"{bill.name}: {told}")
    return lines
