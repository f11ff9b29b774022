"""The funding of an option at likely values, by month: reserve, raises and loan coverage."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class RaiseMonths:
    """The effect by month of a raise that is solved for.

    `unit` is the income up to the month from one unit of the raise, `balance` the reserve without
    the raise; both are for months 0..H. `needed` is the least raise that holds the floor in the
    month, None where none can; it ends with the last month in which the floor must hold.
    """

    unit: tuple[float, ...]
    balance: tuple[float, ...]
    needed: tuple[float | None, ...]


@dataclass(frozen=True, kw_only=True)
class CoverageMonths:
    """The cash available for the loan's payments by month, the payments, and the ratio by year.

    `ratios` has the debt-service coverage ratio of each year, by its number from 1, without years
    that have no payment.
    """

    left: tuple[float, ...]
    paid: tuple[float, ...]
    ratios: Mapping[int, float]


@dataclass(frozen=True, kw_only=True)
class FundedMonths:
    """A club's reserve under the option's funding at likely values, by month, 0..H.

    `balance` is the reserve with all raises, `surcharges` the income from raises of dues and rate.
    `solved` is None without a raise to solve for, `coverage` without a loan.
    """

    balance: tuple[float, ...]
    surcharges: tuple[float, ...]
    solved: RaiseMonths | None
    coverage: CoverageMonths | None
