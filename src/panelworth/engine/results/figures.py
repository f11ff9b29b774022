"""Frozen figures: all that publishing may know of the engine.

Field names are the keys of figures.json; money is unrounded; what is absent is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from panelworth.engine.results.airplane import AirframeFigures, AirplaneFigures, DowntimeFigures
from panelworth.engine.results.funded_months import FundedMonths
from panelworth.engine.results.members import MemberBills
from panelworth.engine.results.prices import LikelyPayment, PriceList
from panelworth.engine.results.trials import Band, Uncertainty


@dataclass(frozen=True, kw_only=True)
class Parts:
    """What a net benefit is the sum of, each a difference to the baseline's, in present value."""

    running: float
    project: float
    airplane_value: float
    hours: float
    members: float
    loan: float


@dataclass(frozen=True, kw_only=True)
class Likely:
    """An option's figures with every input at its likely value.

    `net_benefit` is what options are compared by; `npv` is the view of the club's cash alone.
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
        """What sales and credits bring in: the outlay less what is paid up front."""
        return self.outlay - self.upfront


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """The value of one input at which the option equals the baseline; None where there is none."""

    hours_per_year: float | None = None
    extra_hours_per_year: float | None = None
    members_joined: float | None = None
    project: float | None = None
    resale_recovery: float | None = None
    worth_per_hour: float | None = None
    buy_price: float | None = None


@dataclass(frozen=True, kw_only=True)
class EqualCashCharges:
    """The raise that makes up the difference to the baseline; negative: it could be lowered."""

    dues_per_member_month: float | None
    hourly_rate: float | None
    assessment_per_member: float | None


@dataclass(frozen=True, kw_only=True)
class Funded:
    """The reserve and the loan under the option's funding; for an owner the loan alone."""

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
    """What one kind of member pays under the option, at today's prices.

    None where the option cannot be funded as it says: nobody knows the bill then.
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
        """How far apart the two are."""
        return abs(self.high - self.low)


@dataclass(frozen=True, kw_only=True)
class OptionFigures:
    """Everything figures.json says of one option."""

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


@dataclass(frozen=True, kw_only=True)
class AllowedStart:
    """The first start that the planner allows, where it refuses the planned one, and its figures.

    Worked out in the same trials; other options stand at their own allowed start, if refused.
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
    """A loan over its whole life: drawn in a month, then each payment and what is owed after it."""

    drawn_month: int
    principal: float
    payments: tuple[float, ...]
    balances: tuple[float, ...]


@dataclass(frozen=True, kw_only=True)
class Series:
    """An option's likely history, for charts and tables: one entry a month, 0..H.

    `rows` holds each money row as positive numbers. `running` and `invested` are the two parts of
    `cost`: running costs, and outlays less money in and sale. `benefit` is what hours are worth and
    newcomers' money less cost. `payments` has each thing that is paid or received by its path in
    the ledger. `funded` is None for an owner, `loan` without one. `factors` holds what the rows
    were worked out with: "down" (share of the month), "prices" and "fuel" (escalation), "discount".
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
    factors: Mapping[str, tuple[float, ...]]
    payments: Mapping[str, LikelyPayment]
    funded: FundedMonths | None
    loan: LoanSchedule | None

    @property
    def balance(self) -> tuple[float, ...] | None:
        """The reserve after funding, None for an owner."""
        return self.funded.balance if self.funded else None


@dataclass(frozen=True, kw_only=True)
class HoursCurve:
    """Net benefit and cost an hour, by hours wanted a year, all else likely."""

    hours: tuple[float, ...]
    net_benefit: Mapping[str, tuple[float, ...]]
    cost_per_hour: Mapping[str, tuple[float | None, ...]]


@dataclass(frozen=True, kw_only=True)
class Root:
    """A value at which an option and the baseline are even.

    `side`: the option pays "at least" or "at most" there; "" where it pays on neither side or on
    both. `jump`: the difference steps past zero, as when a finish slips into the next month.
    """

    value: float
    side: str
    jump: bool


@dataclass(frozen=True, kw_only=True)
class BreakEvenPoints:
    """Every break-even of an option by one input between two bounds, or why there is none.

    `why`: "pays at any value", "never pays" or "no effect"; "" where there are roots.
    """

    input: str
    least: float
    most: float
    roots: tuple[Root, ...]
    why: str


@dataclass(frozen=True, kw_only=True)
class RankReversal:
    """The value of an input, nearest to the likely one, from which another option is best.

    `value` and `then` are None where the best option stays so between the bounds.
    """

    input: str
    likely: float
    least: float
    most: float
    best: str
    value: float | None
    then: str | None
    jump: bool


@dataclass(frozen=True, kw_only=True)
class Axis:
    """One input to move: the inputs it shifts, all by the same amount, and the grid of shifts."""

    key: str
    paths: tuple[str, ...]
    points: tuple[float, ...]
    likely: float
    step: float


@dataclass(frozen=True, kw_only=True)
class Grid:
    """The engine's figures at every grid point: per option and figure a row, the last axis fastest.

    The figure is `benefit`; `error` is the largest difference to the engine, in money, at random
    points within.
    """

    axes: tuple[Axis, ...]
    figures: Mapping[str, Mapping[str, tuple[float, ...]]]
    error: float

    def gains(self, option: str, baseline: str) -> list[float]:
        """Return what an option brings against the baseline at every grid point."""
        own, base = (self.figures[key]["benefit"] for key in (option, baseline))
        return [a - b for a, b in zip(own, base, strict=True)]


@dataclass(frozen=True, kw_only=True)
class Account:
    """One item, or one entry of money in, by the ledger: money with tax, at likely values.

    `planned` is the option file's own figure and `likely` the current price; `committed` is what
    quotes and invoices bind to, `paid` up to as_of, `due` what is still to come.
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
        """How far the current price is above the plan, negative below it."""
        return self.likely - self.planned


@dataclass(frozen=True, kw_only=True)
class LedgerSnapshot:
    """How far the items of an option had come by the end of a day, by the ledger's rows."""

    day: date
    committed: float
    invoiced: float
    paid: float


@dataclass(frozen=True, kw_only=True)
class ProjectProgress:
    """An option by the ledger, beside the plan: its option file's own figures.

    `items` holds every item and `money_in` every credit, with or without rows; included jobs and
    a purchase are in the outlay and `to_pay` alone. `planned_funded` is the plan's funding.
    `rests_on` splits the outlay by what it rests on: "invoice", "quote", "estimate", "written".
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
        """How far the outlay is above the plan's, negative below it."""
        return self.outlay - self.planned_outlay

    def share_on(self, basis: str) -> float:
        """Return the share of the outlay, which is not 0, that rests on a kind of paper."""
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


@dataclass(frozen=True, kw_only=True)
class Insight:
    """What decides: where the best option changes, every break-even, and the box to move within.

    `member_bills` is None for an owner. `priced` has the sums of each option's likely prices, tax
    in, by group.
    """

    rank_reversals: tuple[RankReversal, ...]
    break_even_points: Mapping[str, tuple[BreakEvenPoints, ...]]
    whatif: Grid
    member_bills: MemberBills | None = None
    priced: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
