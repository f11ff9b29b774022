"""Frozen figures: all that publishing may know of the engine.

Field names are the keys of figures.json; money is unrounded; what is absent is None.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Likely:
    """An option's figures with every input at its likely value."""

    upfront: float
    project: float
    outlay: float
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


@dataclass(frozen=True, kw_only=True)
class BreakEven:
    """The value of one input at which the option equals the baseline; None where there is none."""

    hours_per_year: float | None = None
    extra_hours_per_year: float | None = None
    members_joined: float | None = None
    project: float | None = None
    resale_recovery: float | None = None
    buy_price: float | None = None


@dataclass(frozen=True, kw_only=True)
class ToBeWhole:
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
    solve_month: int | None
    dues_increase: float | None
    hourly_rate_increase: float | None
    assessment_per_member: float | None


@dataclass(frozen=True, kw_only=True)
class Bill:
    """What one kind of member pays under the option, at today's prices."""

    name: str
    per_month: float
    assessment: float


@dataclass(frozen=True, kw_only=True)
class Swing:
    """npv_vs_baseline with one input at its low and at its high."""

    input: str
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class OptionFigures:
    """Everything figures.json says of one option."""

    title: str
    kind: str
    likely: Likely
    break_even: BreakEven
    break_even_why: Mapping[str, str]
    break_even_side: Mapping[str, str]
    to_be_whole: ToBeWhole
    funded: Funded | None
    bills: tuple[Bill, ...]
    swings: tuple[Swing, ...]


@dataclass(frozen=True, kw_only=True)
class Series:
    """An option's likely course, for charts and tables: one entry a month, 0..H.

    `rows` holds each money row as positive numbers; `balance` the reserve after funding, None for
    an owner; `hours` at which `cost_per_hour_by_hours` was worked out are the figures' own.
    """

    start: str
    finish: str
    start_month: int
    finish_month: int
    rows: Mapping[str, tuple[float, ...]]
    net: tuple[float, ...]
    cost: tuple[float, ...]
    hours: tuple[float, ...]
    members: tuple[float, ...]
    balance: tuple[float, ...] | None


@dataclass(frozen=True, kw_only=True)
class HoursCurve:
    """npv against the baseline and cost an hour, by hours wanted a year, all else likely."""

    hours: tuple[float, ...]
    npv_vs_baseline: Mapping[str, tuple[float, ...]]
    cost_per_hour: Mapping[str, tuple[float | None, ...]]


@dataclass(frozen=True, kw_only=True)
class Figures:
    """All figures of a scenario folder."""

    scenario: str
    as_of: str
    currency: str
    baseline: str
    years: int
    options: Mapping[str, OptionFigures]
    series: Mapping[str, Series]
    by_hours: HoursCurve
