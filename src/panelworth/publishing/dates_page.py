"""The page of dates: what falls due when, in order, with what lies behind on top."""

from typing import Any

from panelworth.engine.results_loop import Deadline
from panelworth.publishing.caution_lines import AIRPLANE, MAINTENANCE, MONEY
from panelworth.publishing.date_words import event, heading, remarks
from panelworth.publishing.formats import day, plural
from panelworth.publishing.view import Page, View

INTERVALS = AIRPLANE[2:]


def dates_page(view: View) -> Page:
    """Make the page of all days to keep in mind."""
    ahead = [each for each in view.loop.deadlines if not each.past]
    behind = [each for each in view.loop.deadlines if each.past]
    groups = [
        {"heading": "Overdue or lapsed", "id": "behind", "rows": _rows(view, behind)},
        {"heading": "Ahead", "id": "ahead", "rows": _rows(view, ahead)},
    ]
    return Page(
        file="dates.html",
        template="dates.html",
        title="Dates",
        nav="Dates",
        description=f"What falls due when: {view.case.scenario.title}",
        content={
            "lead": _lead(view, ahead, behind),
            "groups": [group for group in groups if group["rows"]],
            "cautions": [*MAINTENANCE, *INTERVALS, MONEY[0]],
        },
    )


def _lead(view: View, ahead: list[Deadline], behind: list[Deadline]) -> list[str]:
    as_of = day(view.case.scenario.as_of)
    said = [f"Seen from {as_of}, {_days(len(ahead))} ahead."]
    if not view.loop.deadlines:
        return [f"Seen from {as_of}, no day is written in the scenario's files."]
    if ahead:
        said = [f"{said[0][:-1]}; next is {day(ahead[0].first)} ({heading(view, ahead[0])})."]
    if behind:
        names = "; ".join(heading(view, each) for each in behind)
        said.append(f"{_days(len(behind)).capitalize()} behind it. {names}.")
    return said


def _days(count: int) -> str:
    return f"{plural(count, 'day', 'days')} to keep in mind {'lies' if count == 1 else 'lie'}"


def _rows(view: View, deadlines: list[Deadline]) -> list[dict[str, Any]]:
    return [
        {
            "day": _span(each),
            "what": heading(view, each) if each.name else event(view, each),
            "option": view.tags[each.option] if each.option else None,
            "remarks": [said for said in remarks(view, each) if not said.startswith("Check ")],
        }
        for each in deadlines
    ]


def _span(each: Deadline) -> str:
    if each.first == each.last:
        return day(each.first)
    return f"{day(each.first)} to {day(each.last)}"
