"""Published cases of finance, their sources in cases/finance.json, and the engine in whole periods.

The engine counts months and takes effective rates a year, so a case in whole periods uses every
twelfth discount factor.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from panelworth.engine.cash_flow.discounting import (
    discount_factors,
    equivalent_annual,
    present_value,
)
from panelworth.engine.trials import Array
from panelworth.model.scenario import MONTHS

PUBLISHED = json.loads(
    (Path(__file__).parent / "cases" / "finance.json").read_text(encoding="utf-8")
)
ROOT_TOLERANCE = 1e-9  # for roots printed as exact numbers, such as 0.1


@dataclass(frozen=True, kw_only=True)
class Case:
    """One published case; `given` are its arguments but for the call."""

    id: str
    call: str
    given: dict[str, Any]
    expected: Any
    tol: float
    source: str


def case_of(record: dict[str, Any]) -> Case:
    """Read a case; one without a tolerance prints exact roots."""
    return Case(
        id=record["id"],
        call=record["arguments"]["call"],
        given={key: value for key, value in record["arguments"].items() if key != "call"},
        expected=record["expected"],
        tol=ROOT_TOLERANCE if record["tol"] is None else record["tol"],
        source=record["source"],
    )


CASES = {record["id"]: case_of(record) for record in PUBLISHED["cases"]}
CALLS_TESTED: set[str] = set()


def each_case(*calls: str, without: frozenset[str] = frozenset()) -> pytest.MarkDecorator:
    """Run a test once for each published case of these calls that gives none of `without`."""
    CALLS_TESTED.update(calls)
    of_calls = [case for case in CASES.values() if case.call in calls]
    chosen = [case for case in of_calls if not without & case.given.keys()]
    return pytest.mark.parametrize("case", chosen, ids=[case.id for case in chosen])


def told(case: Case, found: object) -> str:
    """Say what was found, what is published, and where."""
    return f"{case.id}: {found!r}; published {case.expected!r} within {case.tol}: {case.source}"


def assert_published(case: Case, found: float, tol: float | None = None) -> None:
    """Hold a figure to the published one, within half a unit of its last printed digit."""
    assert abs(found - case.expected) <= (case.tol if tol is None else tol), told(case, found)


def period_factors(rate: float, periods: int) -> Array:
    """Return the discount factors at the ends of whole periods, with 1 for the start."""
    return discount_factors(np.array([rate]), MONTHS * periods)[:, ::MONTHS]


def worth(rate: float, flows: Sequence[float] | Array) -> float:
    """Return the present value of flows a whole period apart, the first undiscounted."""
    row = np.array([flows], dtype=float)
    return float(present_value(row, period_factors(rate, row.shape[1] - 1))[0])


def yearly(present: float, rate: float, periods: int) -> float:
    """Return the level sum at the end of each period with this present value."""
    return float(equivalent_annual(np.array([present]), np.array([rate]), periods)[0])


def days_between(first: date, last: date, day_count: str) -> int:
    """Count actual days, or days of a year of twelve months of thirty."""
    if day_count != "30/360":
        return (last - first).days
    # ISDA 30/360; the published dates have no 31st, which it would shift.
    months = MONTHS * (last.year - first.year) + last.month - first.month
    return 30 * months + last.day - first.day


def dated_flows(given: dict[str, Any]) -> tuple[Array, Array]:
    """Return the days since the first date, in the published order, and the flows."""
    dates = [date.fromisoformat(day) for day, _ in given["dated"]]
    count = given.get("day_count", "actual/365")
    days = [days_between(min(dates), day, count) for day in dates]
    return np.array(days, dtype=float), np.array([flow for _, flow in given["dated"]], dtype=float)
