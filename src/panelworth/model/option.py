"""options/<id>.toml: one course of action: its schedule, items, money in, and what changes."""

from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, Field, create_model, model_validator

from panelworth.model.bounds import HOURS_IN_A_YEAR, LARGEST
from panelworth.model.equipment import Unit
from panelworth.model.names import is_short
from panelworth.model.option_kind import KindRules, OptionKind
from panelworth.model.scenario import Aircraft, FixedCost, Scenario
from panelworth.model.schedule import Schedule
from panelworth.model.surprise import Surprise
from panelworth.model.value import (
    Quantity,
    Record,
    amount,
    declared,
    exactly,
    refuse,
    share,
    text_input,
    unique_by_name,
    unique_names,
)

R = TypeVar("R", bound=Record)
When = Literal["order", "start", "finish"]
Group = Literal["equipment", "labour", "certification", "materials", "travel", "training", "other"]

CHANCE_HINT = "write a chance as a fraction: 80 % is 0.8"


class Item(Record):
    """One thing that is bought or done."""

    heading: ClassVar[str] = "Project item"
    name: str = text_input("Name", "What is bought or done.", min_length=1)
    group: Group = declared("Group", "choice", "What kind of cost it is.", default="other")
    cost: Quantity | None = declared(
        "Cost", "money", "Its price before tax; or give hours and rate.", default=None
    )
    hours: Quantity | None = declared("Hours", "hours", "Paid labour hours.", default=None)
    rate: Quantity | None = declared(
        "Labour rate", "money an hour", "Per labour hour.", default=None
    )
    member_hours: float = declared(
        "Own hours", "hours", "Unpaid work by those who fly it: no cash, but shown.", default=0.0
    )
    tax: Quantity = share("Tax", "Sales tax as a share of the price.")
    when: When = declared("Paid at", "choice", "When it is paid.", default="finish")
    resale: bool | None = declared(
        "Counts for resale", "yes or no", "Whether a buyer pays part of it back.", default=None
    )
    ledger: str = text_input("Ledger key", "How the ledger calls it, if not by name.", default="")
    supplier: str = text_input(
        "Supplier", "Whose quotes set its price; the option's supplier if left out.", default=""
    )

    @property
    def recoverable(self) -> bool:
        """Whether it counts toward resale recovery: as said, else equipment does."""
        return self.group == "equipment" if self.resale is None else self.resale

    @property
    def own_price(self) -> Quantity:
        """Its price before tax: cost, else likely hours·likely rate, else 0."""
        if self.cost is not None:
            return self.cost
        if self.hours is None or self.rate is None:
            return exactly(0.0)
        return exactly(self.hours.likely * self.rate.likely)

    @model_validator(mode="after")
    def _one_price(self) -> "Item":
        if self.cost is not None and (self.hours is not None or self.rate is not None):
            raise refuse(
                "either cost, or hours with rate", "both", "remove one of them", worded=True
            )
        return self


class Credit(Record):
    """Money that comes in: removed units sold, a trade-in, a grant."""

    heading: ClassVar[str] = "Money in"
    name: str = text_input("Name", "Where the money comes from.", min_length=1)
    amount: Quantity = amount("Amount", "money", "What comes in.")
    when: When = declared("Received at", "choice", "When it comes in.", default="finish")
    trade_in: bool = declared(
        "Trade-in",
        "yes or no",
        "Whether it is today's airplane, taken in part payment.",
        default=False,
    )


class Sell(Record):
    """The sale of today's airplane."""

    heading: ClassVar[str] = "Sale of today's airplane"
    price: Quantity | None = declared(
        "Sale price",
        "money",
        "Before selling cost; the airplane's value if left out.",
        default=None,
    )
    when: When = declared("Sold at", "choice", "When the money comes in.", default="start")


class Buy(Record):
    """The purchase of another airplane."""

    heading: ClassVar[str] = "Purchase"
    price: Quantity = amount("Purchase price", "money", "Before tax.")
    tax: Quantity = share("Tax", "Sales or use tax as a share of the price.")
    when: When = declared("Paid at", "choice", "When it is paid.", default="finish")


def _optional(record: type[BaseModel], name: str, base: type[Record], *skip: str) -> type[Record]:
    """Make a copy of a record's class with every key optional: a missing key means no change.

    Lists are replaced as a whole. Inner tables are merged key by key, so their keys are optional
    too.
    """
    keys: dict[str, Any] = {}
    for key, field in record.model_fields.items():
        if key in skip:
            continue
        kind = field.annotation
        if isinstance(kind, type) and issubclass(kind, Record):
            kind = _optional(kind, f"After{kind.__name__}", Record)
        optional = Field(
            default=None,
            title=field.title,
            description=field.description,
            json_schema_extra=field.json_schema_extra,
        )
        # `annotation` has lost the validators of the field, such as AfterValidator: add them again.
        checked: Any = Annotated[kind, *field.metadata] if field.metadata else kind
        keys[key] = (checked | None, optional)
    copy = create_model(name, __base__=base, __doc__=record.__doc__, **keys)
    copy.heading = getattr(record, "heading", "")
    globals()[name] = copy  # pickle looks a class up by its name in its module
    return copy


