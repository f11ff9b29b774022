"""The name, meaning and way of writing of each figure; pages, tables and downloads agree on it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from panelworth.publishing.formats import NONE, Formats, about, duration, fixed, joined, percent

Write = Callable[[Formats, Any], str]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure: its key in figures.json, what pages call it, what it means.

    `against` marks a figure that compares with the baseline, which has none itself; `of_club` one
    that a single owner has not.
    """

    key: str
    label: str
    meaning: str
    write: Write
    against: bool = False
    of_club: bool = False


def _money(formats: Formats, value: float | None) -> str:
    return formats.money(value)


def _cents(formats: Formats, value: float | None) -> str:
    return formats.cents(value)


def _change(formats: Formats, value: float) -> str:
    return formats.change(value)


def _months(_: Formats, value: int | None) -> str:
    return duration(value)


def _share(_: Formats, value: float | None) -> str:
    return percent(value, 1)


def _rates(_: Formats, rates: tuple[float, ...]) -> str:
    return joined([percent(rate, 1) for rate in rates]) or NONE


def _ratio(_: Formats, value: float | None) -> str:
    return NONE if value is None else fixed(value, 2)


def _hours(_: Formats, value: float) -> str:
    return f"{about(value)} hours"


def _own(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write)


def _against(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write, against=True)


LIKELY = (
    _own("project", "Project", _money, "All items with tax, and the small jobs done with them."),
    _own("outlay", "Outlay", _money, "The project and the purchase, tax in."),
    _own("upfront", "Up front", _money, "The outlay less sales and credits."),
    _own(
        "npv",
        "Net present value",
        _money,
        "All money in less all money out, and the airplane's value at the end, in today's money. "
        "It covers all that is paid and earned, so it says most when compared.",
    ),
    _against(
        "npv_vs_baseline",
        "Against the baseline",
        _change,
        "Its net present value less the baseline's: above zero, the option is better.",
    ),
    _own(
        "cost_npv",
        "Present value of all costs",
        _money,
        "All costs, with today's airplane as capital and its value at the end taken off.",
    ),
    _own("cost_per_hour", "Cost an hour", _cents, "All costs spread over the hours flown."),
    Figure(
        key="cost_per_member_month",
        label="Cost a member a month",
        write=_cents,
        meaning="All costs spread over members and months.",
        of_club=True,
    ),
    _own(
        "equivalent_annual_cost",
        "Equivalent annual cost",
        _money,
        "The level yearly sum that is worth the same as all costs.",
    ),
    _own(
        "end_value",
        "Value at the end",
        _money,
        "What the airplane would bring at the end, after selling cost.",
    ),
    _against(
        "payback_months",
        "Cash payback",
        _months,
        "From when on the cash put in is back for good, counted from the day all figures are "
        "stated for. An airplane's resale is not in it.",
    ),
    _against(
        "first_payback_months",
        "First cash payback",
        _months,
        "When the cash is back for the first time; it may be behind again later.",
    ),
    _against(
        "discounted_payback_months",
        "Discounted payback",
        _months,
        "The cash payback with later money counted for less.",
    ),
    _against(
        "first_discounted_payback_months",
        "First discounted payback",
        _months,
        "The first such payback.",
    ),
    _against(
        "irr",
        "Internal rate of return",
        _rates,
        "The yearly rate that what is put in earns, the value at the end counted. Where money "
        "comes in first, or there are several rates, it ranks nothing.",
    ),
    _against(
        "mirr",
        "Modified rate of return",
        _share,
        "That rate with what comes in put to work at the discount rate.",
    ),
    _against(
        "savings_to_investment",
        "Savings to investment",
        _ratio,
        "Savings for each unit put in, both in today's money; above 1 it pays.",
    ),
    _against(
        "adjusted_irr",
        "Adjusted rate of return",
        _share,
        "The yearly rate that goes with that ratio.",
    ),
)

BREAK_EVENS: tuple[tuple[str, str, Write], ...] = (
    ("hours_per_year", "Hours wanted a year, by both", _hours),
    ("extra_hours_per_year", "More hours a year because of it", _hours),
    ("members_joined", "Members joining because of it", lambda _, value: about(value)),
    ("project", "Price of the project", _money),
    ("resale_recovery", "Share of the equipment a buyer pays back", _share),
    ("buy_price", "Purchase price", _money),
)
