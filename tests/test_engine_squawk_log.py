"""The log of squawks against published data and scipy.

NIST/SEMATECH e-Handbook of Statistical Methods, 8.2.3.4 and 8.4.5.1 (from memory): ten failures of
a repairable system at 5, 40, 43, 175, 389, 712, 747, 795, 1299 and 1478 hours of a test of 1,500.
The Military Handbook test there is 37.23 with 20 degrees of freedom; the improvement slope of the
power law, 1 - beta with the bias taken off, is 0.5165.
"""

import math
import time
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy import integrate, optimize, stats

from panelworth.engine.airplane.squawk_log import (
    _trend,
    exact_interval,
    log_linear_growth,
    logged_rate,
    squawk_figures,
)
from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.ledger.settlement import settled
from panelworth.engine.uncertainty.distributions import chance_at_most
from panelworth.engine.uncertainty.quantiles import quantile
from panelworth.problems import render
from panelworth.reading.folder import read_case
from small_cases import drawn_trials
from test_engine_failures import failing_case

HOURS = (5.0, 40.0, 43.0, 175.0, 389.0, 712.0, 747.0, 795.0, 1299.0, 1478.0)
END = 1500.0
SINCE = "squawks_since = 2023-01-01"


def test_the_trend_tests_give_the_handbook_s_figures() -> None:
    log = _trend(HOURS, END)
    assert log.beta is not None
    assert log.p_beta is not None
    assert log.laplace is not None
    assert 1.0 - log.beta == pytest.approx(0.5165, abs=5e-5)
    statistic = 2.0 * math.fsum(math.log(END / hours) for hours in HOURS)
    assert statistic == pytest.approx(37.23, abs=0.005)
    assert log.p_beta == pytest.approx(stats.chi2(20).cdf(statistic), rel=1e-9)
    # Laplace's statistic by its definition: (mean/T - 1/2)·sqrt(12 n)
    assert log.laplace == pytest.approx((568.3 / 1500 - 0.5) * math.sqrt(120), rel=1e-9)
    assert log.p_laplace == pytest.approx(stats.norm.sf(log.laplace), rel=1e-9)


def test_two_failures_are_too_few_for_a_trend() -> None:
    log = _trend(HOURS[:2], END)
    assert (log.laplace, log.p_laplace, log.beta, log.p_beta, log.growth) == (None,) * 5


@pytest.mark.parametrize("growth", [-0.4, -0.05, 0.0, 0.1, 0.8])
def test_the_log_linear_growth_is_the_one_the_times_were_made_with(growth: float) -> None:
    """Times at even ranks of the law with intensity e^(bt); their mean gives b back."""
    years, slope = 6.0, math.log1p(growth)
    ranks = (np.arange(20_000) + 0.5) / 20_000
    times = ranks * years
    if slope:
        times = np.log1p(ranks * math.expm1(slope * years)) / slope
    found = log_linear_growth(float(times.mean()) / years, years)
    assert found == pytest.approx(growth, abs=1e-6)


def test_a_logged_rate_is_the_gamma_law_of_jeffreys() -> None:
    """Against scipy's gamma distribution with shape n + 1/2 and the exposure as its rate."""
    rate = logged_rate(4, 5.0, 0.0)
    law = stats.gamma(4.5, scale=1 / 5.0)
    ranks = np.array([0.01, 0.1, 0.5, 0.9, 0.99])
    assert quantile(rate, ranks) == pytest.approx(law.ppf(ranks), rel=1e-9)
    assert chance_at_most(rate, law.ppf(ranks)) == pytest.approx(ranks, rel=1e-9)
    assert rate.likely == pytest.approx(law.mean())
    assert (rate.low, rate.high) == pytest.approx(tuple(law.ppf([0.1, 0.9])))


def test_growth_makes_earlier_years_count_less() -> None:
    """The exposure is the integral of the rate, today's being 1: by scipy's quadrature."""
    exposure, _ = integrate.quad(lambda back: 1.25**-back, 0.0, 7.0)
    assert logged_rate(3, 7.0, 0.25).exposure == pytest.approx(exposure, rel=1e-9)


def test_the_exact_interval_covers_the_count() -> None:
    """Garwood's interval: the rate at which so many or more, or so many or fewer, are as rare."""
    low, high = exact_interval(6, 4.0)
    assert stats.poisson(low * 4.0).sf(5) == pytest.approx(0.1, rel=1e-9)
    assert stats.poisson(high * 4.0).cdf(6) == pytest.approx(0.1, rel=1e-9)
    assert exact_interval(0, 4.0)[0] == 0.0
    root = optimize.brentq(lambda rate: stats.poisson(rate * 4.0).cdf(0) - 0.1, 0.1, 2.0)
    assert exact_interval(0, 4.0)[1] == pytest.approx(root)


def test_a_unit_without_a_rate_takes_it_from_the_log(tmp_path: Path) -> None:
    rows = "2023-05-01,Gyro,2,300,\n2024-02-01,Gyro,4,500,\n2022-01-01,Gyro,9,9000,\n"
    case = failing_case(tmp_path, gyro="", since=SINCE, squawks=rows)
    assert case.equipment is not None
    [unit] = case.equipment.units
    assert unit.fails is not None
    assert unit.fails.per_year is not None
    assert unit.fails.cost is not None
    assert unit.fails.days is not None
    years = ((date(2026, 1, 1) - date(2023, 1, 1)).days + 1) / 365.25
    assert unit.fails.per_year.likely == pytest.approx(2.5 / years)
    assert (unit.fails.cost.likely, unit.fails.days.likely) == (400.0, 3.0)
    assert case.written.equipment is not None
    assert case.written.equipment.units[0].fails is not None
    assert case.written.equipment.units[0].fails.per_year is None
    log = squawk_figures(case.written)
    assert log is not None
    assert (log.count, log.units["Gyro"].count) == (2, 2)


