"""The name, meaning and format of each figure, for pages, tables and downloads."""

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
from panelworth.publishing.language import N_

Write = Callable[[Formats, Any], str]


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure: its key in figures.json, its label on pages, its meaning.

    Label and meaning are marked here and translated where they are shown.
    `against` marks a figure against the baseline, which the baseline does not have; `of_club` a
    figure that only a club has.
    """

    key: str
    label: str
    meaning: str
    write: Write
    against: bool = False
    of_club: bool = False

    @property
    def style(self) -> str:
        """The style of its cells in the workbook."""
        return STYLES.get(self.write, "money")


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


# The cell styles of the workbook by the function that writes the figure; else money.
STYLES: dict[Write, str] = {
    _months: "whole", _hours: "hours", _share: "rate", _rates: "rate", _ratio: "factor"
}  # fmt: skip


def _own(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write)


def _against(key: str, label: str, write: Write, meaning: str) -> Figure:
    return Figure(key=key, label=label, meaning=meaning, write=write, against=True)


LIKELY = (
    _against(
        "net_benefit",
        N_("Net benefit"),
        _change,
        N_(
            "What the option brings to those who fly today, all taken together, less what the "
            "baseline brings, in today's money: hours flown, newcomers' money and the airplane's "
            "value, less costs and what borrowing costs. Above zero, the option is better."
        ),
    ),
    _against(
        "without_growth",
        N_("Net benefit without growth"),
        _change,
        N_("The same without newcomers and more flying, which nobody has promised."),
    ),
    _own(
        "project",
        N_("Project"),
        _money,
        N_("All items with tax, and the small jobs done with them."),
    ),
    _own("outlay", N_("Outlay"), _money, N_("The project and the purchase, with tax.")),
    _own("upfront", N_("Up front"), _money, N_("The outlay less sales and credits.")),
    _own(
        "npv",
        N_("Net present value of the cash"),
        _money,
        N_(
            "All money in less all money out before funding, and the airplane's value at the end, "
            "in today's money. What is charged for flying is money in here, so nothing is ranked "
            "by it."
        ),
    ),
    _against(
        "npv_vs_baseline",
        N_("Cash against the baseline"),
        _change,
        N_("Its net present value of the cash less the baseline's."),
    ),
    _own(
        "cost_npv",
        N_("Present value of all costs"),
        _money,
        N_("All costs, with today's airplane as capital and its value at the end taken off."),
    ),
    _own(
        "cost_per_hour",
        N_("Cost an hour"),
        _cents,
        N_("All costs spread over the hours flown."),
    ),
    Figure(
        key="cost_per_member_month",
        label=N_("Cost a member a month"),
        write=_cents,
        meaning=N_("All costs spread over members and months."),
        of_club=True,
    ),
    _own(
        "equivalent_annual_cost",
        N_("Equivalent annual cost"),
        _money,
        N_("The level yearly sum that is worth the same as all costs."),
    ),
    _own(
        "end_value",
        N_("Value at the end"),
        _money,
        N_("What the airplane would bring at the end, after selling cost."),
    ),
    _against(
        "payback_months",
        N_("Payback"),
        _months,
        N_(
            "From when on what was put in is back for good, counting what the hours are worth, "
            "from the day all figures are stated for. An airplane's resale is not in it."
        ),
    ),
    _against(
        "first_payback_months",
        N_("First payback"),
        _months,
        N_("When it is back for the first time; it may be behind again later."),
    ),
    _against(
        "discounted_payback_months",
        N_("Discounted payback"),
        _months,
        N_("The payback with later money counted for less."),
    ),
    _against(
        "first_discounted_payback_months",
        N_("First discounted payback"),
        _months,
        N_("The first such payback."),
    ),
    _against(
        "irr",
        N_("Internal rate of return"),
        _rates,
        N_(
            "The yearly rate that what is put in earns, what hours are worth and the value at the "
            "end counted. Where it brings something first, or there are several rates, it ranks "
            "nothing."
        ),
    ),
    _against(
        "mirr",
        N_("Modified rate of return"),
        _share,
        N_("That rate with what comes in put to work at the discount rate."),
    ),
    _against(
        "savings_to_investment",
        N_("Savings to investment"),
        _ratio,
        N_("Savings for each unit put in, both in today's money; above 1 it pays."),
    ),
    _against(
        "adjusted_irr",
        N_("Adjusted rate of return"),
        _share,
        N_("The yearly rate that goes with that ratio."),
    ),
)

BREAK_EVENS: tuple[tuple[str, str, Write], ...] = (
    ("hours_per_year", N_("Hours wanted a year, by both"), _hours),
    ("extra_hours_per_year", N_("More hours a year because of it"), _hours),
    ("members_joined", N_("Members joining because of it"), lambda _, value: about(value)),
    ("project", N_("Price of the project"), _money),
    (
        "worth_per_hour",
        N_("What an hour aloft is worth to those who fly it"),
        lambda formats, value: formats.cents(value),
    ),
    ("resale_recovery", N_("Share of the equipment a buyer pays back"), _share),
    ("buy_price", N_("Purchase price"), _money),
)
