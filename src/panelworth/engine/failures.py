"""What fails with what: single failures, minimal cut sets, and which flight rules remain.

A unit works when it has not failed and each of its needs is met by a working unit of that name
or by any working unit that provides that function; "a | b" is met by either. Units in a circle
work only if something outside the circle supports them (least fixed point). Qualitative only: no
probabilities, and a battery counts as a source however short it lasts.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, islice
from math import comb

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.calendar import Mask, Whole
from panelworth.engine.fitted import Fitted, fitted_today, fitted_with
from panelworth.engine.flight_rules import rule_states, with_generators
from panelworth.engine.results_airplane import FailureFigures, RuleState, UnitFailure
from panelworth.model.case import Case
from panelworth.model.equipment import Unit

MOST = 3  # units that fail together
BLOCK = 20_000  # rows of failed units looked at together
Row = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class Network:
    """Units and functions as numbers: each need is the set of units of which one must work."""

    units: tuple[str, ...]
    needs: tuple[tuple[Row, ...], ...]
    functions: tuple[str, ...]
    providers: tuple[Row, ...]


def failures_of(case: Case, option_id: str) -> FailureFigures | None:
    """Return what an option's failures take with them, None where no units are described.

    Whether a rule's function applies is told by the airplane as it stands before the option: a
    replacement's own list, else equipment.toml.
    """
    fitted = fitted_with(case, option_id)
    if fitted is None:
        return None
    replaced = case.options[option_id].kind == "replace"
    today = (None if replaced else fitted_today(case)) or fitted
    return failure_figures(_told(fitted), _told(today))


def _told(fitted: Fitted) -> Fitted:
    return replace(fitted, units=with_generators(fitted.units))


def failure_figures(fitted: Fitted, today: Fitted) -> FailureFigures:
    """Work out single failures, cut sets up to three units, and rules."""
    network = network_of(fitted.units)
    applicable = {name for unit in today.units for name in unit.provides}
    whole = working(network, np.zeros((1, len(network.units)), dtype=np.bool_))
    there = functions_up(network, whole)[0]
    rules = rule_states(_named(network.functions, there), applicable)
    failures = tuple(_single_failures(network, whole[0], there, applicable))
    sets = cut_sets(network, most=MOST)
    missing = {name for state in rules for name in state.missing}
    return FailureFigures(
        functions=tuple(_named(network.functions, there)),
        means=tuple(_means(fitted.units, network.functions, rules)),
        missing=tuple(sorted(missing | set(_named(network.functions, ~there)))),
        unsupported=tuple(_named(network.units, ~whole[0])),
        idle=tuple(
            unit.name
            for unit, each in zip(fitted.units, failures, strict=True)
            if not unit.provides and not each.dark
        ),
        rules=rules,
        failures=failures,
        cut_sets={name: sets[name] for name in _named(network.functions, there)},
        single_points={
            each.unit: each.dark + each.lost for each in failures if each.dark or len(each.lost) > 1
        },
    )


def network_of(units: Iterable[Unit]) -> Network:
    """Give units and functions numbers; a need that names nothing is never met."""
    listed = tuple(units)
    numbers = {unit.name: number for number, unit in enumerate(listed)}
    functions = tuple(dict.fromkeys(name for unit in listed for name in unit.provides))
    by_function = {
        name: [number for number, unit in enumerate(listed) if name in unit.provides]
        for name in functions
    }

    def met_by(need: str) -> Row:
        found: set[int] = set()
        for name in (part.strip() for part in need.split("|")):
            found |= {numbers[name]} if name in numbers else set()
            found |= set(by_function.get(name, ()))
        return np.array(sorted(found), dtype=np.intp)

    return Network(
        units=tuple(numbers),
        needs=tuple(tuple(met_by(need) for need in unit.needs) for unit in listed),
        functions=functions,
        providers=tuple(np.array(by_function[name], dtype=np.intp) for name in functions),
    )


def working(network: Network, failed: Mask) -> Mask:
    """Return which units work, given which have failed; both of shape (rows, units).

    Least fixed point of: works = not failed and every need met, starting from nothing works.
    """
    works = np.zeros_like(failed)
    for _ in network.units:
        changed = False
        for number, needs in enumerate(network.needs):
            now = ~failed[:, number]
            for need in needs:
                now &= works[:, need].any(axis=1)
            changed = changed or not np.array_equal(now, works[:, number])
            works[:, number] = now
        if not changed:
            break
    return works


def functions_up(network: Network, works: Mask) -> Mask:
    """Return which functions some working unit provides, shape (rows, functions)."""
    up = np.zeros((len(works), len(network.functions)), dtype=np.bool_)
    for number, providers in enumerate(network.providers):
        up[:, number] = works[:, providers].any(axis=1)
    return up


def provided(units: Iterable[Unit]) -> frozenset[str]:
    """Return the functions there are with nothing failed."""
    network = network_of(units)
    works = working(network, np.zeros((1, len(network.units)), dtype=np.bool_))
    return frozenset(_named(network.functions, functions_up(network, works)[0]))


def cut_sets(
    network: Network, *, most: int, may_fail: Sequence[str] | None = None
) -> dict[str, tuple[tuple[str, ...], ...]]:
    """Return every function's minimal cut sets of at most `most` units, smallest first.

    A cut set is a set of units whose common failure loses the function; it is minimal when no
    unit can be left out (NUREG-0492, from memory). Every set of units up to that size is failed
    at once as rows of one array; since more failures never help, a set is minimal exactly when
    none of its subsets with one unit less is a cut set. For n units that is at most
    C(n, 1) + … + C(n, most) rows. A function that is missing anyway has the one cut set ().
    """
    names = network.units if may_fail is None else tuple(may_fail)
    columns = np.array([network.units.index(name) for name in names], dtype=np.intp)
    lost, sets = _lost(network, columns, 0)
    result: dict[str, list[tuple[str, ...]]] = {
        name: [()] if gone else []
        for name, gone in zip(network.functions, lost[0].tolist(), strict=True)
    }
    for order in range(1, min(most, len(columns)) + 1):
        before = lost
        lost, sets = _lost(network, columns, order)
        minimal = lost & ~_any_part_lost(sets, before)
        for row, function in zip(*np.nonzero(minimal), strict=True):
            cut = tuple(names[number] for number in sets[row])
            result[network.functions[function]].append(cut)
    return {name: tuple(each) for name, each in result.items()}


def _lost(network: Network, columns: Row, order: int) -> tuple[Mask, Row]:
    """Return which functions each set of so many failures loses, and the sets, by their rank."""
    count = comb(len(columns), order)
    sets = np.zeros((count, order), dtype=np.intp)
    lost = np.zeros((count, len(network.functions)), dtype=np.bool_)
    for block in _blocks(len(columns), order):
        failed = np.zeros((len(block), len(network.units)), dtype=np.bool_)
        failed[np.arange(len(block))[:, np.newaxis], columns[block]] = True
        places = _rank(block)
        sets[places] = block
        lost[places] = ~functions_up(network, working(network, failed))
    return lost, sets


def _blocks(count: int, order: int) -> Iterator[Row]:
    every = combinations(range(count), order)
    while block := list(islice(every, BLOCK)):
        yield np.array(block, dtype=np.intp).reshape(len(block), order)


def _rank(sets: Row) -> Whole:
    """Return the place of each rising set in colexicographic order: the sum of C(element, place).

    >>> _rank(np.array([[0, 1], [0, 2], [1, 2], [0, 3]])).tolist()
    [0, 1, 2, 3]
    """
    ranks = np.zeros(len(sets), dtype=np.int64)
    for place in range(sets.shape[1]):
        top = int(sets[:, place].max(initial=0)) + 1
        ways = np.array([comb(element, place + 1) for element in range(top)], dtype=np.int64)
        ranks += ways[sets[:, place]]
    return ranks


def _any_part_lost(sets: Row, before: Mask) -> Mask:
    """Say for each set and function whether a subset with one unit less already loses it."""
    lost = np.zeros((len(sets), before.shape[1]), dtype=np.bool_)
    for place in range(sets.shape[1]):
        lost |= before[_rank(np.delete(sets, place, axis=1))]
    return lost


def _single_failures(
    network: Network, whole: Mask, there: Mask, applicable: set[str]
) -> Iterator[UnitFailure]:
    works = working(network, np.eye(len(network.units), dtype=np.bool_))
    up = functions_up(network, works)
    for number, unit in enumerate(network.units):
        gone = whole & ~works[number]
        gone[number] = False
        kept = _named(network.functions, up[number])
        yield UnitFailure(
            unit=unit,
            dark=tuple(_named(network.units, gone)),
            lost=tuple(_named(network.functions, there & ~up[number])),
            kept=tuple(kept),
            rules=rule_states(kept, applicable),
        )


def _means(
    units: Iterable[Unit], functions: Iterable[str], rules: Iterable[RuleState]
) -> Iterator[str]:
    needed = {part.strip() for unit in units for need in unit.needs for part in need.split("|")}
    asked = {name for state in rules for name in state.required}
    return (name for name in functions if name in needed - asked)


def _named(names: Sequence[str], chosen: Mask) -> list[str]:
    return [name for name, picked in zip(names, chosen.tolist(), strict=True) if picked]
