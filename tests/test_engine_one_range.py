"""A folder whose only range is any one of its inputs: no figure needs a second one."""

import dataclasses
import math
from functools import cache
from pathlib import Path

import pytest

from changed_cases import numbers_in, one_range, quantity_paths
from panelworth.engine.evaluate import evaluate
from panelworth.engine.insight import insight_of
from panelworth.engine.ledger.settlement import settled
from panelworth.model.case import Case
from panelworth.reading.folder import read_case

CASES = Path(__file__).parent / "cases"
TRIALS = 100


@cache
def case_at(folder: str) -> Case:
    """Read one of the folders that have many inputs."""
    case, _ = read_case(CASES / folder)
    assert case is not None
    return settled(case)


@pytest.mark.parametrize(
    ("folder", "path"),
    [(folder, path) for folder in ("rich", "folder") for path in quantity_paths(case_at(folder))],
)
def test_any_one_input_may_be_the_only_range(folder: str, path: str) -> None:
    case = one_range(case_at(folder), path)
    figures = evaluate(case, trials=TRIALS)
    insight = insight_of(case, figures)
    assert all(map(math.isfinite, numbers_in(dataclasses.asdict(figures))))
    assert {swing.input for option in figures.options.values() for swing in option.swings} <= {path}
    assert {point.input for found in insight.break_even_points.values() for point in found} <= {
        path
    }
