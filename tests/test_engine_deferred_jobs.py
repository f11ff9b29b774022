"""Small jobs while the panel is open, beside hand working and the cash flow itself."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import case_of
from laws import law
from panelworth.engine.airplane.deferred_jobs import (
    deferred_jobs_of,
    later_value,
    savings,
    with_chance,
)
from panelworth.engine.cash_flow.discounting import discount_factors, present_value
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.cash_flow.option_context import option_context
from panelworth.engine.trials import likely_trial, trials_with
from panelworth.model.case import Case
from written_numbers import written


def folder(now: object, later: object, chance: object, **rates: float) -> Case:
    """Return a folder with one job, a refit that includes it and one that does not."""
    job = {"name": "Hoses", "now": now, "later": later, "chance_per_year": chance}
    schedule = {"start": date(2027, 1, 18), "weeks_down": 6}
    refit = {"title": "R", "kind": "retrofit", "schedule": schedule}
    return case_of(
        scenario={"jobs": [job], "rates": rates, "years": 2},
        options={
            "with": {**refit, "jobs": ["Hoses"]},
            "without": refit,
            "buy": {"title": "B", "kind": "replace"},
        },
    )


def test_a_job_without_rates_is_worth_what_was_worked_by_hand() -> None:
    """Two years, no schedule, no rates: p·later in year one, p·(1-p)·later in year two.

    0.25·800 + 0.25·0.75·800 = 200 + 150 = 350, against 300 now: 50 saved. Equal where
    p + p·(1-p) = 300/800: p² - 2p + 0.375 = 0, p = 1 - √0.625 = 0.209431.
    """
    (job,) = deferred_jobs_of(folder(300, 800, 0.25), "keep").jobs
    assert (job.now, job.later) == (300, pytest.approx(350))
    assert job.saving == pytest.approx(50)
    assert job.equal_chance == pytest.approx(1 - 0.625**0.5)
    assert not job.included


@law(40)
@given(
    now=st.floats(1, 900),
    later=st.floats(1, 3000),
    chance=written(0, 1),
    discount=written(0, 0.2),
    inflation=written(0, 0.1),
)
def test_including_a_job_moves_npv_by_its_saving(
    now: float, later: float, chance: float, discount: float, inflation: float
) -> None:
    case = folder(now, later, chance, discount=discount, inflation=inflation)
    trials = likely_trial(case)
    factors = discount_factors(trials.values["rates.discount"], 24)
    values = [present_value(flows_of(case, o, trials).net, factors) for o in ("with", "without")]
    figures = deferred_jobs_of(case, "with")
    assert figures.included_saving == pytest.approx(float(values[0][0] - values[1][0]), abs=1e-6)
    assert deferred_jobs_of(case, "without").included_saving == 0
    equal = figures.jobs[0].equal_chance
    if equal is not None:
        context, job = option_context(case, "with", trials), case.scenario.jobs[0]
        at_equal = later_value(with_chance(context, job, np.array([equal])), job)[0]
        assert at_equal == pytest.approx(figures.jobs[0].now, rel=1e-9)


def test_a_job_dearer_now_than_ever_later_has_no_equal_chance() -> None:
    (job,) = deferred_jobs_of(folder(900, 800, 0.25), "keep").jobs
    assert job.equal_chance is None


def test_a_job_that_costs_nothing_now_pays_at_any_chance() -> None:
    assert deferred_jobs_of(folder(0, 800, 0.25), "keep").jobs[0].equal_chance == 0.0


def test_ranges_bound_the_saving_and_draws_stay_within() -> None:
    case = folder([200, 300, 500], [600, 800, 1500], [0.1, 0.25, 0.4], discount=0.05)
    figures = deferred_jobs_of(case, "with")
    assert figures.saving_low < figures.saving < figures.saving_high
    draw = np.random.default_rng(1).uniform
    drawn = {
        "jobs[Hoses].now": draw(200, 500, 500),
        "jobs[Hoses].later": draw(600, 1500, 500),
        "jobs[Hoses].chance_per_year": draw(0.1, 0.4, 500),
    }
    found = savings(case, "with", trials_with(likely_trial(case), drawn))
    assert found.shape == (500,)
    assert figures.saving_low <= found.min() < found.max() <= figures.saving_high
    assert savings(case, "with", likely_trial(case)) == pytest.approx([figures.saving])


def test_the_ends_of_a_saving_are_those_worked_by_hand() -> None:
    """Two years, no rates: later·(p + p·(1-p)) less now, at the worst and the best corner.

    600·(0.1 + 0.09) - 500 = -386; 1500·(0.4 + 0.24) - 200 = 760. What is certain has no ends.
    """
    (job,) = deferred_jobs_of(
        folder([200, 300, 500], [600, 800, 1500], [0.1, 0.25, 0.4]), "keep"
    ).jobs
    assert (job.saving_low, job.saving_high) == pytest.approx((-386, 760))
    (certain,) = deferred_jobs_of(folder(300, 800, 0.25), "keep").jobs
    assert (certain.saving_low, certain.saving_high) == pytest.approx((50, 50))


def test_a_replacement_leaves_the_jobs_with_the_old_airplane() -> None:
    assert deferred_jobs_of(folder(1, 2, 0.1), "buy") is None


def test_a_replacement_waits_for_the_jobs_until_the_old_airplane_is_sold() -> None:
    """800·0.25/12 = 16.67 a month in the first year; sold on 17 March, after 16 of its 31 days.

    From month 13: 800·0.25·0.75·1.1/12 = 13.75, three in four still to come and 10 % dearer.
    """
    later, sold = {"name": "Hoses", "later": 800, "chance_per_year": 0.25}, date(2028, 3, 17)
    buy = {"title": "B", "kind": "replace", "schedule": {"start": sold, "weeks_down": 6}}
    case = case_of(
        scenario={"jobs": [{**later, "now": 1}], "rates": {"inflation": 0.1}, "years": 2},
        options={"buy": buy},
    )
    found = flows_of(case, "buy", likely_trial(case)).rows["jobs"][0]
    expected = [200 / 12, 13.75, 13.75, 13.75 * 16 / 31, 0.0]
    assert found[[12, 13, 15, 16, 17]] == pytest.approx(expected)
