"""The airplane's pages: which there are, what each one has, and what other pages tell of them."""

from pathlib import Path
from typing import get_args

import pytest

from airplane_views import page_of, text_of, view_in, worked_out
from panelworth import read
from panelworth.engine import flight_rules
from panelworth.engine.results_airplane import Verdict
from panelworth.engine.results_start import Why
from panelworth.model.equipment import PHASES
from panelworth.publishing.airplane import names, power_words, when_words
from panelworth.publishing.airplane.overview import airplane_pages
from panelworth.publishing.caution_lines import MAINTENANCE
from panelworth.publishing.layout import pages_of
from panelworth.publishing.reference_pages import inputs_page, method_page
from panelworth.publishing.view import View
from small_cases import refit

CASES = Path(__file__).parent / "cases"
FILES = [
    "airplane.html", "when.html", "weight.html", "power.html", "failures.html", "needs.html",
    "open.html", "inspections.html",
]  # fmt: skip


def test_every_name_that_pages_share_with_the_engine_can_be_said() -> None:
    by_rule = [*flight_rules.ALWAYS.values(), *flight_rules.IF_LISTED.values()]
    assert tuple(flight_rules.ALWAYS) == names.RULES
    assert names.PHASES == PHASES
    assert {name for functions in by_rule for name in functions} <= names.SHARED
    assert set(get_args(Why)) == set(when_words.REFUSALS)
    assert set(get_args(Verdict)) == set(power_words.VERDICTS)


def test_pages_are_there_where_the_files_are(club: View, owner: View) -> None:
    assert [page.file for page in airplane_pages(club)] == FILES
    assert [page.file for page in airplane_pages(owner)] == FILES
    assert [page.nav for page in airplane_pages(club)] == ["Airplane"] + 7 * [""]


def test_a_folder_without_any_of_the_files_has_no_such_page(tmp_path: Path) -> None:
    assert airplane_pages(view_in(tmp_path, {"refit": refit()})) == []


def test_a_schedule_alone_gives_the_page_on_when(tmp_path: Path) -> None:
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = 2\n"
    view = view_in(tmp_path, {"refit": refit(rest=schedule)})
    assert [page.file for page in airplane_pages(view)] == ["airplane.html", "when.html"]
    chart = page_of(view, "when.html").content["charts"][1]
    assert chart.title == "How long it is away"


@pytest.mark.parametrize("folder", ["folder", "rich"])
def test_every_page_of_other_folders_can_be_laid_out(folder: str) -> None:
    case, problems = read(CASES / folder)
    assert case is not None, problems
    view = worked_out(case)
    for page in airplane_pages(view):
        assert text_of(view, page.file)


def test_every_page_starts_with_a_sentence_and_ends_with_who_decides(club: View) -> None:
    for page in airplane_pages(club):
        answer = page.content["answer"]
        assert answer.lead[0].endswith(".")
        assert set(MAINTENANCE) <= set(answer.cautions)
        assert page.file == "airplane.html" or (answer.how and answer.charts)


def test_no_two_charts_of_a_scenario_share_a_file(club: View) -> None:
    """One picture may stand on two pages, but two pictures never under one name."""
    drawn: dict[str, set[str]] = {}
    for page in pages_of(club):
        for chart in page.content.get("charts", ()):
            drawn.setdefault(chart.id, set()).add(chart.script_text)
    assert len(drawn) > 20
    assert {name for name, specs in drawn.items() if len(specs) > 1} == set()


def test_the_menu_marks_the_airplane_on_its_pages(club: View) -> None:
    text = text_of(club, "weight.html")
    assert '<a href="airplane.html" aria-current="true">Airplane</a>' in text
    assert '<a href="airplane.html" aria-current="page">' in text_of(club, "airplane.html")


def test_the_overview_tells_each_page_s_first_sentence(club: View) -> None:
    links = page_of(club, "airplane.html").content["links"]
    assert [link.href for link in links] == FILES[1:]
    assert all(link.text == page_of(club, link.href).content["answer"].lead[0] for link in links)


def test_every_unit_is_an_input_with_its_place(club: View) -> None:
    today, *options = inputs_page(club).content["airplane"]
    assert today["heading"] == "The airplane today"
    rows = {row["label"]: (row["value"], row["source"]) for row in today["rows"]}
    assert rows["Vacuum attitude gyro"] == (
        "3.1 lb at 76.5 in; provides attitude; needs vacuum",
        "equipment.toml, line 100",
    )
    assert {unit.name for unit in club.case.equipment.units} <= set(rows)
    assert [each["heading"] for each in options] == [
        f"The airplane with {club.tags[key].title}" for key in ("part", "full", "replace")
    ]


def test_the_method_page_means_every_key_of_every_file(club: View) -> None:
    files = {each["file"]: each["sections"] for each in method_page(club).content["glossary"]}
    told = {term["key"] for each in files["equipment.toml"] for term in each["terms"]}
    assert {"usable_share", "provides", "was_due_at", "recognition_minutes"} <= told
    assert {"max_down", "hours_per_year"} <= {
        term["key"] for each in files["fleet.toml"] for term in each["terms"]
    }
