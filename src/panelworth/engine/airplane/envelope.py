"""The center-of-gravity envelope: exact geometry of a loading as its fuel burns off.

Numbers are the decimals that were written, held as fractions, so that a loading exactly on a
limit is on it. Corners are (arm, weight). Burning fuel moves (moment, weight) along a straight
line, but (arm, weight) along a hyperbola: its crossings with the envelope are solved, not sampled.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

Corners = Sequence[tuple[Fraction, Fraction]]


@dataclass(frozen=True, kw_only=True)
class Mass:
    """A weight and its moment about the datum; a weight that comes out is negative."""

    weight: Fraction
    moment: Fraction


@dataclass(frozen=True, kw_only=True)
class Burn:
    """A loading: all but fuel, and the fuel to burn; t runs from 0 (none) to 1 (all of it)."""

    no_fuel: Mass
    fuel: Mass


def decimal(number: float) -> Fraction:
    """Take a number as the decimal it was written as.

    >>> decimal(0.1)
    Fraction(1, 10)
    """
    return Fraction(repr(float(number)))


def mass_at(weight: float, arm: float) -> Mass:
    """Return weight and moment = weight·arm, with the sign of both.

    Removed weight is negative, so a removed item with a negative arm has a positive moment
    (AMT General, "Equipment Change", second-hand).

    >>> mass_at(-2.0, -10.0).moment
    Fraction(20, 1)
    """
    return Mass(weight=decimal(weight), moment=decimal(weight) * decimal(arm))


def total(masses: Iterable[Mass]) -> Mass:
    """Add up weights and moments."""
    parts = list(masses)
    weight = sum((part.weight for part in parts), Fraction(0))
    return Mass(weight=weight, moment=sum((part.moment for part in parts), Fraction(0)))


def arm_of(mass: Mass) -> Fraction:
    """Return the center of gravity, moment/weight; 0 for no weight at all."""
    return mass.moment / mass.weight if mass.weight else Fraction(0)


def corners_of(envelope: Iterable[Sequence[float]]) -> list[tuple[Fraction, Fraction]]:
    """Take an envelope's corners [arm, weight] as written; a repeated last corner is no harm."""
    return [(decimal(arm), decimal(weight)) for arm, weight in envelope]


def holds(corners: Corners, arm: Fraction, weight: Fraction) -> bool:
    """Say whether a point is in a polygon, its boundary included: even-odd rule, exact.

    >>> square = corners_of([[0, 0], [0, 2], [2, 2], [2, 0]])
    >>> holds(square, Fraction(2), Fraction(1)), holds(square, Fraction(3), Fraction(1))
    (True, False)
    """
    inside = False
    for (arm1, weight1), (arm2, weight2) in _edges(corners):
        turn = (arm2 - arm1) * (weight - weight1) - (weight2 - weight1) * (arm - arm1)
        if turn == 0 and _between(arm, arm1, arm2) and _between(weight, weight1, weight2):
            return True
        if (weight1 > weight) != (weight2 > weight) and (turn > 0) == (weight2 < weight1):
            inside = not inside
    return inside


def limits_at(corners: Corners, weight: Fraction) -> tuple[Fraction, Fraction] | None:
    """Return the most forward and most aft arm of the envelope at a weight; None beyond it.

    Exact for envelopes whose section at a weight is one stretch, as published ones are.
    """
    arms = []
    for (arm1, weight1), (arm2, weight2) in _edges(corners):
        if not _between(weight, weight1, weight2):
            continue
        if weight1 == weight2:
            arms += [arm1, arm2]
        else:
            arms.append(arm1 + (weight - weight1) * (arm2 - arm1) / (weight2 - weight1))
    return (min(arms), max(arms)) if arms else None


def state(burn: Burn, share: float | Fraction) -> Mass:
    """Return the airplane with this share of its fuel left."""
    left = Fraction(share)
    return Mass(
        weight=burn.no_fuel.weight + left * burn.fuel.weight,
        moment=burn.no_fuel.moment + left * burn.fuel.moment,
    )


def outside(corners: Corners, burn: Burn, most: Fraction) -> list[tuple[float, float]]:
    """Return the stretches of t at which a loading is out of the envelope or over its weight.

    Between two neighbouring crossings it is either in or out throughout, so one state in
    between decides: a burn that touches the boundary from within is in, one that touches it from
    without is out throughout. Without corners only the weight counts.
    """
    cuts = sorted({0.0, 1.0, *_crossings(corners, burn), *_at_weights([most], burn)})
    if not burn.fuel.weight:
        return [] if _allowed(corners, state(burn, 0), most) else [(0.0, 0.0)]
    stretches: list[tuple[float, float]] = []
    for low, high in pairwise(cuts):
        if _allowed(corners, state(burn, (Fraction(low) + Fraction(high)) / 2), most):
            continue
        joined = stretches.pop()[0] if stretches and stretches[-1][1] == low else low
        stretches.append((joined, high))
    return stretches


