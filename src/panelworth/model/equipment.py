"""equipment.toml: what is in the airplane: weight, arm, amps, what each unit provides and needs."""

from typing import Annotated, ClassVar, Literal, get_args

from pydantic import AfterValidator, WithJsonSchema

from panelworth.model.dates import Day
from panelworth.model.value import (
    Quantity,
    Record,
    amount,
    declared,
    refuse,
    text_input,
    unique_by_name,
    unique_stations,
    yearly_rate,
)

Phase = Literal["taxi", "take-off", "cruise", "approach at night"]
PHASES: tuple[Phase, ...] = get_args(Phase)
ByStation = Annotated[dict[str, float], AfterValidator(unique_stations)]
VOLTS = (14, 28, 115, 200)  # buses whose allowed voltage drop is listed: AC 43.13-1B, Table 11-6


def _envelope_corners(value: tuple[tuple[float, ...], ...]) -> tuple[tuple[float, ...], ...]:
    if value and len(value) < 3:  # noqa: PLR2004
        raise refuse("at least three corners [arm, weight]", list(value))
    for corner in value:
        if len(corner) != 2:  # noqa: PLR2004
            raise refuse("corners written [arm, weight]", list(corner))
    return value


class Fuel(Record):
    """The fuel tanks."""

    heading: ClassVar[str] = "Fuel"
    arm: float = declared("Fuel arm", "arm", "Where the fuel's weight acts.")
    usable: float = declared("Usable fuel", "fuel", "What can be burned.")
    weight_per_unit: float = declared(
        "Weight of fuel", "weight a unit of fuel", "Of one gallon, or one litre."
    )


class Alternator(Record):
    """The alternator."""

    heading: ClassVar[str] = "Alternator"
    amps: float = declared("Alternator rating", "amps", "Its rated output.")
    monitored: bool = declared(
        "Monitored", "yes or no", "Whether a load meter or placard is fitted.", default=False
    )


class Battery(Record):
    """The main battery."""

    heading: ClassVar[str] = "Battery"
    ampere_hours: float = declared("Battery capacity", "ampere-hours", "Rated capacity.")
    usable_share: float = declared("Usable share", "share", "Of the rated capacity.", default=1.0)
    recognition_minutes: float = declared(
        "Recognition time", "minutes", "Until the failure is seen and load is shed.", default=0.0
    )


def _bus_voltage(volts: float) -> float:
    """Refuse a voltage without a listed voltage drop (AC 43.13-1B, Table 11-6)."""
    if volts not in VOLTS:
        hint = "write the generator's voltage: 14 where the battery has 12, 28 where it has 24"
        raise refuse("14, 28, 115 or 200 volts", volts, hint)
    return volts


class Circuit(Record):
    """One wire from the bus to what it feeds, to look up its gauge and protector."""

    heading: ClassVar[str] = "Circuit"
    name: str = text_input("Name", "What the wire feeds.")
    amps: float = declared("Current", "amps", "What flows in it.")
    length: float = declared("Length", "length", "From the bus, in feet (us) or metres (metric).")
    volts: Annotated[float, AfterValidator(_bus_voltage), WithJsonSchema({"enum": list(VOLTS)})] = (
        declared(
            "Bus voltage",
            "volts",
            "The generator's: 14, 28, 115 or 200.",
            low=min(VOLTS),
            high=max(VOLTS),
            default=14,
        )
    )
    intermittent: bool = declared(
        "Intermittent", "yes or no", "On for at most two minutes at a time.", default=False
    )


class Adverse(Record):
    """The extreme loadings to check the center of gravity with."""

    heading: ClassVar[str] = "Adverse loading"
    aboard: ByStation = declared(
        "Always aboard",
        "weight",
        "Weight at a station in every case: the pilot, oil if the empty weight is without it.",
    )
    most: ByStation = declared(
        "Most at a station", "weight", "Highest weight at each station, what is aboard included."
    )
    minimum_fuel: float = declared(
        "Minimum fuel", "fuel", "The least fuel of an adverse loading.", default=0.0
    )


class Hourly(Record):
    """One inspection by flying hours."""

    heading: ClassVar[str] = "Inspection by hours"
    name: str = text_input("Name", "What is inspected.", min_length=1)
    every: float = declared("Every", "hours", "Tach hours from one to the next.", low=1.0)
    done_at: float = declared("Done at", "hours", "Tach hours when it was last done.")
    was_due_at: float | None = declared(
        "Was due at",
        "hours",
        "The limit it was done for, if flown over: the excess counts in the next interval.",
        default=None,
    )


