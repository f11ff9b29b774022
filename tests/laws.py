"""How a law is held to many scenarios, and the sums that several laws are measured by."""

from collections.abc import Iterator
from typing import Any

import numpy as np
from hypothesis import settings

from panelworth.engine.cash_flow.flows import flows_of
from panelworth.engine.results.figures import (
    Figures,
    OptionFigures,
    Series,
)
from panelworth.engine.trials import Array, likely_trial
from panelworth.model.case import Case
from panelworth.model.scenario import MONTHS

FEWEST = 4  # examples of a law in a quick run
ROUNDING = 1e-6  # of a unit of money, relative to sums of some hundred thousand


def law(examples: int, *, fewest: int = FEWEST) -> settings:
    """Hold a test to so many examples in a long run, and to a quarter of them in a quick one.

    `fewest` is the least in a quick run: lower where a test has many parameters besides.
    """
    long = settings.get_current_profile_name() == "long"
    return settings(max_examples=examples if long else max(examples // 4, min(examples, fewest)))


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


def others(figures: Figures) -> Iterator[tuple[str, OptionFigures]]:
    """Yield the options that are compared with the baseline."""
    for option_id, option in figures.options.items():
        if option_id != figures.baseline:
            yield option_id, option


def discounted(case: Case, row: tuple[float, ...]) -> float:
    """Return the present value of a monthly row at the likely rate, written out by the month."""
    rate = case.scenario.rates.discount.likely
    return sum(each * (1.0 + rate) ** (-month / MONTHS) for month, each in enumerate(row))


def benefit_of(series: Series) -> Array:
    """Return what an option brings by month: worth and newcomers less all costs, before a loan."""
    gains = np.array([series.rows["worth"], series.rows["newcomers"]])
    benefit: Array = gains.sum(axis=0) - np.array(series.cost)
    return benefit


def size_of(case: Case, option_id: str) -> float:
    """Return the gross money of an option, to judge a rounding error by."""
    flows = flows_of(case, option_id, likely_trial(case))
    return 1.0 + sum(float(np.abs(row).sum()) for row in flows.rows.values())
