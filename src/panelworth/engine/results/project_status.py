"""Frozen figures of the project under way, for the status date.

Field names of `ProjectStatus`, `Forecast` and `StatusItem` are the keys of figures.json; money is
with tax and unrounded; what is absent is None.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from panelworth.model.scenario import HALF_A_CENT

State = Literal["estimate", "quote", "invoiced", "final", "happened"]


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """The outlay at completion: at likely prices, and percentiles of the trials."""

    likely: float
    p50: float
    p80: float


@dataclass(frozen=True, kw_only=True)
class StatusItem:
    """One item, included job or purchase: voted with its range, and its price on the status date.

    `state` is what its price rests on; `supplier` is whose price it is, None where nobody is named.
    """

    name: str
    voted: float
    low: float
    high: float
    forecast: float
    state: State
    supplier: str | None

    @property
    def difference(self) -> float:
        """The forecast less the price that was voted."""
        return self.forecast - self.voted


@dataclass(frozen=True, kw_only=True)
class ProjectStatus:
    """The chosen option on the status date: what figures.json says of it.

    `committed` is the larger of quotes with their changes and invoices, 0 before the order.
    `slip_weeks` is the finish less the planned finish. `finish`, slip and cash are None where the
    weeks so far have reached the high end of the range. Balances are those of section 7: from the
    status date's month to the end of floor_years; None without a reserve for that day.
    `raise_needed` is the raise, of the kind that was voted, which would hold the floor from here;
    None where the one voted holds it, or none would.
    """

    status: str
    budget: float | None
    forecast: Forecast
    committed: float
    invoiced: float
    paid: float
    still_to_pay: float
    against_budget: float | None
    chance_within_budget: float | None
    finish: str | None
    finish_p80: str | None
    slip_weeks: float | None
    lowest_balance: float | None
    lowest_balance_month: int | None
    chance_below_floor_by_year: tuple[float | None, ...] | None
    raise_holds: bool | None
    raise_needed: float | None
    items: tuple[StatusItem, ...]


@dataclass(frozen=True, kw_only=True)
class Cause:
    """The row of the ledger that last moved a price since the vote."""

    day: date
    kind: str
    supplier: str
    reference: str


@dataclass(frozen=True, kw_only=True)
class ItemAccount:
    """What has happened to one item: `cause` is None where no row since the vote is about it."""

    invoiced: float
    paid: float
    still_to_pay: float
    cause: Cause | None


@dataclass(frozen=True, kw_only=True)
class ForecastPoint:
    """The likely outlay at completion by the ledger's rows up to a day."""

    day: date
    outlay: float


@dataclass(frozen=True, kw_only=True)
class RangeCheck:
    """A range as voted, and where the actual value came out.

    `share` is the share of the range's distribution below the actual value. The range has held
    where it is between 0.1 and 0.9.
    """

    name: str
    low: float
    high: float
    actual: float
    share: float
    held: bool


@dataclass(frozen=True, kw_only=True)
class CloseOut:
    """The closing report: what was voted and what it came to.

    `ranges` holds the items whose price was a range; `weeks` the weeks without the airplane, None
    where they were certain. `hours_saved` are members' unpaid hours, `money_saved` what they would
    have cost at the rate they replaced, None where no item has a rate.
    """

    voted: float
    actual: float
    ranges: tuple[RangeCheck, ...]
    weeks: RangeCheck | None
    hours_saved: float
    money_saved: float | None

    @property
    def difference(self) -> float:
        """What it came to less what was voted."""
        return self.actual - self.voted

    @property
    def above(self) -> tuple[RangeCheck, ...]:
        """The items that cost more than the high end of their range, the dearest first."""
        over = [check for check in self.ranges if check.actual > check.high]
        return tuple(sorted(over, key=lambda check: check.high - check.actual))

    @property
    def held(self) -> int:
        """How many ranges have held."""
        return len([check for check in self.ranges if check.held])


@dataclass(frozen=True, kw_only=True)
class ProjectReport:
    """Everything the project page shows of the chosen option.

    `accounts` has one entry for each item of `status`, in the same order. `started` and `finished`
    are None where that has not happened by the status date. `raise_kind` is which raise was voted.
    `outlay_width` is how far apart the 10th and the 90th percentile of the outlay are. `announced`
    counts the ledger's rows after the status date. `without_final_invoice` names the items that the
    closing report waits for, () before the finish.
    """

    option: str
    decided: date
    day: date
    status: ProjectStatus
    accounts: tuple[ItemAccount, ...]
    history: tuple[ForecastPoint, ...]
    planned_finish: date | None
    ordered: date | None
    started: date | None
    finished: date | None
    raise_kind: str | None
    outlay_width: float
    announced: int
    without_final_invoice: tuple[str, ...]
    close_out: CloseOut | None

    @property
    def moved(self) -> tuple[tuple[StatusItem, ItemAccount], ...]:
        """Items with their accounts, the largest difference to the vote first."""
        pairs = zip(self.status.items, self.accounts, strict=True)
        return tuple(sorted(pairs, key=lambda pair: abs(pair[0].difference), reverse=True))

    @property
    def dearer(self) -> tuple[StatusItem, ...]:
        """Items that were voted with one price and cost more, the largest difference first."""
        return tuple(
            item
            for item, _account in self.moved
            if item.high - item.low <= HALF_A_CENT < item.difference
        )
