"""What the ranges do to the figures: every option in the same drawn worlds.

Works through the worlds in blocks and keeps four numbers an option and world, so that a million
worlds fit in memory. Funding is settled in the likely view and held in every world.
"""

from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cashflow import Flows, flows_of
from panelworth.engine.comparison import cost_npv, factors_of, npv
from panelworth.engine.discounting import present_value
from panelworth.engine.draws import Source, drawn, source_of
from panelworth.engine.funding import Plan, below_floor, plan_of
from panelworth.engine.results import (
    Errors,
    OptionUncertainty,
    Range,
    Spread,
    Uncertainty,
)
from panelworth.engine.scale import nothing_of
from panelworth.engine.variance import Bins, binned, bins_for, shares_of_variance
from panelworth.engine.worlds import Array, Worlds, worlds_between
from panelworth.model.case import Case

BLOCK = 2000  # drawing is quick in long blocks
PART = 1000  # evaluating in short ones, whose rows fit a processor's cache
KEPT = 32 * 2**20 - 2**16
WORKERS = 2  # numpy lets two blocks run at once; more would only hold more memory
HALF_A_CENT = 0.005
PERCENTS = np.linspace(0.0, 100.0, 101)
Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True)
class Tally:
    """One option in every world: arrays of shape (trials,), money; filled in block by block.

    `cost_per_hour` is NaN where nothing is flown.
    """

    upfront: Array
    outlay: Array
    npv: Array
    cost_per_hour: Array


@dataclass(frozen=True, kw_only=True)
class Run:
    """What all blocks share: the case, its streams, each option's plan, and the tallies to fill."""

    case: Case
    source: Source
    plans: Mapping[str, Plan]
    likely_outlays: Mapping[str, float]
    nothing: float
    tallies: Mapping[str, Tally]
    bins: Mapping[str, Bins]


def simulate(
    case: Case,
    *,
    trials: int | None = None,
    block: int = BLOCK,
    progress: Progress | None = None,
) -> Uncertainty:
    """Draw the worlds and return every option's spread, chances and shares of variance.

    `trials` is the file's unless given. `progress` is told (worlds done, worlds in all). The
    figures do not depend on `block`, but for the last digits of the shares.
    """
    _keep_freed_memory()
    terms = case.scenario.uncertainty
    count = terms.trials if trials is None else trials
    run = _run(case, count)
    spans = [(first, min(block, count - first)) for first in range(0, count, block)]
    below = dict.fromkeys(case.options, 0)
    for done, found in _worked(run, spans):
        for option_id, worlds in found.items():
            below[option_id] += worlds
        if progress is not None:
            progress(done, count)
    return Uncertainty(
        trials=count,
        seed=terms.seed,
        correlation=terms.correlation,
        options=dict(_figures(run, below)),
    )


