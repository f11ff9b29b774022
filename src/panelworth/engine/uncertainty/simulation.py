"""Monte Carlo simulation: every option in the same drawn trials.

All options have the same trials, so that their differences come from the options and not from the
draws (common random numbers). Trials are evaluated in blocks. Only a few numbers are stored for
each option and trial, so that many trials fit in memory. A raise to solve for follows from all
trials, and is then the same in each of them.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from panelworth.engine.cash_flow.flows import Flows, flows_of
from panelworth.engine.cash_flow.loans import LoanPlan, loan_plan
from panelworth.engine.funding.reserve_trials import (
    Reevaluation,
    ReserveResults,
    empty_reserve_results,
    fill_reserve,
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
from panelworth.engine.returns.scale import tolerance_of
from panelworth.engine.trials import PART, Array, Trials, trials_at, trials_between
from panelworth.engine.uncertainty.draws import (
    Source,
    draw_source_of,
    draws_of,
    empty_trials,
    store_draws,
)
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
OUTCOMES = 20  # pages show chances as counts of 20 equally likely futures
PERCENTS = np.linspace(0.0, 100.0, 101)
Progress = Callable[[int, int], None]


@dataclass(frozen=True, kw_only=True)
class TrialResults:
    """One option of a case in every trial: money of shape (trials,), filled block by block.

    `benefit` is B; `cost_per_hour` is NaN where nothing is flown; `reserve` is None for an owner.
    """

    case: Case
    option_id: str
    weeks: Array
    upfront: Array
    outlay: Array
    npv: Array
    benefit: Array
    cost_per_hour: Array
    reserve: ReserveResults | None
    loan: LoanPlan | None
    likely_outlay: float
    bins: Bins


@dataclass(frozen=True, kw_only=True)
class Run:
    """What all blocks share: the streams, the drawn trials, and the results to fill, by option.

    `planned` has every option as its file plans it; `moved` has the refused options from their
    first allowed start. `bins` is the number of bins of an input's draws (variance.py).
    """

    case: Case
    source: Source
    kept: Trials
    bins: int
    tolerance: float
    planned: Mapping[str, TrialResults]
    moved: Mapping[str, TrialResults]

    @property
    def leading(self) -> dict[str, TrialResults]:
        """Each option from its first allowed start: this is what pages show first."""
        return {**self.planned, **self.moved}

    @property
    def pairs(self) -> list[tuple[TrialResults, TrialResults]]:
        """The results of each option, with those of the baseline that it is compared with."""
        baseline = self.case.scenario.baseline
        return [
            (results, among[baseline])
            for compared, among in ((self.planned, self.planned), (self.moved, self.leading))
            for results in compared.values()
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
        _evaluate_block(run, first, size)
        if progress is not None:
            progress(first + size, count)
    return Uncertainty(
        trials=count,
        seed=terms.seed,
        correlation=terms.correlation,
        options={
            option_id: _figures(run, results, run.planned)
            for option_id, results in run.planned.items()
        },
        moved={
            option_id: _figures(run, results, run.leading)
            for option_id, results in run.moved.items()
        },
    )


def solved_raises(case: Case, trials: int) -> dict[str, Solved]:
    """Return the raises that are solved for, by option; other options are not evaluated."""
    by_option = {
        option_id: results
        for option_id in case.options
        if (results := empty_reserve_results(case, option_id, trials)) and results.raises
    }
    source = draw_source_of(case)
    kept = empty_trials(source, trials)
    for first in range(0, trials, PART) if by_option else ():
        draws = draws_of(source, first, min(PART, trials - first))
        store_draws(kept, draws, first)
        here = slice(first, first + draws.trials.size)
        for option_id, results in by_option.items():
            fill_reserve(flows_of(case, option_id, draws.trials), results, here)
    raises = {
        option_id: solved_raise(case, option_id, results, _reevaluation(case, option_id, kept))
        for option_id, results in by_option.items()
    }
    return {option_id: solved for option_id, solved in raises.items() if solved}


def _reevaluation(case: Case, option_id: str, kept: Trials) -> Reevaluation:
    """Return a function that evaluates an option again in some of the drawn trials."""
    return lambda trials: flows_of(case, option_id, trials_at(kept, trials))


def _keep_freed_memory() -> None:
    """Make the C library reuse the memory of freed arrays, which halves the time of a simulation.

    glibc returns the memory of a large array to the system when it is freed; the next array then
    causes a page fault for each of its pages. After an array just below the limit of 32 MiB has
    been freed, glibc keeps the memory of all arrays up to this size (dynamic mmap threshold,
    mallopt(3)). With other C libraries this has no effect.
    """
    np.empty(FREED_BYTES // 8)


def _run(case: Case, moved: Case, count: int) -> Run:
    """Return the run: results of the likely trial, and empty arrays for the drawn trials."""
    source = draw_source_of(case)
    later = [
        option_id
        for option_id in case.options
        if moved.delays.get(option_id) != case.delays.get(option_id)
    ]
    return Run(
        case=case,
        source=source,
        kept=empty_trials(source, count),
        bins=number_of_bins(count),
        tolerance=tolerance_of(case),
        planned={
            option_id: _empty_results(case, option_id, source, count) for option_id in case.options
        },
        moved={option_id: _empty_results(moved, option_id, source, count) for option_id in later},
    )


def _empty_results(case: Case, option_id: str, source: Source, count: int) -> TrialResults:
    keys = ("weeks", "upfront", "outlay", "npv", "benefit", "cost_per_hour")
    loan = loan_plan(case, option_id)
    likely = flows_of(case, option_id, source.likely, loan=loan)
    return TrialResults(
        case=case,
        option_id=option_id,
        **{key: np.empty(count) for key in keys},
        reserve=empty_reserve_results(case, option_id, count),
        loan=loan,
        likely_outlay=float(likely.project.outlay[0]),
        bins=bins_for(case, option_id, source, count),
    )


def _evaluate_block(run: Run, first: int, count: int) -> None:
    """Evaluate every option in trials first..first+count-1 and fill in its results there."""
    draws = draws_of(run.source, first, count)
    store_draws(run.kept, draws, first)
    for start in range(0, count, PART):
        part = trials_between(draws.trials, start, min(start + PART, count))
        here = slice(first + start, first + start + part.size)
        for results, _ in run.pairs:
            flows = flows_of(results.case, results.option_id, part, loan=results.loan)
            _fill(flows, results, here)
    block = slice(first, first + count)
    places = places_in_bins(draws.probabilities, run.bins)
    for results, baseline in run.pairs:
        results.bins.add(places, results.benefit[block] - baseline.benefit[block])


def _fill(flows: Flows, results: TrialResults, here: slice) -> None:
    """Write one option's part of the trials into its results."""
    results.weeks[here] = flows.context.dates[-1].weeks
    results.upfront[here] = flows.project.upfront
    results.outlay[here] = flows.project.outlay
    results.npv[here] = npv(flows)
    results.benefit[here] = total_benefit(flows)
    cost, flown = np.broadcast_arrays(cost_npv(flows), flows.present.hours)
    results.cost_per_hour[here] = np.divide(
        cost, flown, out=np.full(cost.shape, np.nan), where=flown > 0.0
    )
    if results.reserve is not None:
        fill_reserve(flows, results.reserve, here)


