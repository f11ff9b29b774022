"""Which units work when others have failed, for many sets of failures at once.

A unit works if it has not failed and each of its needs is met: by a working unit of that name, or
by a working unit that provides a function of that name. For "a | b" one of the two is enough. Units
that need one another in a circle work only if a unit outside the circle supports them (least fixed
point).

States are bits: the states of a unit in thousands of sets of failures are one row of bytes. One
operation on a byte evaluates eight sets of failures, so that millions of sets can be tested.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.cash_flow.calendar import Mask
from panelworth.model.equipment import Unit

Bits = NDArray[np.uint8]
Fail = Callable[[int, Bits], None]  # clears, in place, the bits of a unit where it has failed


@dataclass(frozen=True, kw_only=True)
class Network:
    """Units and functions as numbered nodes: first the units, then the functions.

    `needs` has the needs of each unit; a need is a list of nodes, one of which must be available.
    `providers` has the units of each function, one of which must work. In `order` a node comes
    after all nodes on which it depends; `circular` says that there is no such order, because some
    units depend on one another. `dependents` has for each node the nodes that depend on it.
    """

    units: tuple[str, ...]
    functions: tuple[str, ...]
    needs: tuple[tuple[tuple[int, ...], ...], ...]
    providers: tuple[tuple[int, ...], ...]
    order: tuple[int, ...]
    circular: bool
    dependents: tuple[tuple[int, ...], ...]

    def node_of(self, function: int) -> int:
        """Return the node of a function by its index among the functions."""
        return len(self.units) + function

    def depends_on(self, node: int) -> Iterator[int]:
        """Yield the nodes that a node depends on directly."""
        return _depends_on(self.needs, self.providers, node)

    def reached(self, node: int) -> set[int]:
        """Return a node and all nodes that it depends on, directly or through others."""
        reached, waiting = {node}, [node]
        while waiting:
            new = [below for below in self.depends_on(waiting.pop()) if below not in reached]
            reached.update(new)
            waiting += new
        return reached


def network_of(units: Iterable[Unit]) -> Network:
    """Return the network of these units; a need that no unit has or provides is never met."""
    listed = tuple(units)
    numbers = {unit.name: number for number, unit in enumerate(listed)}
    functions = tuple(dict.fromkeys(name for unit in listed for name in unit.provides))
    nodes = {name: len(listed) + place for place, name in enumerate(functions)}

    def met_by(need: str) -> tuple[int, ...]:
        names = [part.strip() for part in need.split("|")]
        # A name may be that of a unit and of a function: both then meet the need.
        met_by_nodes = {kind[name] for name in names for kind in (numbers, nodes) if name in kind}
        return tuple(sorted(met_by_nodes))

    needs = tuple(tuple(map(met_by, unit.needs)) for unit in listed)
    providers: dict[str, list[int]] = {name: [] for name in functions}
    for number, unit in enumerate(listed):
        for name in dict.fromkeys(unit.provides):
            providers[name].append(number)
    rows = tuple(map(tuple, providers.values()))
    graph = {
        node: tuple(dict.fromkeys(_depends_on(needs, rows, node)))
        for node in range(len(needs) + len(rows))
    }
    dependents: list[list[int]] = [[] for _ in graph]
    for node, below in graph.items():
        for support in below:
            dependents[support].append(node)
    order, circular = _ordered(graph)
    return Network(
        units=tuple(numbers),
        functions=functions,
        needs=needs,
        providers=rows,
        order=order,
        circular=circular,
        dependents=tuple(map(tuple, dependents)),
    )


def named(names: Sequence[str], chosen: Mask) -> tuple[str, ...]:
    """Return the names that are chosen, in their order; both of the same length.

    >>> named(("Gyro", "Radio"), np.array([False, True]))
    ('Radio',)
    """
    return tuple(name for name, yes in zip(names, chosen.tolist(), strict=True) if yes)


def _depends_on(
    needs: Sequence[Sequence[Sequence[int]]], providers: Sequence[Sequence[int]], node: int
) -> Iterator[int]:
    if node >= len(needs):
        yield from providers[node - len(needs)]
    else:
        for need in needs[node]:
            yield from need


def _ordered(graph: Mapping[int, Sequence[int]]) -> tuple[tuple[int, ...], bool]:
    """Return all nodes in the order of dependence, and whether circles make that impossible."""
    try:
        return tuple(TopologicalSorter(graph).static_order()), False
    except CycleError:
        return _by_depth(graph), True


def _by_depth(graph: Mapping[int, Sequence[int]]) -> tuple[int, ...]:
    """Return the nodes in the order in which a depth-first search finishes them.

    With circles no order is right for all nodes; this one needs few repeated evaluations. The
    search has a stack of its own, because a long chain of needs would exceed Python's recursion
    limit.
    """
    seen, done = set[int](), list[int]()
    for start in graph:
        path = [] if start in seen else [(start, iter(graph[start]))]
        seen.add(start)
        while path:
            node, rest = path[-1]
            deeper = next((child for child in rest if child not in seen), None)
            if deeper is None:
                done.append(node)
                path.pop()
            else:
                seen.add(deeper)
                path.append((deeper, iter(graph[deeper])))
    return tuple(done)


def states(
    network: Network, nodes: Sequence[int], shape: tuple[int, ...], fail: Fail
) -> dict[int, Bits]:
    """Return the bits of these nodes, one a set of failures: 1 where a node works or is available.

    `nodes` are in the network's order, with all nodes that they depend on.

    Least fixed point: at first nothing works. Each node is evaluated from the others, and again if
    one of these has changed; without circles once is enough. Why the least one: that two units work
    which only feed each other would be consistent too, but nothing could start them. The iteration
    ends because states change only from 0 to 1 (Kleene's fixed-point theorem).
    """
    available = {node: np.zeros(shape, dtype=np.uint8) for node in nodes}
    scratch, waiting = np.empty(shape, dtype=np.uint8), set(nodes)
    while waiting:
        for node in nodes:
            if node not in waiting:
                continue
            waiting.discard(node)
            now = _state(network, node, available, scratch, fail)
            # Without circles a node comes after all that it depends on, so nothing is evaluated
            # twice.
            if network.circular and not np.array_equal(now, available[node]):
                waiting.update(
                    dependent for dependent in network.dependents[node] if dependent in available
                )
            available[node] = now
    return available


def _state(
    network: Network, node: int, available: Mapping[int, Bits], scratch: Bits, fail: Fail
) -> Bits:
    """Return the state of one node from those of the others; `scratch` is working memory."""
    if node >= len(network.units):
        return _any(network.providers[node - len(network.units)], available, np.empty_like(scratch))
    works = np.full_like(scratch, 0xFF)
    for need in network.needs[node]:
        works &= _any(need, available, scratch)
    fail(node, works)
    return works


def _any(nodes: Sequence[int], available: Mapping[int, Bits], out: Bits) -> Bits:
    """Return the bits of "any of these nodes is available", written into `out`; 0 for no nodes."""
    if not nodes:
        out[...] = 0
        return out
    out[...] = available[nodes[0]]
    for node in nodes[1:]:
        np.bitwise_or(out, available[node], out=out)
    return out


def packed(flags: Mask) -> Bits:
    """Pack flags into bits along the last axis; unused bits of the last byte are 0."""
    # Little-endian: `cut_sets` finds bit n of a row as 1 << n % 8 in byte n // 8.
    return np.packbits(flags, axis=-1, bitorder="little")


def unpacked(bits: Bits, count: int) -> Mask:
    """Return the first `count` flags of each row of bits."""
    return np.unpackbits(bits, axis=-1, count=count, bitorder="little").astype(np.bool_)


def with_failures(network: Network, failed: Mask) -> tuple[Mask, Mask]:
    """Return which units work and which functions are available, for sets of failures.

    `failed` has shape (sets, units); the results have (sets, units) and (sets, functions).
    """
    kept = packed(~failed.T)

    def fail(unit: int, works: Bits) -> None:
        works &= kept[unit]

    working = states(network, network.order, kept.shape[1:], fail)
    count, units = len(failed), len(network.units)
    available = np.array(
        [unpacked(working[node], count) for node in range(len(working))], dtype=np.bool_
    )
    available = available.reshape(len(working), count).T
    return available[:, :units], available[:, units:]
