"""Break-evens, raises that make whole and internal rates: laws that hold for every scenario.

Scenarios are made by hypothesis, always the same ones, so that a red test stays red.
"""

from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given

from changed_cases import without_loans
from laws import ROUNDING, benefit_of, discounted, law, others, size_of
from panelworth.engine.cash_flow.phases import paths_everywhere
from panelworth.engine.evaluate import evaluate
from panelworth.engine.results.figures import (
    OptionFigures,
)
from panelworth.engine.returns.benefit import benefits
from panelworth.engine.returns.breakeven import net_benefit_over
from panelworth.engine.trials import likely_trial
from panelworth.model.bounds import HOURS_IN_A_YEAR
from panelworth.model.case import Case
from panelworth.model.scenario import MONTHS
from panelworth.model.value import exactly
from strategies import Folder, case_of, folders


def gap_when(case: Case, option_id: str) -> float:
    """Return what an option brings more than the baseline in the likely view of a case."""
    trials = likely_trial(case)
    mine, other = (benefits(case, each, trials) for each in (option_id, case.scenario.baseline))
    return float((mine - other)[0])


def moved_to(case: Case, option_id: str, key: str, value: float) -> Case:
    """Write a break-even's value into the records, as a user would into the files."""
    option, airplane = case.options[option_id], case.scenario.aircraft
    written: dict[str, Any] = {}
    if key == "worth_per_hour":
        now = airplane.model_copy(update={key: exactly(value)})
        return replace(case, scenario=case.scenario.model_copy(update={"aircraft": now}))
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
        moved, bare = moved_to(case, option_id, key, value), without_loans(case)
        borrowed = gap_when(case, option_id) - gap_when(bare, option_id)
        return gap_when(without_loans(moved), option_id) + borrowed
    trials = likely_trial(case)
    paths = (
        [f"options.{option_id}.overrun"]
        if key == "project"
        else paths_everywhere(
            case, [option_id, case.scenario.baseline], lambda aircraft: aircraft.resale_recovery
        )
    )
    return float(net_benefit_over(case, option_id, trials, paths)(np.array([value]))[0])


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
            tried = (0.0, 0.5, 1.0) if key == "resale_recovery" else (0.0, 0.5, 20.0, 8000.0)
            gaps = [gap_at(case, option_id, key, value) for value in tried]
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
        base = figures.options["keep"]
        missing = discounted(case, figures.series["keep"].net) + base.likely.loan_npv
        missing -= discounted(case, series.net) + option.likely.loan_npv
        people = discounted(case, (0.0, *series.members[1:]))
        raised = {
            "dues": (whole.dues_per_member_month, people),
            "hours": (whole.hourly_rate, discounted(case, series.hours)),
            "assessment": (whole.assessment_per_member, series.members[0]),
        }
        for each, basis in raised.values():
            assert (each is None) == (basis <= 0.0)
            if each is not None:
                assert each * basis == pytest.approx(missing, rel=1e-9, abs=ROUNDING)


@law(16)
@given(folders())
def test_at_an_internal_rate_the_difference_is_worth_nothing(folder: Folder) -> None:
    figures = evaluate(case_of(folder))
    keep, base = figures.options["keep"], figures.series["keep"]
    for option_id, option in others(figures):
        gap = benefit_of(figures.series[option_id]) - benefit_of(base)
        gap[-1] += option.likely.end_value - keep.likely.end_value
        assert sorted(option.likely.irr) == list(option.likely.irr)
        for rate in option.likely.irr:
            terms = gap * (1.0 + rate) ** (-np.arange(len(gap)) / MONTHS)
            assert abs(terms.sum()) <= ROUNDING * np.abs(terms).sum()
