"""The effects of failures: functions lost and kept, cut sets, and the flight rules still met.

`networks` defines when a unit works. The analysis is qualitative: it has no probabilities, and a
battery counts as a source for however short a time it lasts.
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
from panelworth.engine.results.airplane import (
    FailureFigures,
    RuleState,
    UnitFailure,
)
from panelworth.model.case import Case
from panelworth.model.equipment import Unit

# The largest number of units that fail together. Three show the effect of a second and a third
# source of power. Sets of four take far more time, and without probabilities they say little.
MOST = 3


def failures_of(case: Case, option_id: str) -> FailureFigures | None:
    """Return the effects of failures with an option; None where no units are described.

    Whether 14 CFR 91.205 requires a function follows from the airplane before the option (in a
    replacement, from its own list): otherwise an option that removes the only provider of a
    function would make it look as if the function were not required.
    """
    both = configurations_of(case, option_id)
    return None if both is None else failure_figures(*both)


def configurations_of(case: Case, option_id: str) -> tuple[Configuration, Configuration] | None:
    """Return the airplane after an option and the one before it, with generators marked.

    In a replacement the one before is the new airplane too. None where no units are described.
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
    working, available = (states[0] for states in with_failures(network, nothing_failed))
    rules = rule_states(named(network.functions, available), applicable)
    failures = tuple(_single_failures(network, working, available, applicable))
    cuts = cut_sets(network, most=MOST)
    # Missing are required functions that no unit provides, and functions whose units do not work.
    missing = {name for state in rules for name in state.missing}
    return FailureFigures(
        functions=named(network.functions, available),
        means=tuple(_means(fitted.units, network.functions, rules)),
        missing=tuple(sorted(missing | set(named(network.functions, ~available)))),
        unsupported=named(network.units, ~working),
        idle=tuple(
            unit.name
            for unit, failure in zip(fitted.units, failures, strict=True)
            if not unit.provides and not failure.disabled
        ),
        rules=rules,
        failures=failures,
        cut_sets={name: cuts.sets[name] for name in named(network.functions, available)},
        more_cut_sets={name: cuts.more[name] for name in named(network.functions, available)},
        largest_cut_sets={name: cuts.order[name] for name in named(network.functions, available)},
        # Every unit loses its own function: a single point loses more than that.
        single_points={
            failure.unit: failure.disabled + failure.lost
            for failure in failures
            if failure.disabled or len(failure.lost) > 1
        },
    )


def provided(units: Iterable[Unit]) -> frozenset[str]:
    """Return the functions that are available with nothing failed."""
    network = network_of(units)
    _, available = with_failures(network, np.zeros((1, len(network.units)), dtype=np.bool_))
    return frozenset(named(network.functions, available[0]))


def _single_failures(
    network: Network, working: Mask, available: Mask, applicable: set[str]
) -> Iterator[UnitFailure]:
    """Yield the effect of each unit's failure, compared with no failure."""
    works, up = with_failures(network, np.eye(len(network.units), dtype=np.bool_))
    for number, unit in enumerate(network.units):
        gone = working & ~works[number]
        # The failed unit is not one of those that it disables.
        gone[number] = False
        kept = named(network.functions, up[number])
        yield UnitFailure(
            unit=unit,
            disabled=named(network.units, gone),
            lost=named(network.functions, available & ~up[number]),
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
