"""Distribution functions of ranges: the chance that an input is at most a value."""

import numpy as np
from scipy import special

from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.quantiles import pert_shapes
from panelworth.model.squawk import LoggedRate
from panelworth.model.value import Quantity


def chance_at_most(quantity: Quantity, values: Array) -> Array:
    """Return P(X <= x) for each x of `values`, in the same shape; x may be infinite.

    pert: a beta distribution on [low, high] with a = 1 + 4·(likely-low)/(high-low) and
    b = 1 + 4·(high-likely)/(high-low). triangular and uniform: the standard definitions. The
    function of a certain quantity steps from 0 to 1 at its value.

    >>> from panelworth.model.value import Quantity
    >>> weeks = Quantity.model_validate({"low": 2, "likely": 4, "high": 6})
    >>> chance_at_most(weeks, np.array([1.0, 4.0, 9.0])).round(6).tolist()
    [0.0, 0.5, 1.0]
    """
    if isinstance(quantity, LoggedRate):
        under: Array = special.gammainc(
            quantity.failures + 0.5, np.maximum(values, 0.0) * quantity.exposure
        )
        return under
    if quantity.certain:
        return np.where(values >= quantity.likely, 1.0, 0.0)
    width = quantity.high - quantity.low
    place = np.clip((values - quantity.low) / width, 0.0, 1.0)
    mode = (quantity.likely - quantity.low) / width
    if quantity.shape == "uniform":
        return place
    if quantity.shape == "triangular":
        return _triangular(place, mode)
    below: Array = special.betainc(*pert_shapes(mode), place)
    return below


def _triangular(place: Array, mode: float) -> Array:
    """Return x²/mode up to the mode and 1 - (1-x)²/(1-mode) after it, x between 0 and 1."""
    # A mode at an end leaves only one of the two sides; the other would divide by 0.
    rising = np.minimum(place, mode) ** 2 / mode if mode else np.zeros_like(place)
    past = 1.0 - np.maximum(place, mode)
    falling = 1.0 - past**2 / (1.0 - mode) if mode < 1.0 else np.ones_like(place)
    below: Array = np.where(place < mode, rising, falling)
    return below
