"""What a reader types, moves or puts into an address: figures, controls and address agree."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from panelworth.publishing.formats import Formats, number, plain
from panelworth.publishing.language import Language, using_language
from panelworth.publishing.view import View
from panelworth.publishing.words.rounding import rounded_sum
from test_browser_bill import FIELD, SLIDER, bills_by_engine, cell

STATE = """() => ({
  set: [...document.querySelectorAll("form input")].map((e) => e.value),
  told: [...document.querySelectorAll("form output, [role=status]")].map((e) => e.textContent),
  figures: [...document.querySelectorAll("form [data-figure]")].map(
    (e) => e.getAttribute("transform") ?? e.textContent),
})"""
MOVE = """([id, values]) => values.forEach((value) => {
  const slider = document.getElementById(id);
  slider.value = value;
  slider.dispatchEvent(new Event("input", { bubbles: true }));
})"""
COUNT = """() => {
  const own = history.replaceState;
  window.count = 0;
  history.replaceState = (...all) => {
    window.count += 1;
    own.apply(history, all);
  };
}"""
NUMBER = "This is not a number. Write it in digits, such as 33.5."
RANGE = "Write a number of hours from 0 to 8,760."
UNCLEAR = "This can be read in two ways. Write it without a mark between thousands."
LOCALES = ["en_US", "en_IE", "en_DE", "en_CH", "en_SE", "en_IN", "de_DE", "de_AT", "de_CH"]
LOCALES += ["fr_FR", "es_ES", "pl_PL", "pt_BR", "ar_EG", "fa_IR", "hi_IN"]


@pytest.fixture(scope="module")
def home(club_site: Path) -> str:
    """Return the address of the club's pages."""
    return club_site.as_uri()


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    """Open a page that may not say a word."""
    made = chromium.new_context().new_page()
    said: list[str] = []
    made.on("console", lambda message: said.append(message.text))
    made.on("pageerror", lambda error: said.append(str(error)))
    yield made
    made.context.close()
    assert said == []


def go(page: Page, address: str) -> None:
    """Open a page, and wait until its controls can be used."""
    page.goto(address)
    page.wait_for_function("() => document.querySelector('fieldset:disabled') === null")


def comes_to(page: Page, address: str) -> None:
    """Wait until the address says so: of many changes one after another it tells the last."""
    page.wait_for_function("(hash) => location.hash === hash", arg=address)


TYPED = [
    *(("33,5", 33.5, "#hours=33.5"), ("33.5", 33.5, "#hours=33.5")),
    *((" 14,25 ", 14.25, "#hours=14.25"), (".5", 0.5, "#hours=0.5"), ("0,5", 0.5, "#hours=0.5")),
    *(("12,", 12, "#hours=12"), ("+12.", 12, "#hours=12"), ("-0", 0, "#hours=0")),
    *(("−0,0", 0, "#hours=0"), ("007.50", 7.5, "#hours=7.5"), ("014", 14, "")),
    *(("14.00000000000000000001", 14, ""), ("1.000", 1, "#hours=1")),
    *(("0,125", 0.125, "#hours=0.125"), ("1000", 1000, "#hours=1000")),
    *(("8760,0", 8760, "#hours=8760"), ("0.0000001", 0, "#hours=0")),
    ("1234,5", 1234.5, "#hours=1234.5"),
]


def test_hours_are_told_one_way_however_they_are_typed(page: Page, home: str, club: View) -> None:
    go(page, f"{home}/bill.html")
    slider, bills_of = page.get_by_label(SLIDER), bills_by_engine(club)
    for typed, hours, address in TYPED:
        page.get_by_label(FIELD, exact=True).fill(typed)
        told = f"{hours:,g} hour{'' if hours == 1 else 's'} a year"
        assert page.inner_text("#bill-status").startswith(f"At {told} "), typed
        assert slider.get_attribute("aria-valuetext") == told, typed
        comes_to(page, address)
        bills = bills_of(hours)
        for option_id, bill in bills.items():
            total = rounded_sum(bills["keep"], bill).total
            assert cell(page, option_id, "total") == club.formats.money(total), typed


WRONG = {
    NUMBER: (
        *("abc", "1e3", "0x10", "Infinity", "NaN", "--5", ".", ",", "-"),
        *("1.2.3", "1,234.5", "1,234,567", "1 000", "33h", "33,5,", "٣٣"),
    ),
    RANGE: ("", "  ", "9000", "8760,5", "-1", "−4", "-0,5", "9" * 400),
    UNCLEAR: ("1,000", "8,760", "12,500", "-1,000"),
}


@pytest.mark.parametrize("told", WRONG)
def test_what_is_no_number_of_hours_is_said_in_the_status_and_no_figure_stays(
    page: Page, home: str, told: str
) -> None:
    go(page, f"{home}/bill.html#hours=20")
    field, status = page.get_by_label(FIELD, exact=True), page.locator("#bill-status")
    before = status.inner_text()
    assert before.startswith("At 20 hours a year ")
    for typed in WRONG[told]:
        field.fill(typed)
        assert status.inner_text() == told, typed
        assert field.get_attribute("aria-describedby") == status.get_attribute("id")
        assert field.get_attribute("aria-invalid") == "true", typed
        assert (cell(page, "full", "total"), cell(page, "full", "more")) == ("—", ""), typed
        assert page.get_by_label(SLIDER).get_attribute("aria-valuetext") == "—", typed
        comes_to(page, "")
        field.fill("20")
        assert (status.inner_text(), field.get_attribute("aria-invalid")) == (before, "false")
        comes_to(page, "#hours=20")


