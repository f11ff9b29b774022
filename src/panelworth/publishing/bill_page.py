"""My own bill: what one member would pay a month under each option, by own hours a year."""

import math
from typing import Any

from panelworth.engine.results_members import OwnBills
from panelworth.model.case import option_prefix
from panelworth.publishing import bill_words, charts, raise_words, reserve_words
from panelworth.publishing.bill_words import Kind
from panelworth.publishing.caution_lines import money_cautions
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import NONE, joined, number, plain, quoted
from panelworth.publishing.language import noted, say
from panelworth.publishing.ledger_words import flags
from panelworth.publishing.script_texts import forms
from panelworth.publishing.sources import input_rows
from panelworth.publishing.view import OptionTag, Page, View

FILE = "bill.html"
COLUMNS = [
    *(noted("Option"), noted("A month"), noted("Once"), noted("An hour in all")),
    *(noted("Difference a month"), noted("Difference a year"), noted("Raise and once in all")),
]
EXAMPLE = 33.5  # hours a year, as a reader may write them
LEAST_REACH = 100.0  # hours a year at the slider's end, at least


def bill_page(view: View) -> Page | None:
    """Make the page on a member's own bill; None for an owner, who is billed nothing.

    What an owner's flying costs a year and an hour, by hours, is on the comparison page.
    """
    own = view.insight.own_bills
    if own is None:
        return None
    first = bill_words.kinds(view)[0]
    title = view.case.scenario.title
    return Page(
        file=FILE,
        template="bill.html",
        title=say("My own bill"),
        nav=say("My bill"),
        door=(say("What would I pay?"), say("Your hours, your month")),
        description=say("What one member would pay a month: {title}", title=title),
        content={
            "lead": bill_words.lead(view, own, first),
            "bill": _bill(view, own, first),
            "charts": [drawn(view, own, first)] if own.lines else [],
            "raises": [
                {"option": tag, "facts": reserve_words.raise_on_a_bill(view, tag)}
                for tag in view.tags.values()
            ],
            "kinds": [_table(view, own, kind) for kind in bill_words.kinds(view)],
            "columns": [say(column) for column in COLUMNS],
            "crossings": bill_words.crossings(view, own.crossings),
            "tariffs": [_tariff(view, own, tag) for tag in view.tags.values()],
            "inputs": _inputs(view),
            "cautions": money_cautions(view),
        },
    )


def _bill(view: View, own: OwnBills, first: Kind) -> dict[str, Any]:
    """Return the two ways to say one's hours, and what the script goes by."""
    name = quoted(first.name) if first.name else bill_words.hours_text(first.hours)
    data = {
        "hours": list(own.hours),
        "bills": {each: list(line.per_month) for each, line in own.lines.items()},
        "inAll": {each: list(line.in_all) for each, line in own.lines.items()},
        "baseline": view.figures.baseline,
        "titles": {tag.id: tag.title for tag in view.tags.values()},
        "writing": view.formats.writing,
        "texts": {
            "hours": forms(bill_words.hours_form),
            "least": forms(bill_words.least_form),
            "and": say("and"),
            "quoted": quoted("{name}"),
        },
    }
    return {
        "value": f"{first.hours:g}",
        "typed": plain(first.hours),
        "example": plain(EXAMPLE),
        "told": number(first.hours),
        "hours_told": bill_words.hours_text(first.hours),
        "most_told": number(own.hours[-1]),
        "reach": f"{_reach(view):g}",
        "back": say("Back to {kind}", kind=name),
        "rows": _rows(view, own, first.hours, named=True),
        "data": charts.script_json(data),
    }


def _reach(view: View) -> float:
    """Return the hours at the slider's end: twice what the busiest kind of member flies."""
    busiest = max(kind.hours for kind in bill_words.kinds(view))
    return max(LEAST_REACH, math.ceil(busiest / 5) * 10.0)


def _rows(view: View, own: OwnBills, hours: float, *, named: bool) -> list[dict[str, Any]]:
    """Return a row an option; `named` cells are those that the script fills again."""
    rows = []
    for tag in view.tags.values():
        found = bill_words.cells(view, own, tag, hours)
        cells = list(found.items() if named else found.values())
        rows.append({"option": tag, "note": flags(view, tag), "cells": cells})
    return rows


def _table(view: View, own: OwnBills, kind: Kind) -> dict[str, Any]:
    rows = _rows(view, own, kind.hours, named=False)
    return {"caption": bill_words.caption(kind), "rows": rows}


def drawn(view: View, own: OwnBills, first: Kind) -> Chart:
    """Draw the bill a month against own hours, marks at the kinds of member and the crossings."""
    reach, cents = _reach(view), view.formats.cents
    marks = sorted({0.0, reach, *(kind.hours for kind in bill_words.kinds(view))})
    crossed = {each.hours for each in own.crossings if each.hours is not None}
    places = sorted({*marks, *(hours for hours in crossed if hours < reach)})
    data, rows, tags = [], [], bill_words.funded_tags(view, own)
    for tag in tags:
        for hours in places:
            bill = bill_words.bill_at(own, tag.id, hours) or 0.0
            flown = bill_words.hours_text(hours)
            told = say("{bill} a month at {hours}", bill=cents(bill), hours=flown)
            at = {"x": round(hours, 2), "y": round(bill, 2), "told": told, "mark": True}
            data.append({"option": tag.title, **at})
        bills = (bill_words.bill_at(own, tag.id, hours) for hours in marks)
        rows.append([{"option": tag}, *map(cents, bills)])
    now = charts.upright(first.hours, first.name)
    bill_axis = say("Bill a month, {currency}", currency=view.formats.symbol)
    return Chart(
        id="own-bill",
        title=say("Bill a month, by own hours"),
        summary=say(
            "Where a line starts is what a member pays who does not fly; how steep it is, what an "
            "hour costs. Marks stand at the kinds of member below."
        ),
        spec=charts.lines(tags, data, axes=(say("Own hours a year"), bill_axis), extra=[now]),
        head=[say("Option"), *(bill_words.hours_text(hours) for hours in marks)],
        rows=rows,
        options=tags,
    )


def _tariff(view: View, own: OwnBills, tag: OptionTag) -> dict[str, Any]:
    """Return the dues and the rate that an option's bill is made of, and the raise in them."""
    line, cents = own.lines.get(tag.id), view.formats.cents
    if line is None:
        return {"option": tag, "cells": [NONE, NONE, NONE]}
    raised = joined(raise_words.exact_raises(view, tag)) or say("none")
    return {"option": tag, "cells": [cents(line.dues), cents(line.hourly_rate), raised]}


def _inputs(view: View) -> list[dict[str, str]]:
    """List where dues and rates come from, each rate with the option it belongs to."""
    rows = input_rows(view, ["club.dues_per_month", "aircraft.hourly_rate"])
    for tag in view.tags.values():
        for row in input_rows(view, [f"{option_prefix(tag.id)}after.hourly_rate"]):
            rows.append({**row, "label": f"{row['label']}: {tag.title}"})
    return rows
