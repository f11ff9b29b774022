"""Quantiles of the shapes a range may have, and of the normal distribution, to double accuracy.

All take arrays of probabilities strictly between 0 and 1. Only numpy is needed: a library of
special functions would be the heaviest thing to install and too slow for millions of draws.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from panelworth.engine.trials import Array
from panelworth.model.value import Quantity

MODE_WEIGHT = 4.0  # PERT: mean = (low + 4·likely + high)/6
TERMS = 44  # of a series that halves at each step, and more
LOGIT_END = 38.0  # the logit of the smallest probability drawn, 2^-53, is -36.7
LOGIT_MARGIN = 6.0  # beyond it, so that the turned-round table reaches the end
CELLS = 1024
NORMAL_END, NORMAL_CELL, NORMAL_TERMS = 8.5, 1.0 / 32.0, 8
# Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477-484; highest power first
CENTRE = (
    (2.5090809287301226727e3, 3.3430575583588128105e4, 6.7265770927008700853e4,
     4.5921953931549871457e4, 1.3731693765509461125e4, 1.9715909503065514427e3,
     1.3314166789178437745e2, 3.3871328727963666080e0),
    (5.2264952788528545610e3, 2.8729085735721942674e4, 3.9307895800092710610e4,
     2.1213794301586595867e4, 5.3941960214247511077e3, 6.8718700749205790830e2,
     4.2313330701600911252e1, 1.0),
)  # fmt: skip
SHOULDER = (
    (7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1,
     1.27045825245236838258e0, 3.64784832476320460504e0, 5.76949722146069140550e0,
     4.63033784615654529590e0, 1.42343711074968357734e0),
    (1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2,
     1.48103976427480074590e-1, 6.89767334985100004550e-1, 1.67638483018380384940e0,
     2.05319162663775882187e0, 1.0),
)  # fmt: skip
TAIL = (
    (2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3,
     2.65321895265761230930e-2, 2.96560571828504891230e-1, 1.78482653991729133580e0,
     5.46378491116411436990e0, 6.65790464350110377720e0),
    (2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5,
     7.86869131145613259100e-4, 1.48753612908506148525e-2, 1.36929880922735805310e-1,
     5.99832206555887937690e-1, 1.0),
)  # fmt: skip
CENTRE_HALF_WIDTH, SHOULDER_START, SHOULDER_END = 0.425, 1.6, 5.0


def quantile(quantity: Quantity, probability: Array) -> Array:
    """Return the value a range stays below with this probability, same shape, in its unit.

    pert: beta on [low, high] with shapes 1 + 4·m and 5 - 4·m, m the mode's place between 0 and 1;
    triangular; uniform. Certain quantities are their one value.

    >>> quantile(Quantity(low=0, likely=1, high=2, shape="triangular"), np.array([0.125, 0.5]))
    array([0.5, 1. ])
    """
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


def _triangular(mode: float, probability: Array) -> Array:
    """Invert F(x) = x²/mode up to the mode and 1 - (1-x)²/(1-mode) after it."""
    rising = np.sqrt(probability * mode)
    falling = 1.0 - np.sqrt((1.0 - probability) * (1.0 - mode))
    return np.where(probability < mode, rising, falling)


def _pert(mode: float, probability: Array) -> Array:
    """Look up the beta quantile between 0 and 1, cubic between the cells of its table."""
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
    """Return the cubic of each cell: the PERT quantile as a function of the logit of probability.

    In that scale it is smooth to both ends, like exp(logit/a), whatever the shape. The logit of
    the distribution function is worked out at even steps of logit(x) and turned round by Hermite
    cubics, of which these are laid out at even steps again: off by less than 3e-8 of the width.
    """
    places, even = _places(), np.linspace(-LOGIT_END, LOGIT_END, CELLS + 1)
    reached, slope = _logit_beta(places, 1.0 + MODE_WEIGHT * mode, 5.0 - MODE_WEIGHT * mode)
    cell = np.clip(np.searchsorted(reached, even) - 1, 0, len(reached) - 2)
    width = np.diff(reached)
    off = (even - reached[cell]) / width[cell]
    cubes, squares, slopes, values = (
        each[cell] for each in _cubics(places.logit, 1.0 / slope, width)
    )
    logit = ((cubes * off + squares) * off + slopes) * off + values
    turned = ((3.0 * cubes * off + 2.0 * squares) * off + slopes) / width[cell]
    below, above = _logistic(logit)
    return _cubics(below, below * above * turned, np.diff(even))


def _cubics(values: Array, slopes: Array, width: Array) -> tuple[Array, Array, Array, Array]:
    """Return each cell's Hermite cubic by its share of the cell, highest power first."""
    rise, left, right = np.diff(values), slopes[:-1] * width, slopes[1:] * width
    return left + right - 2.0 * rise, 3.0 * rise - 2.0 * left - right, left, values[:-1]


@dataclass(frozen=True, kw_only=True)
class _Places:
    """Places x between 0 and 1 at even steps of their logit, the middle one at a half.

    `powers` holds x^n, n = 0, 1, 2 …, for those from a half down, shape (N, TERMS).
    """

    logit: Array
    log_below: Array
    log_above: Array
    powers: Array


