"""Draws have the distributions they are said to have, and depend on nothing but name and seed."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from panelworth.engine.trials import Array
from panelworth.engine.uncertainty.draws import (
    draw_source_of,
    draws_of,
    probabilities_of,
    stream_key,
    uniform,
)
from panelworth.engine.uncertainty.quantiles import quantile
from panelworth.model.value import Quantity, Shape
from small_cases import case_in, drawn_trials, refit

MODES = (0.0, 1e-9, 0.01, 0.1, 0.3, 0.5, 0.77, 0.99, 1.0)
SHAPES: tuple[Shape, ...] = ("pert", "triangular", "uniform")
MANY = 100_000
TABLE = 1e-7  # of the width: what a PERT quantile may be off
FIRST_NUMBERS = [0.7698321735589378, 0.035373842448478965, 0.7410599958270426]
RANGES = (
    Quantity(low=13200, likely=14200, high=17500),
    Quantity(low=-40, likely=-40, high=10, shape="triangular"),
    Quantity(low=0.02, likely=0.03, high=0.08, shape="uniform"),
    Quantity(low=0, likely=1, high=1),
)


def reference(quantity: Quantity) -> stats.rv_continuous:
    """Return the same distribution as another library has it."""
    low, width = quantity.low, quantity.high - quantity.low
    mode = (quantity.likely - low) / width
    if quantity.shape == "pert":
        return stats.beta(1 + 4 * mode, 5 - 4 * mode, loc=low, scale=width)
    if quantity.shape == "triangular":
        return stats.triang(mode, loc=low, scale=width)
    return stats.uniform(low, width)


def probabilities() -> Array:
    """Return probabilities over the middle and far into both tails."""
    tail = 10.0 ** -np.linspace(1, 15.5, 400)
    return np.sort(np.concatenate([np.linspace(0.0005, 0.9995, 5001), tail, 1.0 - tail]))


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("shape", SHAPES)
def test_quantiles_are_those_of_another_library(shape: Shape, mode: float) -> None:
    quantity = Quantity(low=100, likely=100 + 50 * mode, high=150, shape=shape)
    chances = probabilities()
    off = np.abs(quantile(quantity, chances) - reference(quantity).ppf(chances)) / 50
    assert off.max() < (TABLE if shape == "pert" else 1e-12)


@pytest.mark.parametrize("mode", MODES)
def test_a_pert_quantile_never_falls_as_its_probability_rises(mode: float) -> None:
    found = quantile(Quantity(low=0, likely=mode, high=1), np.linspace(1e-6, 1 - 1e-6, 300_001))
    assert np.diff(found).min() >= 0.0


@pytest.mark.parametrize("quantity", RANGES)
def test_mean_and_variance_of_a_range_are_the_closed_ones(quantity: Quantity) -> None:
    evenly = (np.arange(400_000) + 0.5) / 400_000
    found = quantile(quantity, evenly)
    expected = reference(quantity)
    assert found.mean() == pytest.approx(expected.mean(), rel=1e-6)
    assert found.var() == pytest.approx(expected.var(), rel=2e-5)


def test_the_mean_of_a_pert_weighs_its_mode_four_times() -> None:
    quantity = RANGES[0]
    found = quantile(quantity, uniform(stream_key(1, "x"), 0, MANY))
    assert found.mean() == pytest.approx((13200 + 4 * 14200 + 17500) / 6, abs=4 * 640 / MANY**0.5)


@given(
    low=st.floats(-1e9, 1e9),
    rise=st.floats(0, 1e9),
    fall=st.floats(0, 1e9),
    shape=st.sampled_from(SHAPES),
    chance=st.floats(2.0**-53, 1 - 2.0**-53),
)
def test_a_draw_never_leaves_its_range(
    low: float, rise: float, fall: float, shape: Shape, chance: float
) -> None:
    quantity = Quantity(low=low, likely=low + rise, high=low + rise + fall, shape=shape)
    found = quantile(quantity, np.array([chance]))[0]
    assert quantity.low <= found <= quantity.high


@pytest.mark.parametrize("quantity", RANGES)
def test_draws_pass_kolmogorov_and_smirnov(quantity: Quantity) -> None:
    found = quantile(quantity, uniform(stream_key(20261101, "some.path"), 0, 20_000))
    assert stats.kstest(found, reference(quantity).cdf).pvalue > 0.01


def test_a_stream_is_uniform_and_its_neighbours_know_nothing_of_each_other() -> None:
    drawn_ = uniform(stream_key(1, "a"), 0, MANY)
    other = uniform(stream_key(1, "b"), 0, MANY)
    assert stats.kstest(drawn_, "uniform").pvalue > 0.01
    assert abs(np.corrcoef(drawn_[1:], drawn_[:-1])[0, 1]) < 4 / MANY**0.5
    assert abs(np.corrcoef(drawn_, other)[0, 1]) < 4 / MANY**0.5
    assert 0.0 < drawn_.min() < drawn_.max() < 1.0


def test_a_stream_can_be_entered_anywhere() -> None:
    key = stream_key(5, "rates.discount")
    whole = uniform(key, 0, 100)
    for first, last in pairwise((0, 1, 2, 3, 4, 11, 37, 50, 100)):
        assert uniform(key, first, last - first).tolist() == whole[first:last].tolist()


def test_the_first_numbers_of_a_stream_stay_as_they_are() -> None:
    """A change here changes every published chance: it must be meant."""
    found = uniform(stream_key(20261101, "rates.discount"), 0, 3)
    assert found.tolist() == pytest.approx(FIRST_NUMBERS, abs=1e-15)


def test_ranges_are_drawn_and_certain_inputs_stay_single(tmp_path: Path) -> None:
    case = case_in(tmp_path, {"refit": refit("cost = [1, 2, 3]")}, rates="[rates]\ndiscount = 0.05")
    trials = drawn_trials(case, 10, 5)
    assert trials.size == 5
    assert trials.values["options.refit.items[Item 0].cost"].shape == (5,)
    assert trials.values["rates.discount"].tolist() == [0.05]
    assert set(trials.values) >= {each.path for each in case.inputs}


def test_blocks_of_worlds_are_parts_of_one_run(tmp_path: Path) -> None:
    items = ("cost = [1, 2, 3]", "hours = [4, 5, 9]\nrate = [90, 100, 120]")
    case = case_in(tmp_path, {"refit": refit(*items)}, correlation=0.4, hours="[80, 100, 130]")
    whole = drawn_trials(case, 0, 50).values
    for first, last in pairwise((0, 1, 8, 15, 50)):
        part = drawn_trials(case, first, last - first).values
        for path, values in whole.items():
            there = values if len(values) == 1 else values[first:last]
            assert part[path].tolist() == there.tolist(), path


def test_same_seed_same_draws_and_another_seed_others(tmp_path: Path) -> None:
    path = "options.refit.items[Item 0].cost"
    draws = [
        drawn_trials(case_in(tmp_path / str(n), CORRELATED, seed=seed), 0, 9).values[path].tolist()
        for n, seed in enumerate((1, 1, 2))
    ]
    assert draws[0] == draws[1] != draws[2]


CORRELATED = {
    "refit": refit(
        "cost = [1, 2, 3]",
        "hours = [1, 2, 6]\nrate = { low = 1, likely = 2, high = 3, shape = 'uniform' }",
        "cost = [10, 11, 30]\ntax = [0.0, 0.05, 0.1]",
        rest='[[credits]]\nname = "C"\namount = [1, 2, 3]',
    ),
    "other": refit("cost = [1, 2, 3]"),
}
COSTS = ("items[Item 0].cost", "items[Item 1].hours", "items[Item 1].rate", "items[Item 2].cost")


def test_an_input_added_elsewhere_moves_no_other_stream(tmp_path: Path) -> None:
    before = case_in(tmp_path / "before", {"refit": CORRELATED["refit"]}, correlation=0.5)
    more = refit(
        "cost = [1, 2, 3]", "cost = [5, 6, 7]", rest="[after]\nvalue_change = [0, 0.1, 0.2]"
    )
    after = case_in(
        tmp_path / "after",
        {"refit": CORRELATED["refit"], "another": more},
        correlation=0.5,
        hours="[90, 100, 130]",
    )
    were, are = (drawn_trials(case, 0, 40).values for case in (before, after))
    ranges = [path for path, values in were.items() if len(values) > 1]
    assert len(ranges) == 6
    assert all(were[path].tolist() == are[path].tolist() for path in ranges)


def test_the_order_of_options_changes_no_draw(tmp_path: Path) -> None:
    case = case_in(tmp_path, CORRELATED, correlation=0.5)
    turned = replace(case, options=dict(reversed(case.options.items())))
    one, two = (drawn_trials(each, 0, 30).values for each in (case, turned))
    assert {path: each.tolist() for path, each in one.items()} == {
        path: each.tolist() for path, each in two.items()
    }


@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.9])
def test_the_correlation_of_one_options_cost_ranges_comes_back(
    tmp_path: Path, correlation: float
) -> None:
    source = draw_source_of(case_in(tmp_path, CORRELATED, correlation=correlation))
    shares = probabilities_of(source, 0, MANY)
    scores = np.array([special.ndtri(shares[f"options.refit.{key}"]) for key in COSTS])
    found = np.corrcoef(scores)[np.triu_indices(len(COSTS), 1)]
    assert found == pytest.approx(correlation, abs=4 * (1 - correlation**2) / MANY**0.5)
    assert all(stats.kstest(each[:20_000], "norm").pvalue > 0.01 for each in scores)


def test_all_else_is_independent_of_the_cost_ranges(tmp_path: Path) -> None:
    source = draw_source_of(case_in(tmp_path, CORRELATED, correlation=0.9))
    shares = probabilities_of(source, 0, MANY)
    cost = special.ndtri(shares["options.refit.items[Item 0].cost"])
    others = (
        "options.refit.items[Item 2].tax",
        "options.refit.credits[C].amount",
        "options.other.items[Item 0].cost",
    )
    for path in others:
        assert abs(np.corrcoef(cost, special.ndtri(shares[path]))[0, 1]) < 4 / MANY**0.5, path


def test_with_full_correlation_costs_move_as_one_and_without_any_as_their_own_streams(
    tmp_path: Path,
) -> None:
    path = "options.refit.items[Item 0].cost"
    moved = probabilities_of(
        draw_source_of(case_in(tmp_path / "1", CORRELATED, correlation=1)), 0, 100
    )
    assert moved[path] == pytest.approx(moved["options.refit.items[Item 2].cost"], abs=1e-15)
    free = probabilities_of(
        draw_source_of(case_in(tmp_path / "0", CORRELATED, correlation=0)), 0, 100
    )
    assert free[path].tolist() == uniform(stream_key(7, path), 0, 100).tolist()


SUMMED = (
    Quantity(low=17200, likely=17800, high=19400),
    Quantity(low=8100, likely=8700, high=9800, shape="triangular"),
    Quantity(low=1700, likely=2200, high=3400, shape="uniform"),
    Quantity(low=900, likely=950, high=2400),
)


def summed(folder: Path, correlation: float) -> Array:
    """Draw the sum of these four as one option's items."""
    items = (
        f'cost = {{ low = {q.low}, likely = {q.likely}, high = {q.high}, shape = "{q.shape}" }}'
        for q in SUMMED
    )
    case = case_in(folder, {"refit": refit(*items)}, correlation=correlation)
    trials = draws_of(draw_source_of(case), 0, MANY).trials
    return sum(trials.values[f"options.refit.items[Item {n}].cost"] for n in range(len(SUMMED)))