class AfterKeys(Record):
    """The keys that only [after] has; those of [aircraft] are added below."""

    hours_per_year_change: Quantity = amount(
        "Change of hours",
        "hours a year",
        "Added to the hours wanted.",
        low=-HOURS_IN_A_YEAR,
        high=20_000,
    )
    added_fixed: Annotated[
        tuple[FixedCost, ...], AfterValidator(lambda v: unique_by_name(v, "added fixed cost"))
    ] = declared("Added fixed costs", "list", "New yearly costs, such as data.", default=())
    dropped_fixed: Annotated[
        tuple[str, ...], AfterValidator(lambda v: unique_names(v, "fixed cost"))
    ] = declared("Dropped fixed costs", "names", "Fixed costs that fall away.", default=())
    recurring_done: Annotated[
        tuple[str, ...], AfterValidator(lambda v: unique_names(v, "recurring item"))
    ] = declared(
        "Recurring items done", "names", "Done at the finish: their clock restarts.", default=()
    )

    def applied_to(self, aircraft: Aircraft) -> Aircraft:
        """Return the airplane as it is from the month after the finish.

        Keys that are written replace those of today. Insurance and repairs are merged key by key.
        Lists are replaced as a whole. Then fixed costs are dropped and added.
        """
        changed: dict[str, Any] = {}
        for key in Aircraft.model_fields:
            new, old = getattr(self, key, None), getattr(aircraft, key)
            if new is not None:
                changed[key] = _merged(old, new) if isinstance(old, Record) else new
        lines = changed.get("fixed", aircraft.fixed)
        kept = (line for line in lines if line.name not in self.dropped_fixed)
        changed["fixed"] = (*kept, *self.added_fixed)
        return aircraft.model_copy(update=changed)

    def new(self, path: str) -> Any:  # noqa: ANN401 (as declared in Aircraft)
        """Return the new value of a dotted key of [aircraft]; None if it does not change."""
        value: Any = self
        for key in path.split("."):
            value = getattr(value, key, None)
        return value


def _merged(table: R, changes: Record) -> R:
    """Return a table with the given changes."""
    values = {key: getattr(changes, key) for key in type(changes).model_fields}
    return table.model_copy(
        update={key: value for key, value in values.items() if value is not None}
    )


# The keys of [aircraft] are not repeated here: [after] has them all, so a new key of [aircraft] may
# change by itself. A type checker cannot follow a class that is made when the module is loaded.
if TYPE_CHECKING:
    After = AfterKeys
else:
    After = _optional(Aircraft, "After", AfterKeys, "value", "worth_per_hour")
    After.heading = "After the finish"


class Members(Record):
    """Members gained or lost because of the option."""

    heading: ClassVar[str] = "Members gained or lost"
    joined: Quantity = amount(
        "Net members gained", "people", "Negative where members leave.", low=-100_000
    )
    over_months: int = declared(
        "Over months", "months", "How long it takes; 0: at once.", default=0
    )

    @property
    def left(self) -> float:
        """How many members likely leave; negative where members join."""
        return -self.joined.likely


class Loan(Record):
    """A level-payment loan."""

    heading: ClassVar[str] = "Loan"
    amount: float | None = declared("Loan amount", "money", "What is borrowed.", default=None)
    share: float | None = declared(
        "Loan share",
        "share",
        "Or: share of the likely outlay still to pay.",
        default=None,
    )
    apr: float = declared(
        "Loan rate",
        "share a year",
        "Yearly rate; a twelfth is charged each month.",
        low=0.0,
        hint="write a rate as a fraction a year: 8.5 % is 0.085",
        default=0.0,
    )
    months: int = declared("Loan term", "months", "Number of payments.", low=1)
    when: When | None = declared(
        "Drawn at", "choice", "The month of the first outlay if left out.", default=None
    )

    @model_validator(mode="after")
    def _one_size(self) -> "Loan":
        if (self.amount is None) == (self.share is None):
            written = "neither" if self.amount is None else "both"
            raise refuse("either amount or share", written, "write one of the two", worded=True)
        return self


def chance_above_0(chance: float) -> float:
    """Refuse a chance of 0: every raise, even none, would meet it."""
    if chance == 0:
        raise refuse("a chance above 0, at most 0.99", chance, CHANCE_HINT)
    return chance


