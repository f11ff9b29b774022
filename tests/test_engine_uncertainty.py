"""What the drawn trials say: spreads, chances, regret and where the spread comes from."""

import math
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats

from panelworth import read
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.trials import OptionUncertainty, Uncertainty
from panelworth.engine.uncertainty.simulation import simulate
from panelworth.engine.uncertainty.variance import number_of_bins, places_in_bins
from panelworth.model.case import Case
from small_cases import CLUB, case_in, drawn_trials, refit

SCENARIOS = Path(__file__).parents[1] / "scenarios"
EVEN = 'cost = { low = 5000, likely = 10000, high = 15000, shape = "uniform" }'
ITEM = "options.refit.items[Item 0].cost"


def demo(name: str) -> Case:
    """Read one of the demo scenarios."""
    case, problems = read(SCENARIOS / name)
    assert case is not None, problems
    return case


def only(case: Case, trials: int | None = None) -> OptionUncertainty:
    """Simulate and return what is said of the refit."""
    return simulate(case, trials=trials).options["refit"]


def flat(figures: Uncertainty) -> dict[str, Any]:
    """Lay out every number by its path, for comparisons to the last digits."""
    found: dict[str, Any] = {}

    def walk(value: object, path: str) -> None:
        if isinstance(value, dict):
            for key, each in value.items():
                walk(each, f"{path}.{key}")
        elif isinstance(value, list | tuple):
            for number, each in enumerate(value):
                walk(each, f"{path}[{number}]")
        else:
            found[path] = value

    walk(asdict(figures), "")
    return found


def assert_equal(one: Uncertainty, two: Uncertainty) -> None:
    """Compare all figures; sums in another order may differ in their last digits."""
    mine, other = flat(one), flat(two)
    assert mine.keys() == other.keys()
    for path, value in mine.items():
        expected = pytest.approx(value, rel=1e-9, abs=1e-9) if isinstance(value, float) else value
        assert other[path] == expected, path


def test_one_range_that_is_paid_today_has_its_own_quantiles(tmp_path: Path) -> None:
    found = only(case_in(tmp_path, {"refit": refit(EVEN)}), trials=50_000)
    upfront, gap = found.range.upfront, found.range.net_benefit
    error = 4 * 10_000 * 0.5 / 50_000**0.5
    assert upfront.p10 == pytest.approx(6000, abs=error)
    assert upfront.p50 == pytest.approx(10_000, abs=error)
    assert upfront.p80 == pytest.approx(13_000, abs=error)
    assert upfront.p90 == pytest.approx(14_000, abs=error)
    assert upfront.mean == pytest.approx(10_000, abs=error)
    assert gap.p10 == pytest.approx(-14_000, abs=error)
    assert found.budget_p80 == upfront.p80
    assert found.chance_likely_enough == pytest.approx(0.5, abs=4 * 0.5 / 50_000**0.5)


def test_percentiles_are_those_of_the_draws_linear_between_neighbours(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit("cost = [4000, 5000, 9000]")}, trials=101)
    draws = np.sort(drawn_trials(case, 0, 101).values[ITEM])
    spread = only(case).range.upfront
    expected = [draws[10], draws[50], draws[80], draws[90], draws.mean()]
    assert list(asdict(spread).values()) == pytest.approx(expected, rel=1e-12)


def test_quantile_curves_run_from_the_least_to_the_most(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit("cost = [4000, 5000, 9000]")}, trials=101)
    draws = np.sort(drawn_trials(case, 0, 101).values[ITEM])
    found = only(case)
    assert found.outlay_quantiles == pytest.approx(draws.tolist())
    assert found.gap_quantiles == pytest.approx((-draws[::-1]).tolist())


def test_same_seed_same_figures_and_another_seed_others(tmp_path: Path) -> None:
    options = {"refit": refit(EVEN, "cost = [1, 2, 3]")}
    one, same, other = (
        simulate(case_in(tmp_path / str(n), options, seed=seed)) for n, seed in enumerate((1, 1, 2))
    )
    assert one == same
    assert one.options["refit"].range != other.options["refit"].range


