"""calendar.ics from edition to edition: RFC 5545 on what a calendar takes over, and what it keeps.

Sections from memory of the standard's text: 3.8.4.7 UID, 3.8.7.2 DTSTAMP, 3.8.7.3 LAST-MODIFIED,
3.8.7.4 SEQUENCE, 3.1 content lines, 3.3.5 form 2 (UTC ends in Z).
"""

import re
from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import pairwise
from pathlib import Path

import pytest
from icalendar import Calendar, Event

from panelworth import views
from panelworth.publishing.site.calendar_file import calendar_ics
from panelworth.publishing.view import View
from small_cases import case_in, refit

HEAD = "date,option,item,kind,amount,expires,supplier,reference\n"
DAYS = "[schedule]\norder = 2026-03-15\nstart = 2026-05-04\nweeks_down = [3, 4, 6]\n"
RECURRING = '[[aircraft.recurring]]\nname = "Test"\nevery_months = 24\nlast_done = 2025-03-15\n'


def seen_from(folder: Path, ledger: str, days: str = DAYS, as_of: str = "2026-01-01") -> View:
    """Work out a refit with this ledger and these days, stated for a day."""
    place = folder / "club"
    place.mkdir(parents=True, exist_ok=True)
    (place / "ledger.csv").write_text(HEAD + ledger)
    case = case_in(place, {"refit": refit("cost = 5", "cost = 5", rest=days)}, rest=RECURRING)
    [found] = views([case], trials=100)
    scenario = case.scenario.model_copy(update={"as_of": date.fromisoformat(as_of)})
    return replace(found, case=replace(found.case, scenario=scenario))


def events(content: bytes) -> dict[str, Event]:
    """Parse a calendar back: its events by UID."""
    made = Calendar.from_ical(content).walk("VEVENT")
    assert len({str(event["uid"]) for event in made}) == len(made)  # 3.8.4.7: globally unique
    return {str(event["uid"]): event for event in made}


QUOTE = "2025-11-01,refit,Item 0,quote,7,2026-02-01,The shop,Q 1\n"
LATER = "2025-12-20,refit,Item 0,change,1,2026-03-01,The shop,Q 1\n"


def test_an_event_that_moves_keeps_its_uid_and_gets_a_higher_sequence(tmp_path: Path) -> None:
    moved = DAYS.replace("2026-05-04", "2026-06-01").replace("2026-03-15", "2026-04-15")
    editions = [
        seen_from(tmp_path / "a", QUOTE, as_of="2025-12-01"),
        seen_from(tmp_path / "b", QUOTE, moved, as_of="2025-12-09"),
        seen_from(tmp_path / "c", QUOTE + LATER, DAYS, as_of="2025-12-09"),  # a newer row
    ]
    for before, after in pairwise([events(calendar_ics(view)) for view in editions]):
        kept = before.keys() & after.keys()
        assert len(kept) == len(before)
        days = [(before[uid].decoded("dtstart"), after[uid].decoded("dtstart")) for uid in kept]
        assert sum(then != now for then, now in days) >= 2
        for uid in kept:
            assert after[uid]["sequence"] > before[uid]["sequence"]
            assert after[uid].decoded("dtstamp") > before[uid].decoded("dtstamp")


@pytest.mark.parametrize(
    ("as_of", "row", "newest"),
    [
        ("2026-01-01", "2025-11-01", "2026-01-01"),
        ("2026-01-01", "2026-02-11", "2026-02-11"),
        ("2019-05-05", "2019-01-01", "2019-05-05"),
    ],
)
def test_the_sequence_counts_days_to_the_newest_of_as_of_and_the_ledger(
    tmp_path: Path, as_of: str, row: str, newest: str
) -> None:
    """Days from 2020-01-01, never below 0; DTSTAMP and LAST-MODIFIED are that day, in UTC."""
    content = calendar_ics(seen_from(tmp_path, QUOTE.replace("2025-11-01", row), as_of=as_of))
    day = date.fromisoformat(newest)
    for event in events(content).values():
        assert event["sequence"] == max(0, (day - date(2020, 1, 1)).days)
        for stamp in ("dtstamp", "last-modified"):
            assert event.decoded(stamp) == datetime(day.year, day.month, day.day, tzinfo=UTC)
    stamps = re.findall(rb"(?:DTSTAMP|LAST-MODIFIED)[:;].*", content)
    assert stamps
    assert all(re.fullmatch(rb"[A-Z-]+:\d{8}T\d{6}Z\r?", each) for each in stamps)


def test_nothing_moves_nothing_counts_up(tmp_path: Path) -> None:
    assert calendar_ics(seen_from(tmp_path, QUOTE)) == calendar_ics(seen_from(tmp_path, QUOTE))


TWINS = [
    ("2025-11-02,refit,Item 0,change,1,2026-02-01,The shop,Q 1\n", "change Q 1 of"),
    ("2025-11-01,refit,Item 0,change,1,2026-02-01,,\n", "change of"),
]


@pytest.mark.parametrize(("twin", "named"), TWINS)
def test_two_lapses_of_one_item_on_one_day_are_told_apart(
    tmp_path: Path, twin: str, named: str
) -> None:
    view = seen_from(tmp_path, QUOTE + twin)
    made = events(calendar_ics(view)).values()
    told = [str(event["summary"]) for event in made if "Item 0" in event["summary"]]
    assert len(set(told)) == 2
    assert [each for each in told if f"({named}" in each and each.endswith("line 3)")]


def test_papers_that_read_alike_to_the_letter_are_still_two(tmp_path: Path) -> None:
    row = "2025-11-02,refit,Item 0,change,1,2026-02-01,,\n"
    made = events(calendar_ics(seen_from(tmp_path, QUOTE + row + row)))
    told = {str(event["summary"]) for event in made.values() if "Item 0" in event["summary"]}
    assert len(told) == 3


def test_one_paper_that_goes_leaves_the_other_s_event_alone(tmp_path: Path) -> None:
    change = TWINS[0][0]
    both = events(calendar_ics(seen_from(tmp_path / "a", QUOTE + change)))
    one = events(calendar_ics(seen_from(tmp_path / "b", QUOTE)))
    assert one.keys() < both.keys()
    assert all(str(one[uid]["dtstart"]) == str(both[uid]["dtstart"]) for uid in one)


def test_what_hangs_on_the_option_names_it_where_two_options_have_the_same(club: View) -> None:
    [view] = views([club.case], trials=100)
    told = [str(event["summary"]) for event in events(calendar_ics(view)).values()]
    assert len(told) == len(set(told))
    assert "Due: Static system and transponder test, “Refit part of it near home”" in told


def test_lines_fold_at_75_octets_and_only_between_letters(tmp_path: Path) -> None:
    """3.1: folded lines are at most 75 octets; here with letters of two and three octets."""
    name = "Anzeige für Höhe, Kurs und „Lage“ – " * 4
    ledger = f'2025-11-01,refit,Item 0,quote,7,2026-02-01,"{name}",Q 1\n'
    content = calendar_ics(seen_from(tmp_path, ledger))
    lines = content.split(b"\r\n")
    assert max(map(len, lines)) <= 75
    assert all(line.decode() is not None for line in lines)  # no letter is cut in two
    unfolded = content.replace(b"\r\n ", b"").decode()
    assert name.strip().replace(",", "\\,") in unfolded
