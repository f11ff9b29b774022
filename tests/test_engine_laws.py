"""Laws that hold for every scenario, whatever is in it: the engine against itself.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from dataclasses import asdict, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from changed_cases import money_times, without_whole_cents
from laws import ROUNDING, as_certain, discounted, law, others, size_of
from panelworth.engine.cash_flow.flows import INCOME, flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    OptionFigures,
)
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.trials import Array, likely_trial, trials_with
from panelworth.model.case import Case
from strategies import Folder, case_of, folders


def plain(option: OptionFigures) -> dict[str, Any]:
    """Return an option's likely figures: without swings, and what rests on the trials."""
    drawn = ("swings", "allowed_start", "finish_p80")
    figures = asdict(option)
    inner = figures["downtime"] or {}
    figures["downtime"] = {key: value for key, value in inner.items() if key not in drawn}
    return {key: value for key, value in figures.items() if key not in drawn}


def unsolved(folder: Folder) -> Folder:
    """Take out the raises that are solved: they hold in enough trials, and rest on the ranges."""
    for option in folder.values():
        option.get("funding", {}).pop("solve", None)
    return folder


@law(10)
@given(folders(), st.booleans())
def test_ranges_that_are_certain_give_the_likely_answer(folder: Folder, bracketed: bool) -> None:  # noqa: FBT001
    ranged = evaluate(case_of(unsolved(folder)))
    certain = evaluate(case_of(as_certain(folder, bracketed=bracketed)))
    for option_id, option in certain.options.items():
        assert plain(option) == plain(ranged.options[option_id])
        assert option.swings == ()
    assert certain.series == ranged.series


@law(16)
@given(folders())
def test_the_baseline_differs_by_nothing_from_itself(folder: Folder) -> None:
    figures = evaluate(case_of(folder))
    keep = figures.options["keep"]
    assert keep.likely.net_benefit == keep.likely.npv_vs_baseline == 0.0
    assert set(asdict(keep.likely.parts).values()) == {0.0}
    assert keep.likely.irr == ()
    assert keep.likely.payback_months is None
    assert keep.break_even_why == keep.break_even_side == {}
    assert set(asdict(keep.break_even).values()) == {None}
    assert {value for value in asdict(keep.to_be_whole).values() if value} == set()
    assert keep.swings == ()


@law(16)
@given(folders())
def test_value_is_income_less_cost_with_the_airplane_of_today_as_capital(folder: Folder) -> None:
    case = case_of(folder)
    figures, airplane = evaluate(case), case.scenario.aircraft
    capital = airplane.value.likely * (1.0 - airplane.selling_cost.likely)
    for option_id, option in figures.options.items():
        rows = figures.series[option_id].rows
        income = sum(discounted(case, rows[name]) for name in INCOME if name in rows)
        expected = income - option.likely.cost_npv + capital
        near = ROUNDING * size_of(case, option_id)
        assert option.likely.npv == pytest.approx(expected, rel=0, abs=near)


@law(16)
@given(folders())
def test_upfront_is_what_is_paid_and_received_month_by_month(folder: Folder) -> None:
    figures = evaluate(case_of(folder))
    for option_id, option in figures.options.items():
        rows = figures.series[option_id].rows
        sums = {name: sum(rows[name]) for name in ("project", "purchase", "credits", "sale")}
        assert option.likely.project == pytest.approx(sums["project"])
        assert option.likely.outlay == pytest.approx(sums["project"] + sums["purchase"])
        expected = sums["project"] + sums["purchase"] - sums["credits"] - sums["sale"]
        assert option.likely.upfront == pytest.approx(expected, rel=1e-9, abs=ROUNDING)


@law(16)
@given(folders())
def test_doubling_all_money_doubles_all_money_figures_and_nothing_else(folder: Folder) -> None:
    case = without_whole_cents(case_of(folder))
    once, doubled = evaluate(case), evaluate(money_times(case, 2.0))
    for option_id, option in once.options.items():
        assert in_halves(doubled.options[option_id]) == pytest.approx(in_ones(option), rel=1e-9)
        for name, row in once.series[option_id].rows.items():
            assert doubled.series[option_id].rows[name] == pytest.approx([2 * x for x in row])
        assert doubled.series[option_id].hours == once.series[option_id].hours