@pytest.mark.parametrize("block", [1, 7, 2000])
def test_the_size_of_a_block_changes_nothing(block: int) -> None:
    case = demo("brackenholt-owner")
    assert_equal(simulate(case, trials=120), simulate(case, trials=120, block=block))


def test_more_trials_keep_the_worlds_there_were(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit(EVEN)})
    few, many = drawn_trials(case, 0, 50), drawn_trials(case, 0, 80)
    assert few.values[ITEM].tolist() == many.values[ITEM][:50].tolist()


def test_the_order_of_options_changes_nothing() -> None:
    case = demo("quillmeadow-club")
    turned = replace(case, options=dict(reversed(case.options.items())))
    assert_equal(simulate(case, trials=300), simulate(turned, trials=300))


def test_a_certain_scenario_gives_the_likely_answer_at_every_percentile(tmp_path: Path) -> None:
    rest = f"{CLUB}\n[[jobs]]\nname = 'J'\nnow = 1\nlater = 900\nchance_per_year = 0.1"
    case = case_in(
        tmp_path,
        {"refit": refit("cost = 8000", top='jobs = ["J"]')},
        rates="[rates]\ndiscount = 0.05\ninflation = 0.02",
        aircraft="value = 40000\nhourly_rate = 90\nfuel_per_hour = 8\nfuel_price = 6",
        rest=rest,
    )
    likely, figures = evaluate(case).options, simulate(case, trials=100)
    for option_id, found in figures.options.items():
        for key, spread in asdict(found.range).items():
            expected = getattr(likely[option_id].likely, key)
            assert list(spread.values()) == pytest.approx([expected] * 5, rel=1e-12), key
        assert found.chance_likely_enough == 1.0
        assert (found.shares, found.remainder) == ((), None)


def test_chances_of_being_best_add_up_to_one_and_regret_is_never_negative() -> None:
    for name in ("quillmeadow-club", "brackenholt-owner"):
        found = simulate(demo(name), trials=500).options.values()
        assert sum(each.chance_best for each in found) == pytest.approx(1.0, abs=1e-12)
        assert min(each.regret for each in found) >= 0.0


def test_options_that_tie_share_the_chance_of_being_best(tmp_path: Path) -> None:
    gain = refit("cost = 100", rest='[[credits]]\nname = "C"\namount = 500')
    found = simulate(case_in(tmp_path, {"one": gain, "two": gain}), trials=100).options
    best = [found[each].chance_best for each in ("keep", "one", "two")]
    assert best == [0.0, 0.5, 0.5]
    assert [found[each].regret for each in ("keep", "one", "two")] == [400.0, 0.0, 0.0]


def test_an_option_equal_to_the_baseline_does_not_beat_it(tmp_path: Path) -> None:
    case = case_in(
        tmp_path, {"refit": refit()}, hours="[80, 100, 120]", aircraft="oil_per_hour = 3"
    )
    figures = simulate(case, trials=200)
    assert figures.options["refit"].chance_beats_baseline == 0.0
    assert figures.options["refit"].chance_best == 0.5
    assert figures.options["keep"].chance_beats_baseline is None


def test_chance_regret_and_their_errors_follow_from_one_range(tmp_path: Path) -> None:
    """A gain of 12,000 less an even 5,000 to 15,000: it pays with 0.7; regret from the rest."""
    gain = refit(EVEN, rest='[[credits]]\nname = "C"\namount = 12000')
    figures = simulate(case_in(tmp_path, {"refit": gain}), trials=50_000)
    found, keep = figures.options["refit"], figures.options["keep"]
    assert found.chance_beats_baseline == pytest.approx(0.7, abs=0.01)
    assert found.chance_best == found.chance_beats_baseline == 1.0 - keep.chance_best
    assert found.regret == pytest.approx(3000**2 / 2 / 10_000, rel=0.03)
    assert keep.regret == pytest.approx(7000**2 / 2 / 10_000, rel=0.03)
    chance = found.chance_best
    assert found.errors.best == pytest.approx((chance * (1 - chance) / 50_000) ** 0.5)
    assert found.errors.below_floor is None
    assert keep.errors.beats_baseline is None


