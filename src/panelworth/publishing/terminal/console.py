"""Figures as tables for a terminal; the command line prints them."""

from collections.abc import Sequence

from panelworth.engine.results.figures import (
    Bill,
)
from panelworth.engine.results.insight import (
    BreakEvenPoints,
)
from panelworth.model.case import Case
from panelworth.publishing.formats import NONE, Formats, formats_of
from panelworth.publishing.language import _
from panelworth.publishing.terminal.tables import TextTable, without_empty
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import raise_words
from panelworth.publishing.words.figure_words import break_evens, likely_rows
from panelworth.publishing.words.sources import input_name
from panelworth.publishing.words.warning_words import lapsed_note


def break_even_lines(case: Case, option_id: str, points: BreakEvenPoints) -> list[str]:
    """Write the values of an input at which an option is even with the baseline."""
    declared = next(declared for declared in case.inputs if declared.path == points.input)
    formats, baseline = formats_of(case.scenario), case.options[case.scenario.baseline]
    title, unit = case.options[option_id].title, formats.unit(declared.unit)
    span = " and ".join(formats.measure(end, declared.unit) for end in (points.least, points.most))
    likely = formats.quantity(declared.quantity, declared.unit)
    lines = [f"{input_name(declared)}, {unit}; likely {likely}; searched between {span}"]
    for root in points.roots:
        value = formats.measure(root.value, declared.unit)
        jump = ", where it jumps" if root.jump else ""
        where = f"ahead of “{baseline.title}” if it is {root.side} {value}"
        if not root.side:  # it is as good there, and no better on either side
            where = f"level with “{baseline.title}” at {value}"
        lines.append(f"“{title}” comes out {where}{jump}")
    if points.why:
        lines.append(f"“{title}” against “{baseline.title}”: {points.why}")
    return lines


def figures_tables(view: View) -> list[str | TextTable]:
    """Return the options, then all their figures: single ones, break-evens, raises, bills.

    The baseline has no column in tables of figures against the baseline.
    """
    tags = list(view.tags.values())
    difference = "What would make up the difference" if view.club else "The difference in cash"
    tables = [
        _table("Likely figures", tags, likely_rows(view)),
        _table(
            f"It comes out ahead of “{view.baseline.short}” at",
            view.others,
            break_evens(view, view.others),
        ),
        _table(difference, view.others, _raise_rows(view, view.others)),
    ]
    if view.club and view.club.profiles:
        tables.append(_table("A member's bill a month", tags, _bill_rows(view)))
    filled = [table for table in tables if table.rows]
    return [view.case.scenario.title, *(f"  {_named(view, tag)}" for tag in tags), "", *filled]


def _table(title: str, tags: Sequence[OptionTag], rows: list[list[str]]) -> TextTable:
    return without_empty(title, ["", *(tag.short for tag in tags)], rows)


def _named(view: View, tag: OptionTag) -> str:
    """Write what an option's short name stands for, with its warnings."""
    title = "" if tag.short == tag.title else tag.title
    refused = _("start refused as planned") if view.leading(tag).refused else ""
    about = "; ".join(filter(None, (title, lapsed_note(view.case, tag.id), refused)))
    return f"{tag.short}: {about}" if about else tag.short


def _raise_rows(view: View, tags: Sequence[OptionTag]) -> list[list[str]]:
    """Write the raises that would close the gap to the baseline, each kind by itself.

    An option whose raise is solved gets "—": another raise beside it would mislead.
    """
    kinds = [(_("An hour"), "hourly_rate")]
    if view.club:
        kinds = [
            (_("Dues a month more"), "dues_per_member_month"),
            (_("An hour more"), "hourly_rate"),
            (_("Once, from each member"), "assessment_per_member"),
        ]
    return [
        [
            label,
            *(_raise_cell(view, tag, key) for tag in tags),
        ]
        for label, key in kinds
    ]


def _raise_cell(view: View, tag: OptionTag, key: str) -> str:
    if raise_words.solved_kind(view.case, tag.id):
        return NONE
    return _signed(view.formats, getattr(view.option(tag.id).to_be_whole, key))


def _signed(formats: Formats, value: float | None) -> str:
    if value is None:
        return NONE
    return f"+{formats.cents(value)}" if value > 0 else formats.cents(value)


def _bill_rows(view: View) -> list[list[str]]:
    """Return the bill a month of each kind of member by option, with assessments."""
    names = [bill.name for bill in view.option(view.figures.baseline).bills]
    rows = []
    for place, name in enumerate(names):
        bills = [view.leading(tag).bills[place] for tag in view.tags.values()]
        rows.append([name, *(_bill(view.formats, bill) for bill in bills)])
    return rows


def _bill(formats: Formats, bill: Bill) -> str:
    monthly, once = formats.cents(bill.per_month), formats.cents(bill.assessment)
    if not bill.assessment:
        return monthly
    return _("{monthly}, {assessment} once", monthly=monthly, assessment=once)