@lru_cache(maxsize=1)
def _places() -> _Places:
    end = LOGIT_END + LOGIT_MARGIN
    logit = np.linspace(-end, end, CELLS + 1)
    below, above = _logistic(logit)
    powers = above[CELLS // 2 :, np.newaxis] ** np.arange(TERMS)
    return _Places(logit=logit, log_below=np.log(below), log_above=np.log(above), powers=powers)


def _logistic(logit: Array) -> tuple[Array, Array]:
    """Return the number with this logit and what it lacks of 1, each to full accuracy."""
    return 1.0 / (1.0 + np.exp(-logit)), 1.0 / (1.0 + np.exp(logit))


def _logit_beta(places: _Places, rising: float, falling: float) -> tuple[Array, Array]:
    """Return the logit of the beta distribution function at these places, and its slope.

    Integrated from the nearer end, so that neither tail is lost. The slope of one logit by the
    other is f(x)·x(1-x)/(F(1-F)).
    """
    scale = math.gamma(rising + falling) / math.gamma(rising) / math.gamma(falling)
    half = places.log_above[CELLS // 2 :]
    lower = scale * np.exp(rising * half) * (places.powers @ _series(rising, falling))
    upper = scale * np.exp(falling * half) * (places.powers @ _series(falling, rising))
    under = np.concatenate([lower[:0:-1], 1.0 - upper])
    over = np.concatenate([1.0 - lower[:0:-1], upper])
    density = scale * np.exp(rising * places.log_below + falling * places.log_above)
    return np.log(under / over), density / (under * over)


def _series(rising: float, falling: float) -> Array:
    """Return the coefficients (1-b)(2-b)…(n-b)/n!/(a+n) of x^n in x^-a·B_x(a,b) (DLMF 8.17.7)."""
    steps = np.arange(1, TERMS)
    factors = np.concatenate([[1.0], np.cumprod((steps - falling) / steps)])
    terms: Array = factors / (rising + np.arange(TERMS))
    return terms


def normal_quantile(probability: Array) -> Array:
    """Return the standard normal score with this probability below it, same shape.

    Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988): about 1 part in 10^16.

    >>> normal_quantile(np.array([0.5, 0.975])).round(6).tolist()
    [0.0, 1.959964]
    """
    off = probability - 0.5
    score = off * _ratio(CENTRE, CENTRE_HALF_WIDTH**2 - off * off)
    out = np.flatnonzero(np.abs(off) > CENTRE_HALF_WIDTH)
    nearer = np.minimum(probability[out], 1.0 - probability[out])
    reach = np.sqrt(-np.log(nearer))
    beyond = np.where(
        reach <= SHOULDER_END,
        _ratio(SHOULDER, reach - SHOULDER_START),
        _ratio(TAIL, reach - SHOULDER_END),
    )
    score[out] = np.copysign(beyond, off[out])
    return score


def _ratio(terms: tuple[tuple[float, ...], tuple[float, ...]], at: Array) -> Array:
    """Return a ratio of two polynomials, highest powers first."""
    above, below = (_polynomial(each, at) for each in terms)
    above /= below
    return above


def _polynomial(terms: tuple[float, ...], at: Array) -> Array:
    total = terms[0] * at
    for term in terms[1:-1]:
        total += term
        total *= at
    total += terms[-1]
    return total


def normal_share(score: Array) -> Array:
    """Return the probability of a standard normal below these scores, same shape.

    Taylor's series about the nearest of a grid of exact values: the derivatives of the normal
    distribution function are its density times Hermite polynomials. Off by less than 1e-16;
    scores beyond ±8.5 count as ±8.5, so that no probability is 0.

    >>> normal_share(np.array([0.0, 1.959963984540054])).round(12).tolist()
    [0.5, 0.975]
    """
    clipped = np.clip(score, -NORMAL_END, NORMAL_END)
    place = np.rint(clipped / NORMAL_CELL)
    off = clipped - place * NORMAL_CELL
    node = place.astype(np.intp) + round(NORMAL_END / NORMAL_CELL)
    first, *rest = _normal_table()
    share = first.take(node)
    for coefficients in rest:
        share *= off
        share += coefficients.take(node)
    return share


@lru_cache(maxsize=1)
def _normal_table() -> tuple[Array, ...]:
    """Return Taylor coefficients of the normal distribution function, highest power first."""
    count = round(NORMAL_END / NORMAL_CELL)
    nodes = np.arange(-count, count + 1) * NORMAL_CELL
    density = np.exp(-nodes * nodes / 2.0) / math.sqrt(2.0 * math.pi)
    hermite = [np.ones_like(nodes), nodes]
    for order in range(1, NORMAL_TERMS):
        hermite.append(nodes * hermite[-1] - order * hermite[-2])
    share = np.array([math.erfc(-node / math.sqrt(2.0)) / 2.0 for node in nodes.tolist()])
    powers = [
        (-1) ** (power - 1) * hermite[power - 1] * density / math.factorial(power)
        for power in range(1, NORMAL_TERMS)
    ]
    return (*reversed(powers), share)