def test_since_begins_a_unit_s_own_part_of_the_log(tmp_path: Path) -> None:
    rows = "2023-05-01,Gyro,2,300,\n2025-02-01,Gyro,4,500,\n"
    case = failing_case(tmp_path, gyro="since = 2025-01-01", since=SINCE, squawks=rows)
    assert case.equipment is not None
    fails = case.equipment.units[0].fails
    assert fails is not None
    assert fails.per_year is not None
    assert fails.per_year.likely == pytest.approx(1.5 / (366 / 365.25))


@pytest.mark.parametrize(
    ("gyro", "since", "rows", "message"),
    [
        (
            "cost = 5",
            "",
            "",
            (
                "equipment.toml:9: error: units[Gyro].fails: expected per_year, or a log of "
                "squawks, "
                "found neither; write per_year, or squawks_since in [airplane] and the log in "
                "squawks.csv"
            ),
        ),
        (
            "per_year = 1",
            "",
            "2025-01-01,Gyro,1,1,\n",
            (
                "squawks.csv: error: expected squawks_since, found none; write it under "
                "[airplane] in "
                "equipment.toml: the day on which the log begins"
            ),
        ),
        (
            "per_year = 1",
            SINCE,
            "2025-01-01,Gyrro,1,1,\n",
            (
                'squawks.csv:2: error: unit: expected a unit of equipment.toml, found "Gyrro"; '
                "did you "
                'mean "Gyro"?'
            ),
        ),
        (
            "days = 1",
            SINCE,
            "2025-01-01,Gyro,1,,\n",
            (
                "equipment.toml:10: error: units[Gyro].fails.cost: expected cost, because no "
                "row of the "
                "log says it for Gyro, found nothing; write it"
            ),
        ),
        (
            "per_year = 1",
            SINCE,
            "2025-01-01,Gyro,-1,,\n",
            'squawks.csv:2: error: days: expected a number of at least 0, found "-1"',
        ),
        (
            "per_year = 1",
            SINCE,
            "2025-01-01,Gyro,1,1,200,lamp out\n",
            (
                "squawks.csv:2: error: expected as many cells as the first row has, found more: "
                '"lamp out"; put text with commas in quotation marks'
            ),
        ),
    ],
)
def test_a_mistake_in_the_log_is_named(
    tmp_path: Path, gyro: str, since: str, rows: str, message: str
) -> None:
    failing_case(tmp_path)
    failing = tmp_path / "equipment.toml"
    text = failing.read_text(encoding="utf-8")
    text = text.replace("per_year = 2, cost = 300", gyro).replace(
        "max_weight = 2500\n", f"max_weight = 2500\n{since}\n"
    )
    failing.write_text(text.replace("\n\n\n", "\n\n"), encoding="utf-8")
    if rows:
        (tmp_path / "squawks.csv").write_text(f"date,unit,days,cost,note\n{rows}")
    _, problems = read_case(tmp_path)
    errors = [render(problem) for problem in problems if problem.severity == "error"]
    assert [text.removeprefix(f"{tmp_path}/") for text in errors] == [message]


def test_thirty_units_are_quick(tmp_path: Path) -> None:
    """10,000 trials of a small club with 30 units that fail take well under a second more."""
    failing_case(tmp_path)
    units = "".join(
        f'[[units]]\nname = "U{n}"\nfails = {{ per_year = 0.3, cost = [100, 200, 400] }}\n'
        for n in range(30)
    )
    file = tmp_path / "equipment.toml"
    file.write_text(file.read_text(encoding="utf-8") + units, encoding="utf-8")
    written, _ = read_case(tmp_path)
    assert written is not None
    case = settled(written)
    trials = drawn_trials(case, 0, 4000)
    start = time.process_time()
    flows_of(case, "keep", trials)
    assert time.process_time() - start < 1.0


def test_days_of_the_log_count_from_their_noon(tmp_path: Path) -> None:
    day = date(2025, 12, 31)
    rows = "".join(f"{day - timedelta(days=back)},Gyro,1,1,\n" for back in (0, 1, 2))
    case = failing_case(tmp_path, gyro="", since="squawks_since = 2025-12-29", squawks=rows)
    log = squawk_figures(case.written)
    assert log is not None
    assert log.years == pytest.approx(4 / 365.25)
    # Half, one and a half and two and a half days of four: the mean is 1.5/4
    assert log.laplace == pytest.approx((1.5 / 4 - 0.5) * 6.0)


def test_a_unit_with_a_rate_of_its_own_stands_beside_one_from_the_log(tmp_path: Path) -> None:
    failing_case(tmp_path)
    file = tmp_path / "equipment.toml"
    text = file.read_text(encoding="utf-8").replace(
        "max_weight = 2500\n", f"max_weight = 2500\n{SINCE}\n"
    )
    second = '[[units]]\nname = "Pump"\nfails = { cost = 90, days = 1 }\n'
    file.write_text(text + second, encoding="utf-8")
    written, problems = read_case(tmp_path)
    assert written is not None, problems
    case = settled(written)
    assert case.equipment is not None
    gyro, pump = (unit.fails for unit in case.equipment.units)
    assert gyro is not None
    assert pump is not None
    assert gyro.per_year is not None
    assert pump.per_year is not None
    # No failure in three years and a day: half a failure in that time
    assert gyro.per_year.likely == 2.0
    assert pump.per_year.likely == pytest.approx(0.5 / (1097 / 365.25))
