"""Results of the engine: the frozen records that publishing reads.

The names of fields are the keys of figures.json. Money is not rounded. A missing value is None.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from panelworth.engine.results.airplane import (
    AirframeFigures,
    AirplaneFigures,
)
from panelworth.engine.results.downtime import (
    DowntimeFigures,
)
from panelworth.engine.results.failing_units import FailingUnit
from panelworth.engine.results.funded_months import FundedMonths
from panelworth.engine.results.offers import Offer, OfferTable
from panelworth.engine.results.prices import LikelyPayment, PriceList
from panelworth.engine.results.project_status import ProjectReport
from panelworth.engine.results.squawks import SquawkFigures
from panelworth.engine.results.trials import Band, Uncertainty
from panelworth.model.scenario import MONTHS

DAYS_IN_A_YEAR = 365.0


@dataclass(frozen=True, kw_only=True)
class Parts:
    """The parts that add up to a net benefit: present values, each less the baseline's."""

    running: float
    project: float
    airplane_value: float
    hours: float
    members: float
    loan: float


@dataclass(frozen=True, kw_only=True)
class Likely:
    """An option's figures with every input at its likely value.

    Options are compared by `net_benefit`. `npv` counts the club's cash alone, and ranks nothing.
    """

    upfront: float
    project: float
    outlay: float
    net_benefit: float
    without_growth: float
    loan_npv: float
    parts: Parts
    npv: float
    npv_vs_baseline: float
    cost_npv: float
    cost_per_hour: float | None
    cost_per_mile: float | None
    cost_per_member_month: float | None
    equivalent_annual_cost: float
    end_value: float
    payback_months: int | None
    first_payback_months: int | None
    discounted_payback_months: int | None
    first_discounted_payback_months: int | None
    irr: tuple[float, ...]
    mirr: float | None
    savings_to_investment: float | None
    adjusted_irr: float | None

    @property
    def receipts(self) -> float:
        """The proceeds of sale and credits: the outlay less what is paid up front."""
        return self.outlay - self.upfront


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """The value of each input at which net_benefit is 0; None where there is no such value."""

    hours_per_year: float | None = None
    extra_hours_per_year: float | None = None
    members_joined: float | None = None
    project: float | None = None
    resale_recovery: float | None = None
    worth_per_hour: float | None = None
    buy_price: float | None = None


@dataclass(frozen=True, kw_only=True)
class EqualCashCharges:
    """The charges at which the club has as much cash as under the baseline (`to_be_whole`).

    Each is the raise that alone makes up the difference in present value; a negative one says by
    how much members could pay less.
    """

    dues_per_member_month: float | None
    hourly_rate: float | None
    assessment_per_member: float | None


@dataclass(frozen=True, kw_only=True)
class Funded:
    """The club's reserve and the loan under the option's funding; for an owner the loan alone.

    Money; months are month indices, 0 for as_of's month.
    """

    lowest_balance: float | None
    lowest_balance_month: int | None
    below_floor_month: int | None
    loan_payment: float | None
    loan_interest: float | None
    debt_at_end: float | None
    balance_at_end: float | None
    solve_likely: float | None
    solve_month: int | None
    solve_once: float | None
    lowest_coverage: float | None
    lowest_coverage_year: int | None
    dues_increase: float | None
    hourly_rate_increase: float | None
    assessment_per_member: float | None


@dataclass(frozen=True, kw_only=True)
class Bill:
    """What a typical member pays under the option, at today's prices.

    Amounts are None where no raise funds the option: the bill is then not known.
    """

    name: str
    per_month: float | None
    assessment: float | None


@dataclass(frozen=True, kw_only=True)
class Swing:
    """net_benefit with one input at its low and at its high."""

    input: str
    low: float
    high: float

    @property
    def width(self) -> float:
        """The distance between the two, in money."""
        return abs(self.high - self.low)


@dataclass(frozen=True, kw_only=True)
class OptionFigures:
    """The figures of one option in figures.json."""

    title: str
    kind: str
    likely: Likely
    break_even: BreakEven
    break_even_why: Mapping[str, str]
    break_even_side: Mapping[str, str]
    to_be_whole: EqualCashCharges
    funded: Funded | None
    bills: tuple[Bill, ...]
    swings: tuple[Swing, ...]
    airframe: AirframeFigures | None
    downtime: DowntimeFigures | None
    allowed_start: "AllowedStart | None"
    offers: Mapping[str, Offer] | None


@dataclass(frozen=True, kw_only=True)
class AllowedStart:
    """The first allowed start of an option whose planned start is refused, and its figures.

    They are worked out in the same trials. Other refused options start at their own first allowed
    start.
    """

    start: str
    order: str
    finish: str
    net_benefit: float
    outcomes: tuple[float, ...]
    ahead_of: Mapping[str, float]
    bills: tuple[Bill, ...]
    funded: Funded | None
    budget_p80: float
    chance_below_floor: float | None
    chance_below_floor_by_year: tuple[float, ...] | None
    shortfall_p50: float | None
    reserve_by_year: tuple["Band", ...] | None


