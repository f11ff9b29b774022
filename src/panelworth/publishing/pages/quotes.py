"""Quotes and bills: the sums of the ledger, and the changes since the last edition."""

from typing import Any

from panelworth.engine.results.editions import ChangeAttribution
from panelworth.publishing.charts.quotes import over_time, parts_bar
from panelworth.publishing.formats import plural
from panelworth.publishing.language import _
from panelworth.publishing.view import OptionTag, Page, View
from panelworth.publishing.words import change_words, offer_words, quotes_words
from panelworth.publishing.words.caution_lines import MONEY_LINE

MOST_MOVES = 8


def quotes_page(view: View) -> Page | None:
    """Return the page of the ledger and of the changes; None if there is neither."""
    attribution, question = view.updates.attribution, _("What was offered, billed, paid?")
    if not view.case.ledger and attribution is None:
        return None
    tags = quotes_words.with_rows(view)
    charts = [chart for tag in tags if (chart := over_time(view, tag))]
    return Page(
        file="ledger.html",
        template="ledger.html",
        title=_("Quotes and bills"),
        nav="",
        foot=_("Quotes and bills"),
        door=(question, _("Quotes and bills")),
        description=_("What is quoted, invoiced and paid: {title}", title=view.case.scenario.title),
        content={
            "question": question,
            "lead": quotes_words.lead(view) if tags else [],
            "options": [_row(view, tag) for tag in tags],
            "moved": quotes_words.plan_drift(view) if tags else [],
            "charts": charts,
            "offers": [_offers(view, tag) for tag in tags if tag.id in view.figures.offer_tables],
            "item_head": quotes_words.item_head(),
            "changes": _changes(view, attribution) if attribution else {},
            "caution": _(MONEY_LINE),
        },
    )


def _row(view: View, tag: OptionTag) -> dict[str, Any]:
    rows = quotes_words.item_rows(view, tag)
    return {
        "option": tag,
        "sum": quotes_words.likely_cost(view, tag),
        "bar": parts_bar(view, tag),
        "rests_on": quotes_words.rests_on(view.figures.project_progress[tag.id]),
        "warn": quotes_words.from_allowed(view, tag),
        "count": plural(len(rows), "item", "items"),
        "rows": rows,
    }


def _offers(view: View, tag: OptionTag) -> dict[str, Any]:
    """Return the offers of an option side by side."""
    table, offers = view.figures.offer_tables[tag.id], view.option(tag.id).offers or {}
    return {
        "option": tag,
        "head": offer_words.head(table),
        "rows": [*offer_words.rows(view, table), *offer_words.totals(view, table, offers)],
        "counted": offer_words.counted(view, tag, table),
        "warn": table.mixed,
    }


def _changes(view: View, attribution: ChangeAttribution) -> dict[str, Any]:
    """Return the changed inputs since the last edition, and their effects on figures."""
    rows = change_words.change_rows(view, attribution)
    return {
        "lead": change_words.lead(view, attribution),
        "moved": rows[:MOST_MOVES],
        "rest": rows[MOST_MOVES:],
        "causes": [
            {
                "option": tag,
                "head": change_words.head(attribution, tag),
                "rows": change_words.cause_rows(view.formats, attribution, tag),
            }
            for tag in change_words.shared(view.tags, attribution)
        ],
    }
