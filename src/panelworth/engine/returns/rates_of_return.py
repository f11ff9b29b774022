"""Returns on a difference of flows: payback, internal rates, modified rate, savings ratio.

Flows here are an option's benefit less the baseline's, in one trial, shape (N,); money in is
positive. Only one trial at a time, because flows may have any number of internal rates: there is no
array with one rate for each trial.
"""

import numpy as np

from panelworth.engine.trials import Array
from panelworth.model.scenario import HALF_A_CENT

LOWEST_RATE, HIGHEST_RATE = -0.99, 10.0
GRID = 2000  # points over the range of rates: neighbours differ by 0.35 % in 1 + rate
# Of the sum of the flows' sizes: a smaller sum is floating-point error, some thousand times 2^-53.
NOISE = 1e-12


def payback(flows: Array, settled: int = 0) -> tuple[int | None, int | None]:
    """Return the lasting and the first payback as indices into the flows, without the end value.

    Lasting: the smallest m from which the running sum stays at or above 0 to the end. First: the
    smallest m at which it is at or above 0 after it was negative. There are two figures because a
    later cost can make the sum negative again. Both are searched from `settled` on, the month of
    the last project flow: money from a sale before the purchase is not a payback. Both are 0 if the
    sum is never negative, and None if it is not paid back. A sum of half a cent below 0 or more
    counts as 0.

    >>> payback(np.array([-10.0, 5.0, 6.0, -2.0, 3.0]))
    (4, 2)
    >>> payback(np.array([50.0, -60.0, 15.0, -20.0, 16.0]), settled=3)
    (4, 4)
    """
    negative = np.cumsum(flows) < -HALF_A_CENT
    if not negative.any():
        return 0, 0
    last = max(int(np.flatnonzero(negative)[-1]) + 1, settled)
    start = max(int(np.argmax(negative)), settled)
    back = np.flatnonzero(~negative[start:])
    return (last if last < len(flows) else None), (start + int(back[0]) if len(back) else None)


def internal_rates(flows: Array, years: Array) -> list[float]:
    """Return every rate a year i, -99 % < i <= 1000 %, with sum of flow·(1+i)^-years = 0.

    Ascending; a root that touches 0 without crossing it counts once; [] if there is none or the
    flows are all 0. `flows` and `years`, both of shape (N,), may be in any order.

    Why not one rate, as in spreadsheets: flows that change sign more than once can have several
    internal rates (Descartes' rule of signs), and to show only one of them would mislead. Between
    two neighbouring extremes the present value crosses zero at most once, so each root has a
    bracket of its own. The extremes are the zeros of the derivative, found in the same way on a
    fine grid. Three roots within a third of a percent of one another may be returned as one.
    Checked against pyxirr and numpy-financial.

    >>> flows = np.array([-1000.0, 2300.0, -1320.0])
    >>> [round(rate, 6) for rate in internal_rates(flows, np.arange(3.0))]
    [0.1, 0.2]
    """
    largest = np.abs(flows).max(initial=0.0)
    kept = np.abs(flows) > NOISE * largest
    flows, years = flows[kept] / (largest or 1.0), years[kept]
    if len(flows) < 2:  # noqa: PLR2004 (one flow alone has no return)
        return []
    # Even steps of the log of 1 + rate: neighbouring points then differ by the same ratio.
    grid = np.linspace(np.log1p(LOWEST_RATE), np.log1p(HIGHEST_RATE), GRID)
    turns = _crossings(flows * -years, years, grid)
    splits = np.unique(np.concatenate([grid, turns]))
    roots = _crossings(flows, years, splits)
    rates = np.expm1(_distinct(flows, years, roots))
    return [min(float(rate), HIGHEST_RATE) for rate in rates if rate > LOWEST_RATE]