@dataclass(frozen=True, kw_only=True)
class LoanSchedule:
    """A loan over its whole life: the month of drawing, each payment and the balance after it."""

    drawn_month: int
    principal: float
    payments: tuple[float, ...]
    balances: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Series:
    """An option's likely cash flow by month, for charts and tables: one entry a month, 0..H.

    `rows` has each row of money as positive numbers. `running` and `invested` are the two parts of
    `cost`: running costs, and outlays less credits and sale. `benefit` is the worth of the hours
    and newcomers' money less cost. `payments` has each payment and receipt by its path in the
    ledger. `funded` is None for an owner; `loan` is None without a loan. `factors` has the factors
    of each month: "down" (the share of the month without an airplane), "prices" and "fuel"
    (escalation), "discount".
    """

    start: str
    finish: str
    start_month: int
    finish_month: int
    rows: Mapping[str, tuple[float, ...]]
    net: tuple[float, ...]
    cost: tuple[float, ...]
    running: tuple[float, ...]
    invested: tuple[float, ...]
    benefit: tuple[float, ...]
    hours: tuple[float, ...]
    members: tuple[float, ...]
    failing_units: tuple[FailingUnit, ...]
    factors: Mapping[str, tuple[float, ...]]
    payments: Mapping[str, LikelyPayment]
    funded: FundedMonths | None
    loan: LoanSchedule | None

    @property
    def balance(self) -> tuple[float, ...] | None:
        """The reserve after funding, None for an owner."""
        return self.funded.balance if self.funded else None

    def failures_a_year(self, years: int) -> tuple[float, float]:
        """Return the cost of failures and the days grounded a year, the mean of the first years."""
        months = slice(1, MONTHS * years + 1)
        cost = math.fsum(self.rows["failures"][months]) / years
        days = math.fsum(self.factors["grounded"][months]) / (MONTHS * years) * DAYS_IN_A_YEAR
        return cost, days


@dataclass(frozen=True, kw_only=True)
class HoursCurve:
    """Net benefit and cost an hour over hours_per_year, all other inputs likely."""

    hours: tuple[float, ...]
    net_benefit: Mapping[str, tuple[float, ...]]
    cost_per_hour: Mapping[str, tuple[float | None, ...]]


@dataclass(frozen=True, kw_only=True)
class Account:
    """One item, or one credit, according to the ledger: money with tax, at likely values.

    `planned` is the option file's own figure, `likely` the current price, `committed` the sum that
    quotes and invoices bind the club to, `paid` the payments up to as_of, `due` what is not paid
    yet.
    """

    path: str
    name: str
    basis: str
    planned: float
    likely: float
    committed: float
    invoiced: float
    paid: float
    due: float

    @property
    def drift(self) -> float:
        """The current price less the planned one."""
        return self.likely - self.planned


@dataclass(frozen=True, kw_only=True)
class LedgerSnapshot:
    """The ledger's sums of an option's items at the end of a day."""

    day: date
    committed: float
    invoiced: float
    paid: float


@dataclass(frozen=True, kw_only=True)
class ProjectProgress:
    """An option according to the ledger, beside the plan, which is the option file alone.

    `items` has every item and `money_in` every credit, with or without rows in the ledger. Included
    jobs and a purchase are counted in the outlay and `to_pay` only. `planned_funded` is the funding
    of the plan. `rests_on` splits the outlay by the basis of its prices: "invoice", "quote",
    "estimate", or "written" for the option file's own figure.
    """

    items: tuple[Account, ...]
    money_in: tuple[Account, ...]
    history: tuple[LedgerSnapshot, ...]
    rests_on: Mapping[str, float]
    planned_outlay: float
    outlay: float
    to_pay: float
    planned_funded: Funded | None

    @property
    def paid(self) -> float:
        """The part of the outlay that has been paid by as_of."""
        return self.outlay - self.to_pay

    @property
    def drift(self) -> float:
        """The outlay less the planned one."""
        return self.outlay - self.planned_outlay

    def share_on(self, basis: str) -> float:
        """Return the share of the outlay with this basis; the outlay must not be 0."""
        return self.rests_on[basis] / self.outlay


@dataclass(frozen=True, kw_only=True)
class Figures:
    """All figures of a scenario folder; `project_progress` is empty without a ledger."""

    scenario: str
    as_of: str
    currency: str
    baseline: str
    years: int
    options: Mapping[str, OptionFigures]
    series: Mapping[str, Series]
    by_hours: HoursCurve
    uncertainty: Uncertainty
    airplane: AirplaneFigures
    project_progress: Mapping[str, ProjectProgress] = field(default_factory=dict)
    prices: Mapping[str, PriceList] = field(default_factory=dict)
    project: ProjectReport | None = None
    squawks: SquawkFigures | None = None
    offer_tables: Mapping[str, OfferTable] = field(default_factory=dict)
