"""The section on recurring inspections, by calendar month and by hours."""

from datetime import date
from typing import Any

from panelworth.engine.results.airplane import (
    Due,
)
from panelworth.model.case import Case
from panelworth.publishing.formats import interval, joined, plural, tenths
from panelworth.publishing.language import N_, _
from panelworth.publishing.pages.airplane_sections import Part, Section, Table
from panelworth.publishing.view import OptionTag, View
from panelworth.publishing.words import inspection_words as words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE, NOT_COMPLETE

HOW = (
    N_(
        "An item is good through the last day of the month that lies its interval after the month "
        "it was last done in, whatever the day (“within the preceding 24 calendar months”, 14 CFR "
        "91.411 and 91.413). An interval in days ends on its day. The first day to be reached "
        "binds."
    ),
    N_(
        "By flying hours, the day is that on which the limit is reached at today's likely hours, "
        "over the seasons: a guess, for the tach decides. What is flown over to reach the shop "
        "counts in the next interval (14 CFR 91.409(b)). An option's dates take its likely finish."
    ),
)


def inspections_section(view: View) -> Section | None:
    """Return the section on recurring items; None without any."""
    dues = view.figures.airplane.due_today
    if not dues:
        return None
    rows = [_row(view.case, due) for due in dues]
    head = [_("Item"), _("Every"), _("Good through")]
    return Section(
        id="due",
        label=_("what falls due"),
        question=_("What inspection comes next?"),
        answer=[*words.binding(view.case, dues), *words.renewed(view)],
        table=Table(caption=_("Recurring items today"), head=head, rows=rows, words=True),
        beside=[_(NOT_COMPLETE)],
        cautions=[_(AIRPLANE_LINE)],
        more=_("What falls due with each option"),
        parts=[_after(view, tag) for tag in view.others],
        how=[_(text) for text in HOW],
    )


def _row(case: Case, due: Due) -> list[Any]:
    left = words.until(case.scenario.as_of, due)
    if due.at_hours is None:
        items = case.scenario.aircraft.recurring
        item = next(item for item in items if item.name == due.name)
        every = interval(item.every_months, item.every_days)
        return [item.name, every, {"value": words.last_day(due), "note": left}]
    equipment = case.equipment
    listed = equipment.airplane.hourly if equipment and equipment.airplane else ()
    hourly = next(item for item in listed if item.name == due.name)
    if due.when != "overdue":
        left = _("{left}; at {hours} hours on the tach", left=left, hours=tenths(due.at_hours))
    every = plural(hourly.every, "hour", "hours")
    return [due.name, every, {"value": words.last_day(due), "note": left}]


def _after(view: View, tag: OptionTag) -> Part:
    """List the items that an option changes."""
    today = {due.name: due for due in view.figures.airplane.due_today}
    dues = view.figures.airplane.due_after[tag.id]
    finish = date.fromisoformat(view.series(tag.id).finish)
    rows = [
        [due.name, {"value": words.last_day(due), "note": words.after(finish, due)}]
        for due in dues
        if _changed(due, today.get(due.name))
    ]
    same = [due.name for due in dues if not _changed(due, today.get(due.name))]
    lines = [words.done_with(view, tag.id)]
    if same:
        lines.append(_("As today: {items}.", items=joined(same)))
    table = Table(
        caption=_("With {option}", option=tag.short),
        head=[_("Item"), _("Good through")],
        rows=rows,
        words=True,
    )
    return Part(option=tag, lines=lines, tables=[table] if rows else [])


def _changed(due: Due, today: Due | None) -> bool:
    """Say whether an item is due at another time than today, or during the work."""
    unchanged = today is not None and (due.last_day, due.at_hours) == (
        today.last_day,
        today.at_hours,
    )
    return not unchanged or due.when != "after"
