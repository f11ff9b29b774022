"""Monte Carlo simulation: every option in the same drawn trials.

The same trials for all options, so that their differences come from the options and not from the
draws (common random numbers). Trials are evaluated in blocks. Only a few numbers are stored for
each option and trial, so that many trials fit in memory. A raise to solve for is found from all
trials, and is then the same in each of them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.loans import LoanPlan, loan_plan
from panelworth.engine.funding.reserve_trials import (
    Again,
    ReserveTally,
    fill_reserve,
    reserve_tally,
    reserve_trials,
    solved_raise,
)
from panelworth.engine.results.trials import (
    Errors,
    OptionUncertainty,
    Range,
    ReserveTrials,
    Solved,
    Spread,
    Uncertainty,
)
from panelworth.engine.returns.benefit import total_benefit
from panelworth.engine.returns.comparison import cost_npv, npv
from panelworth.engine.returns.scale import nothing_of
from panelworth.engine.trials import PART, Array, Trials, trials_at, trials_between
from panelworth.engine.uncertainty.draws import Source, drawn, keep, room_for, source_of
from panelworth.engine.uncertainty.variance import (
    Bins,
    bins_for,
    number_of_bins,
    places_in_bins,
    shares_of_variance,
)
from panelworth.model.case import Case
from panelworth.model.scenario import HALF_A_CENT

BLOCK = 3 * PART  # trials that are drawn at once
FREED_BYTES = 32 * 2**20 - 2**16  # just below glibc's largest mmap threshold, 32 MiB
OUTCOMES = 20  # chances are shown as counts of 20
PERCENTS = np.linspace(0.0, 100.0, 101)
Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True)
class Tally:
    """One option of a case in every trial: money of shape (trials,), filled block by block.

    `benefit` is B; `cost_per_hour` is NaN where nothing is flown; `reserve` is None for an owner.
    """

    case: Case
    option_id: str
    upfront: Array
    outlay: Array
    npv: Array
    benefit: Array
    cost_per_hour: Array
    reserve: ReserveTally | None
    loan: LoanPlan | None
    likely_outlay: float
    bins: Bins


@dataclass(frozen=True, kw_only=True)
class Run:
    """What all blocks share: the streams, the drawn trials, and the tallies to fill, by option.

    `moved` has the tallies of refused options from their first allowed start. `bins` is the number
    of bins of an input's draws (variance.py).
    """

    case: Case
    source: Source
    kept: Trials
    bins: int
    nothing: float
    tallies: Mapping[str, Tally]
    moved: Mapping[str, Tally]

    @property
    def leading(self) -> dict[str, Tally]:
        """Each option from its first allowed start: this is what pages show first."""
        return {**self.tallies, **self.moved}

    @property
    def pairs(self) -> list[tuple[Tally, Tally]]:
        """Each tally, with the baseline's tally that it is compared with."""
        baseline = self.case.scenario.baseline
        return [
            (tally, among[baseline])
            for tallies, among in ((self.tallies, self.tallies), (self.moved, self.leading))
            for tally in tallies.values()
        ]


def simulate(
    case: Case,
    *,
    moved: Case | None = None,
    trials: int | None = None,
    block: int = BLOCK,
    progress: Progress | None = None,
) -> Uncertainty:
    """Draw the trials and return every option's percentiles, chances and shares of variance.

    `moved` is the case with refused options at their first allowed start: these are evaluated in
    the same trials. `trials` is the file's number unless given. `progress` is called with (trials
    done, trials in all). The figures do not depend on `block`, but for the last digits of shares.
    """
    _keep_freed_memory()
    terms = case.scenario.uncertainty
    count = terms.trials if trials is None else trials
    run = _run(case, moved or case, count)
    spans = [(first, min(block, count - first)) for first in range(0, count, block)]
    for first, size in spans:
        _work(run, first, size)
        if progress is not None:
            progress(first + size, count)
    return Uncertainty(
        trials=count,
        seed=terms.seed,
        correlation=terms.correlation,
        options={
            option_id: _figures(run, tally, run.tallies) for option_id, tally in run.tallies.items()
        },
        moved={
            option_id: _figures(run, tally, run.leading) for option_id, tally in run.moved.items()
        },
    )


