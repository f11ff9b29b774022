"""Draws: the value of each input in trial 0, 1, 2 and so on.

The draws of an input depend only on the seed, its path and its range; the cost ranges of an option
also share a common factor. They do not depend on the number of trials, on the order of options or
on other inputs. Why: after a change of one input, every change of a figure is then an effect of
this input, and not of other random numbers (common random numbers). Therefore each range has a
random stream of its own.
"""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from scipy import special

from panelworth.engine.cash_flow.failing_units import failing_units
from panelworth.engine.cash_flow.surprises import event_path
from panelworth.engine.trials import Array, Trials, likely_trial, trials_with
from panelworth.engine.uncertainty.quantiles import quantile
from panelworth.model.case import Case, option_prefix
from panelworth.model.option import Option
from panelworth.model.scenario import MONTHS
from panelworth.model.streams import repair_events_path
from panelworth.model.value import Quantity

KEY_BYTES = 16  # a key of Philox has 128 bits
OUTPUTS = 4  # one step of Philox's counter gives four numbers of 64 bits
# 52 of the 64 bits are used: the middle of the last step, 1 - 2^-53, is then a double below 1.
DISCARDED_BITS = 12
STEP = 2.0**-52
COMMON = "common factor"


@dataclass(frozen=True, kw_only=True)
class Stream:
    """A range and the key of its random stream.

    `common` is the key of its option's common factor; None if the range is no price of an item.
    """

    path: str
    quantity: Quantity
    key: int
    common: int | None = None


@dataclass(frozen=True, kw_only=True)
class Follower:
    """A range that takes the probability of another range's draw, its root (`like` in a file)."""

    path: str
    quantity: Quantity
    root: str


@dataclass(frozen=True, kw_only=True)
class Event:
    """Something that may turn up: it happens where its own uniform number is below the chance."""

    path: str
    chance: Quantity
    key: int


@dataclass(frozen=True, kw_only=True)
class CountStream:
    """Uniform numbers for the counts of failures or repairs: `width` of them in each trial."""

    path: str
    key: int
    width: int


@dataclass(frozen=True, kw_only=True)
class Source:
    """The source of draws: the likely trial, a stream for each range, and the correlation.

    A range that follows another has no stream of its own.
    """

    likely: Trials
    streams: tuple[Stream, ...]
    followers: tuple[Follower, ...]
    events: tuple[Event, ...]
    counts: tuple[CountStream, ...]
    correlation: float


@dataclass(frozen=True, kw_only=True)
class Draws:
    """Drawn trials, and the probability of each range's draw by the range's path."""

    trials: Trials
    probabilities: Mapping[str, Array]


def draw_source_of(case: Case) -> Source:
    """Return the source of a case's draws; one source serves any number of blocks."""
    seed, commons = case.scenario.uncertainty.seed, _cost_paths(case)
    streams = []
    for input_ in case.inputs:
        if not input_.quantity.certain and input_.path not in case.roots:
            common = commons.get(input_.path)
            streams.append(
                Stream(
                    path=input_.path,
                    quantity=input_.quantity,
                    key=stream_key(seed, input_.path),
                    common=None if common is None else stream_key(seed, common),
                )
            )
    return Source(
        likely=likely_trial(case),
        streams=tuple(streams),
        followers=tuple(
            Follower(path=input_.path, quantity=input_.quantity, root=case.roots[input_.path])
            for input_ in case.inputs
            if input_.path in case.roots
        ),
        events=tuple(
            Event(path=path, chance=surprise.chance, key=stream_key(seed, path))
            for option_id, option in case.options.items()
            for surprise in option.surprises
            for path in [event_path(option_id, surprise)]
        ),
        counts=tuple(
            CountStream(path=path, key=stream_key(seed, path), width=width)
            for path, width in _counts(case).items()
        ),
        correlation=case.scenario.uncertainty.correlation,
    )


def _counts(case: Case) -> dict[str, int]:
    """Return how many uniform numbers a trial needs, by path.

    One for each year and each unit that fails, and one for each month of repairs one by one.
    """
    years = case.scenario.years
    widths: dict[str, int] = {}
    for option_id in case.options:
        widths |= {unit.count_path: years for unit in failing_units(case, option_id)}
        today, after = case.airplanes[option_id]
        for aircraft, prefix in ((today, ""), (after, option_prefix(option_id))):
            if aircraft.repairs.each is not None:
                widths[repair_events_path(prefix)] = MONTHS * years + 1
    return widths


def empty_trials(source: Source, trials: int) -> Trials:
    """Return empty arrays for so many trials, which `store_draws` fills with draws."""
    ranges = [stream.path for stream in source.streams]
    ranges += [follower.path for follower in source.followers]
    ranges += [event.path for event in source.events]
    room = {path: np.empty(trials) for path in ranges}
    room |= {count.path: np.empty((trials, count.width)) for count in source.counts}
    return trials_with(source.likely, room)


