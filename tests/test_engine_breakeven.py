"""Break-evens of a line with corners, worked out by hand."""

from pathlib import Path

import numpy as np
import pytest

from panelworth.engine.returns.breakeven import SearchRange, _corners, break_even_at
from panelworth.engine.trials import Array
from small_cases import case_in, refit


def test_past_the_last_corner_the_line_runs_on_to_its_root() -> None:
    """Level at -30 up to 10, from there one more for each: nothing at 40, and more beyond."""

    def gap(values: Array) -> Array:
        return np.maximum(values - 10.0, 0.0) - 30.0

    found = break_even_at(gap, SearchRange(corners=[10.0], likely=4.0, most=np.inf), tolerance=1e-9)
    assert (found.value, found.why) == (pytest.approx(40.0), "")


def test_hours_have_a_corner_where_an_option_flies_none_and_other_inputs_have_none(
    tmp_path: Path,
) -> None:
    """100 hours, 30 fewer after a refit: it flies none where 30 are wanted, or 100 fewer."""
    rest = "[after]\nhours_per_year_change = -30\n"
    case = case_in(tmp_path, {"refit": refit("cost = 5", rest=rest)})
    assert _corners(case, "refit", "hours_per_year") == [0.0, 30.0]
    assert _corners(case, "refit", "extra_hours_per_year") == [-100.0]
    assert _corners(case, "refit", "resale_recovery") == []
