"""Money in another unit: a thousandth or a million times as much changes no answer but its size."""

from collections.abc import Mapping
from dataclasses import asdict
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from changed_cases import money_times, without_whole_cents
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.insight import insight_of
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.results.figures import (
    Figures,
)
from panelworth.engine.results.insight import (
    Insight,
)
from panelworth.engine.returns.scale import WITHOUT_MONEY, scale_of, scale_of_case, tolerance_of
from panelworth.engine.trials import likely_trial
from panelworth.model.case import Case
from panelworth.reading.folder import read_case

SCENARIOS = Path(__file__).parents[1] / "scenarios"
DEMOS = ("quillmeadow-club", "brackenholt-owner")
FACTORS = (1e-3, 16_000.0, 1e6)
TRIALS = 400
HALF_A_CENT = 0.005


@cache
def demo(name: str) -> Case:
    """Read a demo without what is rounded to whole cents."""
    case, _ = read_case(SCENARIOS / name)
    assert case is not None
    return without_whole_cents(settled(case))


@cache
def worked_out(name: str, factor: float) -> tuple[Figures, Insight]:
    """Work out a demo with all its money times a factor."""
    case = money_times(demo(name), factor)
    figures = evaluate(case, trials=TRIALS)
    return figures, insight_of(case, figures)


@pytest.fixture(params=[(name, factor) for name in DEMOS for factor in FACTORS])
def pair(request: pytest.FixtureRequest) -> tuple[Figures, Insight, Figures, Insight, float]:
    """Return a demo as it is, and with all its money times a factor."""
    name, factor = request.param
    return *worked_out(name, 1.0), *worked_out(name, factor), factor


Pair = tuple[Figures, Insight, Figures, Insight, float]


def test_reasons_sides_and_rankings_stay(pair: Pair) -> None:
    figures, insight, scaled, more, _ = pair
    for option_id, option in figures.options.items():
        other = scaled.options[option_id]
        for told in ("break_even_why", "break_even_side"):
            assert unbounded(getattr(other, told)) == unbounded(getattr(option, told))
        assert other.likely.irr == pytest.approx(option.likely.irr, abs=1e-9)
        drawn, again = figures.uncertainty.options[option_id], scaled.uncertainty.options[option_id]
        assert again.chance_best == drawn.chance_best
        assert again.chance_likely_enough == drawn.chance_likely_enough
        assert [each.input for each in again.shares] == [each.input for each in drawn.shares]
    assert ranked(scaled) == ranked(figures)
    for turning, other_turning in zip(insight.rank_reversals, more.rank_reversals, strict=True):
        told = ("input", "best", "then", "jump")
        assert [getattr(other_turning, key) for key in told] == [
            getattr(turning, key) for key in told
        ]
    for option_id, points in insight.break_even_points.items():
        swings = {swing.input for swing in scaled.options[option_id].swings}
        for point in (each for each in points if each.input in swings):
            same = next(
                each for each in more.break_even_points[option_id] if each.input == point.input
            )
            assert (same.why, [each.side for each in same.roots]) == (
                point.why,
                [each.side for each in point.roots],
            )
    assert [axis.key for axis in more.whatif.axes] == [axis.key for axis in insight.whatif.axes]


def ranked(figures: Figures) -> list[str]:
    """Return the options by what they bring."""
    return sorted(figures.options, key=lambda each: -figures.options[each].likely.net_benefit)


def unbounded(break_evens: Mapping[str, Any]) -> dict[str, Any]:
    """Leave out the worth of an hour, which is searched to 10,000 of whatever unit money is in."""
    return {key: value for key, value in break_evens.items() if key != "worth_per_hour"}


PURE = ("months", "irr", "savings_to_investment")


def test_money_scales_and_the_rest_stays(pair: Pair) -> None:
    figures, _, scaled, _, factor = pair
    for option_id, option in figures.options.items():
        other = scaled.options[option_id]
        likely, again = asdict(option.likely), asdict(other.likely)
        parts, parts_again = likely.pop("parts"), again.pop("parts")
        for key, value in {**likely, **parts}.items():
            by = 1.0 if key.endswith(PURE) else factor
            assert {**again, **parts_again}[key] == times(value, by), key
        for key, value in unbounded(asdict(option.break_even)).items():
            by = factor if key in ("project", "buy_price") else 1.0
            assert asdict(other.break_even)[key] == times(value, by), key


def test_swings_scale_and_end_where_half_a_cent_is(pair: Pair) -> None:
    figures, _, scaled, _, factor = pair
    for option_id, option in figures.options.items():
        expected = [
            (swing.input, pytest.approx(swing.low * factor), pytest.approx(swing.high * factor))
            for swing in option.swings
            if abs(swing.high - swing.low) * factor >= HALF_A_CENT
        ]
        found = [(each.input, each.low, each.high) for each in scaled.options[option_id].swings]
        assert found == expected


def times(value: Any, factor: float) -> Any:  # noqa: ANN401 (a number, several, or None)
    """Multiply what is there; equal to what is as near as doubles come."""
    if value is None:
        return None
    if isinstance(value, tuple):
        return pytest.approx([each * factor for each in value], abs=1e-9)
    return pytest.approx(value * factor, rel=1e-7, abs=1e-9 * factor)


def without_money(case: Case) -> Case:
    """Return a case in which every sum is 0."""
    return money_times(case, 0.0)


@pytest.mark.parametrize("name", DEMOS)
def test_where_no_money_moves_nothing_has_an_effect(name: str) -> None:
    case = without_money(demo(name))
    assert scale_of_case(case) == WITHOUT_MONEY
    figures = evaluate(case, trials=100)
    insight_of(case, figures)
    for option_id, option in figures.options.items():
        if option_id != figures.baseline:
            assert set(option.break_even_why.values()) == {"no effect"}
            assert figures.uncertainty.options[option_id].chance_best == pytest.approx(
                1.0 / len(figures.options)
            )


@pytest.mark.parametrize("factor", FACTORS)
def test_the_scale_is_that_of_the_money(factor: float) -> None:
    case = demo(DEMOS[0])
    flows = flows_of(case, "full", likely_trial(case))
    moved = sum(abs(row).sum() for row in flows.rows.values()) + abs(flows.end_value[0])
    assert scale_of(flows) / moved == pytest.approx(1.0, rel=2.5)
    near = tolerance_of(money_times(case, factor)) / (factor * tolerance_of(case))
    assert 0.1 < near < 10.0
