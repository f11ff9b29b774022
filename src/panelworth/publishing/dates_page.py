"""The page of dates: what falls due when, in order, with what lies behind on top."""

from typing import Any

from panelworth.engine.results_loop import Deadline
from panelworth.publishing.caution_lines import AIRPLANE, MAINTENANCE, MONEY
from panelworth.publishing.date_words import CHECKED, event, heading, named, remarks, told_apart
from panelworth.publishing.formats import day, plural
from panelworth.publishing.language import say, say_counted
from panelworth.publishing.view import Page, View

INTERVALS = AIRPLANE[2:]


def dates_page(view: View) -> Page:
    """Make the page of all days to keep in mind."""
    ahead = [each for each in view.loop.deadlines if not each.past]
    behind = [each for each in view.loop.deadlines if each.past]
    groups = [
        {"heading": say("Overdue or lapsed"), "id": "behind", "rows": _rows(view, behind)},
        {"heading": say("Ahead"), "id": "ahead", "rows": _rows(view, ahead)},
    ]
    return Page(
        file="dates.html",
        template="dates.html",
        title=say("Dates"),
        nav=say("Dates, cash") if view.club else say("Dates"),
        door=(say("By when, and does the cash last?"), say("Order days and the reserve")),
        description=say("What falls due when: {title}", title=view.case.scenario.title),
        content={
            "lead": _lead(view, ahead, behind),
            "groups": [group for group in groups if group["rows"]],
            "cautions": [*MAINTENANCE, *INTERVALS, MONEY[0]],
        },
    )


def _lead(view: View, ahead: list[Deadline], behind: list[Deadline]) -> list[str]:
    as_of = day(view.case.scenario.as_of)
    if not view.loop.deadlines:
        return [say("Seen from {day}, no day is written in the scenario's files.", day=as_of)]
    said = [_ahead(view, as_of, ahead)]
    if behind:
        text = say_counted(
            "{entries} lies behind it. {names}.",
            "{entries} lie behind it. {names}.",
            len(behind),
        )
        names = "; ".join(heading(view, each) for each in behind)
        said.append(text.format(entries=plural(len(behind), "entry", "entries"), names=names))
    return said


def _ahead(view: View, as_of: str, ahead: list[Deadline]) -> str:
    if not ahead:
        return say("Seen from {day}, no day to keep in mind lies ahead.", day=as_of)
    text = say_counted(
        "Seen from {day}, {entries} lies ahead; next is {next} ({what}).",
        "Seen from {day}, {entries} lie ahead; next is {next} ({what}).",
        len(ahead),
    )
    entries, what = plural(len(ahead), "entry", "entries"), heading(view, ahead[0])
    return text.format(day=as_of, entries=entries, next=day(ahead[0].first), what=what)


def _rows(view: View, deadlines: list[Deadline]) -> list[dict[str, Any]]:
    return [
        {
            "day": _span(each),
            "what": told_apart(view, each) if named(view, each) else event(view, each),
            "option": view.tags[each.option] if each.option else None,
            "remarks": [said for said in remarks(view, each) if said != say(CHECKED)],
        }
        for each in deadlines
    ]


def _span(each: Deadline) -> str:
    if each.first == each.last:
        return day(each.first)
    return say("{first} to {last}", first=day(each.first), last=day(each.last))
