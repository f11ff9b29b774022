"""The page on inspections: recurring items by calendar month, and which one binds next."""

from datetime import date
from typing import Any

from panelworth.engine.results_airplane import Due
from panelworth.model.scenario import Recurring
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import inspection_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import INSPECTIONS, MAINTENANCE
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import day, plural
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = "What inspection comes next?"
HOW = (
    (
        "An item is good through the last day of the month that lies its interval after the month "
        "it was last done in, whatever the day (“within the preceding 24 calendar months”, 14 CFR "
        "91.411 and 91.413). The first day to be reached binds."
    ),
    (
        "Items by flying hours, such as a 100-hour inspection, are not in these files and not "
        "here. An option's dates take its likely finish."
    ),
)


def inspections_page(view: View) -> Page | None:
    """Make the page on recurring items, None where there are none."""
    found = view.figures.airplane
    if not found.due_today:
        return None
    answer = Answer(
        lead=words.binding(view, found.due_today),
        charts=[good_until(view)],
        sections=[_today(view), *(_after(view, tag) for tag in view.others)],
        how=HOW,
        cautions=[*INSPECTIONS, *MAINTENANCE],
    )
    file, title = "inspections.html", "Inspections"
    return airplane_page(file=file, title=title, question=QUESTION, answer=answer)


def good_until(view: View) -> Chart:
    """Draw each item from the day the figures are stated for to its last good day."""
    as_of, dues = view.case.scenario.as_of, view.figures.airplane.due_today
    data = [
        {
            "name": due.name,
            "option": "",
            "first": as_of.isoformat(),
            "next": max(due.last_day, as_of.isoformat()),
            "faint": False,
            "told": f"good through {day(due.last_day)}",
        }
        for due in dues
    ]
    return Chart(
        id="good",
        title="How long each item is good",
        summary="From the day the figures are stated for to the last good day.",
        spec=drawings.timeline(list(view.tags.values()), data),
        head=["Item", "Good through"],
        rows=[[due.name, day(due.last_day)] for due in dues],
        height=drawings.height_of(len(dues)),
    )


def _today(view: View) -> Section:
    items = {item.name: item for item in view.case.scenario.aircraft.recurring}
    rows = [_row(view, items[due.name], due) for due in view.figures.airplane.due_today]
    head = ["Item", "Every", "Last done", "Good through"]
    table = Table(caption="Recurring items today", head=head, rows=rows, cards=True)
    return Section(id="today", title="As it stands", tables=[table])


def _row(view: View, item: Recurring, due: Due) -> list[Any]:
    left = words.until(view.case.scenario.as_of, due)
    every = plural(item.every_months, "calendar month")
    return [
        item.name,
        every,
        day(item.last_done),
        {"value": day(due.last_day), "note": left},
    ]


def _after(view: View, tag: OptionTag) -> Section:
    dues = view.figures.airplane.due_after[tag.id]
    finish = date.fromisoformat(view.series(tag.id).finish)
    rows = [[due.name, {"value": day(due.last_day), "note": _left(finish, due)}] for due in dues]
    head = ["Item", "Good through"]
    return Section(
        id=f"inspections-{tag.id}",
        option=tag,
        lines=[words.done_with(view, tag.id)],
        tables=[Table(caption=f"With {tag.title}", head=head, rows=rows, cards=True)],
    )


def _left(finish: date, due: Due) -> str:
    return f"{words.until(finish, due)} when it is back"
