"""calendar.ics: the days to keep in mind, for a member's own calendar (RFC 5545).

The same bytes for the same inputs: identifiers follow from what an event is about, not from its
day, so that a later edition moves an event instead of adding one. How late an edition is follows
from its files, not from a clock: see `edition_day`. No alarms.
"""

from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from panelworth.engine.results.editions import Deadline
from panelworth.publishing.view import View
from panelworth.publishing.words.date_words import of_option, remarks
from panelworth.publishing.words.sentences import one_line

PRODUCT = "-//panelworth//calendar//EN"
FIRST_EDITION = date(2020, 1, 1)  # sequence numbers are days from here


def calendar_ics(view: View) -> bytes:
    """Write every day to keep in mind as an event of whole days."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", one_line(view.case.scenario.title))
    seen: dict[str, int] = {}
    for deadline in view.updates.deadlines:
        what = identity(view, deadline)
        seen[what] = seen.get(what, 0) + 1
        calendar.add_component(_event(view, deadline, f"{what}|{seen[what]}"))
    content: bytes = calendar.to_ical()
    return content


def identity(view: View, deadline: Deadline) -> str:
    """Say what an event is about, whatever its day; a quote and its change are two things."""
    parts = (
        view.figures.scenario,
        deadline.kind,
        deadline.option,
        deadline.name,
        deadline.supplier,
    )
    return "|".join((*parts, deadline.reference, deadline.paper, str(deadline.restarted)))


def edition_day(view: View) -> date:
    """Return the day that tells a later edition from an earlier one: the newest in its files.

    That is as_of, or the ledger's newest row. A calendar takes an event over if its SEQUENCE is
    higher (RFC 5545, 3.8.7.4), or at the same SEQUENCE its DTSTAMP later (RFC 5546, 2.1.5).
    """
    return max([view.case.scenario.as_of, *(row.date for row in view.case.ledger)])


def _event(view: View, deadline: Deadline, what: str) -> Event:
    event, newest = Event(), edition_day(view)
    written = datetime.combine(newest, time(), tzinfo=UTC)
    event.add("uid", str(uuid5(NAMESPACE_URL, f"panelworth:{what}")))
    event.add("dtstamp", written)
    event.add("last-modified", written)
    event.add("sequence", max(0, (newest - FIRST_EDITION).days))
    event.add("dtstart", deadline.first)
    event.add("dtend", deadline.last + timedelta(days=1))  # RFC 5545, 3.6.1: the end is not in it
    event.add("summary", one_line(of_option(view, deadline)))
    event.add("description", one_line(" ".join(remarks(view, deadline))))
    event.add("transp", "TRANSPARENT")  # a day to keep in mind makes nobody busy
    return event