def _keep_freed_memory() -> None:
    """Have the C library keep freed arrays at hand, which halves the time where it can be had.

    glibc returns an array to the system when it is freed and takes it back page by page. Once
    one just under its limit of 32 MiB has been freed, it keeps those of up to that size (dynamic
    mmap threshold, mallopt(3)). Elsewhere this does nothing.
    """
    np.empty(KEPT // 8)


def _run(case: Case, count: int) -> Run:
    """Settle what is decided in the likely view and make room for the worlds."""
    source = source_of(case)
    likely = {option_id: flows_of(case, option_id, source.likely) for option_id in case.options}
    return Run(
        case=case,
        source=source,
        plans={option_id: plan_of(case, flows) for option_id, flows in likely.items()},
        likely_outlays={
            option_id: float(flows.project.outlay[0]) for option_id, flows in likely.items()
        },
        nothing=nothing_of(case),
        tallies={
            option_id: Tally(**{key: np.empty(count) for key in Tally.__dataclass_fields__})
            for option_id in case.options
        },
        bins=bins_for(case, source, count),
    )


def _worked(run: Run, spans: list[tuple[int, int]]) -> Iterator[tuple[int, dict[str, int]]]:
    """Work through the blocks and yield, in order, worlds done and counts below the floor."""
    with ThreadPoolExecutor(max_workers=WORKERS) as workers:
        for (first, count), (below, bins) in zip(
            spans, workers.map(lambda span: _block(run, *span), spans), strict=True
        ):
            for option_id, each in bins.items():
                run.bins[option_id].add(each)
            yield first + count, below


def _block(run: Run, first: int, count: int) -> tuple[dict[str, int], dict[str, Bins]]:
    """Evaluate every option in worlds first..first+count-1 and fill in its tallies there.

    Returns how many worlds fall below the floor, and the differences to the baseline by bins.
    """
    drawing = drawn(run.source, first, count)
    below = dict.fromkeys(run.tallies, 0)
    for start in range(0, count, PART):
        part = worlds_between(drawing.worlds, start, min(start + PART, count))
        for option_id, low in _evaluated(run, part, first + start):
            below[option_id] += low
    here, baseline = slice(first, first + count), run.case.scenario.baseline
    at_baseline = run.tallies[baseline].npv[here]
    gaps = {option_id: tally.npv[here] - at_baseline for option_id, tally in run.tallies.items()}
    bins = {
        option_id: binned(run.bins[option_id], drawing.shares, gap)
        for option_id, gap in gaps.items()
        if option_id != baseline
    }
    return below, bins


def _evaluated(run: Run, worlds: Worlds, first: int) -> Iterator[tuple[str, int]]:
    """Fill in every option's tally for these worlds and yield how many fall below the floor."""
    here, factors = slice(first, first + worlds.size), None
    for option_id, tally in run.tallies.items():
        flows = flows_of(run.case, option_id, worlds)
        factors = factors_of(flows) if factors is None else factors
        _fill(tally, here, flows, factors)
        low = below_floor(run.case, flows, run.plans[option_id])
        yield option_id, int(np.broadcast_to(low, (worlds.size,)).sum())


def _fill(tally: Tally, here: slice, flows: Flows, factors: Array) -> None:
    """Write a block's upfront, outlay, npv and levelised cost an hour into the tally."""
    tally.upfront[here] = flows.project.upfront
    tally.outlay[here] = flows.project.outlay
    tally.npv[here] = npv(flows, factors)
    cost, flown = np.broadcast_arrays(cost_npv(flows, factors), present_value(flows.hours, factors))
    tally.cost_per_hour[here] = np.divide(
        cost, flown, out=np.full(cost.shape, np.nan), where=flown > 0.0
    )


def _figures(run: Run, below: Mapping[str, int]) -> Iterator[tuple[str, OptionUncertainty]]:
    """Turn the tallies into figures, option by option.

    Differences up to `nothing` are rounding, and so a tie; to beat the baseline takes more than
    half a cent.
    """
    nothing = run.nothing
    baseline = run.case.scenario.baseline
    best = np.maximum.reduce([tally.npv for tally in run.tallies.values()])
    ties = np.sum([tally.npv >= best - nothing for tally in run.tallies.values()], axis=0)
    for option_id, tally in run.tallies.items():
        gap = tally.npv - run.tallies[baseline].npv
        likely_outlay = run.likely_outlays[option_id]
        shares, remainder = shares_of_variance(run.bins[option_id], gap, nothing=nothing)
        outlays, gaps = (np.percentile(each, PERCENTS) for each in (tally.outlay, gap))
        chances = {
            "likely_enough": float(np.mean(tally.outlay <= likely_outlay + nothing)),
            "beats_baseline": None if option_id == baseline else float(np.mean(gap > HALF_A_CENT)),
            "best": float(np.mean((tally.npv >= best - nothing) / ties)),
            "below_floor": _share_below(run, below[option_id]),
        }
        yield (
            option_id,
            OptionUncertainty(
                range=_range(tally, gap),
                budget_p80=float(outlays[80]),
                **{f"chance_{key}": chance for key, chance in chances.items()},  # type: ignore[arg-type]
                likely_outlay=likely_outlay,
                regret=float(np.mean(best - tally.npv)),
                errors=Errors(**_errors(chances, len(gap))),  # type: ignore[arg-type]
                shares=shares,
                remainder=remainder,
                outlay_quantiles=tuple(outlays.tolist()),
                gap_quantiles=tuple(gaps.tolist()),
            ),
        )


def _share_below(run: Run, below: int) -> float | None:
    trials = len(next(iter(run.tallies.values())).npv)
    return None if run.case.scenario.club is None else below / trials


def _range(tally: Tally, gap: Array) -> Range:
    flown = tally.cost_per_hour[~np.isnan(tally.cost_per_hour)]
    return Range(
        upfront=spread(tally.upfront),
        npv=spread(tally.npv),
        npv_vs_baseline=spread(gap),
        cost_per_hour=spread(flown) if len(flown) else None,
    )


def spread(values: Array) -> Spread:
    """Return percentiles and mean of a figure over the worlds, in its own unit.

    >>> spread(np.array([0.0, 10.0, 20.0])).p80
    16.0
    """
    p10, p50, p80, p90 = np.percentile(values, [10.0, 50.0, 80.0, 90.0]).tolist()
    return Spread(p10=p10, p50=p50, p80=p80, p90=p90, mean=float(np.mean(values)))


def _errors(chances: Mapping[str, float | None], trials: int) -> dict[str, float | None]:
    return {key: None if p is None else standard_error(p, trials) for key, p in chances.items()}


def standard_error(chance: float, trials: int) -> float:
    """Return √(p·(1-p)/n), how far off a chance from n draws typically is.

    >>> standard_error(0.5, 10_000)
    0.005
    """
    return float(np.sqrt(max(chance * (1.0 - chance), 0.0) / trials))