class Airplane(Record):
    """Weight and balance, power and inspections of the airplane before any option."""

    heading: ClassVar[str] = "Airplane"
    empty_weight: float = declared("Empty weight", "weight", "Before any option.")
    empty_arm: float = declared("Empty arm", "arm", "Center of gravity when empty.")
    max_weight: float = declared("Maximum weight", "weight", "Highest permitted weight.")
    fuel: Fuel | None = declared("Fuel", "table", "Arm, usable fuel, weight.", default=None)
    envelope: Annotated[tuple[tuple[float, ...], ...], AfterValidator(_envelope_corners)] = (
        declared(
            "Envelope",
            "arm, weight",
            "Corners [arm, weight] of the permitted range, closed.",
            default=(),
        )
    )
    mac: float | None = declared(
        "Mean chord", "arm", "Mean aerodynamic chord, for the negligible-change rule.", default=None
    )
    adverse: Adverse | None = declared(
        "Adverse loading", "table", "What the extreme loadings hold.", default=None
    )
    circuits: Annotated[
        tuple[Circuit, ...], AfterValidator(lambda v: unique_by_name(v, "circuit"))
    ] = declared("Circuits", "list", "Wires to look up gauge and protector for.", default=())
    squawks_since: Day | None = declared(
        "Squawks since", "date", "The day on which the log of squawks begins.", default=None
    )
    tach: float | None = declared("Tach time", "hours", "Tach hours on as_of.", default=None)
    hourly: Annotated[
        tuple[Hourly, ...], AfterValidator(lambda v: unique_by_name(v, "inspection"))
    ] = declared("Inspections by hours", "list", "What falls due by tach hours.", default=())
    stations: ByStation = declared(
        "Stations", "arm", "Arm of each loading place.", default_factory=dict
    )
    alternator: Alternator | None = declared("Alternator", "table", "The alternator.", default=None)
    battery: Battery | None = declared("Battery", "table", "The battery.", default=None)


class LoadingCase(Record):
    """One loading to check."""

    heading: ClassVar[str] = "Loading case"
    name: str = text_input("Name", "How to call the case.", min_length=1)
    loads: ByStation = declared("Loads", "weight", "Weight at each station.", default_factory=dict)
    fuel: float = declared("Fuel", "fuel", "Fuel on board.", default=0.0)


class Fails(Record):
    """How often a unit fails, and what a failure costs and grounds."""

    heading: ClassVar[str] = "How it fails"
    per_year: Quantity | None = declared(
        "Failures a year",
        "failures a year",
        "On as_of, or when it is installed; from the log of squawks if left out.",
        default=None,
    )
    growth: Quantity = yearly_rate(
        "Growth of failures", "How much more often it fails from year to year."
    )
    cost: Quantity | None = declared(
        "Cost of a failure", "money", "Tax in; the mean of its rows in the log.", default=None
    )
    days: Quantity | None = declared(
        "Days grounded",
        "days grounded",
        "Days without the airplane at a failure; the mean of its rows in the log.",
        default=None,
    )
    since: Day | None = declared(
        "Since", "date", "From when on its own rows in the log count.", default=None
    )


class Unit(Record):
    """One unit of equipment."""

    heading: ClassVar[str] = "Unit"
    name: str = text_input("Name", "What it is.", min_length=1)
    weight: float = declared("Weight", "weight", "Its weight, harness included.", default=0.0)
    arm: float = declared("Arm", "arm", "Where it sits.", default=0.0)
    amps: Quantity = amount("Continuous amps", "amps", "What it draws while it is on.")
    intermittent_amps: Quantity = amount("Intermittent amps", "amps", "What it draws at times.")
    essential: bool = declared(
        "Essential", "yes or no", "Stays on after the alternator fails.", default=False
    )
    phases: tuple[Phase, ...] = declared(
        "Phases",
        "names",
        "When it is on: taxi, take-off, cruise, approach at night.",
        default=PHASES,
    )
    provides: tuple[str, ...] = declared(
        "Provides", "names", 'Functions it gives; an alternator: "generator" too.', default=()
    )
    fails: Fails | None = declared(
        "Failures", "table", "How often it fails; left out where nobody knows.", default=None
    )
    needs: tuple[str, ...] = declared(
        "Needs", "names", 'What it cannot work without; "a | b" means either.', default=()
    )


class Equipment(Record):
    """equipment.toml as a whole."""

    heading: ClassVar[str] = "Equipment"
    airplane: Airplane | None = declared("Airplane", "table", "Weights, fuel, power.", default=None)
    loading_cases: Annotated[
        tuple[LoadingCase, ...], AfterValidator(lambda v: unique_by_name(v, "loading case"))
    ] = declared("Loading cases", "list", "Loadings to check.", default=())
    units: Annotated[tuple[Unit, ...], AfterValidator(lambda v: unique_by_name(v, "unit"))] = (
        declared("Units", "list", "What is in the airplane.", default=())
    )
