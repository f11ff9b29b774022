"""calendar.ics: the deadlines as events, to import into a member's own calendar (RFC 5545).

The same inputs give the same bytes. The UID of an event depends on what the event is about, not on
its day. Therefore a later edition moves an event in the calendar and does not add a second one. The
date of an edition comes from its files, not from a clock: see `edition_day`. There are no alarms.
"""

from datetime import UTC, date, datetime, time, timedelta
from uuid import NAMESPACE_URL, uuid5

from icalendar import Calendar, Event

from panelworth.engine.results.editions import Deadline
from panelworth.publishing.view import View
from panelworth.publishing.words.date_words import of_option, remarks
from panelworth.publishing.words.sentences import one_line

PRODUCT = "-//panelworth//calendar//EN"
FIRST_EDITION = date(2020, 1, 1)  # SEQUENCE counts the days from here, so that it grows


def calendar_ics(view: View) -> bytes:
    """Write calendar.ics: each deadline as an event of whole days."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")  # RFC 5546, 3.2.1: for information, nobody is asked to reply
    # Not in RFC 5545, but the calendar programs in use take the calendar's name from it.
    calendar.add("x-wr-calname", one_line(view.case.scenario.title))
    counts: dict[str, int] = {}
    for deadline in view.updates.deadlines:
        # A UID must be unique (RFC 5545, 3.8.4.7): deadlines with the same subject are numbered.
        subject = subject_of(view, deadline)
        counts[subject] = counts.get(subject, 0) + 1
        calendar.add_component(_event(view, deadline, f"{subject}|{counts[subject]}"))
    content: bytes = calendar.to_ical()
    return content


def subject_of(view: View, deadline: Deadline) -> str:
    """Return a text that identifies what an event is about, without its day.

    A quote and a later change of it are two subjects.
    """
    parts = (
        view.figures.scenario,
        deadline.kind,
        deadline.option,
        deadline.name,
        deadline.supplier,
    )
    return "|".join((*parts, deadline.reference, deadline.paper, str(deadline.restarted)))


def edition_day(view: View) -> date:
    """Return the newest day in the files: as_of, the ledger's newest row, the status date.

    It orders the editions. A calendar program replaces an event by one with a higher SEQUENCE (RFC
    5545, 3.8.7.4), or with the same SEQUENCE and a later DTSTAMP (RFC 5546, 2.1.5).
    """
    days = [view.case.scenario.as_of, *(row.date for row in view.case.ledger)]
    return max([*days, view.figures.project.day] if view.figures.project else days)


def _event(view: View, deadline: Deadline, subject: str) -> Event:
    event, newest = Event(), edition_day(view)
    written = datetime.combine(newest, time(), tzinfo=UTC)
    event.add("uid", str(uuid5(NAMESPACE_URL, f"panelworth:{subject}")))
    event.add("dtstamp", written)
    event.add("last-modified", written)
    event.add("sequence", max(0, (newest - FIRST_EDITION).days))
    event.add("dtstart", deadline.first)
    event.add("dtend", deadline.last + timedelta(days=1))  # RFC 5545, 3.6.1: exclusive
    event.add("summary", one_line(of_option(view, deadline)))
    event.add("description", one_line(" ".join(remarks(view, deadline))))
    event.add("transp", "TRANSPARENT")  # a deadline does not block the day
    return event
