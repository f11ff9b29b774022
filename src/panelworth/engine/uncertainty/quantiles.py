"""Quantiles of the shapes that a range may have.

All functions take arrays of probabilities strictly between 0 and 1. The quantile of a beta
distribution is interpolated in a table: scipy's root search takes about a hundred times longer, and
there are millions of draws.
"""

from functools import lru_cache

import numpy as np
from scipy import special

from panelworth.engine.trials import Array
from panelworth.model.squawk import LoggedRate
from panelworth.model.value import Quantity

MODE_WEIGHT = 4.0  # PERT, Malcolm and others 1959 (from memory): mean = (low + 4·likely + high)/6
LOGIT_END = 38.0  # the logit of the smallest probability that is drawn, 2^-53, is -36.7
LOGIT_MARGIN = 6.0  # the places of the table go farther, so that its inverse has all probabilities
CELLS = 1024  # with a cubic in each cell the error is below 3e-8 of a range's width


def quantile(quantity: Quantity, probability: Array) -> Array:
    """Return the value below which a range stays with each probability, in the range's unit.

    pert: beta on [low, high] with parameters 1 + 4·m and 5 - 4·m, m = (likely-low)/(high-low);
    triangular; uniform. A certain quantity is its one value. The result has the shape of
    `probability`.

    >>> quantile(Quantity(low=0, likely=1, high=2, shape="triangular"), np.array([0.125, 0.5]))
    array([0.5, 1. ])
    """
    if isinstance(quantity, LoggedRate):
        return gamma_value(quantity.failures, quantity.exposure, probability)
    low, width = quantity.low, quantity.high - quantity.low
    if quantity.certain:
        return np.full(probability.shape, low)
    mode = min(max((quantity.likely - low) / width, 0.0), 1.0)
    if quantity.shape == "pert":
        place = _pert(mode, probability)
    elif quantity.shape == "triangular":
        place = _triangular(mode, probability)
    else:
        place = probability
    return np.clip(low + width * place, low, quantity.high)


def gamma_value(failures: int, exposure: float, probability: Array) -> Array:
    """Return χ²(q; 2n+1)/(2·exposure), a logged rate at probability q; shape of `probability`.

    χ²(q; ν) = 2·P⁻¹(ν/2, q), P the regularised incomplete gamma function.
    """
    values: Array = special.gammaincinv(failures + 0.5, probability) / exposure
    return values


def pert_shapes(mode: float) -> tuple[float, float]:
    """Return the two shapes of the beta distribution of a PERT range: 1 + 4·m and 1 + 4·(1 - m).

    `mode` is m, the place of the likely value between low (0) and high (1).
    """
    return 1.0 + MODE_WEIGHT * mode, 1.0 + MODE_WEIGHT - MODE_WEIGHT * mode


def _triangular(mode: float, probability: Array) -> Array:
    """Return the inverse of F(x) = x²/mode up to the mode and 1 - (1-x)²/(1-mode) after it."""
    rising = np.sqrt(probability * mode)
    falling = 1.0 - np.sqrt((1.0 - probability) * (1.0 - mode))
    return np.where(probability < mode, rising, falling)


def _pert(mode: float, probability: Array) -> Array:
    """Return the beta quantile between 0 and 1: a cubic in each cell of its table.

    The cubic is evaluated by Horner's rule in place, without temporary arrays, because this is the
    innermost loop of all draws.
    """
    odds = np.log(probability / (1.0 - probability))
    odds += LOGIT_END
    odds *= CELLS / (2.0 * LOGIT_END)
    cell = odds.astype(np.intp)
    odds -= cell
    cubes, squares, slopes, values = _pert_table(mode)
    place = cubes.take(cell)
    for coefficients in (squares, slopes, values):
        place *= odds
        place += coefficients.take(cell)
    return place


@lru_cache(maxsize=1024)
def _pert_table(mode: float) -> tuple[Array, Array, Array, Array]:
    """Return the cubic of each cell: the PERT quantile as a function of the probability's logit.

    Why the logit: near an end the quantile behaves like a power of the probability, whose slope is
    infinite or 0 there; over the logit it is smooth, like exp(logit/a). Steps: the logit of the
    distribution function at even steps of logit(x); its inverse by cubic Hermite interpolation;
    this again at even steps of the probability's logit, so that a cell is found by a
    multiplication. Error: below 3e-8 of the range's width.
    """
    end = LOGIT_END + LOGIT_MARGIN
    places, even = np.linspace(-end, end, CELLS + 1), np.linspace(-LOGIT_END, LOGIT_END, CELLS + 1)
    reached, slope = _logit_beta(places, *pert_shapes(mode))
    cell = np.clip(np.searchsorted(reached, even) - 1, 0, len(reached) - 2)
    width = np.diff(reached)
    off = (even - reached[cell]) / width[cell]
    cubes, squares, slopes, values = (terms[cell] for terms in _cubics(places, 1.0 / slope, width))
    logit = ((cubes * off + squares) * off + slopes) * off + values
    inverse_slope = ((3.0 * cubes * off + 2.0 * squares) * off + slopes) / width[cell]
    below, above = special.expit(logit), special.expit(-logit)
    return _cubics(below, below * above * inverse_slope, np.diff(even))


def _cubics(values: Array, slopes: Array, width: Array) -> tuple[Array, Array, Array, Array]:
    """Return each cell's cubic Hermite polynomial over 0 to 1 in the cell, highest power first."""
    rise, left, right = np.diff(values), slopes[:-1] * width, slopes[1:] * width
    return left + right - 2.0 * rise, 3.0 * rise - 2.0 * left - right, left, values[:-1]


def _logit_beta(logit: Array, rising: float, falling: float) -> tuple[Array, Array]:
    """Return the logit of the beta distribution function F at x, and its slope.

    x is given by its logit. The slope is d logit(F)/d logit(x) = f(x)·x(1-x)/(F(1-F)), f the
    density. F and 1 - F are each computed from their own end: 1 - F as a difference would lose all
    digits in the upper tail.
    """
    below, above = special.expit(logit), special.expit(-logit)
    under, over = special.betainc(rising, falling, below), special.betainc(falling, rising, above)
    log_density = rising * special.log_expit(logit) + falling * special.log_expit(-logit)
    density = np.exp(log_density - special.betaln(rising, falling))
    return np.log(under / over), density / (under * over)
