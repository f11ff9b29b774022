"""calendar.ics, parsed back: RFC 5545, whole days, the same bytes, nothing that text can inject."""

import json
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar, Event

from panelworth import views
from panelworth.model.case import Case
from panelworth.publishing.site.calendar_file import calendar_ics
from panelworth.publishing.view import View
from panelworth.publishing.words.date_words import heading, of_option, remarks
from small_cases import CLUB, case_in, refit

DAYS = "[schedule]\norder = 2026-01-15\nstart = 2026-03-02\nweeks_down = [3, 4, 6]\n"
HOSTILE = "Radio\\r\\nEND:VEVENT\\r\\nBEGIN:VEVENT\\u000bSUMMARY:x\\u0085ATTACH:y\\u2028;,\\\\ =1+1"
LEDGER = "date,option,item,kind,amount,expires,supplier,reference\n"


def view(case: Case) -> View:
    """Work out one case."""
    [found] = views([case])
    return found


def events(content: bytes) -> list[Event]:
    """Parse a calendar back."""
    return list(Calendar.from_ical(content).walk("VEVENT"))


@pytest.fixture
def loop(club: View) -> View:
    """Return the club demo with the days it keeps in mind."""
    from panelworth.engine.deadlines import deadlines  # noqa: PLC0415

    return replace(
        club, updates=replace(club.updates, deadlines=deadlines(club.case, club.figures))
    )


def test_every_day_becomes_an_event_that_reads_back(loop: View) -> None:
    made = events(calendar_ics(loop))
    assert len(made) == len(loop.updates.deadlines) > 20
    for event, each in zip(made, loop.updates.deadlines, strict=True):
        assert event.decoded("dtstart") == each.first
        assert event.decoded("dtend") == each.last + timedelta(days=1)
        assert str(event["summary"]) == of_option(loop, each)
        assert str(event["summary"]).startswith(heading(loop, each))
        assert str(event["description"]) == " ".join(remarks(loop, each))
        assert event.decoded("dtstamp") == datetime(2026, 11, 1, tzinfo=UTC)


def test_a_calendar_is_whole_days_without_alarms_that_make_nobody_busy(loop: View) -> None:
    """RFC 5545: PRODID and VERSION (3.6), DATE values (3.3.4), TRANSP (3.8.2.7)."""
    calendar = Calendar.from_ical(calendar_ics(loop))
    assert calendar["version"] == "2.0"
    assert calendar["prodid"] == "-//panelworth//calendar//EN"
    assert {each.name for each in calendar.walk()} == {"VCALENDAR", "VEVENT"}
    for event in calendar.walk("VEVENT"):
        assert type(event.decoded("dtstart")) is type(event.decoded("dtend")) is date
        assert event["transp"] == "TRANSPARENT"


def test_lines_end_and_fold_as_the_standard_says(loop: View) -> None:
    """RFC 5545, 3.1: CRLF, at most 75 octets a line."""
    content = calendar_ics(loop)
    lines = content.split(b"\r\n")
    assert lines[-1] == b""
    assert max(map(len, lines)) <= 75
    assert b"\n" not in content.replace(b"\r\n", b"")


def test_identifiers_are_the_same_each_time_and_unlike_within(loop: View) -> None:
    content = calendar_ics(loop)
    assert content == calendar_ics(loop)
    names = [str(event["uid"]) for event in events(content)]
    assert len(set(names)) == len(names)


def test_a_day_that_moves_keeps_its_identifier(tmp_path: Path) -> None:
    uids = []
    for start in ("2026-03-02", "2026-04-06"):
        days = DAYS.replace("2026-03-02", start)
        case = case_in(tmp_path, {"refit": refit("cost = 5", rest=days)})
        made = events(calendar_ics(view(case)))
        uids.append({str(event["uid"]) for event in made})
    assert len(uids[0]) == 2
    assert uids[0] == uids[1]


def test_text_can_begin_no_line_of_its_own(tmp_path: Path) -> None:
    """Files with control characters are refused; what writes a calendar relies on no such thing."""
    (tmp_path / "ledger.csv").write_text(
        LEDGER + "2025-11-01,refit,Item 0,quote,5,2026-02-01,"
        '"Shop\r\nBEGIN:VALARM\rTRIGGER:x","Q\u2028ATTACH:z"\n'
    )
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=DAYS)})
    hostile = case.options["refit"].model_copy(update={"title": json.loads(f'"{HOSTILE}"')})
    content = calendar_ics(view(replace(case, options={**case.options, "refit": hostile})))
    assert content.count(b"BEGIN:VEVENT\r\n") == content.count(b"END:VEVENT\r\n") == 3
    unfolded = content.replace(b"\r\n ", b"").decode()
    for line in re.split(r"[\r\n\x0b\x0c\x1c-\x1e\x85\u2028\u2029]+", unfolded):
        assert re.match(
            r"(BEGIN|END|VERSION|PRODID|CALSCALE|METHOD|X-WR-CALNAME|UID|DTSTAMP|DTSTART|DTEND|"
            r"SUMMARY|DESCRIPTION|TRANSP|SEQUENCE|LAST-MODIFIED)[:;]|$",
            line,
        ), line
    told = [str(event["summary"]) for event in events(content)]
    assert "Order by: Radio END:VEVENT BEGIN:VEVENT SUMMARY:x ATTACH:y ;,\\ =1+1" in told


def test_the_days_are_told_in_whole_sentences(tmp_path: Path) -> None:
    rest = '[[aircraft.recurring]]\nname = "Test"\nevery_months = 24\nlast_done = 2023-03-15\n'
    rest += CLUB
    (tmp_path / "ledger.csv").write_text(
        LEDGER + "2025-11-01,refit,Item 0,quote,15000,2026-01-10,The shop,Q 7\n"
        "2025-11-01,refit,Item 1,quote,5,2025-12-10,,\n"
    )
    paid = '[funding]\nsolve = "dues"\nloan = { amount = 1200, apr = 0, months = 12 }\n'
    option = refit("cost = 15000", "cost = 5", rest=DAYS + paid)
    found = view(case_in(tmp_path, {"refit": option}, rest=rest))
    told = [
        (heading(found, each), " ".join(remarks(found, each))) for each in found.updates.deadlines
    ]
    check = (
        "Check the current rules and the maker's data; intervals follow US 14 CFR parts 43 and 91."
    )
    assert told == [
        ("Overdue: Test", f"It was good through March 31, 2025 and is overdue. {check}"),
        (
            "Quote lapsed: Item 1",
            "The price lapsed on December 10, 2025: ask again before ordering.",
        ),
        (
            "Quote lapses: Item 0",
            (
                "The price from The shop (Q 7) holds through January 10, 2026; ask again after "
                "that. It lapses before the order day of “Refit”, January 15, 2026."
            ),
        ),
        ("Order by: Refit", "Ordered by this day, “Refit” starts on March 2, 2026."),
        (
            "Airplane away: Refit",
            (
                "Likely 4 weeks (3 to 6): back on March 30, 2026. It may be back between "
                "March 23, 2026 and April 13, 2026."
            ),
        ),
        (
            "Tightest month: Refit",
            (
                "The reserve of “Refit” is tightest around this month: by then the raise must have "
                "brought in all that is missing; after that it runs on."
            ),
        ),
        (
            "Last loan payment: Refit",
            "The loan's last payment falls in this month; until then $100.00 a month.",
        ),
    ]
