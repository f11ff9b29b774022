"""Inputs: every number the figures rest on with its source, the scenario's notes, the downloads."""

from collections.abc import Iterator
from typing import Any

from panelworth.model.case import Case, inputs_of, option_prefix
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import _, ngettext
from panelworth.publishing.site.prose import html_of
from panelworth.publishing.view import Page, View
from panelworth.publishing.words.airplane_inputs import airplane_inputs
from panelworth.publishing.words.caution_lines import MONEY_LINE
from panelworth.publishing.words.sources import input_rows


def inputs_page(view: View) -> Page:
    """Return the page that lists every input with its source."""
    question, note = _("Where is each figure from?"), view.case.notes.get("scenario", "")
    return Page(
        file="inputs.html",
        template="inputs.html",
        title=_("Inputs and sources"),
        nav="",
        foot=_("Inputs"),
        door=(question, _("Inputs and their sources")),
        description=_(
            "Every input and where it came from: {title}", title=view.case.scenario.title
        ),
        content={
            "question": question,
            "lead": _lead(view.case),
            "story": html_of(note) if note else "",
            "groups": list(_groups(view)),
            "airplane": airplane_inputs(view),
            "dates": bool(view.updates.deadlines),
            "caution": _(MONEY_LINE),
        },
    )


def _groups(view: View) -> Iterator[dict[str, Any]]:
    """Yield the inputs of all options, then those of each; each group has its anchor."""
    shared = [entry.path for entry in inputs_of(view.case.scenario)]
    rows = [*_facts(view), *input_rows(view, shared)]
    yield {"anchor": "shared", "heading": _("All options"), "option": None, "rows": rows}
    for tag in view.tags.values():
        option = view.case.options[tag.id]
        paths = [f"{option_prefix(tag.id)}{entry.path}" for entry in inputs_of(option)]
        yield {
            "anchor": f"option-{tag.id}",
            "heading": "",
            "option": tag,
            "rows": input_rows(view, paths),
        }


def _lead(case: Case) -> list[str]:
    written = [entry for entry in case.inputs if entry.path in case.source_lines]
    ranges = sum(not entry.quantity.certain for entry in written)
    sourced = sum(bool(entry.quantity.source) for entry in written)
    numbers = plural(len(written), "number", "numbers")
    priced = sum(bool(status.price_rows) for status in case.ledger_statuses.values())
    prices = plural(priced, "price", "prices")
    return [
        ngettext(
            "The figures rest on {numbers} written in the scenario's files; {ranges} is a range.",
            "The figures rest on {numbers} written in the scenario's files; {ranges} are ranges.",
            ranges,
        ).format(numbers=numbers, ranges=ranges),
        _(
            "A source is named for {count}. Whatever is not written counts as 0 or as its default.",
            count=sourced,
        ),
        *([_("The ledger gives {prices}.", prices=prices)] if priced else []),
    ]


def _facts(view: View) -> list[dict[str, str]]:
    scenario, formats = view.case.scenario, view.formats
    facts = [
        (_("Stated for"), day(scenario.as_of)),
        (_("Counted over"), plural(scenario.years, "year", "years")),
        (_("Compared with"), view.baseline.title),
    ]
    if scenario.club:
        facts += [
            (_("Members"), str(scenario.club.members)),
            (_("Reserve"), formats.money(scenario.club.reserve)),
            (_("Reserve floor"), formats.money(scenario.club.reserve_floor)),
        ]
    return [{"label": label, "value": value, "source": "scenario.toml"} for label, value in facts]