MOST_WORTH = 5000.0
PURE = {  # figures that are no money: rates, ratios, months
    *("payback_months", "first_payback_months"),
    *("discounted_payback_months", "first_discounted_payback_months"),
    *("mirr", "savings_to_investment", "adjusted_irr"),
    *("lowest_balance_month", "below_floor_month", "solve_month"),
    *("hours_per_year", "extra_hours_per_year", "members_joined", "resale_recovery"),
}


def in_ones(option: OptionFigures, unit: float = 1.0) -> dict[str, float]:
    """Flatten an option's figures, money counted in this unit; rates of return by their place."""
    found: dict[str, float] = {}
    groups = (option.likely, option.break_even, option.to_be_whole, option.funded)
    for number, group in enumerate(groups):
        values = asdict(group) if group else {}
        parts = values.pop("parts", {})
        for key, value in {**values, **parts}.items():
            if key != "irr" and value is not None:
                found[f"{number} {key}"] = value if key in PURE else value / unit
    if found.get("1 worth_per_hour", 0.0) > MOST_WORTH:
        del found["1 worth_per_hour"]  # searched to 10,000 of any unit
    found |= {f"irr {place}": rate for place, rate in enumerate(option.likely.irr)}
    found |= {f"bill {bill.name}": bill.per_month / unit for bill in option.bills}
    for swing in option.swings:
        if abs(swing.high - swing.low) / unit > 1.0:  # those under half a cent come and go
            found |= {f"{swing.input} low": swing.low / unit, f"{swing.input}": swing.high / unit}
    return found


def in_halves(option: OptionFigures) -> dict[str, float]:
    """Flatten the figures of doubled money, counted in units of two."""
    return in_ones(option, 2.0)


@law(10)
@given(folders())
def test_the_order_and_company_of_options_change_nothing(folder: Folder) -> None:
    figures = evaluate(case_of(folder))
    backwards = evaluate(case_of(dict(reversed(folder.items()))))
    assert backwards.options == figures.options
    case = case_of(folder)
    turned = evaluate(replace(case, options=dict(reversed(case.options.items()))))
    assert dict(turned.options) == dict(figures.options)
    for option_id, option in others(figures):
        alone = {"keep": case.options["keep"], option_id: case.options[option_id]}
        assert evaluate(replace(case, options=alone)).options[option_id] == option


def drawn(case: Case, trials: int) -> dict[str, Array]:
    """Draw every range a few times; which shape does not matter here."""
    source = np.random.default_rng(1)
    return {
        each.path: source.uniform(each.quantity.low, each.quantity.high, trials)
        for each in case.inputs
        if not each.quantity.certain
    }


@law(16)
@given(folders())
def test_many_worlds_at_once_are_the_same_as_each_on_its_own(folder: Folder) -> None:
    case, likely = case_of(folder), likely_trial(case_of(folder))
    values = drawn(case, 5)
    together = trials_with(likely, values)
    for option_id in case.options:
        whole = flows_of(case, option_id, together)
        at_once = benefits(case, option_id, together)
        for trial in range(together.size):
            single = trials_with(likely, {path: row[[trial]] for path, row in values.items()})
            alone = flows_of(case, option_id, single)
            for name, row in whole.rows.items():
                mine = row[trial if len(row) > 1 else 0]
                assert mine == pytest.approx(alone.rows[name][0], rel=1e-9, abs=ROUNDING), name
            brings = float(benefits(case, option_id, single)[0])
            assert at_once[trial] == pytest.approx(brings, rel=1e-9, abs=ROUNDING)


@law(16)
@given(folders(), st.integers(0, 1000))
def test_a_swing_is_what_the_range_s_ends_give_when_written_as_certain(
    folder: Folder, pick: int
) -> None:
    case = case_of(folder)
    swings = [(each, swing) for each, option in others(evaluate(case)) for swing in option.swings]
    assume(swings)
    option_id, swing = swings[pick % len(swings)]
    likely = likely_trial(case)
    together = [each for each in case.inputs if case.roots.get(each.path, each.path) == swing.input]
    for end, expected in (("low", swing.low), ("high", swing.high)):
        ends = {each.path: np.array([getattr(each.quantity, end)]) for each in together}
        trials = trials_with(likely, ends)
        gap = float((benefits(case, option_id, trials) - benefits(case, "keep", trials))[0])
        assert gap == pytest.approx(expected, rel=1e-9, abs=ROUNDING)
