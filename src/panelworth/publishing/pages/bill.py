"""My own bill: what one member would pay a month under each option, by own hours a year."""

import math
from typing import Any

from panelworth.engine.results.members import MemberBills
from panelworth.publishing.charts.axes import script_json
from panelworth.publishing.charts.sums import WIDTH, bars
from panelworth.publishing.formats import number, plain
from panelworth.publishing.language import _
from panelworth.publishing.view import Page, View
from panelworth.publishing.words import bill_words
from panelworth.publishing.words.bill_words import Kind
from panelworth.publishing.words.caution_lines import MONEY_LINE
from panelworth.publishing.words.script_texts import forms

EXAMPLE = 33.5  # hours a year, in an example of a number
LEAST_REACH = 100.0  # the least number of hours a year at the end of the slider


def bill_page(view: View) -> Page | None:
    """Return the page on a member's own bill; None for an owner, who gets no bill."""
    member_bills = view.insight.member_bills
    if member_bills is None:
        return None
    kinds = bill_words.kinds(view.club)
    return Page(
        file="bill.html",
        template="bill.html",
        title=_("My bill"),
        nav=_("My bill"),
        door=(_("What would I pay?"), _("Your hours, your month")),
        description=_("What one member would pay a month: {title}", title=view.case.scenario.title),
        content={
            "unfunded": bill_words.unfunded(view.tags, member_bills),
            "options": list(view.tags.values()),
            "rows": _rows(view, member_bills, kinds[0].hours),
            "status": bill_words.asks_least(view, member_bills, kinds[0].hours),
            "bill": _control(view, member_bills, kinds),
            "why": bill_words.why_more(view, member_bills),
            "parts_of_bill": bill_words.parts(view, member_bills),
            "notes": bill_words.notes(view, member_bills),
            "crossings": bill_words.crossings(view.tags, member_bills, _reach(kinds)),
            "every": _every_kind(view, member_bills, kinds),
            "caution": _(MONEY_LINE),
        },
    )


def _rows(view: View, member_bills: MemberBills, hours: float) -> list[dict[str, Any]]:
    """Return a row for each option; the page's script writes the same figures."""
    sums, money, change = (
        bill_words.sums_at(view, member_bills, hours),
        view.formats.money,
        view.formats.change,
    )
    bars_of, rows = bars(sums), []
    for tag in view.tags.values():
        bill = sums.get(tag.id)
        more = (
            change(bill.difference) if bill and bill_words.compared(view, member_bills, tag) else ""
        )
        rows.append(
            {
                "option": tag,
                "bar": bars_of.get(tag.id),
                "total": money(bill.total) if bill else _("not known"),
                "more": more,
                "once": bill_words.once(view.formats, member_bills, tag),
            }
        )
    return rows


def _control(view: View, member_bills: MemberBills, kinds: list[Kind]) -> dict[str, Any]:
    """Return the field, the slider and the buttons, and the data of the script."""
    first = kinds[0].hours
    data = {
        "hours": list(member_bills.hours),
        "kinds": [kind.hours for kind in kinds],
        "bills": {
            option_id: list(line.per_month) for option_id, line in member_bills.lines.items()
        },
        "order": list(view.tags),
        "baseline": view.figures.baseline,
        "titles": {tag.id: tag.short for tag in view.tags.values()},
        "width": WIDTH,
        "writing": view.formats.writing,
        "texts": {
            "hours": forms(bill_words.hours_form),
            "least": forms(bill_words.least_form),
            "wrong": {
                "number": _(
                    "This is not a number. Write it in digits, such as {example}.",
                    example=plain(EXAMPLE),
                ),
                "range": _(
                    "Write a number of hours from 0 to {most}.", most=number(member_bills.hours[-1])
                ),
                "unclear": _(
                    "This can be read in two ways. Write it without a mark between thousands."
                ),
            },
        },
    }
    return {
        "value": f"{first:g}",
        "typed": plain(first),
        "hours_text": bill_words.hours_text(first),
        "reach": f"{_reach(kinds):g}",
        "kinds": [bill_words.kind_text(kind) for kind in kinds],
        "data": script_json(data),
    }


def _reach(kinds: list[Kind]) -> float:
    """Return the hours at the end of the slider: twice those of the kind that flies most."""
    # Rounded up to whole tens.
    busiest = max(kind.hours for kind in kinds)
    return max(LEAST_REACH, math.ceil(busiest / 5) * 10.0)


def _every_kind(
    view: View, member_bills: MemberBills, kinds: list[Kind]
) -> list[tuple[str, list[str]]]:
    """Return the bill of every kind of member, for print and for readers without script."""
    rows = []
    for kind in kinds:
        sums = bill_words.sums_at(view, member_bills, kind.hours)
        cells = [view.formats.money(sums[tag].total if tag in sums else None) for tag in view.tags]
        rows.append((bill_words.kind_text(kind), cells))
    return rows
