"""Where a function of one value crosses zero: every crossing between given points, jumps too.

The function takes many values at once; all brackets are narrowed together.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.returns.breakeven import Gap
from panelworth.engine.trials import Array

Sorted = NDArray[np.int64]
CUTS = 64  # parts a bracket is cut into at each step
STEPS = 12  # 64^12 exceeds the range of a double's digits whatever the bracket
NEAR_STEPS = 6
JUMP = 1e-9  # of the function's own range: a step that is no slope


@dataclass(frozen=True, kw_only=True)
class Crossing:
    """A value at which a function is, or jumps past, zero, and its sign on either side.

    `jump` says that it is never zero there. A sign of 0: it stays zero on that side.
    """

    value: float
    below: int
    above: int
    jump: bool


def crossings(gap: Gap, points: Array, *, nothing: float) -> list[Crossing]:
    """Return every crossing from the first point to the last, ascending.

    `points` rise and must be dense enough for the function to be simple between neighbours; two
    crossings between two of them are found where they show as a dip. Values up to `nothing` away
    from zero count as zero; of a stretch of zeros each end counts.
    """
    values = gap(points)
    points, values = _with_dips(gap, points, values, nothing)
    signs = _signs(values, nothing)
    places = np.flatnonzero(signs)
    roots = [*_at_ends(gap, points, signs, nothing)]
    brackets = []
    for left, right in zip(places[:-1].tolist(), places[1:].tolist(), strict=True):
        zeros = right - left - 1
        if zeros > 1:
            here = slice(left, right + 1)
            roots += _stretch(gap, points[here], signs[here], nothing)
        elif signs[left] != signs[right]:
            brackets.append((left, right))
        elif zeros:
            sign = int(signs[left])
            roots.append(
                Crossing(value=float(points[left + 1]), below=sign, above=sign, jump=False)
            )
    roots += _crossed(gap, points, signs, brackets, nothing)
    return sorted(roots, key=lambda root: root.value)


def _signs(values: Array, nothing: float) -> Sorted:
    return np.where(np.abs(values) <= nothing, 0, np.sign(values)).astype(np.int64)


def _with_dips(gap: Gap, points: Array, values: Array, nothing: float) -> tuple[Array, Array]:
    """Add points where the function comes nearest to zero between points of one sign."""
    size, sign = np.abs(values), np.sign(values)
    dips = np.flatnonzero(
        (size[1:-1] <= size[:-2])
        & (size[1:-1] <= size[2:])
        & (sign[1:-1] == sign[:-2])
        & (sign[1:-1] == sign[2:])
        & (size[1:-1] > nothing)
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
    gap: Gap, points: Array, signs: Sorted, brackets: list[tuple[int, int]], nothing: float
) -> list[Crossing]:
    """Narrow brackets with a change of sign and say whether each is a jump."""
    if not brackets:
        return []
    left, right = np.array(brackets).T
    low, high = narrowed(gap, points[left], points[right], lambda values: values > 0.0)
    at_low, at_high = gap(low), gap(high)
    jumps = np.abs(at_high - at_low) > nothing + JUMP * np.abs(
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
    """Cut brackets down to neighbouring numbers between which the kind of value first changes.

    `kind` sorts values, as by sign; the two ends of a bracket are of different kinds.
    """
    start = kind(gap(low))[:, np.newaxis]
    rows = np.arange(len(low))
    for _ in range(STEPS):
        tried = np.linspace(low, high, CUTS + 1, axis=1)
        other = kind(gap(tried.ravel()).reshape(tried.shape)) != start
        other[:, 0], other[:, -1] = False, True
        first = np.argmax(other, axis=1)
        low, high = tried[rows, first - 1], tried[rows, first]
        if np.all(np.nextafter(low, high) == high):  # neighbours: cutting on changes nothing
            break
    return low, high


def _stretch(gap: Gap, points: Array, signs: Sorted, nothing: float) -> list[Crossing]:
    """Return the two ends of a stretch of zeros between the first point and the last."""
    first = _edge(gap, points[0], points[1], nothing)
    last = _edge(gap, points[-1], points[-2], nothing)
    return [
        Crossing(value=first, below=int(signs[0]), above=0, jump=False),
        Crossing(value=last, below=0, above=int(signs[-1]), jump=False),
    ]


def _at_ends(gap: Gap, points: Array, signs: Sorted, nothing: float) -> list[Crossing]:
    """Return crossings next to zeros at the first and last points."""
    roots, places = [], np.flatnonzero(signs)
    if len(places) and (first := int(places[0])) > 0:
        value = points[0] if first == 1 else _edge(gap, points[first], points[first - 1], nothing)
        roots.append(Crossing(value=float(value), below=0, above=int(signs[first]), jump=False))
    if len(places) and (last := int(places[-1])) < len(points) - 1:
        at_end = last == len(points) - 2
        value = points[-1] if at_end else _edge(gap, points[last], points[last + 1], nothing)
        roots.append(Crossing(value=float(value), below=int(signs[last]), above=0, jump=False))
    return roots


def _edge(gap: Gap, away: float, within: float, nothing: float) -> float:
    """Return where the function leaves zero, between a value away from it and one within."""
    ends = np.array([away]), np.array([within])
    return float(narrowed(gap, *ends, lambda values: np.abs(values) <= nothing)[1][0])
