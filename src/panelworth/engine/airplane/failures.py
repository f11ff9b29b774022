"""What a failure takes with it: single failures, cut sets, and the flight rules that remain.

A unit works when it has not failed and each of its needs is met by a working unit of that name
or by any working unit that provides that function; "a | b" is met by either. Units in a circle
work only if something outside the circle supports them (least fixed point). Qualitative only: no
probabilities, and a battery counts as a source however short it lasts.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from panelworth.engine.airplane.aircraft_configuration import (
    Configuration,
    configuration_after,
    configuration_today,
)
from panelworth.engine.airplane.cut_sets import cut_sets
from panelworth.engine.airplane.flight_rules import rule_states, with_generators
from panelworth.engine.airplane.networks import Network, named, network_of, with_failures
from panelworth.engine.cash_flow.calendar import Mask
from panelworth.engine.results.airplane import FailureFigures, RuleState, UnitFailure
from panelworth.model.case import Case
from panelworth.model.equipment import Unit

# Up to this many units fail together. Three are enough to see the effect of a second and a third
# source of power; the time for sets of four is not justified without probabilities.
MOST = 3


def failures_of(case: Case, option_id: str) -> FailureFigures | None:
    """Return what an option's failures take with them, None where no units are described.

    Whether a function of 14 CFR 91.205 applies follows from the airplane before the option
    (a replacement's own list, else equipment.toml): an option that takes out the only provider must
    not make the function look as if it were not required.
    """
    both = configurations_of(case, option_id)
    return None if both is None else failure_figures(*both)


def configurations_of(case: Case, option_id: str) -> tuple[Configuration, Configuration] | None:
    """Return the airplane that an option leaves and the one before it, with generators marked.

    The one before is the replacement's own list, else equipment.toml. None without units.
    """
    fitted = configuration_after(case, option_id)
    if fitted is None:
        return None
    replaced = case.options[option_id].replaces_airplane
    today = (None if replaced else configuration_today(case)) or fitted
    return _with_generators(fitted), _with_generators(today)


def _with_generators(fitted: Configuration) -> Configuration:
    return replace(fitted, units=with_generators(fitted.units))


def failure_figures(fitted: Configuration, today: Configuration) -> FailureFigures:
    """Work out single failures, cut sets up to three units, and rules."""
    network = network_of(fitted.units)
    applicable = {name for unit in today.units for name in unit.provides}
    nothing_failed = np.zeros((1, len(network.units)), dtype=np.bool_)
    working, there = (states[0] for states in with_failures(network, nothing_failed))
    rules = rule_states(named(network.functions, there), applicable)
    failures = tuple(_single_failures(network, working, there, applicable))
    cuts = cut_sets(network, most=MOST)
    missing = {name for state in rules for name in state.missing}
    return FailureFigures(
        functions=named(network.functions, there),
        means=tuple(_means(fitted.units, network.functions, rules)),
        missing=tuple(sorted(missing | set(named(network.functions, ~there)))),
        unsupported=named(network.units, ~working),
        idle=tuple(
            unit.name
            for unit, failure in zip(fitted.units, failures, strict=True)
            if not unit.provides and not failure.disabled
        ),
        rules=rules,
        failures=failures,
        cut_sets={name: cuts.sets[name] for name in named(network.functions, there)},
        more_cut_sets={name: cuts.more[name] for name in named(network.functions, there)},
        largest_cut_sets={name: cuts.order[name] for name in named(network.functions, there)},
        single_points={
            failure.unit: failure.disabled + failure.lost
            for failure in failures
            if failure.disabled or len(failure.lost) > 1
        },
    )


def provided(units: Iterable[Unit]) -> frozenset[str]:
    """Return the functions that are available with nothing failed."""
    network = network_of(units)
    _, there = with_failures(network, np.zeros((1, len(network.units)), dtype=np.bool_))
    return frozenset(named(network.functions, there[0]))


def _single_failures(
    network: Network, working: Mask, there: Mask, applicable: set[str]
) -> Iterator[UnitFailure]:
    """Yield the effect of each unit's failure, against what works with nothing failed."""
    works, up = with_failures(network, np.eye(len(network.units), dtype=np.bool_))
    for number, unit in enumerate(network.units):
        gone = working & ~works[number]
        gone[number] = False
        kept = named(network.functions, up[number])
        yield UnitFailure(
            unit=unit,
            disabled=named(network.units, gone),
            lost=named(network.functions, there & ~up[number]),
            kept=kept,
            rules=rule_states(kept, applicable),
        )


def _means(
    units: Iterable[Unit], functions: Iterable[str], rules: Iterable[RuleState]
) -> Iterator[str]:
    """Yield the functions that other units need and no rule requires, such as vacuum."""
    needed = {part.strip() for unit in units for need in unit.needs for part in need.split("|")}
    asked = {name for state in rules for name in state.required}
    return (name for name in functions if name in needed - asked)
