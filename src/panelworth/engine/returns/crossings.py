"""All values at which a function of one variable crosses zero, jumps included.

Why not a library's root finder, such as Brent's method: it takes one bracket, returns one root and
cannot distinguish a root from a jump. Here one call of the function evaluates many values at once,
so that all brackets are narrowed in the same few calls.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.returns.breakeven import Gap
from panelworth.engine.trials import Array

Signs = NDArray[np.int64]  # -1, 0 or 1 at each point
# Parts of a bracket at each step. A call with many values costs little more than a call with one.
CUTS = 64
# 64^12 = 2^72 parts. The doubles between two powers of two are 2^52; the rest is for values near 0.
STEPS = 12
NEAR_STEPS = 6  # 64^6 = 2^36 parts of a dip: enough to see whether it reaches zero
# Between two neighbouring doubles a continuous function changes by its slope times their distance,
# some 1e-16 of its range. A change of more than this share of the range is a jump.
JUMP = 1e-9


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """A value at which a function is zero or jumps over zero, and its signs below and above it.

    `jump` says that it jumps over zero. The sign 0 means that it stays zero on that side.
    """

    value: float
    below: int
    above: int
    jump: bool


def crossings(gap: Gap, points: Array, *, tolerance: float) -> list[Crossing]:
    """Return every crossing between the first point and the last, ascending.

    `points` are ascending and must be so dense that the function has at most one crossing between
    neighbours. Two crossings between neighbours are still found where the function comes nearer to
    zero at a point than at the points beside it. Values up to `tolerance` from zero count as zero.
    Of a stretch of zeros both ends are crossings.
    """
    values = gap(points)
    points, values = _with_dips(gap, points, values, tolerance)
    signs = _signs(values, tolerance)
    places = np.flatnonzero(signs)
    roots = [*_at_ends(gap, points, signs, tolerance)]
    brackets = []
    for left, right in zip(places[:-1].tolist(), places[1:].tolist(), strict=True):
        zeros = right - left - 1
        if zeros > 1:
            here = slice(left, right + 1)
            roots += _stretch(gap, points[here], signs[here], tolerance)
        elif signs[left] != signs[right]:
            brackets.append((left, right))
        elif zeros:
            sign = int(signs[left])
            roots.append(
                Crossing(value=float(points[left + 1]), below=sign, above=sign, jump=False)
            )
    roots += _crossed(gap, points, signs, brackets, tolerance)
    return sorted(roots, key=lambda root: root.value)


def _signs(values: Array, tolerance: float) -> Signs:
    return np.where(np.abs(values) <= tolerance, 0, np.sign(values)).astype(np.int64)


def _with_dips(gap: Gap, points: Array, values: Array, tolerance: float) -> tuple[Array, Array]:
    """Add points where the function is nearest to zero between points of the same sign.

    Without them a dip that crosses zero twice between two points would be missed. A dip is narrowed
    in NEAR_STEPS steps to the point with the value farthest across, or nearest to, zero.
    """
    size, sign = np.abs(values), np.sign(values)
    dips = np.flatnonzero(
        (size[1:-1] <= size[:-2])
        & (size[1:-1] <= size[2:])
        & (sign[1:-1] == sign[:-2])
        & (sign[1:-1] == sign[2:])
        & (size[1:-1] > tolerance)
        & ((size[1:-1] < size[:-2]) | (size[1:-1] < size[2:]))
    )
    low, high = points[dips], points[dips + 2]
    more, tried_values = [points], [values]
    for _ in range(NEAR_STEPS if len(dips) else 0):
        tried = np.linspace(low, high, CUTS + 1, axis=1)
        reached = gap(tried.ravel()).reshape(tried.shape)
        rows, best = np.arange(len(low)), np.argmin(reached * sign[dips + 1][:, np.newaxis], axis=1)
        more.append(tried[rows, best])
        tried_values.append(reached[rows, best])
        low = tried[rows, np.maximum(best - 1, 0)]
        high = tried[rows, np.minimum(best + 1, CUTS)]
    joined, places = np.unique(np.concatenate(more), return_index=True)
    return joined, np.concatenate(tried_values)[places]


def _crossed(
    gap: Gap, points: Array, signs: Signs, brackets: list[tuple[int, int]], tolerance: float
) -> list[Crossing]:
    """Return the crossing in each bracket with a change of sign.

    Each bracket is narrowed to two neighbouring doubles. For a continuous function the root between
    them is interpolated; a jump is reported at the upper one.
    """
    if not brackets:
        return []
    left, right = np.array(brackets).T
    low, high = narrowed(gap, points[left], points[right], lambda values: values > 0.0)
    at_low, at_high = gap(low), gap(high)
    jumps = np.abs(at_high - at_low) > tolerance + JUMP * np.abs(
        gap(points[left]) - gap(points[right])
    )
    weight = np.abs(at_low) / np.maximum(np.abs(at_low) + np.abs(at_high), np.finfo(float).tiny)
    values = np.where(jumps, high, low + (high - low) * weight)
    return [
        Crossing(value=float(value), below=int(below), above=int(above), jump=jump)
        for value, below, above, jump in zip(
            values, signs[left], signs[right], jumps.tolist(), strict=True
        )
    ]


def narrowed(
    gap: Gap, low: Array, high: Array, kind: Callable[[Array], NDArray[np.bool_]]
) -> tuple[Array, Array]:
    """Narrow brackets to neighbouring doubles between which the kind of value first changes.

    `kind` says of values whether they are of one kind, for example positive; the two ends of a
    bracket must be of different kinds. Each step keeps the first of CUTS parts with a change.
    """
    start = kind(gap(low))[:, np.newaxis]
    rows = np.arange(len(low))
    for _ in range(STEPS):
        tried = np.linspace(low, high, CUTS + 1, axis=1)
        other = kind(gap(tried.ravel()).reshape(tried.shape)) != start
        other[:, 0], other[:, -1] = False, True
        first = np.argmax(other, axis=1)
        low, high = tried[rows, first - 1], tried[rows, first]
        if np.all(np.nextafter(low, high) == high):  # neighbouring doubles: nothing is left to cut
            break
    return low, high


def _stretch(gap: Gap, points: Array, signs: Signs, tolerance: float) -> list[Crossing]:
    """Return the two ends of the zeros between the first and the last of these points."""
    first = _edge(gap, points[0], points[1], tolerance)
    last = _edge(gap, points[-1], points[-2], tolerance)
    return [
        Crossing(value=first, below=int(signs[0]), above=0, jump=False),
        Crossing(value=last, below=0, above=int(signs[-1]), jump=False),
    ]


def _at_ends(gap: Gap, points: Array, signs: Signs, tolerance: float) -> list[Crossing]:
    """Return the crossings of zeros that reach to the first or to the last point."""
    roots, places = [], np.flatnonzero(signs)
    if len(places) and (first := int(places[0])) > 0:
        value = points[0] if first == 1 else _edge(gap, points[first], points[first - 1], tolerance)
        roots.append(Crossing(value=float(value), below=0, above=int(signs[first]), jump=False))
    if len(places) and (last := int(places[-1])) < len(points) - 1:
        at_end = last == len(points) - 2
        value = points[-1] if at_end else _edge(gap, points[last], points[last + 1], tolerance)
        roots.append(Crossing(value=float(value), below=int(signs[last]), above=0, jump=False))
    return roots


def _edge(gap: Gap, away: float, within: float, tolerance: float) -> float:
    """Return where the zeros end: between `away`, where it is not zero, and `within`."""
    ends = np.array([away]), np.array([within])
    return float(narrowed(gap, *ends, lambda values: np.abs(values) <= tolerance)[1][0])
