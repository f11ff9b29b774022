"""Editions: written as data and read back to the same case, or told why not."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from panelworth import evaluate
from panelworth.engine.ledger.settlement import settled
from panelworth.model.edition import case_of, inputs_object
from panelworth.problems import render
from panelworth.publishing.figures_object import figures_object
from panelworth.publishing.site.json_files import edition_json
from panelworth.publishing.view import View
from panelworth.reading.edition import read_editions

HINT = "; nothing is compared with it; the next build writes a new one"


def test_an_edition_holds_every_input_and_gives_the_same_figures_again(
    club: View, owner: View
) -> None:
    for view in (club, owner):
        again = case_of(json.loads(json.dumps(inputs_object(view.case.written))))
        kept = replace(view.case.written, notes={}, source_lines={}, needs=None, ballots=())
        assert again == kept
        assert figures_object(evaluate(settled(again))) == figures_object(view.figures)


def test_an_edition_says_low_likely_high_and_shape_of_every_range(club: View) -> None:
    rates = json.loads(edition_json(club))["inputs"]["scenario"]["rates"]["discount"]
    assert {key: rates[key] for key in ("low", "likely", "high", "shape")} == {
        "low": 0.04,
        "likely": 0.05,
        "high": 0.065,
        "shape": "triangular",
    }


def test_an_edition_holds_what_figures_json_holds(owner: View) -> None:
    made = json.loads(edition_json(owner))
    assert made["schema"] == "panelworth-edition/2"
    assert made["figures"]["options"]["refit"]["likely"]["npv"] == owner.option("refit").likely.npv


@pytest.mark.parametrize("folder", ["", "brackenholt-owner/"])
def test_an_edition_is_found_at_the_root_or_in_its_scenario_s_folder(
    tmp_path: Path, owner: View, folder: str
) -> None:
    where = tmp_path / folder
    where.mkdir(exist_ok=True)
    (where / "edition.json").write_text(edition_json(owner))
    editions, problems = read_editions(tmp_path, "brackenholt-owner")
    assert editions.last is not None
    assert editions.last.content == edition_json(owner).encode()
    assert (editions.before, problems) == (None, [])
    assert read_editions(tmp_path, "another-owner")[0].last is None


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("no JSON", "Expecting value: line 1 column 1 (char 0)"),
        ("", "Expecting value: line 1 column 1 (char 0)"),
        ("[" * 100_000, "lists within lists, hundreds of levels deep"),
        ('{"a":' * 100_000, "lists within lists, hundreds of levels deep"),
        ("[]", "no schema"),
        ("{}", "no schema"),
        ('{"schema": "panelworth-edition/9"}', 'schema "panelworth-edition/9"'),
        ('{"schema": "panelworth-edition/1"}', 'schema "panelworth-edition/1"'),
        ('{"schema": ["panelworth-edition/1"]}', 'schema ["panelworth-edition/1"]'),
        ('{"schema": "panelworth-edition/2"}', "no value of inputs"),
        ('{"schema": "panelworth-edition/2", "inputs": {}}', "no inputs.name"),
    ],
)
def test_what_is_no_edition_is_told_and_compared_with_nothing(
    tmp_path: Path, content: str, found: str
) -> None:
    (tmp_path / "edition.json").write_text(content)
    editions, problems = read_editions(tmp_path, "x")
    assert editions.last is None
    expected = "expected an edition that this version can read"
    assert [render(problem) for problem in problems] == [
        f"{tmp_path}/edition.json: warning: {expected}, found {found}{HINT}"
    ]


def test_an_edition_whose_figures_lack_something_is_told(tmp_path: Path, owner: View) -> None:
    made = json.loads(edition_json(owner))
    del made["figures"]["options"]["refit"]["budget_p80"]
    (tmp_path / "edition.json").write_text(json.dumps(made))
    _, [problem] = read_editions(tmp_path, "brackenholt-owner")
    assert problem.found == "no figures.options.refit.budget_p80"


def test_an_edition_of_a_version_with_other_inputs_is_told(tmp_path: Path, owner: View) -> None:
    made = json.loads(edition_json(owner))
    made["inputs"]["scenario"]["tomorrow"] = 5
    (tmp_path / "edition.json").write_text(json.dumps(made))
    _, [problem] = read_editions(tmp_path, "brackenholt-owner")
    assert problem.found == "inputs.scenario.tomorrow, which is not known"
