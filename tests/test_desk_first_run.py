"""The first run: a form makes a scenario of a folder that is missing or empty."""

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser, Page

from browsers import violations
from desk_cases import OpenDesk, Reply, contents
from panelworth import evaluate, read, templates_folder
from panelworth.__main__ import main
from panelworth.publishing.desk.desk import Desk
from panelworth.publishing.desk.first_run import GROUPS, questions
from panelworth.publishing.desk.server import desk_routes, entrance
from panelworth.publishing.site.preview import serving
from panelworth.publishing.site.preview_state import PreviewState

ANSWERS = {
    "question": "Shall we keep the old panel going, or refit it?",
    "label": 'The "blue" four-seater',
    "as_of": "2026-11-28",
    "currency": "usd",
    "units": "us",
    "hours_per_year": "220",
    "hourly_rate": "124",
    "worth_per_hour": "150",
    "fuel_per_hour": "8.8",
    "fuel_price": "6.35",
    "value": "88 000",
    "members": "38",
    "dues_per_month": "72",
    "reserve": "52000",
    "title": "Refit the panel",
    "price": "31000",
    "start": "2027-02-01",
    "weeks_down": "6",
}
OF_ONE = {"hourly_rate": "owner", "worth_per_hour": "club"}  # those who are not asked


@contextmanager
def beginning(folder: Path) -> Iterator[OpenDesk]:
    """Open a desk on a folder that may be missing, and enter it."""
    desk = Desk(lambda: [folder], lambda one: read(one)[1], templates_folder())
    with serving(PreviewState(templates_folder()), 0, desk_routes(desk)) as address:
        found = OpenDesk(desk, address, folder)
        found.enter()
        yield found


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[OpenDesk]:
    """Open a desk on a folder that is not there."""
    with beginning(tmp_path / "ours") as found:
        yield found


def send(desk: OpenDesk, who: str, **changes: str) -> Reply:
    """Send the form of the first run."""
    form = {**desk.get("begin").forms[0], "who": who, **ANSWERS, **changes}
    return desk.post("begin", form)


@pytest.mark.parametrize("empty", [True, False])
def test_a_folder_that_is_missing_or_empty_leads_to_the_form(
    tmp_path: Path, *, empty: bool
) -> None:
    if empty:
        (tmp_path / "ours").mkdir()
        (tmp_path / "ours" / ".hidden").write_text("of another program")
    before = contents(tmp_path)
    with beginning(tmp_path / "ours") as desk:
        assert desk.ask("GET", "/desk/").headers["Location"] == "/desk/ours/"
        assert desk.get().headers["Location"] == "/desk/ours/begin"
        page = desk.get("begin")
        assert page.status == 200
        assert page.values.keys() >= ANSWERS.keys()
        assert {page.values[name] for name in ANSWERS} == {""}  # not even today is taken for given
    assert contents(tmp_path) == before
    assert (tmp_path / "ours").exists() == empty


@pytest.mark.parametrize("who", ["club", "owner"])
def test_the_folder_reads_without_a_problem_and_figures_come_out(
    desk: OpenDesk, who: str, tmp_path: Path
) -> None:
    assert send(desk, who).headers["Location"] == "/desk/ours/?done=begun"
    assert contents(desk.folder).keys() == {
        "scenario.toml",
        "options/keep.toml",
        "options/refit.toml",
    }
    case, problems = read(desk.folder)
    assert problems == []
    assert case is not None
    assert case.placeholders == {}
    aircraft, club = case.scenario.aircraft, case.scenario.club
    assert case.scenario.title == aircraft.label == ANSWERS["label"]
    assert (aircraft.value.likely, aircraft.fuel_per_hour.likely) == (88000, 8.8)
    assert (club is not None) == (who == "club")
    if club is not None:
        assert (club.members, club.dues_per_month.likely, club.reserve) == (38, 72, 52000)
        assert aircraft.hourly_rate.likely == 124
    else:
        assert aircraft.worth_per_hour is not None
        assert aircraft.worth_per_hour.likely == 150
        assert "hourly_rate" not in (desk.folder / "scenario.toml").read_text()
    figures = evaluate(case, trials=100)
    assert figures.options["refit"].likely.outlay == pytest.approx(31000)
    result = CliRunner().invoke(
        main, ["build", str(desk.folder), "--out", str(tmp_path / "site"), "--trials", "100"]
    )
    assert result.exit_code == 0, result.output
    assert (tmp_path / "site" / "option-refit.html").is_file()


