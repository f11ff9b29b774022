"""Figures as tables for a terminal; the command line prints them."""

from rich.box import SIMPLE_HEAD
from rich.table import Table

from panelworth.engine.results.figures import (
    Bill,
    BreakEvenPoints,
)
from panelworth.model.case import Case
from panelworth.publishing.formats import NONE, Formats, formats_of
from panelworth.publishing.language import _
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
        where = f"{root.side or 'touching at'} {value}"
        jump = ", where it jumps" if root.jump else ""
        lines.append(f"“{title}” comes out ahead of “{baseline.title}” {where}{jump}")
    if points.why:
        lines.append(f"“{title}” against “{baseline.title}”: {points.why}")
    return lines


def figures_tables(view: View) -> list[Table]:
    """Return the figures of all options: single figures, break-evens, raises, bills."""
    tags = list(view.tags.values())
    difference = "What would make up the difference" if view.club else "The difference in cash"
    tables = [
        _likely(view),
        _plain("It comes out ahead at", break_evens(view, tags), view),
        _plain(difference, _raise_rows(view, tags), view),
    ]
    if view.club and view.club.profiles:
        tables.append(_plain("A member's bill a month", _bill_rows(view), view))
    return tables


def _table(title: str, view: View) -> Table:
    table = Table(title=title, title_justify="left", header_style="bold", box=SIMPLE_HEAD)
    table.add_column("")
    for tag in view.tags.values():
        table.add_column("\n".join(filter(None, (tag.title, _flags(view, tag)))), justify="right")
    return table


def _flags(view: View, tag: OptionTag) -> str:
    """Return the warnings of an option: a lapsed paper, a refused start."""
    refused = _("start refused as planned") if view.leading(tag).refused else ""
    return "; ".join(filter(None, (lapsed_note(view.case, tag.id), refused)))


def _plain(title: str, rows: list[list[str]], view: View) -> Table:
    table = _table(title, view)
    for row in rows:
        table.add_row(*row)
    return table


def _likely(view: View) -> Table:
    return _plain(f"{view.case.scenario.title}: the likely view", likely_rows(view), view)


def _raise_rows(view: View, tags: list[OptionTag]) -> list[list[str]]:
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
