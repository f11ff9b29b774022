"""Single failures after which only batteries supply power, and the losses once they are empty."""

from collections.abc import Iterator

import numpy as np

from panelworth.engine.airplane.failures import configurations_of
from panelworth.engine.airplane.flight_rules import GENERATOR, SOURCE, rule_states
from panelworth.engine.airplane.networks import Network, named, network_of, with_failures
from panelworth.engine.cash_flow.calendar import Mask
from panelworth.engine.results.airplane import (
    PowerLoss,
    UnitFailure,
)
from panelworth.model.case import Case
from panelworth.model.equipment import Unit


def power_losses_of(case: Case, option_id: str) -> tuple[PowerLoss, ...] | None:
    """Return the single failures after which only batteries are left; None without units.

    Whether a flight rule requires a function follows from the airplane before the option, as in
    `failures_of`.
    """
    both = configurations_of(case, option_id)
    if both is None:
        return None
    fitted, today = both
    listed = {name for unit in today.units for name in unit.provides}
    return tuple(power_losses(fitted.units, listed))


def power_losses(units: tuple[Unit, ...], listed: set[str]) -> Iterator[PowerLoss]:
    """Yield the power losses among the failures of single units.

    A failure is a power loss if it loses a source and leaves others, none of which is a generator.
    If no source is known to be a generator, every loss of one of several sources counts, with
    `certain` False: the others may be batteries, and a warning too many is safer than one too few.
    `listed` as in `rule_states`.
    """
    network = network_of(units)
    source = np.array([SOURCE in unit.provides for unit in units], dtype=np.bool_)
    generator = np.array([GENERATOR in unit.provides for unit in units], dtype=np.bool_)
    working = with_failures(network, np.zeros((1, len(units)), dtype=np.bool_))[0][0]
    alone, _ = with_failures(network, np.eye(len(units), dtype=np.bool_))
    known = bool((working & generator).any())
    for number, works in enumerate(alone):
        left = works & source
        # No power loss: no source is left, none is lost, or a generator still works.
        if not left.any() or not (working & source & ~works).any() or (works & generator).any():
            continue
        yield PowerLoss(
            left=named(network.units, left),
            certain=known,
            empty=_empty(network, number, left, listed),
        )


def _empty(network: Network, number: int, left: Mask, listed: set[str]) -> UnitFailure:
    """Return what is lost and kept once all remaining sources have run down as well.

    It is compared with no failure, so it is everything that a pilot has lost at the end.
    """
    # Row 0 has no failure. Row 1 has the failed unit and all sources that were left.
    failed = np.zeros((2, len(network.units)), dtype=np.bool_)
    failed[1] = left
    failed[1, number] = True
    works, available = with_failures(network, failed)
    kept = named(network.functions, available[1])
    return UnitFailure(
        unit=network.units[number],
        disabled=named(network.units, works[0] & ~works[1] & ~failed[1]),
        lost=named(network.functions, available[0] & ~available[1]),
        kept=kept,
        rules=rule_states(kept, listed),
    )