@pytest.mark.parametrize("who", ["club", "owner"])
def test_each_question_must_be_answered_and_nothing_is_lost(desk: OpenDesk, who: str) -> None:
    asked = {one.name for one in questions(who)}
    assert asked == {name for name in ANSWERS if OF_ONE.get(name) != who} - (
        {"members", "dues_per_month", "reserve"} if who == "owner" else set()
    )
    for name in asked:
        page = send(desk, who, **{name: " "})
        assert page.status == 422
        assert page.text.count('aria-invalid="true"') == 1
        assert f'id="q-{name}-wrong"' in page.text
        others = {one: text for one, text in ANSWERS.items() if one != name}
        assert {one: page.values[one] for one in others} == others
        assert not desk.folder.exists()


WRONG = [
    ("hours_per_year", "many", "Expected a number"),
    ("value", "88,000", "without a comma"),
    ("value", "-1", "Expected"),
    ("currency", "dollars", "ISO 4217"),
    ("as_of", "today", "a day such as"),
    ("start", "2020-01-01", "Expected"),
    ("weeks_down", "9999", "Expected"),
    ("members", "3.5", "Expected a whole number"),
    ("units", "feet", "Choose one of the two"),
    ("title", "x" * 300, "Expected"),
]


@pytest.mark.parametrize(("name", "text", "expected"), WRONG)
def test_a_wrong_answer_is_shown_at_its_field(
    desk: OpenDesk, name: str, text: str, expected: str
) -> None:
    page = send(desk, "club", **{name: text})
    assert page.status == 422
    assert expected in page.text.partition(f'id="q-{name}-wrong"')[2].partition("</div>")[0]
    assert name == "units" or page.values[name] == text
    assert page.values["question"] == ANSWERS["question"]
    assert not desk.folder.exists()


def test_it_must_be_said_whose_airplane_it_is(desk: OpenDesk) -> None:
    for who in ("", "both"):
        page = send(desk, who)
        assert page.status == 422
        assert 'id="who-wrong"' in page.text


def test_files_that_came_meanwhile_are_not_overwritten(desk: OpenDesk) -> None:
    form = {**desk.get("begin").forms[0], "who": "club", **ANSWERS}
    desk.folder.mkdir()
    (desk.folder / "scenario.toml").write_text("theirs")
    assert desk.post("begin", form).status == 422
    assert contents(desk.folder) == {"scenario.toml": b"theirs"}
    assert desk.get("begin").headers["Location"] == "/desk/ours/"


def test_the_first_run_is_undone(desk: OpenDesk) -> None:
    send(desk, "club")
    page = desk.get()
    token = page.text.partition('action="/desk/ours/undo"')[2].partition('value="')[2]
    reply = desk.post("undo", {"token": token.partition('"')[0], "back": ""})
    assert reply.status == 303
    assert contents(desk.folder) == {}
    assert desk.get().headers["Location"] == "/desk/ours/begin"


