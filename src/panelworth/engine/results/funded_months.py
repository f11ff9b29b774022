"""How an option is funded at likely values, month by month: its reserve, raises and loan cover."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class RaiseMonths:
    """From month 0 to the last in which the floor must hold: how a raise to solve for acts.

    `unit` is what one unit of the raise has brought in so far, `balance` the reserve without the
    raise, `needed` the least raise that holds the floor in the month; infinite where none can.
    `unit` and `balance` run on to month H.
    """

    unit: tuple[float, ...]
    balance: tuple[float, ...]
    needed: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class CoverageMonths:
    """What is left for the loan's payments each month, the payments, and the ratio by the year.

    `ratios` has a year's debt-service coverage ratio by its number from 1; a year without a payment
    is left out.
    """

    left: tuple[float, ...]
    paid: tuple[float, ...]
    ratios: Mapping[int, float]


@dataclass(frozen=True, kw_only=True)
class FundedMonths:
    """A club's reserve under the option's funding at likely values, month by month, 0..H.

    `balance` is the reserve with all raises, `surcharges` what raises of dues and rate bring in.
    `solved` is None without a raise to solve for, `coverage` without a loan.
    """

    balance: tuple[float, ...]
    surcharges: tuple[float, ...]
    solved: RaiseMonths | None
    coverage: CoverageMonths | None
