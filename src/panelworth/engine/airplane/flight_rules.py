"""Functions that 14 CFR 91.205 lists for day VFR, night VFR and IFR.

Always required here, whatever the airplane's equipment lists:
day VFR (b): airspeed, altimeter, magnetic direction, tachometer, oil pressure, fuel quantity;
night VFR (c), on top of (b): position lights, anticollision light, electrical source;
IFR (d), on top of (b): communication, navigation, rate of turn, slip-skid, altimeter (a sensitive
one), clock, electrical source, attitude, direction. IFR at night takes (c) too.

Required only if some unit of the airplane provides the function today, since the requirement
depends on the airplane or on its use: oil temperature (air-cooled engines) and coolant temperature
(liquid-cooled), manifold pressure (altitude engines), gear position (retractable gear),
anticollision light by day (small airplanes certificated after 1996-03-11), landing light (for
hire, at night), spare fuses (airplanes with fuses, at night), generator (IFR (d)(7), a source
that does not run down, if the files distinguish it from "electrical source").

Not examined: belts, harnesses, locator transmitter and flotation gear, which are no functions of a
panel; items that the type certificate or an airworthiness directive requires; the exceptions to the
rate-of-turn instrument; and (e) for flight level 240. The source is the edition of 1 January 2014;
belts and position lights are from memory. Check the current text.
"""

from collections.abc import Iterable

from panelworth.engine.results.airplane import (
    Rule,
    RuleState,
)
from panelworth.model.equipment import Unit
from panelworth.model.names import folded

SOURCE, GENERATOR = "electrical source", "generator"
GENERATOR_NAMES = ("alternator", "generator")

ALWAYS: dict[Rule, tuple[str, ...]] = {
    "day VFR": (
        "airspeed",
        "altimeter",
        "magnetic direction",
        "tachometer",
        "oil pressure",
        "fuel quantity",
    ),
    "night VFR": ("position lights", "anticollision light", "electrical source"),
    "IFR": (
        "communication",
        "navigation",
        "rate of turn",
        "slip-skid",
        "clock",
        "electrical source",
        "attitude",
        "direction",
    ),
}
IF_LISTED: dict[Rule, tuple[str, ...]] = {
    "day VFR": (
        "oil temperature",
        "coolant temperature",
        "manifold pressure",
        "gear position",
        "anticollision light",
    ),
    "night VFR": ("landing light", "spare fuses"),
    "IFR": ("generator",),
}


def with_generators(units: Iterable[Unit]) -> tuple[Unit, ...]:
    """Return the units; each alternator or generator provides "generator" as well.

    A file may state only that an alternator and a battery are both an "electrical source". Then the
    alternator is recognised by its name. The difference matters: an alternator gives power as long
    as the engine runs, and a battery runs down.
    """
    return tuple(
        unit.model_copy(update={"provides": (*unit.provides, GENERATOR)})
        if SOURCE in unit.provides
        and GENERATOR not in unit.provides
        and any(name in unit.name.casefold() for name in GENERATOR_NAMES)
        else unit
        for unit in units
    )


def required(rule: Rule, listed_today: Iterable[str]) -> tuple[str, ...]:
    """Return the functions that a rule requires; night VFR and IFR include day VFR.

    `listed_today` are the functions that the airplane's equipment provides today: of the functions
    in IF_LISTED, only these are required.

    >>> "landing light" in required("night VFR", ["landing light"])
    True
    >>> "landing light" in required("night VFR", [])
    False
    """
    listed = set(map(folded, listed_today))
    # 91.205(c) and (d) both begin with the instruments of (b).
    rules: tuple[Rule, ...] = ("day VFR",) if rule == "day VFR" else ("day VFR", rule)
    names = [name for part in rules for name in (*ALWAYS[part], *IF_LISTED[part])]
    always = {name for part in rules for name in ALWAYS[part]}
    return tuple(dict.fromkeys(name for name in names if name in always or name in listed))


def rule_states(provided: Iterable[str], listed_today: Iterable[str]) -> tuple[RuleState, ...]:
    """Return for each rule the functions that it requires, and those that are not provided."""
    # Users may write a name in capitals or with other spaces.
    there, listed = set(map(folded, provided)), set(listed_today)
    states = []
    for rule in ALWAYS:
        names = required(rule, listed)
        absent = tuple(name for name in names if name not in there)
        states.append(RuleState(rule=rule, required=names, missing=absent))
    return tuple(states)