def _distinct(flows: Array, years: Array, roots: list[float]) -> list[float]:
    """Merge neighbouring roots if the present value between them is 0 apart from rounding errors.

    A root that touches 0 is found from both sides; the one with the smaller value is kept.
    """
    kept: list[float] = []
    for root in roots:
        middle = (kept[-1] + root) / 2.0 if kept else 0.0
        if kept and abs(_value(flows, years, middle)) < _noise(flows, years, middle):
            kept[-1] = min(
                kept[-1], root, key=lambda candidate: abs(_value(flows, years, candidate))
            )
        else:
            kept.append(root)
    return kept


def _value(flows: Array, years: Array, log_rate: float) -> float:
    """Return the present value Σ flow·e^(-log_rate·years), log_rate the log of 1 + rate."""
    return float(flows @ np.exp(-log_rate * years))


def _noise(flows: Array, years: Array, log_rate: float) -> float:
    """Return the size up to which a present value is only floating-point error at this rate."""
    return float(NOISE * (np.abs(flows) @ np.exp(-log_rate * years)))


def _crossings(flows: Array, years: Array, points: Array) -> list[float]:
    """Return the log-rates at which the present value is 0 at a point or between two points."""
    terms = flows * np.exp(-np.outer(points, years))
    values = terms.sum(axis=1)
    values[np.abs(values) < NOISE * np.abs(terms).sum(axis=1)] = 0.0
    signs = np.sign(values)
    roots = [float(point) for point in points[signs == 0.0]]
    brackets = np.flatnonzero(signs[:-1] * signs[1:] < 0.0)
    pairs = ((float(points[place]), float(points[place + 1])) for place in brackets)
    return sorted([*roots, *(_bisected(flows, years, low, high) for low, high in pairs)])


def _bisected(flows: Array, years: Array, low: float, high: float) -> float:
    """Return the root of a bracket by bisection, until no double lies between its ends.

    It is slower than Newton's method, but it cannot leave the bracket and find another root.
    """
    below = _value(flows, years, low) < 0.0
    while True:
        middle = (low + high) / 2.0
        if middle in (low, high):
            return middle
        if (_value(flows, years, middle) < 0.0) == below:
            low = middle
        else:
            high = middle


def modified_rate(
    flows: Array, years: Array, *, finance_rate: float, reinvest_rate: float
) -> float | None:
    """Return the modified internal rate a year; None without flows of both signs.

    Half a cent or less counts as no flow.

    (FV of positives at the reinvestment rate / PV of negatives at the finance rate)^(1/n) - 1,
    n the year of the last flow. Standard definition (MIRR of spreadsheet programs).

    >>> flows = np.array([-120000.0, 39000, 30000, 21000, 37000, 46000])
    >>> rate = modified_rate(flows, np.arange(6.0), finance_rate=0.10, reinvest_rate=0.12)
    >>> round(rate, 6)
    0.126094
    """
    last = years.max(initial=0.0)
    gains, spent = np.maximum(flows, 0.0), np.maximum(-flows, 0.0)
    if min(gains.max(initial=0.0), spent.max(initial=0.0)) <= HALF_A_CENT or last == 0.0:
        return None
    future = gains @ (1.0 + reinvest_rate) ** (last - years)
    present = spent @ (1.0 + finance_rate) ** -years
    return float((future / present) ** (1.0 / last) - 1.0)


def savings_to_investment(savings: float, invested: float) -> float | None:
    """Return the present value of savings per unit invested; None if nothing more is invested.

    SIR of building economics (NIST Handbook 135): both sums are present values against the
    baseline.
    """
    return savings / invested if invested > 0.0 else None


def adjusted_rate(ratio: float | None, *, rate: float, years: int) -> float | None:
    """Return the adjusted internal rate (1 + r)·SIR^(1/years) - 1; None without a ratio >= 0.

    AIRR of building economics (NIST Handbook 135).
    """
    if ratio is None or ratio < 0.0:
        return None
    return float((1.0 + rate) * ratio ** (1.0 / years) - 1.0)