def _figures(
    run: Run, results: TrialResults, compared: Mapping[str, TrialResults]
) -> OptionUncertainty:
    """Return one option's figures; `compared` are the results that it is compared with."""
    baseline, option_id = run.case.scenario.baseline, results.option_id
    best = np.maximum.reduce([other.benefit for other in compared.values()])
    # Options within a rounding error of the best one share the first place of a trial.
    ties = np.sum([other.benefit >= best - run.tolerance for other in compared.values()], axis=0)
    gap = results.benefit - compared[baseline].benefit
    shares, remainder = shares_of_variance(results.bins, gap, tolerance=run.tolerance)
    ordered = np.sort(gap)  # numpy finds many quantiles of a sorted array faster
    outlays, gaps = (
        np.percentile(values, PERCENTS) for values in (np.sort(results.outlay), ordered)
    )
    solved, reserve = _reserve(run, results)
    likely_enough = float(np.mean(results.outlay <= results.likely_outlay + run.tolerance))
    beats_baseline = None if option_id == baseline else float(np.mean(gap > HALF_A_CENT))
    best_of_all = float(np.mean((results.benefit >= best - run.tolerance) / ties))
    below = reserve.chance_below_floor if reserve else None
    return OptionUncertainty(
        range=_range(results, ordered),
        budget_p80=float(outlays[80]),
        chance_likely_enough=likely_enough,
        chance_beats_baseline=beats_baseline,
        chance_best=best_of_all,
        outcomes=() if option_id == baseline else _outcomes(ordered),
        ahead_of={
            other: _share_ahead(results.benefit, other_results.benefit)
            for other, other_results in compared.items()
            if other != option_id
        },
        reserve=reserve,
        solved=solved,
        likely_outlay=results.likely_outlay,
        regret=float(np.mean(best - results.benefit)),
        errors=Errors(
            likely_enough=standard_error(likely_enough, len(gap)),
            beats_baseline=_error_if_any(beats_baseline, len(gap)),
            best=standard_error(best_of_all, len(gap)),
            below_floor=_error_if_any(below, len(gap)),
        ),
        shares=shares,
        remainder=remainder,
        weeks_p80=float(np.percentile(results.weeks, 80.0)),
        outlay_quantiles=tuple(outlays.tolist()),
        gap_quantiles=tuple(gaps.tolist()),
    )


