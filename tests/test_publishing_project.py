"""The pages after the vote: the project under way, the closing report, offers, mail, calendar."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from icalendar import Calendar
from playwright.sync_api import Browser

from panelworth import publish, views
from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.publishing.pages.project import project_pages
from panelworth.publishing.pages.quotes import quotes_page
from panelworth.publishing.site.calendar_file import calendar_ics
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.terminal.brief import brief, progress_brief
from panelworth.publishing.view import View
from seen import seen_of
from test_engine_close_out import SURPRISE
from test_engine_offers import BOTH, ledger_case
from test_engine_project_status import QUOTE, voted_case

UNDER_WAY = (
    QUOTE,
    "2026-02-03,refit,Display,change,150,,,A,C 1,no,",
    "2026-02-05,refit,Display,payment,500,,,A,P 1,yes,",
    "2026-03-20,refit,Work,invoice,700,,,A,I 9,no,",
)
STATED = "status = 2026-03-16\nreserve = 12000"
STARTED = "ordered = 2026-02-02\nstarted = 2026-03-09"
FINISHED = "started = 2026-03-02\nfinished = 2026-04-20"
FINAL = (
    "2026-04-10,refit,Display,invoice,1040,,,A,I 1,no,yes",
    "2026-04-10,refit,Work,invoice,950,,,A,I 2,no,yes",
)


def viewed(case: Case) -> View:
    """Return the view of a case."""
    [view] = views([case])
    return view


@pytest.fixture
def under_way(tmp_path: Path) -> View:
    """Return a project under way, a week late."""
    return viewed(voted_case(tmp_path, *UNDER_WAY, happened=STARTED, more=STATED))


@pytest.fixture
def finished(tmp_path: Path) -> View:
    """Return a project that is finished and billed."""
    case = voted_case(tmp_path, *FINAL, happened=FINISHED, more="status = 2026-04-30")
    return viewed(case)


def test_the_page_tells_cost_finish_and_cash_against_what_was_voted(under_way: View) -> None:
    [page] = project_pages(under_way)
    cost, finish, cash = page.content["heads"]
    # 1200·1.1 + 500, against the 1700 that were granted
    assert cost[1].startswith("It likely comes to $1,820, $120 over the budget of $1,700.")
    # Display by its quote and the change, 1200·1.1; its invoice is dated after that day
    assert "$1,320 is committed, $0 of it is invoiced. $500 is paid" in cost[1]
    assert "$500 is paid, $1,320 is still to pay." in cost[1]
    assert finish[1].startswith(
        "It is likely back on April 6, 2026. That is 1 week later than planned. In 16 of 20 futures"
    )
    assert cash[1].startswith("The reserve is likely lowest in April 2026, at $10,")
    assert page.content["lead"] == [
        "The members chose Refit on January 20, 2026.",
        "So far: ordered on February 2 and started on March 9.",
    ]


def test_an_item_names_the_row_that_moved_it(under_way: View) -> None:
    [page] = project_pages(under_way)
    assert page.content["moved"] == [
        ["Display", "$1,320", "+$165", "change C 1 by A, February 3", "$1,155", "$500"],
        ["Work", "$500", "—", "estimated", "$500", "—"],
    ]
    assert page.content["announced"] == (
        "1 row of the ledger is dated after that day and counts in nothing yet."
    )


def test_the_other_pages_say_that_they_stay_as_voted(under_way: View, tmp_path: Path) -> None:
    assert publish([under_way.case], tmp_path / "site") == []
    texts = {path.name: path.read_text("utf-8") for path in (tmp_path / "site").glob("*.html")}
    said = "The members chose Refit on January 20, 2026. This page stays as it was then."
    silent = {name for name, text in texts.items() if said not in text}
    assert silent == {"project.html", "dates.html"}
    assert "handout.html" not in texts
    assert "Decide by" not in texts["index.html"]
    assert "Decide by" not in texts["dates.html"]
    follow = "The days on this page follow the project; all else is as it was then."
    assert f'{follow} <a href="project.html">' in texts["dates.html"]
    # The change, the payment and the invoice came after the vote
    assert "When it was decided, the ledger had 1 row" in texts["ledger.html"]
    assert "Nothing was paid by then." in texts["ledger.html"]


def test_the_option_shows_what_was_granted_and_not_what_to_grant(under_way: View) -> None:
    pages = {page.file: page for page in pages_of(under_way)}
    figures = {
        each.label: list(each.values) for each in pages["option-refit.html"].content["figures"]
    }
    assert figures["Granted"] == ["$1,700"]
    assert not any("To grant" in label for label in figures)


def test_the_calendar_follows_what_happened(under_way: View) -> None:
    calendar = Calendar.from_ical(calendar_ics(under_way))
    events = {str(event["summary"]): event for event in calendar.walk("VEVENT")}
    away = events["Airplane away: Refit"]
    assert (away["dtstart"].dt, away["dtend"].dt) == (date(2026, 3, 9), date(2026, 4, 6))
    assert not any("Order by" in summary for summary in events)
    # Days from 2020-01-01 to the newest of as_of, the ledger's rows and the status date
    assert away["sequence"] == (date(2026, 3, 20) - date(2020, 1, 1)).days


EXPIRING = "date,option,item,kind,amount,low,high,supplier,reference,tax_included,expires,final\n"
QUOTES = (
    "2026-01-10,refit,Display,quote,1050,,,A,Q 1,no,2026-02-28,",
    "2026-03-10,refit,Work,quote,600,,,A,Q 2,no,2026-03-31,",
)


@pytest.mark.parametrize(
    ("happened", "lapsing"),
    [
        ("", {"Quote lapsed: Display", "Quote lapses: Work"}),
        ("ordered = 2026-02-02", {"Quote lapses: Work"}),
        ("started = 2026-03-09", {"Quote lapses: Work"}),  # ordered as planned
    ],
)
def test_a_quote_that_was_ordered_lapses_no_more(
    tmp_path: Path, happened: str, lapsing: set[str]
) -> None:
    case = voted_case(tmp_path, *QUOTES, happened=happened, more=STATED, head=EXPIRING)
    calendar = Calendar.from_ical(calendar_ics(viewed(case)))
    summaries = {str(event["summary"]) for event in calendar.walk("VEVENT")}
    assert {summary for summary in summaries if "lapse" in summary} == lapsing


def test_the_mail_tells_the_same(under_way: View) -> None:
    text = progress_brief(under_way)
    assert "Display: $1,320, +$165 (change C 1 by A, February 3)" in text
    assert "WHEN IT IS BACK" in text
    assert max(map(len, text.splitlines())) <= 72


@pytest.mark.parametrize(
    ("happened", "rests_on"),
    [(STARTED, "in case it turns up"), (FINISHED, "did not turn up")],
)
def test_a_surprise_that_has_not_come_is_no_estimate(
    tmp_path: Path, happened: str, rests_on: str
) -> None:
    more = "status = 2026-04-30"
    view = viewed(voted_case(tmp_path, happened=happened, more=more, funding=SURPRISE))
    rows = {row[0]: row for row in project_pages(view)[0].content["moved"]}
    assert rows["Bad wiring"][3] == rests_on
    assert rows["Work"][3] == "estimated"


def test_the_page_names_what_the_closing_report_waits_for(tmp_path: Path) -> None:
    case = voted_case(tmp_path, FINAL[0], happened=FINISHED, more="status = 2026-04-30")
    [page] = project_pages(viewed(case))
    waits_for = "The closing report waits for final invoices: Work."
    assert page.content["waits_for"] == waits_for
    assert waits_for in progress_brief(viewed(case))
    assert page.content["closing"] == ""


def test_with_every_price_final_the_page_says_what_it_came_to(finished: View) -> None:
    page, _ = project_pages(finished)
    cost, *_ = page.content["heads"]
    assert page.content["lead"][1] == "It was started on March 2 and finished on April 20."
    assert cost[1].startswith("It came to $2,094, $394 over the budget of $1,700.")
    assert page.content["waits_for"] == ""


def test_a_single_price_that_rose_is_named_in_the_closing_report(tmp_path: Path) -> None:
    final = (FINAL[0].replace("1040", "1090"), FINAL[1].replace("950", "600"))
    case = voted_case(tmp_path, QUOTE, *final, happened=FINISHED, more="status = 2026-04-30")
    _, page = project_pages(viewed(case))
    # 1090·1.1, against the quote of 1050·1.1 that was a certain number; Work stays in its range
    assert dict(page.content["heads"])["What to ask next time"] == (
        "State a range for Display ($1,199): dearer than the one price stated."
    )


def test_the_mail_of_the_comparison_says_that_it_stays_as_voted(under_way: View) -> None:
    lines = brief(under_way).replace("\n", " ")
    assert (
        "The members chose Refit on January 20, 2026. What follows stays as it was then."
    ) in lines
    assert "DECIDE BY" not in lines


def test_the_closing_report_names_what_turned_up(tmp_path: Path) -> None:
    billed = "2026-04-12,refit,Bad wiring,invoice,320,,,A,I 3,no,yes"
    final = (*FINAL, billed)
    more = "status = 2026-04-30"
    case = voted_case(tmp_path, *final, happened=FINISHED, more=more, funding=SURPRISE)
    _, page = project_pages(viewed(case))
    heads = dict(page.content["heads"])
    assert heads["What to ask next time"].endswith(" Turned up during the work: Bad wiring ($320).")


def test_the_closing_report_names_what_to_ask_next_time(finished: View) -> None:
    _, page = project_pages(finished)
    heads = dict(page.content["heads"])
    # 1040·1.1 + 950, against 1000·1.1 + 500 when it was decided
    assert heads["What it cost"] == (
        "It came to $2,094; when it was decided, $1,600 was likely. "
        "That is $394 over the budget of $1,700."
    )
    assert heads["Which prices held"].startswith(
        "Of 2 prices with a range, 1 price came out within the middle of it."
    )
    assert heads["How long it took"] == ("The airplane was away for 7 weeks; 2 to 8 were planned.")
    assert heads["What to ask next time"].startswith("Ask earlier about Work ($950)")
    assert heads["What members did themselves"] == "20 hours of unpaid work."


def test_a_finished_project_is_told_in_the_past(finished: View) -> None:
    page, _ = project_pages(finished)
    [finish] = [text for head, text in page.content["heads"] if head == "When it is back"]
    assert finish == "It was back on April 20, 2026. That is 3 weeks later than planned."


def test_offers_stand_side_by_side_and_the_mix_is_named(tmp_path: Path) -> None:
    rows = (*BOTH[:3], "2025-10-03,refit,Work,quote,700,A,2025-12-01,no")
    page = quotes_page(viewed(ledger_case(tmp_path, *rows)))
    assert page is not None
    [offer] = page.content["offers"]
    assert offer["head"] == ["Item", "A", "B"]
    assert offer["rows"][:2] == [
        ["Display", "$990", "$1,045"],
        ["Work", "$700, lapsed", "not offered"],
    ]
    cells = [row["cells"] for row in offer["rows"][2:]]
    assert cells == [
        ["Total", "$1,690", "$1,045"],
        ["Items that all quoted", "$990", "$1,045"],
        ["First price lapses", "December 1, 2025", "—"],
    ]
    assert offer["counted"] == (
        "$1,745 counts for Refit, mixed from A and B: nobody offered this mix. "
        "From A: Work. From B: Display."
    )


@pytest.mark.parametrize("name", ["project.html", "closing.html"])
def test_the_pages_are_for_everybody_on_any_width(
    chromium: Browser, finished: View, tmp_path: Path, name: str
) -> None:
    assert publish([finished.case], tmp_path / "site") == []
    seen = seen_of(chromium, tmp_path / "site" / name, thorough=False)
    assert seen.said == []
    assert {key: bad for key, bad in seen.violations.items() if bad} == {}
    assert {key: by for key, by in seen.sideways.items() if by > 0} == {}
    assert seen.small == []
    assert seen.words < 350


def test_what_moved_across_the_vote_is_nothing_that_was_not_voted_on(tmp_path: Path) -> None:
    """Published before the vote, and again with a decision and rows that came after it."""
    before = voted_case(tmp_path / "small", QUOTE)
    undecided = before.scenario.model_copy(update={"decision": None})
    site = tmp_path / "site"
    assert publish([settled(replace(before.written, scenario=undecided))], site) == []
    after = voted_case(tmp_path / "small", *UNDER_WAY, happened=STARTED, more=STATED)
    [view] = views([after], site=site)
    attribution = view.updates.attribution
    assert attribution is not None
    assert "Decision" in {change.label for step in attribution.steps for change in step.changes}
    effects = [
        effect
        for step in (*(step.effects for step in attribution.steps), attribution.interaction)
        for option in step.values()
        for effect in option.values()
    ]
    assert effects
    assert {effect or 0.0 for effect in effects} == {0.0}