def inside_at(corners: Corners, burn: Burn, most: Fraction) -> list[tuple[float, float]]:
    """Return the stretches of t at which a loading is inside: what `outside` leaves of 0 to 1."""
    ends = [0.0, *(end for stretch in outside(corners, burn, most) for end in stretch), 1.0]
    stretches = zip(ends[::2], ends[1::2], strict=True)
    return [(low, high) for low, high in stretches if low < high]


def margins(corners: Corners, burn: Burn) -> tuple[float, float] | None:
    """Return the least distance from the forward and the aft limit over the whole burn.

    Negative beyond a limit; None where the burn leaves the envelope's weights. The least lies at
    an end, at a corner's weight, or where the hyperbola runs along an edge.
    """
    weights = [weight for _, weight in corners]
    shares = [0.0, 1.0, *_at_weights(weights, burn), *_alongside(corners, burn)]
    distances = []
    for share in shares:
        mass = state(burn, share)
        limits = limits_at(corners, mass.weight)
        if limits is None:
            if _near(mass.weight, weights):
                continue  # a corner's weight, missed by rounding; its neighbours decide
            return None
        distances.append((arm_of(mass) - limits[0], limits[1] - arm_of(mass)))
    return float(min(forward[0] for forward in distances)), float(min(aft[1] for aft in distances))


def _allowed(corners: Corners, mass: Mass, most: Fraction) -> bool:
    return mass.weight <= most and (not corners or holds(corners, arm_of(mass), mass.weight))


def _crossings(corners: Corners, burn: Burn) -> list[float]:
    """Solve where the burn meets each edge's line.

    (M - a1·w)·dw = (w - w1)·w·da with M and w linear in t: a quadratic in t.
    """
    zero, fuel = burn.no_fuel, burn.fuel
    roots = []
    for (arm1, weight1), (arm2, weight2) in _edges(corners):
        da, dw = arm2 - arm1, weight2 - weight1
        square = -da * fuel.weight**2
        linear = (fuel.moment - arm1 * fuel.weight) * dw
        linear -= da * fuel.weight * (2 * zero.weight - weight1)
        constant = (zero.moment - arm1 * zero.weight) * dw
        constant -= da * (zero.weight - weight1) * zero.weight
        roots += _roots(square, linear, constant)
    return [root for root in roots if 0.0 < root < 1.0]


def _roots(square: Fraction, linear: Fraction, constant: Fraction) -> list[float]:
    if square == 0:
        return [float(-constant / linear)] if linear else []
    inner = linear * linear - 4 * square * constant
    if inner < 0:
        return []
    # The larger of the two in size without cancellation; the other from their product.
    far = -(linear + Fraction(math.copysign(math.sqrt(inner), linear))) / 2
    return [float(far / square), *([float(constant / far)] if far else [])]


def _at_weights(weights: Iterable[Fraction], burn: Burn) -> list[float]:
    if not burn.fuel.weight:
        return []
    shares = [float((weight - burn.no_fuel.weight) / burn.fuel.weight) for weight in weights]
    return [share for share in shares if 0.0 < share < 1.0]


def _alongside(corners: Corners, burn: Burn) -> list[float]:
    """Solve where arm(w) = af + c/w runs parallel to an edge arm = α + β·w: w² = -c/β."""
    if not burn.fuel.weight:
        return []
    c = burn.no_fuel.moment - arm_of(burn.fuel) * burn.no_fuel.weight
    weights = []
    for (arm1, weight1), (arm2, weight2) in _edges(corners):
        if arm1 != arm2 and weight1 != weight2:
            square = -c * (weight2 - weight1) / (arm2 - arm1)
            weights += [Fraction(math.sqrt(square))] if square > 0 else []
    return _at_weights(weights, burn)


def _edges(corners: Corners) -> Iterable[tuple[tuple[Fraction, Fraction], ...]]:
    return zip(corners, [*corners[1:], *corners[:1]], strict=True)


def _between(value: Fraction, one: Fraction, other: Fraction) -> bool:
    return min(one, other) <= value <= max(one, other)


def _near(value: Fraction, others: Iterable[Fraction]) -> bool:
    return any(math.isclose(value, other, rel_tol=1e-12) for other in others)
