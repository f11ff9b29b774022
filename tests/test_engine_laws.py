"""Laws that hold for every scenario, whatever is in it: the engine against itself.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from collections.abc import Callable, Iterator
from dataclasses import asdict, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from panelworth.engine.breakeven import gap_over, moved_everywhere, present_values
from panelworth.engine.cashflow import INCOME, flows_of
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results import Figures, OptionFigures
from panelworth.engine.worlds import Array, likely_worlds, worlds_with
from panelworth.model.case import Case, inputs_of_case
from panelworth.model.scenario import HOURS_IN_A_YEAR, MONTHS
from panelworth.model.value import Quantity, Record, about, exactly
from strategies import Folder, case_of, changed, folders

CENT = 0.01
ROUNDING = 1e-6  # of a unit of money, relative to sums of some hundred thousand
RAISES = {
    "dues": "dues_increase",
    "hourly_rate": "hourly_rate_increase",
    "assessment": "assessment_per_member",
}


def law(examples: int) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Hold a test to so many scenarios, the same in every run, however slow the machine."""
    slow = [HealthCheck.too_slow, HealthCheck.data_too_large]
    return settings(
        max_examples=examples,
        derandomize=True,
        deadline=None,
        database=None,
        suppress_health_check=slow,
    )


def others(figures: Figures) -> Iterator[tuple[str, OptionFigures]]:
    """Yield the options that are compared with the baseline."""
    for option_id, option in figures.options.items():
        if option_id != figures.baseline:
            yield option_id, option


def discounted(case: Case, row: tuple[float, ...]) -> float:
    """Return the present value of a monthly row at the likely rate, written out by the month."""
    rate = case.scenario.rates.discount.likely
    return sum(each * (1.0 + rate) ** (-month / MONTHS) for month, each in enumerate(row))


def gap_when(case: Case, option_id: str) -> float:
    """Return npv less the baseline's in the likely view of a case."""
    worlds = likely_worlds(case)
    mine = present_values(case, option_id, worlds)
    return float((mine - present_values(case, case.scenario.baseline, worlds))[0])


def size_of(case: Case, option_id: str) -> float:
    """Return the gross money of an option, to judge a rounding error by."""
    flows = flows_of(case, option_id, likely_worlds(case))
    return 1.0 + sum(float(np.abs(row).sum()) for row in flows.rows.values())


def money_times(record: Any, factor: float) -> Any:  # noqa: ANN401 (a record of any kind)
    """Multiply everything that is declared to be money by a factor, in a record and within it."""
    updates: dict[str, Any] = {}
    for key in type(record).model_fields:
        value, unit = getattr(record, key), about(type(record), key)["unit"]
        if isinstance(value, Record):
            updates[key] = money_times(value, factor)
        elif isinstance(value, tuple) and value and isinstance(value[0], Record):
            updates[key] = tuple(money_times(each, factor) for each in value)
        elif unit.startswith("money") and isinstance(value, Quantity):
            parts = {part: getattr(value, part) * factor for part in ("low", "likely", "high")}
            updates[key] = value.model_copy(update=parts)
        elif unit.startswith("money") and isinstance(value, float):
            updates[key] = value * factor
    return record.model_copy(update=updates)


def without_whole_cents(case: Case) -> Case:
    """Take out loans and solved raises, the only figures that are rounded to the cent."""
    nothing = {"loan": None, "solve": None}
    options = {
        option_id: option.model_copy(update={"funding": option.funding.model_copy(update=nothing)})
        for option_id, option in case.options.items()
    }
    return replace(case, options=options)


def as_certain(value: Any, *, bracketed: bool) -> Any:  # noqa: ANN401 (any part of a file)
    """Write every range at its likely value, plain or as three equal numbers."""
    if isinstance(value, dict) and "likely" in value:
        return [value["likely"]] * 3 if bracketed else value["likely"]
    if isinstance(value, list) and len(value) == 3 and not isinstance(value[0], dict | str):
        return [value[1]] * 3 if bracketed else value[1]
    if isinstance(value, dict):
        return {key: as_certain(each, bracketed=bracketed) for key, each in value.items()}
    if isinstance(value, list):
        return [as_certain(each, bracketed=bracketed) for each in value]
    return value


