"""Money: the reserve over time, ways to pay, what each kind of member is billed."""

import math
from collections.abc import Iterator
from typing import Any

from panelworth.engine.results import Bill
from panelworth.publishing import (
    charts,
    level_words,
    raise_words,
    reserve_words,
    sentences,
)
from panelworth.publishing.caution_lines import RESERVES, money_cautions
from panelworth.publishing.charts import Chart
from panelworth.publishing.compare_page import over_time
from panelworth.publishing.formats import NONE, day, joined, percent, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import headed
from panelworth.publishing.reserve_chart import reserve_charts
from panelworth.publishing.view import OptionTag, Page, View

LOAN_HEAD = (
    noted("Option"),
    noted("Borrowed"),
    noted("Rate"),
    noted("A month"),
    noted("Interest in all"),
    noted("Costs in today's money"),
    noted("Still owed"),
)


def money_page(view: View) -> Page:
    """Make the page on how each option is paid for."""
    tags = list(view.tags.values())
    unsolved = [tag for tag in view.others if not raise_words.solved_kind(view, tag)]
    lead = say("How each option is paid for, and what members would be billed.")
    if not view.club:
        lead = say("How each option is paid for.")
    return Page(
        file="money.html",
        template="money.html",
        title=say("Money"),
        nav="",
        description=say(
            "The reserve, ways to pay and bills: {title}", title=view.case.scenario.title
        ),
        content={
            "lead": lead,
            "options": tags,
            "charts": reserve_charts(view),
            "paid": list(paid_already(view)),
            "ways": [_way(view, tag) for tag in tags],
            "whole": raise_rows(view, unsolved) if unsolved else [],
            "club": view.club is not None,
            "whole_head": [say("Raise") if view.club else say("Cash"), *headed(view, unsolved)],
            "own_bill": view.insight.own_bills is not None,
            "loan_head": [say(label) for label in LOAN_HEAD],
            "loans": [row for tag in tags if (row := _loan(view, tag))],
            "cautions": [*money_cautions(view), RESERVES],
        },
    )


def reserve(view: View) -> Chart:
    """Draw the reserve month by month under each option's funding, with its floor."""
    club, formats = view.club, view.formats
    floor = club.reserve_floor if club else 0.0
    below = [
        tag.title
        for tag in view.tags.values()
        if (funded := view.option(tag.id).funded) and funded.below_floor_month is not None
    ]
    summary = say(
        "In the likely view every option keeps the reserve at or above its floor; the page on risk "
        "tells how often it does not."
    )
    if below:
        named = joined([quoted(title) for title in below])
        summary = say("Below the floor at some time: {options}.", options=named)
    if any(level_words.allowed(view, tag) for tag in view.tags.values()):
        summary = sentences.joined_sentences(summary, say("All starts are as planned."))
    axis = say("Reserve, {symbol}", symbol=formats.symbol)
    words = (say("The reserve over time"), summary, axis)
    return over_time(
        view,
        "reserve",
        words,
        lambda tag: list(view.series(tag.id).balance or ()),
        list(view.tags.values()),
        [charts.level(floor, say("floor {sum}", sum=formats.money(floor)))],
    )


def paid_already(view: View) -> Iterator[str]:
    """Yield what the ledger's payments mean for the reserve: they are taken as made."""
    formats, case = view.formats, view.case
    as_of = day(case.scenario.as_of)
    if view.club and case.paid:
        paid = formats.cents(case.paid)
        yield say(
            "Payments of {sum} up to {day} are taken as already out of the reserve.",
            sum=paid,
            day=as_of,
        )
    if view.club and case.received:
        paid = formats.cents(case.received)
        yield say(
            "{sum} received up to {day} is taken as already in the reserve.", sum=paid, day=as_of
        )


def _way(view: View, tag: OptionTag) -> dict[str, Any]:
    """Gather what is said of one option: to pay, borrowed, asked for, the reserve, cautions."""
    loan = sentences.joined_sentences(sentences.loan(view, tag), reserve_words.borrowing(view, tag))
    short = (reserve_words.breaks(view, tag), reserve_words.shortfall(view, tag))
    facts = [
        sentences.upfront(view, tag),
        loan or ("" if view.club else say("It is paid in cash.")),
        *reserve_words.asked(view, tag),
        sentences.joined_sentences(sentences.reserve(view, tag), *short),
        *level_words.cautions(view, tag),
    ]
    return {"option": tag, "facts": [fact for fact in facts if fact]}


def raise_rows(view: View, tags: list[OptionTag]) -> list[list[str]]:
    """Word the raises that would make up the difference to the baseline, one kind alone.

    A dash stands for an option whose raise is worked out: another raise beside it would mislead.
    """
    kinds = [(say("An hour"), "hourly_rate")]
    if view.club:
        kinds = [
            (say("Dues a month more"), "dues_per_member_month"),
            (say("An hour more"), "hourly_rate"),
            (say("Once, from each member"), "assessment_per_member"),
        ]
    return [
        [
            label,
            *(_whole(view, tag, key) for tag in tags),
        ]
        for label, key in kinds
    ]


def _whole(view: View, tag: OptionTag, key: str) -> str:
    if raise_words.solved_kind(view, tag):
        return NONE
    return _signed(view, getattr(view.option(tag.id).to_be_whole, key))


def _signed(view: View, value: float | None) -> str:
    if value is None:
        return NONE
    return f"+{view.formats.cents(value)}" if value > 0 else view.formats.cents(value)


def bill_rows(view: View) -> list[list[str]]:
    """Return each kind of member's bill a month under every option, assessments beside it."""
    names = [bill.name for bill in view.option(view.figures.baseline).bills]
    rows = []
    for place, name in enumerate(names):
        bills = [level_words.bills(view, tag)[place] for tag in view.tags.values()]
        rows.append([name, *(_bill(view, bill) for bill in bills)])
    return rows


def _bill(view: View, bill: Bill) -> str:
    monthly, once = view.formats.cents(bill.per_month), view.formats.cents(bill.assessment)
    if not bill.assessment:
        return monthly
    return say("{monthly}, {assessment} once", monthly=monthly, assessment=once)


def _loan(view: View, tag: OptionTag) -> list[Any]:
    funded, terms = level_words.funded(view, tag), view.case.options[tag.id].funding.loan
    if funded is None or terms is None or funded.loan_payment is None:
        return []
    formats = view.formats
    borrowed = terms.amount
    if borrowed is None:
        rows = view.series(tag.id).rows
        borrowed = (terms.share or 0.0) * (math.fsum(rows["project"]) + math.fsum(rows["purchase"]))
    return [
        {"option": tag, "value": ""},
        formats.money(borrowed),
        percent(terms.apr),
        formats.cents(funded.loan_payment),
        formats.money(funded.loan_interest),
        formats.money(-view.option(tag.id).likely.loan_npv),
        formats.money(funded.debt_at_end),
    ]