def covariance(one: Quantity, two: Quantity, correlation: float) -> float:
    """Integrate the covariance of two ranges under a Gaussian copula on a grid of normal scores."""
    scores, weights = np.polynomial.hermite_e.hermegauss(80)
    weights = weights / weights.sum()
    rest = np.sqrt(1.0 - correlation**2)
    second = np.clip(correlation * scores[:, np.newaxis] + rest * scores, -8.0, 8.0)
    scores = np.clip(scores, -8.0, 8.0)  # what lies beyond weighs less than 1e-14
    first = reference(one).ppf(special.ndtr(scores)) - reference(one).mean()
    then = reference(two).ppf(special.ndtr(second)) - reference(two).mean()
    return float(weights @ (first * (then @ weights)))


@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.8])
def test_a_sum_of_ranges_has_the_mean_and_variance_of_theory(
    tmp_path: Path, correlation: float
) -> None:
    found = summed(tmp_path, correlation)
    mean = sum(reference(each).mean() for each in SUMMED)
    variance = sum(
        float(reference(one).var()) if one is two else covariance(one, two, correlation)
        for one in SUMMED
        for two in SUMMED
    )
    assert found.mean() == pytest.approx(mean, abs=4 * (variance / MANY) ** 0.5)
    assert found.var() == pytest.approx(variance, rel=4 * (2 / MANY) ** 0.5)


def test_the_published_spread_of_fifty_correlated_parts_comes_out(tmp_path: Path) -> None:
    """Fifty equal parts, each of spread 0.14, common correlation 0.2: their mean spreads 0.065.

    Check CR-6: worked as 0.14·√(1/50 + 49/50·0.2) on bionicturtle.com, forum thread 8762, p. 2.
    The published CR-1 (GAO-20-195G, table 12: likely costs add up to $77 million) and CR-2 (32
    of them: $2.47 billion) rest on table rows that are not at hand.
    """
    parts = refit(*["cost = [1, 2, 3]"] * 50)
    shares = probabilities_of(
        draw_source_of(case_in(tmp_path, {"refit": parts}, correlation=0.2)), 0, MANY
    )
    mean = 0.14 * np.mean([special.ndtri(each) for each in shares.values()], axis=0)
    assert mean.std() == pytest.approx(0.065, abs=0.0005)