def plain(option: OptionFigures) -> dict[str, Any]:
    """Return an option's figures without its swings, which need ranges."""
    return {key: value for key, value in asdict(option).items() if key != "swings"}


@law(10)
@given(folders(), st.booleans())
def test_ranges_that_are_certain_give_the_likely_answer(folder: Folder, bracketed: bool) -> None:  # noqa: FBT001
    ranged = evaluate(case_of(folder))
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
    assert keep.likely.npv_vs_baseline == 0.0
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


def moved_to(case: Case, option_id: str, key: str, value: float) -> Case:
    """Write a break-even's value into the records, as a user would into the files."""
    option, airplane = case.options[option_id], case.scenario.aircraft
    written: dict[str, Any] = {}
    if key == "hours_per_year":
        now = airplane.model_copy(update={key: exactly(value)})
        options = {each: with_hours(case.options[each], value) for each in case.options}
        scenario = case.scenario.model_copy(update={"aircraft": now})
        return replace(case, scenario=scenario, options=options)
    if key == "extra_hours_per_year":
        after = option.after.model_copy(update={"hours_per_year_change": exactly(value)})
        written["after"] = after
    elif key == "members_joined":
        written["members"] = option.members.model_copy(update={"joined": exactly(value)})
    elif key == "buy_price" and option.buy is not None:
        written["buy"] = option.buy.model_copy(update={"price": exactly(value)})
    moved = option.model_copy(update=written)
    return replace(case, options={**case.options, option_id: moved})


def with_hours(option: Any, value: float) -> Any:  # noqa: ANN401 (an option of any kind)
    """Put other hours into an option that has its own after the finish."""
    if option.after.new("hours_per_year") is None:
        return option
    after = option.after.model_copy(update={"hours_per_year": exactly(value)})
    return option.model_copy(update={"after": after})


def gap_at(case: Case, option_id: str, key: str, value: float) -> float:
    """Return the gap with one input at a value; a price scale or recovery above 1 by its path."""
    if key not in ("project", "resale_recovery"):
        return gap_when(moved_to(case, option_id, key, value), option_id)
    worlds = likely_worlds(case)
    paths = (
        [f"options.{option_id}.overrun"]
        if key == "project"
        else moved_everywhere(case, option_id, worlds, key)
    )
    return float(gap_over(case, option_id, worlds, paths)(np.array([value]))[0])


def break_evens_of(option: OptionFigures) -> Iterator[tuple[str, float]]:
    """Yield the break-evens there are; the project's as the multiple of itself."""
    for key, value in asdict(option.break_even).items():
        if value is not None:
            yield key, value / option.likely.project if key == "project" else value


@law(16)
@given(folders())
def test_at_a_break_even_both_options_are_equal_and_beyond_it_the_named_side_pays(
    folder: Folder,
) -> None:
    case = case_of(folder)
    for option_id, option in others(evaluate(case)):
        near = ROUNDING * size_of(case, option_id)
        for key, value in break_evens_of(option):
            assert abs(gap_at(case, option_id, key, value)) < near, key
            step = 1e-3 * max(1.0, value)
            above = gap_at(case, option_id, key, value + step)
            if option.break_even_side[key] == "at least":
                assert above > -near, key
            else:
                assert above < near, key


@law(16)
@given(folders())
def test_an_option_without_break_even_is_on_one_side_at_every_value(folder: Folder) -> None:
    case = case_of(folder)
    for option_id, option in others(evaluate(case)):
        near = ROUNDING * size_of(case, option_id)
        for key, why in option.break_even_why.items():
            gaps = [gap_at(case, option_id, key, value) for value in (0.0, 0.5, 20.0, 8000.0)]
            if why == "no effect":
                assert max(gaps) - min(gaps) < near, key
            elif why == "pays at any value":
                assert min(gaps) > -near, key
            else:
                assert why == "never pays"
                assert max(gaps) < near, key