def store_draws(store: Trials, draws: Draws, first: int) -> None:
    """Copy drawn trials into the arrays of `empty_trials`, from index `first` on."""
    for path, values in draws.trials.values.items():
        if len(values) > 1:
            store.values[path][first : first + draws.trials.size] = values


def draws_of(source: Source, first: int, count: int) -> Draws:
    """Return trials first..first+count-1, with the probability of each range's draw."""
    probabilities = probabilities_of(source, first, count)
    values = {
        stream.path: quantile(stream.quantity, probabilities[stream.path])
        for stream in source.streams
    }
    values |= {
        follower.path: quantile(follower.quantity, probabilities[follower.root])
        for follower in source.followers
    }
    values |= {
        event.path: np.where(
            uniform(event.key, first, count)
            < values.get(event.chance.path, source.likely.of(event.chance)),
            1.0,
            0.0,
        )
        for event in source.events
    }
    values |= {
        stream.path: uniform(stream.key, first * stream.width, count * stream.width).reshape(
            count, stream.width
        )
        for stream in source.counts
    }
    trials = trials_with(source.likely, values)
    return Draws(trials=Trials(size=count, values=trials.values), probabilities=probabilities)


def probabilities_of(source: Source, first: int, count: int) -> dict[str, Array]:
    """Return the probability of each range's draw, uniform in (0, 1), shape (count,).

    For a cost range it is Φ(√ρ·F + √(1-ρ)·ε), with F the common factor of its option, ε its own
    normal score and ρ the correlation: a one-factor Gaussian copula (Li, "On default correlation",
    2000, from memory). All other ranges are independent. Why a copula: the costs of one project
    rise and fall together, and each range must keep its own distribution. Why one factor: a file
    then states one number instead of a matrix, and every ρ from 0 to 1 is valid.
    """
    factors: dict[int, Array] = {}
    probabilities = {}
    for stream in source.streams:
        probability = uniform(stream.key, first, count)
        if stream.common is not None and source.correlation > 0.0:
            if stream.common not in factors:
                factors[stream.common] = special.ndtri(uniform(stream.common, first, count))
            probability = _correlated(probability, factors[stream.common], source.correlation)
        probabilities[stream.path] = probability
    return probabilities


def _correlated(independent: Array, factor: Array, correlation: float) -> Array:
    """Return a draw's probability with the common factor, strictly between 0 and 1.

    `independent` is the probability that the range's own stream gives.
    """
    score = np.sqrt(correlation) * factor + np.sqrt(1.0 - correlation) * special.ndtri(independent)
    # Far out in a tail Φ rounds to 0 or 1, of which no quantile exists.
    probability: Array = np.clip(special.ndtr(score), STEP / 2.0, 1.0 - STEP / 2.0)
    return probability


def stream_key(seed: int, name: str) -> int:
    """Return the key of a named stream: 128 bits of a BLAKE2b hash of seed and name.

    With 128 bits two names practically never share a key. Python's own `hash` of a text differs
    from run to run, so it cannot be used.

    >>> stream_key(1, "rates.inflation") == stream_key(1, "rates.discount")
    False
    """
    digest = hashlib.blake2b(f"{seed} {name}".encode(), digest_size=KEY_BYTES)
    return int.from_bytes(digest.digest(), "little")


def uniform(key: int, first: int, count: int) -> Array:
    """Return numbers first..first+count-1 of a stream, uniform in (0, 1), without both ends.

    Philox is a counter-based generator (Salmon et al., "Parallel random numbers: as easy as 1, 2,
    3", SC11): number n follows from the key and n, so that a block can begin anywhere. Each number
    is the middle of one of 2^52 equal steps, never 0 or 1: these have no normal score.
    """
    steps, skipped = divmod(first, OUTPUTS)
    stream = np.random.Philox(key=key, counter=steps)
    probability = (stream.random_raw(skipped + count)[skipped:] >> DISCARDED_BITS).astype(
        np.float64
    )
    probability += 0.5
    probability *= STEP
    return probability


def _cost_paths(case: Case) -> dict[str, str]:
    """Return the name of the option's common factor, by the path of each input of item prices."""
    return {
        quantity.path: f"{option_prefix(option_id)}{COMMON}"
        for option_id, option in case.options.items()
        for quantity in _costs(option)
        if quantity is not None
    }


def _costs(option: Option) -> Iterator[Quantity | None]:
    """Yield the inputs of the prices of an option's items and surprises."""
    for item in option.items:
        yield from (item.cost, item.hours, item.rate)
    yield from (surprise.cost for surprise in option.surprises)