VALUES = [0, 0.5, 1, 1.125, 7.25, 33.5, 100, 999.999, 1000, 1234, 1234.5, 8760, 123456, 0.000001]


def test_a_number_is_read_as_it_is_written_or_asked_about(page: Page, home: str) -> None:
    """As the page writes it with marks between thousands it may be refused, but not be another."""
    go(page, f"{home}/bill.html")
    for locale in LOCALES:
        with using_language(Language(locale=locale)):
            writing = Formats(currency="EUR", units="metric").writing
            typed, shown = [plain(value) for value in VALUES], [number(value) for value in VALUES]
        found = page.evaluate(
            """([writing, values, typed, shown]) => {
              const { plain, read } = window.panelworthFormats(writing);
              return [values.map(plain), typed.map(read), shown.map(read)];
            }""",
            [writing, VALUES, typed, shown],
        )
        assert found[0] == typed, locale
        assert found[1] == [{"value": value} for value in VALUES], locale
        for value, answer in zip(VALUES, found[2], strict=True):
            right = ({"value": round(value, 2)}, {"wrong": "number"}, {"wrong": "unclear"})
            assert answer in right, locale


GARBAGE = [
    *(
        "#garbage",
        "#=",
        "#hours",
        "#%E0%A4%A",
        "#hours=",
        "#hours=%20",
        "#hours=NaN",
        "#hours=33,5",
    ),
    *("#hours=Infinity", "#hours=1e999", "#hours=<b>", "#hours=" + "z" * 9999, "#x=1"),
    *(
        "#overrun=NaN",
        "#overrun=",
        "#fuel=-Infinity",
        "#joined=abc",
        "#overrun=1e",
        "#constructor=1",
    ),
]
BEYOND = ["#hours=-4", "#hours=9000", "#hours=1e300"]  # a slider would stand at its end


@pytest.mark.parametrize("name", ["bill.html", "compare.html"])
def test_an_address_that_makes_no_sense_changes_nothing(page: Page, home: str, name: str) -> None:
    go(page, f"{home}/{name}")
    first = page.evaluate(STATE)
    for garbage in GARBAGE if name == "compare.html" else [*GARBAGE, *BEYOND]:
        page.goto("about:blank")
        go(page, f"{home}/{name}{garbage}")
        assert page.evaluate(STATE) == first, garbage


@pytest.mark.parametrize(
    ("address", "slider", "value"),
    [
        *(("#overrun=99999", "overrun", "max"), ("#overrun=-99999", "overrun", "min")),
        *(("#overrun=1e300", "overrun", "max"), ("#overrun=12.3456789", "overrun", "10")),
        ("#fuel=" + "9" * 300, "fuel", "max"),
    ],
)
def test_a_slider_cannot_be_put_beyond_its_ends(
    page: Page, home: str, address: str, slider: str, value: str
) -> None:
    go(page, f"{home}/compare.html{address}")
    found = page.locator(f"#whatif-{slider}")
    expected = found.get_attribute(value) if value in ("min", "max") else value
    assert found.input_value() == expected
    assert page.evaluate("() => location.hash") == f"#{slider}={expected}"


def test_however_often_a_slider_moves_the_address_follows_and_back_stays_one_step(
    page: Page, home: str
) -> None:
    """Chromium lets a page write its address 200 times in 10 seconds, WebKit 100 in 30."""
    go(page, f"{home}/index.html")
    go(page, f"{home}/compare.html?x=1")
    entries = page.evaluate("() => history.length")
    page.evaluate(COUNT)
    page.evaluate(MOVE, ["whatif-overrun", [str(number % 40) for number in range(0, 2000, 5)]])
    page.evaluate(MOVE, ["whatif-overrun", ["20"]])
    page.wait_for_function("() => location.hash === '#overrun=20'")
    assert page.evaluate("() => window.count") < 20
    page.get_by_role("button", name="Back to plan").click()
    page.wait_for_function("() => location.hash === '' && location.search === '?x=1'")
    assert page.evaluate("() => history.length") == entries
    page.go_back()
    assert page.url.endswith("index.html")


def test_a_move_just_before_the_page_is_left_is_there_after_back(page: Page, home: str) -> None:
    go(page, f"{home}/compare.html")
    page.evaluate(
        MOVE, ["whatif-overrun", [str(number % 40) for number in range(0, 200, 5)] + ["20"]]
    )
    go(page, f"{home}/index.html")
    page.go_back()
    page.wait_for_function(
        "() => document.getElementById('whatif-status').innerText.includes('+20%')"
    )
    assert page.locator("#whatif-overrun").input_value() == "20"
    assert page.url.endswith("#overrun=20")