def test_the_baseline_spreads_by_nothing_against_itself() -> None:
    found = simulate(demo("brackenholt-owner"), trials=200).options["keep"]
    assert set(asdict(found.range.net_benefit).values()) == {0.0}
    assert set(found.gap_quantiles) == {0.0}


def test_the_floor_is_held_against_a_likely_plan_in_every_trial(tmp_path: Path) -> None:
    """A reserve of 20,000 and a floor of 10,000 bear a cost of up to 10,000."""
    found = only(case_in(tmp_path, {"refit": refit(EVEN)}, rest=CLUB), trials=20_000)
    assert found.chance_below_floor == pytest.approx(0.5, abs=0.015)


@pytest.mark.parametrize("chance", [0.05, 0.8, 0.99])
def test_a_solved_raise_is_the_order_statistic_of_what_the_trials_need(
    tmp_path: Path, chance: float
) -> None:
    """Costs even from 10,000 to 20,000, 10,000 to spare: each of ten members needs 0 to 1,000.

    The k-th smallest of n even draws on 0 to 1 has the beta distribution (k, n + 1 - k): any
    textbook of order statistics. Held to its middle 99.99 %.
    """
    trials, dear = 20_000, 'cost = { low = 10000, likely = 12000, high = 20000, shape = "uniform" }'
    option = refit(dear, rest=f'[funding]\nsolve = "assessment"\nsolve_chance = {chance}')
    found = only(case_in(tmp_path, {"refit": option}, rest=CLUB), trials=trials)
    rank = math.ceil(chance * trials)
    low, high = stats.beta.interval(0.9999, rank, trials + 1 - rank)
    assert found.solved is not None
    assert found.solved.amount is not None
    assert 1000 * low <= found.solved.amount <= 1000 * high + 0.01
    assert found.chance_below_floor == pytest.approx(1.0 - chance, abs=2 / trials)


def test_the_loan_is_that_of_the_likely_outlay(tmp_path: Path) -> None:
    """Half of 10,000 over 600 months: 200 are paid back in two years, so 14,800 can be borne."""
    option = refit(EVEN, rest="[funding.loan]\nshare = 0.5\nmonths = 600")
    found = only(case_in(tmp_path, {"refit": option}, rest=CLUB), trials=20_000)
    assert found.chance_below_floor == pytest.approx(0.02, abs=0.005)


def test_the_loan_is_drawn_in_each_worlds_own_month(tmp_path: Path) -> None:
    """Cost and loan come with the finish, early or late: the reserve alone would not bear it."""
    weeks = '{ low = 1, likely = 9, high = 40, shape = "uniform" }'
    option = refit(
        "cost = 15000",
        top=f"[schedule]\nstart = 2026-02-01\nweeks_down = {weeks}",
        rest='[funding.loan]\namount = 5001\nmonths = 600\nwhen = "finish"',
    )
    club = CLUB.replace("20000", "20400")
    assert only(case_in(tmp_path / "1", {"refit": option}, rest=club)).chance_below_floor == 0.0
    alone = option.partition("[funding.loan]")[0]
    assert only(case_in(tmp_path / "2", {"refit": alone}, rest=club)).chance_below_floor == 1.0


def test_an_owner_has_no_floor(tmp_path: Path) -> None:
    assert only(case_in(tmp_path, {"refit": refit(EVEN)}), trials=100).chance_below_floor is None


def test_worlds_without_flying_are_left_out_of_the_cost_an_hour(tmp_path: Path) -> None:
    lost = 'hours_lost_per_year = { low = 0, likely = 10, high = 20, shape = "uniform" }'
    case = case_in(tmp_path, {"refit": refit()}, hours="10", aircraft=f"{lost}\noil_per_hour = 3")
    found = only(case, trials=1000).range.cost_per_hour
    assert found is not None
    assert found.mean == pytest.approx(3.0)
    assert found.p90 == pytest.approx(3.0)


