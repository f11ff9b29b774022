"""The center-of-gravity envelope: exact geometry of a loading as its fuel burns off.

Numbers are exact fractions of the decimals in the file. Why: a loading exactly on a limit is within
it, and a binary rounding error must not put it outside. Corners are (arm, weight). Burning fuel
moves (moment, weight) along a straight line, but (arm, weight) along a hyperbola. The points at
which the hyperbola crosses the envelope are solved for, since samples could miss a short part
outside.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

Corners = Sequence[tuple[Fraction, Fraction]]


@dataclass(frozen=True, kw_only=True)
class Mass:
    """A weight and its moment about the datum; a removed weight is negative."""

    weight: Fraction
    moment: Fraction


@dataclass(frozen=True, kw_only=True)
class Burn:
    """A loading without fuel, and the fuel to burn.

    Its state is given by t, the share of this fuel that is left: from 1 at the start down to 0.
    """

    no_fuel: Mass
    fuel: Mass


def decimal(number: float) -> Fraction:
    """Return the exact fraction of a number as it was written in the file.

    `repr` gives the shortest decimal for this double, which is the one that was written.

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
    """Return an envelope's corners [arm, weight] as exact fractions.

    A file may repeat the first corner at the end: this adds an edge of length 0, which has no
    effect.
    """
    return [(decimal(arm), decimal(weight)) for arm, weight in envelope]


def holds(corners: Corners, arm: Fraction, weight: Fraction) -> bool:
    """Say whether a point is in a polygon, its boundary included.

    Even-odd rule: a ray from the point crosses the boundary an odd number of times. The half-open
    test of weights counts a corner that the ray passes through once. Exact, with fractions.

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
    """Return the most forward and the most aft arm of the envelope at a weight.

    None where the envelope does not reach this weight. Correct for envelopes with one range of arms
    at each weight; published envelopes are of this kind.
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
    """Return the ranges of t in which a loading is outside the envelope or above `most`.

    `most` is the maximum weight. Between two neighbouring crossings a loading is either inside or
    outside all the time, so the state in the middle decides. A burn that touches the boundary from
    inside is never outside; one that touches it from outside is never inside. Without corners only
    the weight is compared.
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
    """Return the ranges of t in which a loading is inside: from 0 to 1 without `outside`."""
    ends = [0.0, *(end for stretch in outside(corners, burn, most) for end in stretch), 1.0]
    stretches = zip(ends[::2], ends[1::2], strict=True)
    return [(low, high) for low, high in stretches if low < high]


def margins(corners: Corners, burn: Burn) -> tuple[float, float] | None:
    """Return the least distance of the arm from the forward and from the aft limit in a burn.

    Negative beyond a limit; None if a weight of the burn is outside the envelope's weights. Why
    only a few points are tested: between the weights of two corners a limit is a straight edge and
    the distance to it is smooth. So its least value is at an end, at the weight of a corner, or
    where the hyperbola is parallel to the edge.
    """
    weights = [weight for _, weight in corners]
    shares = [0.0, 1.0, *_at_weights(weights, burn), *_alongside(corners, burn)]
    distances = []
    for share in shares:
        mass = state(burn, share)
        limits = limits_at(corners, mass.weight)
        if limits is None:
            if _near(mass.weight, weights):
                # The share is a double: at the lightest or heaviest corner its weight may round
                # to just outside. The points next to it have the same limits.
                continue
            return None
        distances.append((arm_of(mass) - limits[0], limits[1] - arm_of(mass)))
    return float(min(forward[0] for forward in distances)), float(min(aft[1] for aft in distances))


def _allowed(corners: Corners, mass: Mass, most: Fraction) -> bool:
    return mass.weight <= most and (not corners or holds(corners, arm_of(mass), mass.weight))


def _crossings(corners: Corners, burn: Burn) -> list[float]:
    """Return the values of t at which the burn meets the line through an edge.

    A point of the line has (arm - a1)·dw = (w - w1)·da. With arm = M/w: (M - a1·w)·dw = (w -
    w1)·w·da, M and w linear in t: a quadratic equation in t. A point on the line beyond the edge is
    returned too: it only adds a range of t, which is tested like the others.
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
    """Return the real roots of square·t² + linear·t + constant."""
    if square == 0:
        return [float(-constant / linear)] if linear else []
    inner = linear * linear - 4 * square * constant
    if inner < 0:
        return []
    # The usual formula loses digits where the root of `inner` is near to |linear|. So the root with
    # the larger absolute value is worked out first, and the other one from the product of the roots
    # (Numerical Recipes, section 5.6, from memory).
    far = -(linear + Fraction(math.copysign(math.sqrt(inner), linear))) / 2
    return [float(far / square), *([float(constant / far)] if far else [])]


def _at_weights(weights: Iterable[Fraction], burn: Burn) -> list[float]:
    """Return the values of t, strictly between 0 and 1, at which a burn has these weights."""
    if not burn.fuel.weight:
        return []
    shares = [float((weight - burn.no_fuel.weight) / burn.fuel.weight) for weight in weights]
    return [share for share in shares if 0.0 < share < 1.0]


def _alongside(corners: Corners, burn: Burn) -> list[float]:
    """Return the values of t at which the hyperbola is parallel to an edge.

    The burn has arm(w) = af + c/w, af the fuel's arm, and its slope is -c/w². An edge
    arm = α + β·w has the slope β. They are equal at w² = -c/β.
    """
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
    """Say whether a value equals one of the others apart from the error of a double."""
    return any(math.isclose(value, other, rel_tol=1e-12) for other in others)
