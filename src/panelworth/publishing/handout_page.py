"""On paper: the handout of two pages before a vote, and the members' ballot sheet."""

from typing import Any

from panelworth.publishing import handout_words, level_words, sentences
from panelworth.publishing.address_code import address_code
from panelworth.publishing.airplane.when_words import planned_refused
from panelworth.publishing.caution_lines import AIRPLANE, LIKELY, MAINTENANCE, MONEY, RULES
from panelworth.publishing.charts import Chart
from panelworth.publishing.compare_page import spent
from panelworth.publishing.deciding_words import basis, by_when, can_go_wrong
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import noted, say
from panelworth.publishing.money_page import reserve
from panelworth.publishing.risk_page import spread
from panelworth.publishing.risk_words import gap_cell
from panelworth.publishing.view import OptionTag, Page, View

OFTEN = noted("In how many of 100 futures an option ends up where.")


def paper_pages(view: View) -> list[Page]:
    """Make the pages for print: a ballot sheet only where there are members to vote."""
    return [handout_page(view), *([ballot_page(view)] if view.club else [])]


def handout_page(view: View) -> Page:
    """Make the handout: one side to decide with, one side on how sure that is."""
    scenario, tags = view.case.scenario, list(view.tags.values())
    drawn = pictures(view)
    return Page(
        file="handout.html",
        template="handout.html",
        title=say("Handout"),
        nav="",
        foot=say("Handout"),
        description=say("Two pages to print: {title}", title=scenario.title),
        content={
            "part_of": "index.html",
            "question": scenario.question or say("Which option?"),
            "club": view.club is not None,
            "choice": say("Draft motion") if view.club else say("The choice"),
            "motion": say(handout_words.MOTION if view.club else handout_words.CHOICE),
            "draft": say(handout_words.DRAFT),
            "choices": [
                {"option": tag, "sum": handout_words.granted_at(view, tag)} for tag in tags
            ],
            "columns": _columns(view),
            "rows": [{"option": tag, "cells": _cells(view, tag)} for tag in tags],
            "by_when": by_when(view),
            "wrong": [{"option": tag, "text": can_go_wrong(view, tag)} for tag in tags],
            "likely": sentences.joined_sentences(
                say(handout_words.LIKELY), level_words.without_worth(view)
            ),
            "basis": basis(view),
            "pictures": drawn,
            "captions": [drawn[0].summary, say(OFTEN)],
            "hangs_on": handout_words.decided_by_inputs(view),
            "cautions": _cautions(view),
            "address": view.home,
            "code": address_code(view.home) if view.home else "",
        },
    )


def pictures(view: View) -> list[Chart]:
    """Return the charts that go on the handout; other pages draw them too."""
    money = reserve(view) if view.club else spent(view)
    gap = spread(view)
    return [money, gap] if gap else [money]


def ballot_page(view: View) -> Page:
    """Make the ballot sheet: a box to approve and a box to rank beside each option."""
    scenario = view.case.scenario
    return Page(
        file="ballot.html",
        template="ballot.html",
        title=say("Ballot"),
        nav="",
        foot=say("Ballot"),
        description=say("A ballot sheet to print: {title}", title=scenario.title),
        content={
            "part_of": "index.html",
            "question": scenario.question or say("Which option?"),
            "rows": [
                {"option": tag, "figures": _one_line(view, tag)} for tag in view.tags.values()
            ],
            "as_of": day(scenario.as_of),
        },
    )


def _columns(view: View) -> list[Any]:
    years, baseline = plural(view.figures.years, "year", "years"), view.baseline.title
    spread = say("all costs, spread")
    bill = {"label": say("A year"), "note": spread}
    if view.club:
        against = say("against “{baseline}”", baseline=baseline)
        bill = {"label": say("A member's bill, a month"), "note": against}
    brings = say("Brings you over {years}", years=years)
    if view.club:
        brings = say("Brings members over {years}", years=years)
    return [
        say("Option"),
        {"label": say("Up front"), "note": say("less sales and credits")},
        {
            "label": say("To grant") if view.club else say("Set aside"),
            "note": say("enough in 8 of 10 futures"),
        },
        bill,
        {
            "label": brings,
            "note": say("against “{baseline}”, today's money", baseline=baseline),
        },
        {"label": say("An hour"), "note": spread},
        say("Time down"),
        {"label": say("Brings most of all"), "note": say("in how many futures")},
    ]


def _cells(view: View, tag: OptionTag) -> list[Any]:
    likely, formats = view.option(tag.id).likely, view.formats
    found = view.uncertain(tag.id)
    yearly = formats.money(likely.equivalent_annual_cost)
    return [
        formats.money(likely.upfront),
        handout_words.granted_cell(view, tag),
        handout_words.bill_change(view, tag) if view.club else yearly,
        gap_cell(view, tag, brief=True),
        formats.money(likely.cost_per_hour),
        _down(view, tag),
        level_words.futures(found.chance_best),
    ]


def _down(view: View, tag: OptionTag) -> dict[str, str]:
    schedule = view.case.options[tag.id].schedule
    if schedule is None or schedule.weeks_down.high == 0:
        return {"value": say("none")}
    start = say("from {day}", day=day(view.series(tag.id).start))
    later = level_words.allowed(view, tag)
    if later:
        start = say("from {day}, the first start allowed", day=day(later.start))
    elif planned_refused(view, tag):
        start = say("from {day}, refused as planned", day=day(view.series(tag.id).start))
    return {"value": sentences.weeks(schedule), "note": start}


def _one_line(view: View, tag: OptionTag) -> str:
    """Put an option's figures on one line of the ballot."""
    likely, formats = view.option(tag.id).likely, view.formats
    down, bill = _down(view, tag), handout_words.bill_change(view, tag)
    sums, baseline = ", ".join(each for each in bill.values() if each), view.baseline.title
    billed = say("bill a month: {sum}", sum=bill["value"])
    if tag.id != view.figures.baseline:
        billed = say("bill a month against “{baseline}”: {sum}", baseline=baseline, sum=sums)
    told = [
        say("to grant: {sum}", sum=handout_words.granted(view, tag)),
        billed,
        say("an hour: {sum}", sum=formats.money(likely.cost_per_hour)),
        say("time down: {weeks}", weeks=" ".join(down.values())),
    ]
    if tag.id != view.figures.baseline:
        gap = formats.change(level_words.net_benefit(view, tag))
        told.insert(2, say("in today's money it brings {sum} against that", sum=gap))
    return "; ".join(told)


def _cautions(view: View) -> list[str]:
    lines = [MONEY[0], LIKELY, *MAINTENANCE[:2], AIRPLANE[0]]
    return [*lines, RULES] if view.club else lines
