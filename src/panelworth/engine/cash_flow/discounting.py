"""Money over time: discount factors, present values, level payments, equivalent annual cost."""

import numpy as np

from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS


def discount_factors(rate: Array, months: int) -> Array:
    """Return d(m) = (1 + rate)^(-m/12) for m = 0..months, shape (T or 1, months+1).

    `rate` is an effective rate a year, shape (T,). A power takes long, so the factors of the years
    and those of the twelve months of a year are worked out once, and multiplied.

    >>> discount_factors(np.array([0.21]), 24)[0, [0, 12, 24]].round(4).tolist()
    [1.0, 0.8264, 0.683]
    """
    years, growth = months // MONTHS + 1, 1.0 + rate
    by_year = growth ** -np.arange(float(years))[:, np.newaxis]
    within = growth ** (-np.arange(MONTHS) / MONTHS)[:, np.newaxis]
    factors: Array = (by_year[:, np.newaxis] * within).reshape(-1, len(rate))
    return factors[: months + 1].T


def present_value(flows: Array, factors: Array) -> Array:
    """Return the sum over months of flow·factor, shape (T,); money in is positive.

    Flows and factors have shape (T or 1, M); a flow at the start of the first month has
    factor 1. Standard definition; tests compare it with numpy-financial's npv.

    >>> present_value(np.array([[-100.0, 0.0, 121.0]]), np.array([[1.0, 0.9, 0.81]])).round(2)
    array([-1.99])
    """
    if len(factors) == 1:  # a matrix product is faster than einsum
        present: Array = flows @ factors[0]
    else:
        present = np.einsum("wm,wm->w", *np.broadcast_arrays(flows, factors))
    return present


def equivalent_annual(present: Array, rate: Array, years: int) -> Array:
    """Return the level yearly sum, paid at each year's end, with this present value.

    present·r/(1 - (1+r)^-years); present/years at r = 0, the limit. The factor is the capital
    recovery factor of engineering economics (A/P, r, years).

    >>> equivalent_annual(np.array([49474.0]), np.array([0.10]), 3).round()
    array([19894.])
    """
    # expm1 and log1p keep the digits of 1 - (1+r)^-years where r is small.
    safe = np.where(rate == 0.0, 1.0, rate)
    factor = np.where(rate == 0.0, 1.0 / years, safe / -np.expm1(-years * np.log1p(safe)))
    return present * factor
