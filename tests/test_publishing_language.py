"""Numbers, money and days in the ways of another territory; what Babel has of Unicode's CLDR."""

import json
import re
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from babel.dates import format_date
from babel.numbers import format_currency, format_decimal
from playwright.sync_api import Browser

import panelworth
from panelworth import evaluate, publish, read, templates_folder
from panelworth.model.case import Case
from panelworth.model.value import Quantity
from panelworth.problems import render
from panelworth.publishing.catalogues import catalogue_problems, language_of
from panelworth.publishing.formats import Formats, day, duration, fixed, month, near_day, number
from panelworth.publishing.language import Language, using_language
from panelworth.publishing.site.json_files import figures_json
from panelworth.publishing.view import View
from small_cases import case_in

LOCALES = ["en_US", "en_GB", "en_IE", "en_DE", "en_CH", "en_SE"]


def spoken_in(case: Case, locale: str) -> Case:
    """Return a case with another locale."""
    return replace(case, scenario=case.scenario.model_copy(update={"locale": locale}))


@pytest.mark.parametrize("locale", LOCALES)
def test_money_numbers_and_days_are_written_as_the_territory_writes_them(locale: str) -> None:
    formats = Formats(currency="EUR", units="metric")
    with using_language(Language(locale=locale)):
        assert formats.cents(1234.5) == format_currency(1234.5, "EUR", locale=locale)
        assert number(9876.25) == format_decimal(9876.25, locale=locale)
        assert day(date(2027, 1, 25)) == format_date(date(2027, 1, 25), "long", locale=locale)


def test_english_days_and_months_read_well_in_their_places() -> None:
    as_of = date(2026, 11, 1)
    for locale, near, whole in (
        ("en_US", "October 12", "January 2027"),
        ("en_IE", "12 October", "January 2027"),
    ):
        with using_language(Language(locale=locale)):
            assert near_day(date(2026, 10, 12), as_of) == near
            assert month(as_of, 2) == whole
    with using_language(Language(locale="en_DE")):
        assert fixed(-7.5, 2) == "−7,50"


def test_the_pages_follow_the_locale_and_the_data_does_not(owner: View, tmp_path: Path) -> None:
    case = spoken_in(owner.case, "en_DE")
    assert publish([case], tmp_path / "site", trials=100) == []
    page = (tmp_path / "site" / "index.html").read_text()
    assert '<html lang="en-DE">' in page
    yearly = owner.option("keep").likely.equivalent_annual_cost
    whole = format_currency(yearly, "EUR", "#,##0\xa0¤", locale="en_DE", currency_digits=False)
    assert f"<span>{whole}</span> <small>a year, all costs</small>" in page
    assert "<span>1 November 2026</span>" in page
    made = json.loads((tmp_path / "site" / "figures.json").read_text())
    assert made == json.loads(figures_json(evaluate(owner.case, trials=100)))


def test_the_sliders_write_as_the_page_does(chromium: Browser, owner: View, tmp_path: Path) -> None:
    assert publish([spoken_in(owner.case, "en_DE")], tmp_path / "site", trials=100) == []
    page = chromium.new_page()
    page.goto((tmp_path / "site" / "compare.html").as_uri())
    page.wait_for_selector("#whatif fieldset:enabled")
    cells = page.locator("#whatif [data-figure=sum]")
    before = [each.inner_text() for each in cells.all()]
    slider = page.locator("#whatif input[type=range]").first
    slider.focus()
    page.keyboard.press("ArrowRight")
    assert [each.inner_text() for each in cells.all()] != before
    page.keyboard.press("ArrowLeft")
    assert [each.inner_text() for each in cells.all()] == before
    fuel = page.locator("#whatif-fuel")
    assert "," in fuel.get_attribute("aria-valuetext")
    assert fuel.get_attribute("aria-valuetext").rstrip().endswith("€")
    page.close()


NO_LOCALE = "a locale: a language and a territory, such as en_US or en_IE"
NO_TEXTS = "English, or a language of templates/texts"


@pytest.mark.parametrize(
    ("locale", "told"), [("deutsch", NO_LOCALE), ("de", NO_LOCALE), ("de_DE", NO_TEXTS)]
)
def test_a_locale_that_cannot_be_spoken_is_told(tmp_path: Path, locale: str, told: str) -> None:
    case_in(tmp_path, {})
    file = tmp_path / "scenario.toml"
    text = file.read_text()
    file.write_text(text.replace('currency = "USD"', f'currency = "USD"\nlocale = "{locale}"'))
    case, problems = read(tmp_path)
    assert case is None
    [problem] = [each for each in problems if each.severity == "error"]
    start = f'{file}:5: error: locale: expected {told}, found "{locale}"'
    assert render(problem).partition(";")[0] == start


GERMAN = """
msgid "never"
msgstr "nie"

msgid "year"
msgid_plural "years"
msgstr[0] "Jahr"
msgstr[1] "Jahre"

msgid "{likely} ({low} to {high})"
msgstr "{likely} ({low} bis {high})"
"""


