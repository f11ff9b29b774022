"""The log of squawks: rates of failures, their costs and groundings, and whether they increase.

Sources: NIST/SEMATECH e-Handbook of Statistical Methods, chapter 8 (trend tests; the power law),
and MIL-HDBK-189 (the power law, time-truncated). The rate is the Jeffreys posterior of a Poisson
rate. The project's method, section 8.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from scipy import optimize, special

from panelworth.engine.results.squawks import SquawkFigures, UnitRate
from panelworth.engine.uncertainty.quantiles import gamma_value
from panelworth.model.case import WrittenCase
from panelworth.model.equipment import Equipment, Fails, Unit
from panelworth.model.squawk import LoggedRate, Squawk
from panelworth.model.value import Quantity, exactly

DAYS_IN_A_YEAR = 365.25  # the Julian year: a mean over leap years
LOW, HIGH = 0.1, 0.9  # the ranks that are shown as the ends of a rate
FEWEST = 3  # failures below which no trend is worked out
STEEPEST = 500.0  # of b·T that the search looks at: e^500 is still a number


def with_logged_rates(case: WrittenCase) -> Equipment | None:
    """Return today's equipment with what the log says in place of what its file leaves out."""
    equipment = case.equipment
    if equipment is None or equipment.airplane is None:
        return equipment
    since = equipment.airplane.squawks_since
    if since is None:
        return equipment
    units = tuple(
        unit.model_copy(update={"fails": _settled(case, unit, unit.fails, since)})
        if unit.fails is not None
        else unit
        for unit in equipment.units
    )
    return equipment.model_copy(update={"units": units})


def _settled(case: WrittenCase, unit: Unit, fails: Fails, since: date) -> Fails:
    """Return how a unit fails, by the log where its file gives no rate."""
    if fails.per_year is not None:
        return fails
    rows = rows_of(case, unit, since)
    years = years_of_log(max(since, fails.since or since), case.scenario.as_of)
    return fails.model_copy(
        update={
            "per_year": logged_rate(len(rows), years, fails.growth.likely),
            "cost": fails.cost or _mean(row.cost for row in rows),
            "days": fails.days or _mean(row.days for row in rows),
        }
    )


def rows_of(case: WrittenCase, unit: Unit, since: date) -> list[Squawk]:
    """Return the rows of a unit that are inside the log's time and its own part of it."""
    begins = max(since, unit.fails.since) if unit.fails and unit.fails.since else since
    return [row for row in within(case, begins) if row.unit == unit.name]


def within(case: WrittenCase, since: date) -> list[Squawk]:
    """Return the rows of the log from a day on, up to as_of, by their day."""
    rows = [row for row in case.squawks if since <= row.date <= case.scenario.as_of]
    return sorted(rows, key=lambda row: (row.date, row.line))


def years_of_log(since: date, as_of: date) -> float:
    """Return the years of a log: (days from its first day to as_of + 1)/365.25.

    >>> years_of_log(date(2025, 1, 1), date(2025, 12, 31))
    0.999315537303217
    """
    return ((as_of - since).days + 1) / DAYS_IN_A_YEAR


def logged_rate(failures: int, years: float, growth: float) -> LoggedRate:
    """Return the rate a year at as_of that follows from a number of failures in so many years.

    The exposure at today's rate is (1 - (1+g)^-T)/ln(1+g), T without growth: an earlier year with
    a lower rate counts less.
    """
    exposure = years
    if growth != 0.0:
        exposure = (1.0 - (1.0 + growth) ** -years) / math.log1p(growth)
    low, high = (gamma_value(failures, exposure, np.array([rank]))[0] for rank in (LOW, HIGH))
    return LoggedRate(
        low=float(low),
        likely=(failures + 0.5) / exposure,
        high=float(high),
        failures=failures,
        exposure=exposure,
    )


def exact_interval(failures: int, years: float) -> tuple[float, float]:
    """Return the exact interval of a Poisson rate: χ²(0.1; 2n)/2T to χ²(0.9; 2n+2)/2T."""
    low = special.gammaincinv(failures, LOW) / years if failures else 0.0
    return float(low), float(special.gammaincinv(failures + 1, HIGH) / years)


def _mean(values: Iterable[float | None]) -> Quantity:
    stated = [value for value in values if value is not None]
    return exactly(math.fsum(stated) / len(stated) if stated else 0.0)


def squawk_figures(case: WrittenCase) -> SquawkFigures | None:
    """Return the trend of the log and the rates of its units; None without a log."""
    equipment = case.equipment
    since = equipment.airplane.squawks_since if equipment and equipment.airplane else None
    if equipment is None or since is None:
        return None
    as_of, rows = case.scenario.as_of, within(case, since)
    years = years_of_log(since, as_of)
    times = [((row.date - since).days + 0.5) / DAYS_IN_A_YEAR for row in rows]
    return replace(
        _trend(times, years),
        units={
            unit.name: _unit_rate(case, unit, unit.fails, since)
            for unit in equipment.units
            if unit.fails is not None or any(row.unit == unit.name for row in rows)
        },
    )


def _unit_rate(case: WrittenCase, unit: Unit, fails: Fails | None, since: date) -> UnitRate:
    begins = max(since, fails.since) if fails and fails.since else since
    rows, years = rows_of(case, unit, since), years_of_log(begins, case.scenario.as_of)
    growth = fails.growth.likely if fails else 0.0
    rate = (fails.per_year if fails else None) or logged_rate(len(rows), years, growth)
    return UnitRate(
        count=len(rows),
        per_year=rate,
        exact=exact_interval(len(rows), years),
        declared_growth=growth,
    )


def _trend(times: Sequence[float], years: float) -> SquawkFigures:
    """Return the trend tests; without figures for fewer than three failures."""
    count = len(times)
    none = SquawkFigures(
        count=count,
        years=years,
        per_year=count / years,
        laplace=None,
        p_laplace=None,
        beta=None,
        p_beta=None,
        growth=None,
    )
    if count < FEWEST:
        return none
    mean = math.fsum(times) / count
    laplace = (mean / years - 0.5) * math.sqrt(12.0 * count)
    logs = math.fsum(math.log(years / time) for time in times)
    return replace(
        none,
        laplace=laplace,
        p_laplace=float(special.ndtr(-laplace)),
        beta=(count - 1) / logs,
        p_beta=float(special.gammainc(count, logs)),
        growth=log_linear_growth(mean / years, years),
    )


def log_linear_growth(place: float, years: float) -> float | None:
    """Return e^b - 1, b the growth of the log-linear law: 1/(1-e^(-bT)) - 1/(bT) = mean(t)/T.

    `place` is mean(t)/T, between 0 and 1. None where no growth within reason gives it.
    """

    def gap(slope: float) -> float:
        if abs(slope) < 1e-6:  # noqa: PLR2004 (near 0 both terms are huge: their limit)
            return 0.5 + slope / 12.0 - place
        return 1.0 / -math.expm1(-slope) - 1.0 / slope - place

    if gap(-STEEPEST) > 0.0 or gap(STEEPEST) < 0.0:
        return None
    slope = float(optimize.brentq(gap, -STEEPEST, STEEPEST, xtol=1e-12, rtol=1e-14))
    return math.expm1(slope / years)