def _reserve(run: Run, results: TrialResults) -> tuple[Solved | None, ReserveTrials | None]:
    """Return the raise that is solved for, and the reserve with it; None for an owner."""
    if results.reserve is None:
        return None, None
    reevaluate = _reevaluation(results.case, results.option_id, run.kept)
    solved = solved_raise(results.case, results.option_id, results.reserve, reevaluate)
    return solved, reserve_trials(
        results.case, results.option_id, results.reserve, solved, reevaluate
    )


def _outcomes(gap: Array) -> tuple[float, ...]:
    """Return 20 equally likely outcomes: the quantiles at 0.025, 0.075 and so on to 0.975."""
    shares = (np.arange(OUTCOMES) + 0.5) / OUTCOMES
    return tuple(np.quantile(gap, shares).tolist())


def _share_ahead(one: Array, other: Array) -> float:
    """Return the share of trials with `one` ahead by more than half a cent; a tie counts half.

    So the shares of a pair add up to 1. The project's method, section 4.
    """
    gap = one - other
    ahead, level = np.mean(gap > HALF_A_CENT), np.mean(np.abs(gap) <= HALF_A_CENT)
    return float(ahead + level / 2.0)


def _range(results: TrialResults, gap: Array) -> Range:
    flown = results.cost_per_hour[~np.isnan(results.cost_per_hour)]
    return Range(
        upfront=spread(results.upfront),
        npv=spread(results.npv),
        net_benefit=spread(gap),
        cost_per_hour=spread(flown) if len(flown) else None,
    )


def spread(values: Array) -> Spread:
    """Return percentiles and mean of a figure over the trials, in its own unit.

    >>> spread(np.array([0.0, 10.0, 20.0])).p80
    16.0
    """
    p10, p50, p80, p90 = np.percentile(values, [10.0, 50.0, 80.0, 90.0]).tolist()
    return Spread(p10=p10, p50=p50, p80=p80, p90=p90, mean=float(np.mean(values)))


def _error_if_any(chance: float | None, trials: int) -> float | None:
    return None if chance is None else standard_error(chance, trials)


def standard_error(chance: float, trials: int) -> float:
    """Return √(p·(1-p)/n), the standard error of a chance that is estimated from n draws.

    >>> standard_error(0.5, 10_000)
    0.005
    """
    return float(np.sqrt(max(chance * (1.0 - chance), 0.0) / trials))