def test_a_translation_is_one_file(tmp_path: Path) -> None:
    (tmp_path / "texts").mkdir()
    (tmp_path / "texts" / "de.po").write_text(GERMAN)
    formats = Formats(currency="EUR", units="metric")
    span = Quantity(low=1.5, likely=2.5, high=1000)
    with using_language(language_of("de_AT", tmp_path)):
        assert [duration(months) for months in (None, 12, 24)] == ["nie", "1 Jahr", "2 Jahre"]
        assert formats.quantity(span, "hours") == "2,5 (1,5 bis 1.000)"
        assert duration(25) == "2 Jahre 1 month"  # what a catalogue leaves out stays English
    with using_language(language_of("en_IE", tmp_path)):
        assert duration(24) == "2 years"


def test_a_scenario_in_a_language_with_a_file_is_published_in_it(
    monkeypatch: pytest.MonkeyPatch, owner: View, tmp_path: Path
) -> None:
    folder = tmp_path / "templates"
    shutil.copytree(templates_folder(), folder)
    (folder / "texts" / "de.po").write_text('msgid "Compare"\nmsgstr "Vergleich"\n' + GERMAN)
    monkeypatch.setattr(panelworth, "templates_folder", lambda: folder)
    assert publish([spoken_in(owner.case, "de_DE")], tmp_path / "site", trials=100) == []
    page = (tmp_path / "site" / "index.html").read_text()
    assert '<html lang="de-DE">' in page
    assert '<a href="compare.html">Vergleich</a>' in page
    assert "1. November 2026" in page
    assert re.search(r"\d Jahre", page)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('msgid "{a} of {b}"\nmsgstr "{b}: {a}"', []),
        ('msgid "{a} of {b}"\nmsgstr "{a} von {c}"', ["{a} von {c}"]),
        ('msgid "{a} of {b}"\nmsgstr "{a} von b"', ["{a} von b"]),
        ('msgid "{a} of {b}"\nmsgstr "{a} von {b"', ["{a} von {b"]),
        ('msgid "{a} of {b}"\nmsgstr "{a:d} von {b}"', ["{a:d} von {b}"]),
        ('msgid "{a} of {b}"\nmsgstr "{a!x} von {b}"', ["{a!x} von {b}"]),
        ('msgid "{a} of {b}"\nmsgstr "{a.x} von {b}"', ["{a.x} von {b}"]),
        ('msgid "{a} of {b}"\nmsgstr "{0} von {b}"', ["{0} von {b}"]),
        ('msgid "{a} of {b"\nmsgstr "{a} von {b}"', []),  # no text of the site: never asked for
        ('#, fuzzy\nmsgid "{a} of {b}"\nmsgstr "{a}"', []),
        ('#: templates/a.html\nmsgid "all"\nmsgstr "100%"', ["100%"]),
        ('#: templates/a.html\nmsgid "all"\nmsgstr "100 %%"', []),
        ('#: src/a.py\nmsgid "all"\nmsgstr "100%"', []),
        (
            'msgid "{n} day"\nmsgid_plural "{n} days"\nmsgstr[0] "ein Tag"\nmsgstr[1] "{x} Tage"',
            ["{x} Tage"],
        ),
    ],
)
def test_a_translation_that_could_not_be_filled_in_is_told(
    tmp_path: Path, text: str, told: list[str]
) -> None:
    (tmp_path / "texts").mkdir()
    (tmp_path / "texts" / "de.po").write_text(f"{text}\n")
    problems = catalogue_problems(tmp_path / "texts" / "de.po", "de_DE")
    assert [problem.found for problem in problems] == [f'"{each}"' for each in told]
    assert all(problem.line and problem.file.endswith("de.po") for problem in problems)


def test_a_catalogue_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "texts").mkdir()
    (tmp_path / "texts" / "de.po").write_text('msgid "a"\nmsgstr "b\nrubbish')
    [problem] = catalogue_problems(tmp_path / "texts" / "de.po", "de_DE")
    assert problem.expected == "a gettext file"


def test_a_catalogue_with_more_plural_forms_than_any_language_is_told_at_once(
    tmp_path: Path,
) -> None:
    """Six at most: the plural categories of Unicode's CLDR (zero, one, two, few, many, other)."""
    (tmp_path / "texts").mkdir()
    head = 'msgid ""\nmsgstr ""\n"Plural-Forms: nplurals={forms}; plural=(n != 1);\\n"\n\n'
    texts = "".join(
        f'msgid "{n} day"\nmsgid_plural "{n} days"\nmsgstr[0] ""\nmsgstr[1] ""\n\n'
        for n in range(300)
    )
    for forms, told in ((2, []), (6, []), (7, ["nplurals=7"]), (99_999_999, ["nplurals=99999999"])):
        file = tmp_path / "texts" / "de.po"
        file.write_text(head.replace("{forms}", str(forms)) + texts)
        assert [problem.found for problem in catalogue_problems(file, "de_DE")] == told
