"""How likely a range is to stay at or below a value: the distribution functions of its shapes."""

import math

import numpy as np

from panelworth.engine.trials import Array
from panelworth.model.value import Quantity

PERT_WEIGHT = 4.0  # of the mode, against 1 each for low and high
TERMS = (
    160  # the series below is summed at most half way, where 160 terms leave nothing in a double
)


def chance_at_most(quantity: Quantity, values: Array) -> Array:
    """Return P(X <= x) for each x, the shape of `values`; x may be infinite.

    pert: a beta distribution on [low, high] with a = 1 + 4·(likely-low)/(high-low) and
    b = 1 + 4·(high-likely)/(high-low); triangular and uniform as their names say; a certain
    quantity steps from 0 to 1 at its value. Standard definitions.

    >>> from panelworth.model.value import Quantity
    >>> weeks = Quantity.model_validate({"low": 2, "likely": 4, "high": 6})
    >>> chance_at_most(weeks, np.array([1.0, 4.0, 9.0])).round(6).tolist()
    [0.0, 0.5, 1.0]
    """
    if quantity.certain:
        return np.where(values >= quantity.likely, 1.0, 0.0)
    width = quantity.high - quantity.low
    place = np.clip((values - quantity.low) / width, 0.0, 1.0)
    mode = (quantity.likely - quantity.low) / width
    if quantity.shape == "uniform":
        return place
    if quantity.shape == "triangular":
        return _triangular(place, mode)
    return beta_at_most(place, 1.0 + PERT_WEIGHT * mode, 1.0 + PERT_WEIGHT * (1.0 - mode))


def _triangular(place: Array, mode: float) -> Array:
    rising = np.minimum(place, mode) ** 2 / mode if mode else np.zeros_like(place)
    past = 1.0 - np.maximum(place, mode)
    falling = 1.0 - past**2 / (1.0 - mode) if mode < 1.0 else np.ones_like(place)
    below: Array = np.where(place < mode, rising, falling)
    return below


def beta_at_most(place: Array, a: float, b: float) -> Array:
    """Return the regularised incomplete beta function I_x(a, b) for x in [0, 1].

    x^a·(1-x)^b/(a·B(a,b))·Σ (a+b)_n/(a+1)_n·x^n, a series of positive terms, up to x = 1/2;
    1 - I_(1-x)(b, a) beyond. A standard identity (DLMF 8.17, from memory); checked against
    scipy's betainc.
    """
    upper = place > 0.5  # noqa: PLR2004 (half way)
    x = np.where(upper, 1.0 - place, place)
    first, second = np.where(upper, b, a), np.where(upper, a, b)
    beta = math.exp(math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b))
    term = x**first * (1.0 - x) ** second / (first * beta)
    tail = np.zeros_like(x)
    for n in range(TERMS):
        tail += term
        term = term * x * (a + b + n) / (first + 1.0 + n)
    below: Array = np.where(upper, 1.0 - tail, tail)
    return below
