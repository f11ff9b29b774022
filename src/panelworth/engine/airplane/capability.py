"""The share of members' needs that each option's panel meets, weighted by their ballots.

A share says how many of the needs an option meets, and not what they are worth in money. The money
figures do not count the needs a second time.
"""

from collections.abc import Mapping, Sequence
from itertools import product
from zlib import crc32

import numpy as np

from panelworth.engine.airplane.aircraft_configuration import configuration_after
from panelworth.engine.airplane.failures import provided
from panelworth.engine.cash_flow.calendar import Mask
from panelworth.engine.results.airplane import (
    CapabilityFigures,
    TippingPoint,
)
from panelworth.engine.trials import Array
from panelworth.model.case import Case
from panelworth.model.needs import Ballot, Need, Needs

SAMPLES = 10_000  # the standard error of a chance is then at most √(0.25/10,000) = 0.5 %
SWING = 0.5  # weights are drawn from 50 % below to 50 % above; a choice without a source
TIE = 1e-12  # a smaller difference of two shares is only floating-point error


def capability_of(case: Case) -> CapabilityFigures | None:
    """Return each option's share of weighted needs, and the robustness of the first place.

    None without needs.toml, or where no option describes its equipment. Without ballots all
    needs have the same weight.
    """
    fitted = {option_id: configuration_after(case, option_id) for option_id in case.options}
    there = {
        option_id: provided(configuration.units)
        for option_id, configuration in fitted.items()
        if configuration
    }
    if case.needs is None or not case.needs.needs or not there:
        return None
    needs, options = case.needs.needs, list(there)
    met = np.array([[is_met(need, there[option_id]) for need in needs] for option_id in options])
    weights = weights_of(case.needs, case.ballots)
    shares = met @ weights
    chances, kept = rank_robustness(met, weights, seed=case.scenario.uncertainty.seed)
    return CapabilityFigures(
        weights={need.name: float(weights[n]) for n, need in enumerate(needs)},
        met={
            option: tuple(need.name for need, yes in zip(needs, row, strict=True) if yes)
            for option, row in zip(options, met, strict=True)
        },
        share=dict(zip(options, shares.tolist(), strict=True)),
        first=tuple(option for n, option in enumerate(options) if _leads(shares)[n]),
        tipping_points=tuple(
            tipping_point(met, weights, number, need.name, options)
            for number, need in enumerate(needs)
        ),
        chance_first=dict(zip(options, chances.tolist(), strict=True)),
        order_kept=kept,
    )


def is_met(need: Need, functions: frozenset[str]) -> bool:
    """Say whether all functions of a need are available; for "a | b" one of the two is enough."""
    return all(
        any(part.strip() in functions for part in entry.split("|")) for entry in need.functions
    )


def weights_of(needs: Needs, ballots: Sequence[Ballot]) -> Array:
    """Return each need's share of all weight, shape (needs,), adding up to 1.

    approval: the number of ballots that mark the need. ranking: Borda points. On a ballot over n
    needs the first gets n points, the second n - 1, and so on; equal ranks share the points of
    their places. Only the order of the numbers counts. Unmarked needs get no points. If no ballot
    marks anything, all weights are equal.
    """
    names = [need.name for need in needs.needs]
    points: Array = np.zeros(len(names))
    for ballot in ballots:
        marks = ballot.marks if needs.ballots == "approval" else borda(ballot.marks, len(names))
        points += np.array([float(marks.get(name, 0)) for name in names])
    total = points.sum()
    return points / total if total else np.full(len(names), 1.0 / len(names))


def borda(ranks: Mapping[str, int], needs: int) -> dict[str, float]:
    """Return the points of one ballot's needs by their ranks (Borda count, from memory).

    >>> borda({"a": 1, "b": 2, "c": 2}, 4)
    {'a': 4.0, 'b': 2.5, 'c': 2.5}
    """
    points = {}
    for name, rank in ranks.items():
        better = sum(other < rank for other in ranks.values())
        equal = sum(other == rank for other in ranks.values())
        points[name] = needs - better - (equal - 1) / 2
    return points


def tipping_point(
    met: Mask, weights: Array, number: int, name: str, options: Sequence[str]
) -> TippingPoint:
    """Return how far one need's weight must change before another option comes first.

    If the need has the share t of all weight and the other needs keep their proportions, an
    option's share is t·met + (1-t)·r, with r its share of the other needs. This is a straight line
    in t, so the first place changes where two lines meet: the result is exact and needs no search.
    It is the meeting point in [0, 1] nearest to today's weight at which another option reaches all
    options that are first now.
    """
    others = weights.copy()
    others[number] = 0.0
    rest = met @ (others / others.sum()) if others.sum() else np.zeros(len(options))
    slope, leads = met[:, number] - rest, _leads(met @ weights)
    crossings = []
    for lead, other in product(np.flatnonzero(leads).tolist(), np.flatnonzero(~leads).tolist()):
        across = float(slope[other] - slope[lead])
        place = float(rest[lead] - rest[other]) / across if abs(across) > TIE else -1.0
        there = rest + place * slope
        if -TIE <= place <= 1.0 + TIE and there[other] >= there[leads].max() - TIE:
            moved = abs(place - float(weights[number]))
            crossings.append((moved, min(max(place, 0.0), 1.0), options[other]))
    nearest = min(crossings, default=None)
    return TippingPoint(
        need=name,
        weight=float(weights[number]),
        tips_at=nearest[1] if nearest else None,
        new_first=nearest[2] if nearest else None,
    )


def rank_robustness(
    met: Mask, weights: Array, *, seed: int, samples: int = SAMPLES
) -> tuple[Array, float]:
    """Return how often each option comes first, and how often the whole order stays the same.

    Every weight is drawn independently, uniform between 0.5 and 1.5 times its value. A tie for the
    first place is shared. The order stays the same if no pair of options changes its order. The
    random stream has a name of its own, so that these draws do not change those of the money
    figures.
    """
    stream = np.random.default_rng([seed, crc32(b"needs.weights")])
    factors = stream.uniform(1.0 - SWING, 1.0 + SWING, size=(samples, len(weights)))
    varied = factors * weights
    shares = varied / varied.sum(axis=1, keepdims=True) @ met.T
    leads = shares >= shares.max(axis=1, keepdims=True) - TIE
    chances: Array = (leads / leads.sum(axis=1, keepdims=True)).mean(axis=0)
    return chances, float(np.mean((_sides(shares) == _sides(met @ weights)).all(axis=(1, 2))))


def _leads(shares: Array) -> Mask:
    leads: Mask = shares >= shares.max() - TIE
    return leads


def _sides(shares: Array) -> Array:
    """Return the sign of each pair's difference: 1, 0 or -1, shape (rows, n, n)."""
    rows = np.atleast_2d(shares)
    apart = rows[:, :, np.newaxis] - rows[:, np.newaxis, :]
    sides: Array = np.where(np.abs(apart) < TIE, 0.0, np.sign(apart))
    return sides
