"""The name, meaning and way of writing of each figure; pages, tables and downloads agree on it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from panelworth.publishing.formats import (
    NONE,
    Formats,
    about,
    duration,
    fixed,
    joined,
    percent,
    plural,
)
from panelworth.publishing.language import noted

Write = Callable[[Formats, Any], str]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure: its key in figures.json, what pages call it, what it means.

    Label and meaning are texts, marked at the declaration and said where they are placed.
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
    return plural(value, "hour", "hours")


def _own(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write)


def _against(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write, against=True)


LIKELY = (
    _against(
        "net_benefit",
        noted("Net benefit"),
        _change,
        noted(
            "What the option brings to those who fly today, all taken together, less what the "
            "baseline brings, in today's money: hours flown, newcomers' money and the airplane's "
            "value, less costs and what borrowing costs. Above zero, the option is better."
        ),
    ),
    _against(
        "without_growth",
        noted("Net benefit without growth"),
        _change,
        noted("The same without newcomers and more flying, which nobody has promised."),
    ),
    _own(
        "project",
        noted("Project"),
        _money,
        noted("All items with tax, and the small jobs done with them."),
    ),
    _own("outlay", noted("Outlay"), _money, noted("The project and the purchase, with tax.")),
    _own("upfront", noted("Up front"), _money, noted("The outlay less sales and credits.")),
    _own(
        "npv",
        noted("Net present value of the cash"),
        _money,
        noted(
            "All money in less all money out before funding, and the airplane's value at the end, "
            "in today's money. What is charged for flying is money in here, so nothing is ranked "
            "by it."
        ),
    ),
    _against(
        "npv_vs_baseline",
        noted("Cash against the baseline"),
        _change,
        noted("Its net present value of the cash less the baseline's."),
    ),
    _own(
        "cost_npv",
        noted("Present value of all costs"),
        _money,
        noted("All costs, with today's airplane as capital and its value at the end taken off."),
    ),
    _own(
        "cost_per_hour",
        noted("Cost an hour"),
        _cents,
        noted("All costs spread over the hours flown."),
    ),
    Figure(
        key="cost_per_member_month",
        label=noted("Cost a member a month"),
        write=_cents,
        meaning=noted("All costs spread over members and months."),
        of_club=True,
    ),
    _own(
        "equivalent_annual_cost",
        noted("Equivalent annual cost"),
        _money,
        noted("The level yearly sum that is worth the same as all costs."),
    ),
    _own(
        "end_value",
        noted("Value at the end"),
        _money,
        noted("What the airplane would bring at the end, after selling cost."),
    ),
    _against(
        "payback_months",
        noted("Payback"),
        _months,
        noted(
            "From when on what was put in is back for good, counting what the hours are worth, "
            "from the day all figures are stated for. An airplane's resale is not in it."
        ),
    ),
    _against(
        "first_payback_months",
        noted("First payback"),
        _months,
        noted("When it is back for the first time; it may be behind again later."),
    ),
    _against(
        "discounted_payback_months",
        noted("Discounted payback"),
        _months,
        noted("The payback with later money counted for less."),
    ),
    _against(
        "first_discounted_payback_months",
        noted("First discounted payback"),
        _months,
        noted("The first such payback."),
    ),
    _against(
        "irr",
        noted("Internal rate of return"),
        _rates,
        noted(
            "The yearly rate that what is put in earns, what hours are worth and the value at the "
            "end counted. Where it brings something first, or there are several rates, it ranks "
            "nothing."
        ),
    ),
    _against(
        "mirr",
        noted("Modified rate of return"),
        _share,
        noted("That rate with what comes in put to work at the discount rate."),
    ),
    _against(
        "savings_to_investment",
        noted("Savings to investment"),
        _ratio,
        noted("Savings for each unit put in, both in today's money; above 1 it pays."),
    ),
    _against(
        "adjusted_irr",
        noted("Adjusted rate of return"),
        _share,
        noted("The yearly rate that goes with that ratio."),
    ),
)

BREAK_EVENS: tuple[tuple[str, str, Write], ...] = (
    ("hours_per_year", noted("Hours wanted a year, by both"), _hours),
    ("extra_hours_per_year", noted("More hours a year because of it"), _hours),
    ("members_joined", noted("Members joining because of it"), lambda _, value: about(value)),
    ("project", noted("Price of the project"), _money),
    (
        "worth_per_hour",
        noted("What an hour aloft is worth to those who fly it"),
        lambda formats, value: formats.cents(value),
    ),
    ("resale_recovery", noted("Share of the equipment a buyer pays back"), _share),
    ("buy_price", noted("Purchase price"), _money),
)
