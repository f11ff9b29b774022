"""Deadlines in order, a club's reserve over the years, and how each option is paid for."""

from typing import Any

from panelworth.publishing.charts.reserve import reserve_charts
from panelworth.publishing.formats import percent
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import cash_words, dates_words, project_words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, MONEY_LINE
from panelworth.publishing.words.sentences import joined_sentences


def dates_page(view: View) -> Page:
    """Return the page of deadlines, reserve and funding."""
    tags = list(view.tags.values())
    nav, question = _("Dates"), _("By when must you decide?")
    note, charts = _("Order days, and what is borrowed"), reserve_charts(view)
    if view.club:
        nav, question = _("Dates, cash"), _("By when, and does the cash last?")
        note = _("Order days and the reserve")
    return Page(
        file="dates.html",
        template="dates.html",
        title=question,
        nav=nav,
        door=(question, note),
        description=_("What falls due when: {title}", title=view.case.scenario.title),
        content={
            "decided": project_words.days_follow(view),
            "lead": joined_sentences(dates_words.decide(view), cash_words.floor_held(view)),
            "rows": dates_words.rows(view),
            "overdue": dates_words.overdue(view.updates),
            "all_days": dates_words.all_days(view.updates),
            "charts": charts,
            "key": cash_words.key(view.case) if view.club else "",
            "panes": [
                {
                    "chart": chart,
                    "count": cash_words.times_below_floor(view, chart.options[0]),
                    "paid": cash_words.paid(view, chart.options[0]),
                }
                for chart in charts
            ],
            "paid_for": [] if view.club else cash_words.paid_for(view),
            "besides": joined_sentences(
                cash_words.coverage(view), *cash_words.paid_already(view.case, view.formats)
            ),
            "loans": [row for tag in tags if (row := _loan(view, tag))],
            "airplane_caution": _(AIRPLANE_LINE),
            "caution": _(MONEY_LINE),
        },
    )


def _loan(view: View, tag: OptionTag) -> dict[str, Any]:
    """Return a loan's figures for the table; empty without a loan."""
    funded, terms = view.leading(tag).funded, view.case.options[tag.id].funding.loan
    loan = view.series(tag.id).loan
    if funded is None or terms is None or loan is None or funded.loan_payment is None:
        return {}
    money = view.formats.money
    return {
        "option": tag,
        "cells": [
            money(loan.principal),
            percent(terms.apr),
            view.formats.cents(funded.loan_payment),
            money(funded.loan_interest),
            money(funded.debt_at_end),
            *([cash_words.covered(funded)] if view.club else []),
        ],
    }
