"""Frozen figures of the log of squawks: how often the panel has failed, and whether it increases.

Field names are the keys of figures.json; what is absent is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from panelworth.model.value import Quantity


@dataclass(frozen=True, kw_only=True)
class UnitRate:
    """The failures of one unit in the log, and its rate a year at as_of.

    `exact` is the exact interval of the rate from the count alone, from 0.1 to 0.9.
    """

    count: int
    per_year: Quantity
    exact: tuple[float, float]
    declared_growth: float


@dataclass(frozen=True, kw_only=True)
class SquawkFigures:
    """The whole log: Laplace's test, the power law's exponent, and the log-linear growth a year.

    `laplace` above 0 means that failures become more frequent, and `p_laplace` is the chance of as
    much without a trend. `beta` above 1 means the same. All None below three failures.
    """

    count: int
    years: float
    per_year: float
    laplace: float | None
    p_laplace: float | None
    beta: float | None
    p_beta: float | None
    growth: float | None
    units: Mapping[str, UnitRate] = field(default_factory=dict)

    @property
    def most_often(self) -> list[tuple[str, int]]:
        """The units that have failed, with their counts, the most frequent first."""
        counts = [(name, unit.count) for name, unit in self.units.items() if unit.count]
        return sorted(counts, key=lambda pair: pair[1], reverse=True)