@law(16)
@given(folders())
def test_hours_that_break_even_are_hours_that_a_year_has(folder: Folder) -> None:
    for _, option in others(evaluate(case_of(folder))):
        hours = option.break_even.hours_per_year
        assert hours is None or 0.0 <= hours <= HOURS_IN_A_YEAR


@law(16)
@given(folders())
def test_the_raise_that_makes_whole_brings_in_just_the_difference(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        series, whole = figures.series[option_id], option.to_be_whole
        people = discounted(case, (0.0, *series.members[1:]))
        raised = {
            "dues": (whole.dues_per_member_month, people),
            "hours": (whole.hourly_rate, discounted(case, series.hours)),
            "assessment": (whole.assessment_per_member, series.members[0]),
        }
        for each, basis in raised.values():
            assert (each is None) == (basis <= 0.0)
            if each is not None:
                missing = -option.likely.npv_vs_baseline
                assert each * basis == pytest.approx(missing, rel=1e-9, abs=ROUNDING)


@law(16)
@given(folders())
def test_at_an_internal_rate_the_difference_is_worth_nothing(folder: Folder) -> None:
    figures = evaluate(case_of(folder))
    keep, base = figures.options["keep"], figures.series["keep"]
    for option_id, option in others(figures):
        gap = np.array(figures.series[option_id].net) - np.array(base.net)
        gap[-1] += option.likely.end_value - keep.likely.end_value
        assert sorted(option.likely.irr) == list(option.likely.irr)
        for rate in option.likely.irr:
            terms = gap * (1.0 + rate) ** (-np.arange(len(gap)) / MONTHS)
            assert abs(terms.sum()) <= ROUNDING * np.abs(terms).sum()


@law(16)
@given(folders())
def test_doubling_all_money_doubles_all_money_figures_and_nothing_else(folder: Folder) -> None:
    case = without_whole_cents(case_of(folder))
    twice = replace(
        case,
        scenario=money_times(case.scenario, 2.0),
        options={key: money_times(option, 2.0) for key, option in case.options.items()},
    )
    once, doubled = evaluate(case), evaluate(twice)
    for option_id, option in once.options.items():
        assert in_halves(doubled.options[option_id]) == pytest.approx(in_ones(option), rel=1e-9)
        for name, row in once.series[option_id].rows.items():
            assert doubled.series[option_id].rows[name] == pytest.approx([2 * x for x in row])
        assert doubled.series[option_id].hours == once.series[option_id].hours


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
        for key, value in (asdict(group) if group else {}).items():
            if key != "irr" and value is not None:
                found[f"{number} {key}"] = value if key in PURE else value / unit
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


@law(16)
@given(folders(club=True))
def test_the_reserve_ends_where_its_flows_and_raises_and_the_loan_lead(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        series, funded = figures.series[option_id], option.funded
        assert funded is not None
        assert funded.balance_at_end is not None
        raised = (funded.dues_increase or 0.0) * sum(series.members[1:])
        raised += (funded.hourly_rate_increase or 0.0) * sum(series.hours)
        raised += (funded.assessment_per_member or 0.0) * series.members[0]
        club = case.scenario.club
        assert club is not None
        from_loan = funded.balance_at_end - club.reserve - sum(series.net) - raised
        # Of a loan there stays what is still owed, less the interest paid so far.
        debt, interest = funded.debt_at_end or 0.0, funded.loan_interest or 0.0
        assert -interest - ROUNDING <= from_loan - debt <= ROUNDING
        if debt == 0.0:
            assert from_loan == pytest.approx(-interest, abs=ROUNDING)


@law(16)
@given(folders(club=True))
def test_the_lowest_balance_is_that_of_its_month(folder: Folder) -> None:
    case = case_of(folder)
    figures = evaluate(case)
    for option_id, option in figures.options.items():
        balance, funded = figures.series[option_id].balance, option.funded
        assert balance is not None
        assert funded is not None
        assert funded.lowest_balance == min(balance)
        month = funded.lowest_balance_month
        assert month is not None
        assert balance[month] == pytest.approx(min(balance), abs=ROUNDING)
        assert case.scenario.club is not None
        below = [each < case.scenario.club.reserve_floor - ROUNDING for each in balance]
        assert funded.below_floor_month == (below.index(True) if any(below) else None)


def funded_with(folder: Folder, option_id: str, kind: str, amount: float) -> Any:  # noqa: ANN401
    """Return the funding figures with a given raise in place of the one that is solved."""
    file = f"options/{option_id}.toml"
    given_raise = changed(folder, file, ("funding", RAISES[kind]), amount)
    del given_raise[file]["funding"]["solve"]
    return evaluate(case_of(given_raise)).options[option_id].funded


@law(16)
@given(folders(club=True))
def test_a_solved_raise_holds_the_floor_and_one_cent_less_does_not(folder: Folder) -> None:
    asked = {
        file.removeprefix("options/").removesuffix(".toml"): option["funding"]["solve"]
        for file, option in folder.items()
        if "solve" in option.get("funding", {})
    }
    assume(asked)
    figures = evaluate(case_of(folder))
    for option_id, kind in asked.items():
        funded = figures.options[option_id].funded
        found = getattr(funded, RAISES[kind])
        if found is None:
            assert funded_with(folder, option_id, kind, 1e6).below_floor_month is not None
        else:
            assert funded is not None
            assert funded.below_floor_month is None
            assert found == pytest.approx(round(found, 2), abs=1e-9)
            assert funded_with(folder, option_id, kind, found).below_floor_month is None
            assert (found > 0.0) == (funded.solve_month is not None)
        if found:
            less = funded_with(folder, option_id, kind, found - CENT)
            assert less.below_floor_month is not None


def drawn(case: Case, worlds: int) -> dict[str, Array]:
    """Draw every range a few times; which shape does not matter here."""
    source = np.random.default_rng(1)
    return {
        each.path: source.uniform(each.quantity.low, each.quantity.high, worlds)
        for each in inputs_of_case(case)
        if not each.quantity.certain
    }


@law(16)
@given(folders())
def test_many_worlds_at_once_are_the_same_as_each_on_its_own(folder: Folder) -> None:
    case, likely = case_of(folder), likely_worlds(case_of(folder))
    values = drawn(case, 5)
    together = worlds_with(likely, values)
    for option_id in case.options:
        whole = flows_of(case, option_id, together)
        all_npvs = np.broadcast_to(present_values(case, option_id, together), (together.size,))
        for world in range(together.size):
            single = worlds_with(likely, {path: row[[world]] for path, row in values.items()})
            alone = flows_of(case, option_id, single)
            for name, row in whole.rows.items():
                mine = row[world if len(row) > 1 else 0]
                assert mine == pytest.approx(alone.rows[name][0], rel=1e-9, abs=ROUNDING), name
            npv = float(present_values(case, option_id, single)[0])
            assert all_npvs[world] == pytest.approx(npv, rel=1e-9, abs=ROUNDING)


@law(16)
@given(folders(), st.integers(0, 1000))
def test_a_swing_is_what_the_range_s_ends_give_when_written_as_certain(
    folder: Folder, pick: int
) -> None:
    case = case_of(folder)
    swings = [(each, swing) for each, option in others(evaluate(case)) for swing in option.swings]
    assume(swings)
    option_id, swing = swings[pick % len(swings)]
    likely = likely_worlds(case)
    ends = next(each.quantity for each in inputs_of_case(case) if each.path == swing.input)
    for end, expected in ((ends.low, swing.low), (ends.high, swing.high)):
        worlds = worlds_with(likely, {swing.input: np.array([end])})
        mine = present_values(case, option_id, worlds)
        gap = float((mine - present_values(case, "keep", worlds))[0])
        assert gap == pytest.approx(expected, rel=1e-9, abs=ROUNDING)