def test_without_any_flying_there_is_no_cost_an_hour(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit(EVEN)}, hours="0")
    assert only(case, trials=100).range.cost_per_hour is None


def test_trials_are_sorted_into_bins_of_about_a_hundred_by_their_share() -> None:
    assert [number_of_bins(trials) for trials in (100, 599, 1000, 10_000)] == [4, 5, 10, 25]
    places = places_in_bins({"a": np.array([0.0, 0.2, 0.25, 0.99, 1.0])}, 4)
    assert places["a"].tolist() == [0, 0, 1, 3, 3]


def test_shares_of_variance_are_those_of_a_sum(tmp_path: Path) -> None:
    """Even ranges 1 : 2 : 3 wide have variances 1 : 4 : 9; a third option's range has no say."""
    items = (
        f'cost = {{ low = 0, likely = 1, high = {wide}, shape = "uniform" }}'
        for wide in (1000, 2000, 3000)
    )
    options = {"refit": refit(*items), "third": refit(EVEN)}
    case = case_in(tmp_path, options, aircraft="value = [1, 2, 30000]")
    found = only(case, trials=40_000)
    shares = {each.input: each.share for each in found.shares}
    assert [shares[f"options.refit.items[Item {n}].cost"] for n in range(3)] == pytest.approx(
        [1 / 14, 4 / 14, 9 / 14], abs=0.01
    )
    assert shares["aircraft.value"] == pytest.approx(0.0, abs=0.002)
    assert len(shares) == 4
    assert found.remainder == pytest.approx(0.0, abs=0.01)
    assert [each.share for each in found.shares] == sorted(shares.values(), reverse=True)
    assert found.remainder == pytest.approx(1.0 - sum(shares.values()))


def test_what_two_ranges_do_only_together_is_left_over(tmp_path: Path) -> None:
    """Hours × rate, both even on 0 to 2: each has 3/7 of the variance and 1/7 is shared."""
    even = '{ low = 0, likely = 1, high = 2, shape = "uniform" }'
    found = only(case_in(tmp_path, {"refit": refit(f"hours = {even}\nrate = {even}")}), 40_000)
    assert [each.share for each in found.shares] == pytest.approx([3 / 7, 3 / 7], abs=0.015)
    assert found.remainder == pytest.approx(1 / 7, abs=0.02)


def test_shares_of_correlated_costs_overlap(tmp_path: Path) -> None:
    """Two like costs with correlation ρ: knowing one tells (1 + ρ)²/(2 + 2ρ) of their sum."""
    cost = "cost = [0, 500, 1000]"
    found = only(case_in(tmp_path, {"refit": refit(cost, cost)}, correlation=0.6), 40_000)
    assert [each.share for each in found.shares] == pytest.approx([0.8, 0.8], abs=0.02)
    assert found.remainder == pytest.approx(-0.6, abs=0.04)


def test_progress_is_told_block_by_block(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    case = case_in(tmp_path, {"refit": refit(EVEN)})
    simulate(case, trials=25, block=10, progress=lambda done, whole: told.append((done, whole)))
    assert told == [(10, 25), (20, 25), (25, 25)]


def test_the_files_own_trials_seed_and_correlation_are_used_and_told(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit(EVEN)}, trials=150, seed=3, correlation=0.25)
    found = simulate(case)
    assert (found.trials, found.seed, found.correlation) == (150, 3, 0.25)


def test_the_likely_cost_flatters_where_costs_lean_upward() -> None:
    found = simulate(demo("quillmeadow-club"), trials=1000).options["full"]
    assert found.chance_likely_enough < 0.4
    assert found.outlay_quantiles[50] > found.likely_outlay
    assert found.budget_p80 == found.outlay_quantiles[80]
