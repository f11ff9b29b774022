"""The page on inspections: what recurs by calendar month and by hours, and what binds next."""

from typing import Any

from panelworth.engine.results_airplane import Due
from panelworth.publishing.airplane import drawings
from panelworth.publishing.airplane import inspection_words as words
from panelworth.publishing.airplane.parts import Answer, Section, Table, airplane_page
from panelworth.publishing.caution_lines import INSPECTIONS, MAINTENANCE
from panelworth.publishing.charts import Chart
from panelworth.publishing.formats import day, interval, plural, tenths
from panelworth.publishing.language import noted, say
from panelworth.publishing.view import OptionTag, Page, View

QUESTION = noted("What inspection comes next?")
HOW = (
    noted(
        "An item is good through the last day of the month that lies its interval after the month "
        "it was last done in, whatever the day (“within the preceding 24 calendar months”, 14 CFR "
        "91.411 and 91.413). An interval in days ends on its day. The first day to be reached "
        "binds."
    ),
    noted(
        "By flying hours, the day is that on which the limit is reached at today's likely hours, "
        "over the seasons: a guess, for the tach decides. What is flown over to reach the shop "
        "counts in the next interval (14 CFR 91.409(b)). An option's dates take its likely finish."
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
        how=[say(text) for text in HOW],
        cautions=[*INSPECTIONS, *MAINTENANCE],
    )
    file, title = "inspections.html", say("Inspections")
    return airplane_page(file=file, title=title, question=say(QUESTION), answer=answer)


def good_until(view: View) -> Chart:
    """Draw each item from the day the figures are stated for to its last good day."""
    as_of, dues = view.case.scenario.as_of, view.figures.airplane.due_today
    data = [
        {
            "name": due.name,
            "option": "",
            "first": as_of.isoformat(),
            "next": max(due.last_day or "", as_of.isoformat()),
            "faint": False,
            "told": words.last_day(due)
            if due.when == "overdue"
            else say("good through {day}", day=words.last_day(due)),
        }
        for due in dues
    ]
    return Chart(
        id="good",
        title=say("How long each item is good"),
        summary=say("From the day the figures are stated for to the last good day."),
        spec=drawings.timeline(list(view.tags.values()), data),
        head=[say("Item"), say("Good through")],
        rows=[[due.name, words.last_day(due)] for due in dues],
        height=drawings.height_of(len(dues)),
    )


def _today(view: View) -> Section:
    rows = [_row(view, due) for due in view.figures.airplane.due_today]
    head = [say("Item"), say("Every"), say("Last done"), say("Good through")]
    table = Table(caption=say("Recurring items today"), head=head, rows=rows, cards=True)
    return Section(id="today", title=say("As it stands"), tables=[table])


def _row(view: View, due: Due) -> list[Any]:
    left = words.until(view.case.scenario.as_of, due)
    if due.at_hours is None:
        items = view.case.scenario.aircraft.recurring
        item = next(each for each in items if each.name == due.name)
        every = interval(item.every_months, item.every_days)
        until = {"value": words.last_day(due), "note": left}
        return [item.name, every, day(item.last_done), until]
    equipment = view.case.equipment
    listed = equipment.airplane.hourly if equipment and equipment.airplane else ()
    hourly = next(each for each in listed if each.name == due.name)
    if due.when != "overdue":
        left = say("{left}; at {hours} hours on the tach", left=left, hours=tenths(due.at_hours))
    return [
        due.name,
        plural(hourly.every, "hour", "hours"),
        say("at {hours} hours", hours=tenths(hourly.done_at)),
        {"value": words.last_day(due), "note": left},
    ]


def _after(view: View, tag: OptionTag) -> Section:
    dues = view.figures.airplane.due_after[tag.id]
    rows = [
        [due.name, {"value": words.last_day(due), "note": words.after(view, tag.id, due)}]
        for due in dues
    ]
    head = [say("Item"), say("Good through")]
    caption = say("With {option}", option=tag.title)
    return Section(
        id=f"inspections-{tag.id}",
        option=tag,
        lines=[words.done_with(view, tag.id)],
        tables=[Table(caption=caption, head=head, rows=rows, cards=True)],
    )