def solved_raises(case: Case, trials: int) -> dict[str, Solved]:
    """Return the raises that are solved for, by option; other options are not evaluated."""
    tallies = {
        option_id: tally
        for option_id in case.options
        if (tally := reserve_tally(case, option_id, trials)) and tally.raises
    }
    source = source_of(case)
    kept = room_for(source, trials)
    for first in range(0, trials, PART) if tallies else ():
        drawing = drawn(source, first, min(PART, trials - first))
        keep(kept, drawing, first)
        here = slice(first, first + drawing.trials.size)
        for option_id, tally in tallies.items():
            fill_reserve(flows_of(case, option_id, drawing.trials), tally, here)
    raises = {
        option_id: solved_raise(case, option_id, tally, _again(case, option_id, kept))
        for option_id, tally in tallies.items()
    }
    return {option_id: solved for option_id, solved in raises.items() if solved}


def _again(case: Case, option_id: str, kept: Trials) -> Again:
    """Return a function that evaluates an option again in some of the drawn trials."""
    return lambda trials: flows_of(case, option_id, trials_at(kept, trials))


def _keep_freed_memory() -> None:
    """Make the C library reuse the memory of freed arrays, which halves the time.

    glibc gives the memory of a large array back to the system when it is freed; the next array then
    costs a page fault for each of its pages. After one array just below its limit of 32 MiB has
    been freed, it keeps the memory of all arrays up to this size (dynamic mmap threshold,
    mallopt(3)). With other C libraries this has no effect.
    """
    np.empty(FREED_BYTES // 8)


def _run(case: Case, moved: Case, count: int) -> Run:
    """Return the run: what follows from the likely trial, and empty arrays for the trials."""
    source = source_of(case)
    later = [
        option_id
        for option_id in case.options
        if moved.delays.get(option_id) != case.delays.get(option_id)
    ]
    return Run(
        case=case,
        source=source,
        kept=room_for(source, count),
        bins=number_of_bins(count),
        nothing=nothing_of(case),
        tallies={option_id: _tally(case, option_id, source, count) for option_id in case.options},
        moved={option_id: _tally(moved, option_id, source, count) for option_id in later},
    )


def _tally(case: Case, option_id: str, source: Source, count: int) -> Tally:
    keys = ("upfront", "outlay", "npv", "benefit", "cost_per_hour")
    loan = loan_plan(case, option_id)
    likely = flows_of(case, option_id, source.likely, loan=loan)
    return Tally(
        case=case,
        option_id=option_id,
        **{key: np.empty(count) for key in keys},
        reserve=reserve_tally(case, option_id, count),
        loan=loan,
        likely_outlay=float(likely.project.outlay[0]),
        bins=bins_for(case, option_id, source, count),
    )


def _work(run: Run, first: int, count: int) -> None:
    """Evaluate every option in trials first..first+count-1 and fill in its tallies there."""
    drawing = drawn(run.source, first, count)
    keep(run.kept, drawing, first)
    for start in range(0, count, PART):
        part = trials_between(drawing.trials, start, min(start + PART, count))
        here = slice(first + start, first + start + part.size)
        for tally, _ in run.pairs:
            flows = flows_of(tally.case, tally.option_id, part, loan=tally.loan)
            _fill(flows, tally, here)
    block = slice(first, first + count)
    places = places_in_bins(drawing.shares, run.bins)
    for tally, baseline in run.pairs:
        tally.bins.add(places, tally.benefit[block] - baseline.benefit[block])


def _fill(flows: Flows, tally: Tally, here: slice) -> None:
    """Write one option's part of the trials into its tally."""
    tally.upfront[here] = flows.project.upfront
    tally.outlay[here] = flows.project.outlay
    tally.npv[here] = npv(flows)
    tally.benefit[here] = total_benefit(flows)
    cost, flown = np.broadcast_arrays(cost_npv(flows), flows.present.hours)
    tally.cost_per_hour[here] = np.divide(
        cost, flown, out=np.full(cost.shape, np.nan), where=flown > 0.0
    )
    if tally.reserve is not None:
        fill_reserve(flows, tally.reserve, here)


def _figures(run: Run, tally: Tally, tallies: Mapping[str, Tally]) -> OptionUncertainty:
    """Return one option's figures from its tally; `tallies` are those it is compared with."""
    baseline, option_id = run.case.scenario.baseline, tally.option_id
    best = np.maximum.reduce([other.benefit for other in tallies.values()])
    ties = np.sum([other.benefit >= best - run.nothing for other in tallies.values()], axis=0)
    gap = tally.benefit - tallies[baseline].benefit
    shares, remainder = shares_of_variance(tally.bins, gap, nothing=run.nothing)
    ordered = np.sort(gap)  # numpy finds quantiles of what is sorted several times faster
    outlays, gaps = (np.percentile(values, PERCENTS) for values in (np.sort(tally.outlay), ordered))
    solved, reserve = _reserve(run, tally)
    likely_enough = float(np.mean(tally.outlay <= tally.likely_outlay + run.nothing))
    beats_baseline = None if option_id == baseline else float(np.mean(gap > HALF_A_CENT))
    best_of_all = float(np.mean((tally.benefit >= best - run.nothing) / ties))
    below = reserve.chance_below_floor if reserve else None
    return OptionUncertainty(
        range=_range(tally, ordered),
        budget_p80=float(outlays[80]),
        chance_likely_enough=likely_enough,
        chance_beats_baseline=beats_baseline,
        chance_best=best_of_all,
        outcomes=() if option_id == baseline else _outcomes(ordered),
        ahead_of={
            other: _share_ahead(tally.benefit, other_tally.benefit)
            for other, other_tally in tallies.items()
            if other != option_id
        },
        reserve=reserve,
        solved=solved,
        likely_outlay=tally.likely_outlay,
        regret=float(np.mean(best - tally.benefit)),
        errors=Errors(
            likely_enough=standard_error(likely_enough, len(gap)),
            beats_baseline=_error_if_any(beats_baseline, len(gap)),
            best=standard_error(best_of_all, len(gap)),
            below_floor=_error_if_any(below, len(gap)),
        ),
        shares=shares,
        remainder=remainder,
        outlay_quantiles=tuple(outlays.tolist()),
        gap_quantiles=tuple(gaps.tolist()),
    )


def _reserve(run: Run, tally: Tally) -> tuple[Solved | None, ReserveTrials | None]:
    """Return the raise that is solved for, and the reserve with it; None for an owner."""
    if tally.reserve is None:
        return None, None
    again = _again(tally.case, tally.option_id, run.kept)
    solved = solved_raise(tally.case, tally.option_id, tally.reserve, again)
    return solved, reserve_trials(tally.case, tally.option_id, tally.reserve, solved, again)


def _outcomes(gap: Array) -> tuple[float, ...]:
    """Return 20 equally likely outcomes: the quantiles at 0.025, 0.075 and so on to 0.975."""
    shares = (np.arange(OUTCOMES) + 0.5) / OUTCOMES
    return tuple(np.quantile(gap, shares).tolist())


def _share_ahead(one: Array, other: Array) -> float:
    """Return the share of trials with `one` ahead by more than half a cent; a tie counts half."""
    gap = one - other
    ahead, level = np.mean(gap > HALF_A_CENT), np.mean(np.abs(gap) <= HALF_A_CENT)
    return float(ahead + level / 2.0)


def _range(tally: Tally, gap: Array) -> Range:
    flown = tally.cost_per_hour[~np.isnan(tally.cost_per_hour)]
    return Range(
        upfront=spread(tally.upfront),
        npv=spread(tally.npv),
        net_benefit=spread(gap),
        cost_per_hour=spread(flown) if len(flown) else None,
    )


def spread(values: Array) -> Spread:
    """Return percentiles and mean of a figure over the trials, in its own unit.

    >>> spread(np.array([0.0, 10.0, 20.0])).p80
    16.0
    """
    p10, p50, p80, p90 = np.percentile(np.sort(values), [10.0, 50.0, 80.0, 90.0]).tolist()
    return Spread(p10=p10, p50=p50, p80=p80, p90=p90, mean=float(np.mean(values)))


def _error_if_any(chance: float | None, trials: int) -> float | None:
    return None if chance is None else standard_error(chance, trials)


def standard_error(chance: float, trials: int) -> float:
    """Return √(p·(1-p)/n), the standard error of a chance that is estimated from n draws.

    >>> standard_error(0.5, 10_000)
    0.005
    """
    return float(np.sqrt(max(chance * (1.0 - chance), 0.0) / trials))