def test_the_desk_then_names_what_is_not_there_yet(desk: OpenDesk) -> None:
    send(desk, "club")
    steps = ["Insurance", "Repairs", "A range for the price", "A quote", "equipment.toml"]
    text = desk.get().text.partition('id="steps"')[2].partition("</section>")[0]
    places = [text.find(step) for step in steps]
    assert -1 not in places
    assert places == sorted(places)
    for href in ("scenario/aircraft", "scenario/rates", "options/refit/items/1", "ledger"):
        assert f'href="/desk/ours/{href}' in text
        assert desk.get(href).status == 200
    anchor = text.partition("aircraft#")[2].partition('"')[0]
    assert f'id="{anchor}"' in desk.get("scenario/aircraft").text
    desk.save("scenario/aircraft", {"aircraft.insurance.liability_per_year:likely": "900"})
    quote_row = {"date": "2026-11-20", "option": "refit", "kind": "quote", "amount": "30000"}
    desk.save("ledger", {f"n0.{key}": value for key, value in quote_row.items()})
    text = desk.get().text.partition('id="steps"')[2].partition("</section>")[0]
    assert "Insurance" not in text
    assert "A quote" not in text
    assert "Repairs" in text


def by_keyboard(page: Page, who: str) -> None:
    """Fill in the form with the keyboard alone, and send it."""
    page.focus("#who-club")
    page.keyboard.press("Space" if who == "club" else "ArrowRight")
    for one in questions(who):
        while page.locator(f"[name='{one.name}']:focus").count() == 0:
            page.keyboard.press("Tab")
        text = ANSWERS[one.name]
        if one.kind == "day":
            year, month, day = text.split("-")
            text = f"{month}{day}{year}"
        page.keyboard.type("pounds" if one.kind == "units" else text)
    page.keyboard.press("Enter")


@pytest.mark.parametrize(("script", "width"), [(True, 360), (False, 360), (False, 1280)])
@pytest.mark.parametrize("who", ["club", "owner"])
def test_a_first_run_by_keyboard(
    chromium: Browser, desk: OpenDesk, who: str, width: int, *, script: bool
) -> None:
    context = chromium.new_context(
        java_script_enabled=script, viewport={"width": width, "height": 800}
    )
    page = context.new_page()
    page.goto(entrance(desk.address, desk.desk))
    by_keyboard(page, who)
    page.wait_for_url("**/desk/ours/?done=begun")
    case, problems = read(desk.folder)
    assert problems == []
    assert case is not None
    assert (case.scenario.club is None) == (who == "owner")
    context.close()


@pytest.mark.parametrize("width", [360, 1280])
def test_axe_finds_nothing_and_the_other_s_questions_are_hidden(
    chromium: Browser, desk: OpenDesk, width: int
) -> None:
    context = chromium.new_context(viewport={"width": width, "height": 800})
    page = context.new_page()
    page.goto(entrance(desk.address, desk.desk))
    assert violations(page) == []
    page.check("#who-owner")
    assert page.locator(".only-club:visible").count() == 0
    page.fill("[name=value]", "much")
    page.click("text=Show the first page")
    page.wait_for_selector("#q-value-wrong")
    assert page.input_value("[name=value]") == "much"
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.check("#who-club")
    assert page.locator(".only-owner:visible").count() == 0
    context.close()


def test_serve_offers_it_and_shows_the_first_page_beside_the_desk(
    chromium: Browser, tmp_path: Path
) -> None:
    folder = tmp_path / "our club"
    command = [sys.executable, "-m", "panelworth", "serve", str(folder), "--port", "0"]
    server = subprocess.Popen([*command, "--trials", "100"], stdout=subprocess.PIPE, text=True)
    context = chromium.new_context(viewport={"width": 1600, "height": 900})
    try:
        assert server.stdout is not None
        address = server.stdout.readline().partition(": ")[2].rstrip()
        assert not folder.exists()
        page = context.new_page()
        page.goto(address)
        assert page.url.endswith(f"/desk/{quote(folder.name)}/begin")
        by_keyboard(page, "club")
        page.wait_for_selector("iframe.preview")
        beside = page.frame_locator("iframe.preview")
        beside.locator("h1", has_text=ANSWERS["question"]).wait_for(timeout=60_000)
    finally:
        context.close()
        server.terminate()
        server.communicate()


def test_every_question_has_words_of_its_own() -> None:
    asked = [one for _heading, group in GROUPS for one in group]
    assert {one.name for one in asked} == ANSWERS.keys()
    assert len({one.label for one in asked}) == len(asked)
