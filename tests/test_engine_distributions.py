"""Distribution functions of a range beside scipy's."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from panelworth.engine.uncertainty.distributions import chance_at_most
from panelworth.model.value import Quantity

places = np.linspace(-0.5, 1.5, 81)


def spread(low: float, mode: float, width: float, shape: str) -> Quantity:
    """Return a range with its mode at a share of its width."""
    parts = {"low": low, "likely": low + mode * width, "high": low + width, "shape": shape}
    return Quantity.model_validate(parts)


@given(mode=st.floats(0, 1), low=st.floats(-50, 50), width=st.floats(0.5, 60))
def test_every_shape_agrees_with_scipy(mode: float, low: float, width: float) -> None:
    """PERT is a beta distribution with weight 4 on the mode."""
    values = low + places * width
    share = (spread(low, mode, width, "pert").likely - low) / width
    share = min(max(share, 0.0), 1.0)
    known = {
        "pert": stats.beta(1 + 4 * share, 5 - 4 * share, loc=low, scale=width),
        "triangular": stats.triang(share, loc=low, scale=width),
        "uniform": stats.uniform(loc=low, scale=width),
    }
    for shape, distribution in known.items():
        found = chance_at_most(spread(low, mode, width, shape), values)
        assert found == pytest.approx(distribution.cdf(values), abs=1e-9)


def test_a_certain_value_steps_from_nothing_to_certainty() -> None:
    """The step belongs to the value itself."""
    certain = Quantity.model_validate(4)
    found = chance_at_most(certain, np.array([3.9, 4.0, np.inf]))
    assert found.tolist() == [0.0, 1.0, 1.0]


@pytest.mark.parametrize("shape", ["pert", "triangular", "uniform"])
def test_both_ends_are_certain_to_the_last_bit(shape: str) -> None:
    """A planner calls a window free of risk only when the chance is exactly 0."""
    found = chance_at_most(spread(2, 0.3, 4, shape), np.array([2.0, 6.0, np.inf]))
    assert found.tolist() == [0.0, 1.0, 1.0]
