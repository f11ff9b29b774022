"""scenario.toml: the question, the money rules, the airplane, the club, the small jobs."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Annotated, Any, ClassVar, Literal

from babel import Locale, localedata
from babel.core import get_global
from babel.numbers import get_territory_currencies, list_currencies
from pydantic import AfterValidator, WithJsonSchema, model_validator

from panelworth.model.bounds import SMALLEST
from panelworth.model.club import Club
from panelworth.model.dates import Day, last_good_day
from panelworth.model.decision import Decision, Vote
from panelworth.model.value import (
    Quantity,
    Record,
    amount,
    declared,
    refuse,
    share,
    text_input,
    unique_by_name,
    yearly_rate,
)
from panelworth.problems import did_you_mean

MONTHS = 12
HALF_A_CENT = 0.005  # a sum or difference up to this counts as 0: it is written as 0.00
FLOOR_YEARS = 5  # how long a raise must hold the floor if floor_years is left out
MONTHLY_WEIGHTS_SCHEMA = {
    "type": "array",
    "items": {"type": "number"},
    "minItems": MONTHS,
    "maxItems": MONTHS,
}
CODE_SCHEMA = {"type": "string", "pattern": "^[A-Z]{3}$"}
LEAST_DISCOUNT = -0.2  # at -20 % a sum in forty years counts 7,500 times as much as one today
LEAST_WEIGHT = 1e-3  # sum of a season's weights; they are divided by it, so it must not be 0


def monthly_weights(weights: tuple[float, ...]) -> tuple[float, ...]:
    """Refuse season weights that are not twelve, or that are all 0."""
    if len(weights) != MONTHS:
        raise refuse("twelve weights, January to December", weights)
    if min(weights) >= 0 and sum(weights) < LEAST_WEIGHT:
        raise refuse(f"weights that add up to at least {LEAST_WEIGHT:g}", weights)
    return weights


def _iso_currency(code: str) -> str:
    """Refuse a code that is not in ISO 4217. Hints name currencies in use only, no former ones."""
    if code not in list_currencies():
        territories = get_global("territory_currencies")
        in_use = {
            currency
            for territory in territories
            for currency in get_territory_currencies(territory)
        }
        hint = did_you_mean(code, sorted(in_use))
        raise refuse("a three-letter ISO 4217 code such as USD", code, hint)
    return code


def _locale(name: str) -> str:
    """Refuse a locale of Babel (CLDR) without a territory, which decides how money is written."""
    if name not in localedata.locale_identifiers() or not Locale.parse(name).territory:
        raise refuse("a locale: a language and a territory, such as en_US or en_IE", name)
    return name


class FixedCost(Record):
    """One cost that comes every year whether the airplane flies or not."""

    heading: ClassVar[str] = "Fixed cost"
    name: str = text_input("Name", "What the cost is for.", min_length=1)
    per_year: Quantity = amount("Cost a year", "money a year", "Today's price of one year.")
    for_months: int | None = declared(
        "For months",
        "months",
        "How many months it is paid for, from when it begins; to the end if left out.",
        low=1,
        high=600,
        default=None,
    )


class Recurring(Record):
    """One inspection or part that falls due every so many months or days."""

    heading: ClassVar[str] = "Recurring item"
    name: str = text_input("Name", "What falls due.", min_length=1)
    cost: Quantity = amount("Cost", "money", "Today's price of doing it once.")
    every_months: int | None = declared(
        "Interval in months",
        "months",
        "Calendar months from one to the next, each to its last day; or give every_days.",
        low=1,
        default=None,
    )
    every_days: int | None = declared(
        "Interval in days",
        "days",
        "Days from one to the next: for what is due every 30 days, a month may be too long.",
        default=None,
    )
    last_done: Day = declared(
        "Last done", "date", "The day it was last done; its month counts, or the day itself."
    )

    @model_validator(mode="after")
    def _one_interval(self) -> "Recurring":
        if (self.every_months is None) == (self.every_days is None):
            written = "neither" if self.every_days is None else "both"
            hint = "write one of the two"
            raise refuse("either every_months or every_days", written, hint, worded=True)
        return self

    def good_through(self, done: date) -> date:
        """Return the last day on which it is still valid after it was done on a day.

        Months are calendar months, to the end of the last of them; days are counted one by one.
        """
        if self.every_months is not None:
            return last_good_day(done, self.every_months)
        return done + timedelta(days=self.every_days or 0)


class Insurance(Record):
    """The policy: hull by agreed value, liability by the year."""

    heading: ClassVar[str] = "Insurance"
    agreed_value: Quantity = amount(
        "Agreed hull value", "money", "The sum the policy pays on a total loss."
    )
    hull_rate: Quantity = share("Hull rate", "Yearly hull premium as a share of the agreed value.")
    liability_per_year: Quantity = amount(
        "Liability premium", "money a year", "Yearly liability premium at today's price."
    )


class Repairs(Record):
    """Unscheduled repairs of the panel."""

    heading: ClassVar[str] = "Panel repairs"
    per_year: Quantity = amount(
        "Unscheduled panel repairs",
        "money a year",
        "What the panel's faults cost in the first year.",
    )
    growth: Quantity = yearly_rate(
        "Growth of panel repairs", "How much faster than inflation the repairs grow each year."
    )
    each: Quantity | None = declared(
        "Cost of one repair",
        "money",
        "Where it is given, repairs come one by one in the trials; above 0.",
        low=SMALLEST,
        default=None,
    )


class Aircraft(Record):
    """The airplane of the question, as it is today."""

    heading: ClassVar[str] = "The airplane today"
    label: str = text_input("Name", "What the airplane is called.", default="The airplane")
    hours_per_year: Quantity = amount(
        "Hours wanted",
        "hours a year",
        "Tach hours that would be flown if it were never grounded.",
    )
    hours_lost_per_year: Quantity = amount(
        "Hours lost to groundings",
        "hours a year",
        "Of those hours, how many are lost to unplanned groundings.",
    )
    season: Annotated[
        tuple[float, ...], AfterValidator(monthly_weights), WithJsonSchema(MONTHLY_WEIGHTS_SCHEMA)
    ] = declared(
        "Season weights",
        "weights",
        "How flying spreads over January to December; any scale.",
        default=(1.0,) * MONTHS,
    )
    value: Quantity = amount("Value today", "money", "What the airplane would fetch today.")
    value_change: Quantity = yearly_rate(
        "Change of value", "How its value moves each year; negative when it falls."
    )
    selling_cost: Quantity = share(
        "Selling cost", "Share of a sale price lost in selling: broker, advert, inspection."
    )
    value_tax: Quantity = share(
        "Tax on the value", "Share of the airplane's value owed as tax each year."
    )
    hourly_rate: Quantity = amount(
        "Hourly rate", "money an hour", "What members are charged for a tach hour, fuel included."
    )
    worth_per_hour: Quantity | None = declared(
        "Worth of an hour",
        "money an hour",
        "What an hour aloft is worth to those who fly it; if left out, today's hourly rate, or "
        "today's hourly running cost where nobody is charged.",
        default=None,
    )
    fuel_per_hour: Quantity = amount("Fuel burn", "fuel an hour", "Fuel used in one tach hour.")
    fuel_price: Quantity = amount(
        "Fuel price", "money a unit of fuel", "Today's price of a gallon, or of a litre."
    )
    cruise_speed: Quantity | None = declared(
        "Cruise speed",
        "knots",
        "True airspeed in cruise; for the cost of a mile.",
        low=1.0,
        default=None,
    )
    oil_per_hour: Quantity = amount("Oil", "money an hour", "Oil for one tach hour.")
    engine_reserve_per_hour: Quantity = amount(
        "Engine reserve", "money an hour", "Set aside each hour for the next overhaul."
    )
    other_per_hour: Quantity = amount(
        "Other hourly cost", "money an hour", "All else that an hour of flying costs."
    )
    resale_recovery: Quantity = share(
        "Resale recovery", "Share of the installed equipment's cost that a buyer pays back at once."
    )
    recovery_fade: Quantity = share(
        "Fade of the recovery", "How much of that share is lost each year as the equipment ages."
    )
    fixed: Annotated[
        tuple[FixedCost, ...], AfterValidator(lambda v: unique_by_name(v, "fixed cost"))
    ] = declared("Fixed costs", "list", "Costs that come whether it flies or not.", default=())
    recurring: Annotated[
        tuple[Recurring, ...], AfterValidator(lambda v: unique_by_name(v, "recurring item"))
    ] = declared("Recurring items", "list", "What falls due by the calendar.", default=())
    insurance: Insurance = declared(
        "Insurance", "table", "Hull and liability premiums.", default_factory=Insurance
    )
    repairs: Repairs = declared(
        "Panel repairs", "table", "Unscheduled repairs of the panel.", default_factory=Repairs
    )

    @property
    def hourly_besides_fuel(self) -> tuple[Quantity, ...]:
        """What an hour costs besides fuel."""
        return (self.oil_per_hour, self.engine_reserve_per_hour, self.other_per_hour)

    def hourly_cost(self, value: Callable[[Quantity], Any]) -> tuple[Any, Any]:
        """Return what an hour costs: fuel_per_hour·fuel_price, and the sum of all else.

        `value` returns the number of an input, or its array with one number for each trial. The
        two are separate because the fuel price has an inflation rate of its own.
        """
        fuel = value(self.fuel_per_hour) * value(self.fuel_price)
        # math.fsum cannot add arrays, so this is the built-in sum.
        return fuel, sum(map(value, self.hourly_besides_fuel))


class Rates(Record):
    """Rates a year, as fractions."""

    heading: ClassVar[str] = "Money rules"
    discount: Quantity = yearly_rate(
        "Discount rate",
        "What money is worth over time: the nominal, effective rate a year.",
        low=LEAST_DISCOUNT,
    )
    inflation: Quantity = yearly_rate(
        "Inflation", "How fast costs and charges rise; they step up once a year."
    )
    fuel_inflation: Quantity | None = yearly_rate(
        "Fuel inflation",
        "How fast the fuel price rises; the same as inflation if left out.",
        default=None,
    )
    equipment_inflation: Quantity | None = yearly_rate(
        "Equipment inflation",
        "How fast prices of items and of another airplane rise; inflation if left out.",
        default=None,
    )


class Job(Record):
    """A small job that is cheap while the panel is open and expensive later."""

    heading: ClassVar[str] = "Job while it is open"
    name: str = text_input("Name", "What is to be done.", min_length=1)
    now: Quantity = amount("Cost now", "money", "Its price while the panel is open.")
    later: Quantity = amount(
        "Cost later", "money", "Its price on its own later, opening up again included."
    )
    chance_per_year: Quantity = share(
        "Chance a year", "How likely it must be done in any one year."
    )


class Uncertainty(Record):
    """How the ranges are drawn."""

    heading: ClassVar[str] = "Uncertainty"
    trials: int = declared("Trials", "count", "How many trials are drawn.", low=100, default=10_000)
    seed: int = declared(
        "Seed", "count", "Starts the random streams; same seed, same draws.", high=2**63, default=1
    )
    correlation: float = declared(
        "Correlation",
        "share",
        "How far one option's cost ranges move together.",
        default=0.0,
    )


class Scenario(Record):
    """scenario.toml as a whole."""

    heading: ClassVar[str] = "The question"
    title: str = text_input("Title", "Heads every page.", min_length=1)
    question: str = text_input("Question", "What is to be decided, in one sentence.", default="")
    as_of: Day = declared(
        "As of", "date", "The day every figure is stated for; its month is month 0."
    )
    currency: Annotated[str, AfterValidator(_iso_currency), WithJsonSchema(CODE_SCHEMA)] = (
        text_input("Currency", "ISO 4217 code of all money.")
    )
    locale: Annotated[str, AfterValidator(_locale)] = text_input(
        "Locale",
        "The language, and the territory whose numbers, money and days are written: such as en_IE.",
        default="en_US",
    )
    units: Literal["us", "metric"] = declared(
        "Units", "choice", "Either us (lb, in, US gal) or metric (kg, mm, L).", default="us"
    )
    baseline: str = text_input("Baseline", "The option all others are compared with.")
    years: int = declared("Horizon", "years", "How many years are counted.")
    rates: Rates = declared("Rates", "table", "Rates a year.", default_factory=Rates)
    aircraft: Aircraft = declared(
        "Airplane", "table", "The airplane today.", default_factory=Aircraft
    )
    club: Club | None = declared("Club", "table", "Left out for a single owner.", default=None)
    jobs: Annotated[tuple[Job, ...], AfterValidator(lambda v: unique_by_name(v, "job"))] = declared(
        "Jobs", "list", "Small jobs, cheap while the panel is open.", default=()
    )
    uncertainty: Uncertainty = declared(
        "Uncertainty", "table", "How the ranges are drawn.", default_factory=Uncertainty
    )
    vote: Vote | None = declared("Vote", "table", "Who votes, and what it takes.", default=None)
    decision: Decision | None = declared(
        "Decision", "table", "What the members decided.", default=None
    )

    @property
    def floor_years(self) -> int:
        """For how many years a raise must hold the floor: as stated, else 5, within the horizon."""
        stated = self.club.floor_years if self.club else None
        return min(FLOOR_YEARS if stated is None else stated, self.years)
