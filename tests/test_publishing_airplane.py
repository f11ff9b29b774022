"""The airplane's page: which sections there are, what each has, and what must stand beside it."""

import json
from pathlib import Path
from typing import get_args

import pytest

from airplane_views import sections_of, text_of, view_in, worked_out
from panelworth import read
from panelworth.engine.airplane import flight_rules
from panelworth.engine.results.airplane import (
    Verdict,
)
from panelworth.engine.results.start import Why
from panelworth.model.equipment import PHASES
from panelworth.publishing.pages.airplane import airplane_pages
from panelworth.publishing.pages.inputs import inputs_page
from panelworth.publishing.pages.method import method_page
from panelworth.publishing.site.layout import pages_of
from panelworth.publishing.view import View
from panelworth.publishing.words import airplane_names as names
from panelworth.publishing.words import power_words
from panelworth.publishing.words import starts_words as when_words
from panelworth.publishing.words.caution_lines import AIRPLANE_LINE
from small_cases import refit

CASES = Path(__file__).parent / "cases"
SECTIONS = ["needs", "fails", "weight", "power", "due", "open"]


def test_every_name_that_pages_share_with_the_engine_can_be_said() -> None:
    by_rule = [*flight_rules.ALWAYS.values(), *flight_rules.IF_LISTED.values()]
    assert tuple(flight_rules.ALWAYS) == names.RULES
    assert names.PHASES == PHASES
    assert {name for functions in by_rule for name in functions} <= names.SHARED
    assert set(get_args(Why)) == set(when_words.REFUSALS)
    assert set(get_args(Verdict)) == set(power_words.VERDICTS)


def test_sections_are_there_where_the_files_are(club: View, owner: View) -> None:
    for view in (club, owner):
        assert [section.id for section in sections_of(view)] == SECTIONS


def test_a_folder_without_any_of_the_files_has_no_such_page(tmp_path: Path) -> None:
    schedule = "[schedule]\nstart = 2026-02-02\nweeks_down = 2\n"
    view = view_in(tmp_path, {"refit": refit(rest=schedule)})
    assert airplane_pages(view) == []
    assert "airplane.html" not in {page.file for page in pages_of(view)}


@pytest.mark.parametrize("folder", ["folder", "rich"])
def test_the_page_of_other_folders_can_be_laid_out(folder: str) -> None:
    case, problems = read(CASES / folder)
    assert case is not None, problems
    view = worked_out(case)
    assert sections_of(view)
    assert "<h2" in text_of(view, "airplane.html")


def test_every_section_answers_first_shows_one_table_and_says_who_decides(
    club: View, owner: View
) -> None:
    for view in (club, owner):
        for section in sections_of(view):
            assert section.answer[0].endswith(".")
            assert section.table is not None
            assert AIRPLANE_LINE in section.cautions
            assert section.how


def test_no_option_is_named_by_its_long_title(club: View, owner: View) -> None:
    for view in (club, owner):
        for section in sections_of(view):
            told = " ".join([*section.answer, *section.beside])
            assert not [tag.title for tag in view.tags.values() if tag.title in told]


def test_what_bites_stands_beside_the_figures_and_not_only_on_the_method_page(club: View) -> None:
    beside = {section.id: " ".join(section.beside) for section in sections_of(club)}
    told = {section.id: " ".join(section.answer) for section in sections_of(club)}
    assert "depends on their approval" in beside["needs"]
    assert "14 CFR 91.213" in beside["fails"]
    assert "Weighing alone may put the empty CG" in beside["weight"]
    assert "the airplane is weighed" in beside["weight"]
    assert "does not replace an electrical load analysis" in beside["power"]
    assert "75% of 24 Ah" in beside["power"]
    assert "less if old or cold. Land while it lasts." in told["power"]
    assert "not complete" in beside["due"]
    assert "a mechanic finds unairworthy" in beside["open"]


def test_no_two_charts_of_a_scenario_share_a_file(club: View) -> None:
    """One picture may stand on two pages, but two pictures never under one name."""
    drawn: dict[str, set[str]] = {}
    for page in pages_of(club):
        for chart in page.content.get("charts", ()):
            drawn.setdefault(chart.id, set()).add(json.dumps(chart.spec))
    assert len(drawn) > 5
    assert {name for name, specs in drawn.items() if len(specs) > 1} == set()


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
