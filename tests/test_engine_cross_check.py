"""The headline figures beside numpy-financial's npv, as every build checks them."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given

from panelworth import evaluate, publish, read
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.engine.returns.cross_check import disagreements
from panelworth.model.case import Case
from strategies import Folder, case_of, folders

GOLDEN = Path(__file__).parent / "golden"


@pytest.fixture(scope="module")
def case() -> Case:
    found, _ = read(GOLDEN / "club-retrofit")
    assert found is not None
    return found


@pytest.fixture(scope="module")
def figures(case: Case) -> Figures:
    return evaluate(case, trials=200, pages=False)


def otherwise(figures: Figures, **likely: object) -> Figures:
    """Return figures of which some of the refit's are changed."""
    option = figures.options["refit"]
    changed = replace(option, likely=replace(option.likely, **likely))
    return replace(figures, options={**figures.options, "refit": changed})


@given(folder=folders())
def test_no_folder_has_a_figure_on_which_the_library_disagrees(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case, trials=200, pages=False)
    assert list(disagreements(figures, discount=case.scenario.rates.discount.likely)) == []


@pytest.mark.parametrize("figure", ["npv", "net_benefit", "irr"])
def test_a_wrong_figure_is_found(case: Case, figures: Figures, figure: str) -> None:
    right = getattr(figures.options["refit"].likely, figure)
    wrong = (*right[1:], 0.5) if figure == "irr" else right + 1.0
    found = disagreements(
        otherwise(figures, **{figure: wrong}), discount=case.scenario.rates.discount.likely
    )
    assert [each.figure.partition("[")[0] for each in found] == [figure]


def test_a_build_with_a_wrong_headline_publishes_nothing(
    case: Case, figures: Figures, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    wrong = otherwise(figures, net_benefit=figures.options["refit"].likely.net_benefit + 1.0)
    monkeypatch.setattr("panelworth.evaluate", lambda *_, **__: wrong)
    [problem] = publish([case], tmp_path / "site")
    assert problem.key == "refit.net_benefit"
    assert "please report it" in problem.hint
    assert not (tmp_path / "site").exists()