class Funding(Record):
    """How the project is paid; the reserve pays the rest."""

    heading: ClassVar[str] = "Funding"
    assessment_per_member: float = declared(
        "Assessment", "money", "Paid once by each member, in month 0.", default=0.0
    )
    loan: Loan | None = declared("Loan", "table", "What is borrowed.", default=None)
    dues_increase: float = declared(
        "Dues increase",
        "money a month",
        "From month 1 on, the same each month.",
        low=-LARGEST,
        default=0.0,
    )
    hourly_rate_increase: float = declared(
        "Hourly rate increase",
        "money an hour",
        "From month 1 on, the same each month.",
        low=-LARGEST,
        default=0.0,
    )
    solve: Literal["dues", "hourly_rate", "assessment"] | None = declared(
        "Solve for", "choice", "Which raise is worked out so that the floor holds.", default=None
    )
    solve_chance: Annotated[float, AfterValidator(chance_above_0)] = declared(
        "Chance asked for",
        "share",
        "In how many of the trials the raise that is solved must hold the floor.",
        high=0.99,
        hint=CHANCE_HINT,
        default=0.8,
    )
    raise_years: int | None = declared(
        "Years of the raise",
        "years",
        "How long raises of dues and rate run; if left out, a stated one runs to the end and a "
        "solved one for the years in which the floor must hold.",
        low=1,
        high=40,
        default=None,
    )

    def years_of(self, key: str, scenario: Scenario) -> int:
        """Return how many years a raise of dues or of the hourly rate runs, from month 1 on.

        As raise_years states; else to the horizon, or for floor_years where the raise is solved.
        """
        if self.raise_years is not None:
            return self.raise_years
        return scenario.floor_years if self.solve == key else scenario.years

    @model_validator(mode="after")
    def _solved_once(self) -> "Funding":
        fixed = {
            "dues": ("dues_increase", self.dues_increase),
            "hourly_rate": ("hourly_rate_increase", self.hourly_rate_increase),
            "assessment": ("assessment_per_member", self.assessment_per_member),
        }
        key, value = fixed.get(self.solve or "", ("", 0.0))
        if value:
            raise refuse(
                f'either solve = "{self.solve}" or {key}',
                f"both, {key} = {value:g}",
                "remove one of them",
                worded=True,
            )
        return self


def _short_name(name: str) -> str:
    if not is_short(name):
        raise refuse("at most two words, and 16 letters", name, "take a shorter name")
    return name


class Option(Record, KindRules):
    """options/<id>.toml as a whole."""

    heading: ClassVar[str] = "Option"
    title: str = text_input("Title", "What the option is called.", min_length=1)
    short: Annotated[str, AfterValidator(_short_name)] = text_input(
        "Short name",
        "At most two words and 16 letters: what pictures and sentences say.",
        default="",
    )
    kind: OptionKind = declared("Kind", "choice", "Keep the airplane, refit it, or replace it.")
    summary: str = text_input("Summary", "One or two sentences for the front page.", default="")
    supplier: str = text_input(
        "Supplier", "Whose quotes set its prices; the newest of any if left out.", default=""
    )
    jobs: Annotated[tuple[str, ...], AfterValidator(lambda v: unique_names(v, "job"))] = declared(
        "Jobs included", "names", "The small jobs this option does.", default=()
    )
    removes: Annotated[tuple[str, ...], AfterValidator(lambda v: unique_names(v, "unit"))] = (
        declared("Units removed", "names", "Units of equipment.toml that come out.", default=())
    )
    same_miles: bool = declared(
        "Same miles",
        "yes or no",
        "Whether a faster airplane flies fewer hours: for whoever flies to get somewhere.",
        default=False,
    )
    schedule: Schedule | None = declared("Schedule", "table", "When it happens.", default=None)
    items: Annotated[tuple[Item, ...], AfterValidator(lambda v: unique_by_name(v, "item"))] = (
        declared("Items", "list", "What is bought or done.", default=())
    )
    credits: Annotated[
        tuple[Credit, ...], AfterValidator(lambda v: unique_by_name(v, "credit"))
    ] = declared("Money in", "list", "Money that comes in.", default=())
    surprises: Annotated[
        tuple[Surprise, ...], AfterValidator(lambda v: unique_by_name(v, "surprise"))
    ] = declared("What may turn up", "list", "Extra work that may turn up.", default=())
    sell: Sell | None = declared("Sale", "table", "Sale of today's airplane.", default=None)
    buy: Buy | None = declared("Purchase", "table", "Purchase of another airplane.", default=None)
    after: After = declared(
        "After", "table", "What changes from the month after the finish.", default_factory=After
    )
    members: Members = declared(
        "Members", "table", "Members gained or lost.", default_factory=Members
    )
    funding: Funding = declared("Funding", "table", "How it is paid.", default_factory=Funding)
    installs: Annotated[
        tuple[Unit, ...], AfterValidator(lambda v: unique_by_name(v, "installed unit"))
    ] = declared("Units installed", "list", "Units that go in.", default=())
