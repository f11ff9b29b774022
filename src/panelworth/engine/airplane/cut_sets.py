"""Minimal cut sets: which units must fail together before a function is lost.

A cut set is a set of units whose common failure loses the function; it is minimal when no unit can
be left out (NUREG-0492, Fault Tree Handbook, from memory). Every set of units that can matter is
tried, smaller ones first, tens of thousands at once as bits: 400 entangled units, more than ten
million sets of three, take about two seconds.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from math import comb

import numpy as np
from numpy.typing import NDArray

from panelworth.engine.airplane.networks import (
    Bits,
    Network,
    packed,
    states,
    unpacked,
    with_failures,
)

Row = NDArray[np.intp]
MANY = 500  # units that can matter; of more than these no three are tried
KEPT = 1000  # sets listed for a function; the others are counted
ROOM = 2**16  # bytes of one node's bits that are looked at together
PAIR = 2
FEW = 16  # units that are masked one by one


@dataclass(frozen=True, kw_only=True)
class CutSets:
    """Minimal cut sets by function, smallest first.

    `more` counts the sets found beyond those listed. `order` is the size up to which sets were
    looked for. A function that is missing anyway has the one set (), one that no set of that size
    loses has none.
    """

    sets: Mapping[str, tuple[tuple[str, ...], ...]]
    more: Mapping[str, int]
    order: Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Pairs:
    """All pairs of the units that can matter, those of later units first.

    `places` are these units, rising, as places in the list of units that may fail. The pairs both
    of whose units come after the one at `places[n]` are the first `above(n)`. `kept` has for each
    unit that may fail the bits of the pairs that it is not in.
    """

    places: Row
    first: Row
    second: Row
    kept: Bits

    def above(self, number: int) -> int:
        """Return how many pairs have both units after the one with a number."""
        return comb(len(self.places) - 1 - number, 2)

    def rows(self, pairs: Row) -> Row:
        """Return the rows of pairs of places, shape (n, 2), each rising."""
        low, high = np.searchsorted(self.places, pairs).T
        after = len(self.places) - 1 - low
        rows: Row = after * (after - 1) // 2 + high - low - 1
        return rows


@dataclass(kw_only=True)
class Lost:
    """The cut sets found of a function so far, by their size: shape (n, size), rising places.

    `count` counts all of them; of the largest size no more are held than are listed. `order` is
    the size up to which all are known.
    """

    node: int
    sets: dict[int, Row]
    count: int
    order: int


@dataclass(frozen=True, kw_only=True)
class Search:
    """What all steps share: the network, the units that may fail, the nodes that can matter."""

    network: Network
    units: tuple[int, ...]
    nodes: tuple[int, ...]
    pairs: Pairs


def cut_sets(network: Network, *, most: int, may_fail: Sequence[str] | None = None) -> CutSets:
    """Return every function's minimal cut sets of at most `most` units.

    Since more failures never help, a cut set is minimal exactly when it holds no smaller one. A
    unit can matter to a function that rests on it, unless it is a cut set by itself. Larger sets
    are not looked for once a function's list is full, nor sets of three where more than MANY units
    can matter.
    """
    names = network.units if may_fail is None else tuple(may_fail)
    units = tuple(network.units.index(name) for name in names)
    lost_functions = _single(network, units, most)
    matter = [_that_matter(network, units, lost) for lost in lost_functions]
    places = sorted(set[int]().union(*matter))
    open_ = [lost for lost, candidates in zip(lost_functions, matter, strict=True) if candidates]
    search = _search(network, units, places, open_)
    largest = most if len(places) <= MANY else min(most, PAIR)
    for lost in open_:
        lost.order = 1
    for size in range(PAIR, largest + 1):
        open_ = [lost for lost in open_ if lost.count < KEPT]
        _find(search, open_, size, keep_all=size < largest)
    sets = [tuple(islice(_named(lost, names), KEPT)) for lost in lost_functions]
    functions = network.functions
    return CutSets(
        sets=dict(zip(functions, sets, strict=True)),
        more={
            name: lost.count - len(listed)
            for name, lost, listed in zip(functions, lost_functions, sets, strict=True)
        },
        order={name: lost.order for name, lost in zip(functions, lost_functions, strict=True)},
    )


def _search(
    network: Network, units: tuple[int, ...], places: Sequence[int], open_: Sequence[Lost]
) -> Search:
    """Collect the nodes and pairs of units that the search for these functions needs."""
    reached = set[int]().union(*(network.reached(lost.node) for lost in open_))
    nodes = tuple(node for node in network.order if node in reached)
    return Search(network=network, units=units, nodes=nodes, pairs=_pairs(places, len(units)))


def _single(network: Network, units: Sequence[int], most: int) -> list[Lost]:
    """Return each function with the units that lose it alone, or with () if it is never there."""
    failed = np.zeros((len(units) + 1, len(network.units)), dtype=np.bool_)
    failed[np.arange(len(units)), list(units)] = True
    gone = ~with_failures(network, failed)[1]
    lost_functions = []
    for function in range(len(network.functions)):
        none = bool(gone[-1, function])
        alone = np.flatnonzero(gone[:-1, function])[:, np.newaxis]
        sets = {0: np.zeros((1, 0), dtype=np.intp)} if none else {1: alone}
        count = 1 if none else len(alone)
        node = network.node_of(function)
        lost_functions.append(Lost(node=node, sets=sets, count=count, order=most))
    return lost_functions


def _that_matter(network: Network, units: Sequence[int], lost: Lost) -> set[int]:
    """Return the places of units of which two or more together may lose a function."""
    if 0 in lost.sets:
        return set()
    reached, alone = network.reached(lost.node), set(lost.sets[1][:, 0].tolist())
    those = {place for place, unit in enumerate(units) if unit in reached} - alone
    return those if len(those) > 1 else set()


def _pairs(places: Sequence[int], count: int) -> Pairs:
    number = len(places)
    rows = [np.arange(low + 1, number) for low in reversed(range(number))]
    second = np.concatenate([np.zeros(0, dtype=np.intp), *rows])
    first = np.repeat(np.arange(number)[::-1], [len(row) for row in rows])
    chosen = np.array(places, dtype=np.intp)
    kept = np.full((count, -(-len(first) // 8)), 0xFF, dtype=np.uint8)
    for unit in range(number):
        kept[places[unit]] = packed((first != unit) & (second != unit))
    return Pairs(places=chosen, first=chosen[first], second=chosen[second], kept=kept)


def _find(search: Search, open_: Sequence[Lost], size: int, *, keep_all: bool) -> None:
    """Find the minimal cut sets of a size, all smaller ones being known.

    A set is an outer part and a pair of units after it: the pairs of one outer part are the bits
    of one row, and many rows are looked at together.
    """
    if not open_:
        return
    none = np.zeros((0, size), dtype=np.intp)
    sets_of = {lost.node: [none] for lost in open_}
    masks = {lost.node: _smaller_pairs(search.pairs, lost) for lost in open_}
    for outer in _blocks(search.pairs, size - PAIR):
        there = _with_pairs(search, outer)
        for lost in open_:
            gone = ~there[lost.node]
            gone &= masks[lost.node][: gone.shape[1]]
            for row in np.flatnonzero(gone.any(axis=1)).tolist():
                bits = _minimal(search.pairs, lost, outer[row], gone[row])
                lost.count += int(np.bitwise_count(bits).sum())
                if bits.any() and (
                    keep_all or sum(len(rows) for rows in sets_of[lost.node]) < KEPT
                ):
                    sets_of[lost.node].append(_sets(search.pairs, outer[row], bits))
    for lost in open_:
        lost.sets[size], lost.order = np.concatenate(sets_of[lost.node]), size


def _blocks(pairs: Pairs, outer: int) -> Iterator[list[tuple[int, ...]]]:
    """Yield outer parts, as numbers among `pairs.places`, that are looked at together."""
    number = len(pairs.places)
    parts = sorted(combinations(range(number - 2), outer), key=lambda part: part[-1:])
    while parts:
        width = -(-pairs.above(parts[0][-1] if outer else -1) // 8)
        rows = max(ROOM // width, 1)
        yield parts[:rows]
        parts = parts[rows:]


def _with_pairs(search: Search, outer: Sequence[tuple[int, ...]]) -> dict[int, Bits]:
    """Return the states with each outer part and each pair after it failed: (parts, bytes)."""
    pairs = search.pairs
    width = -(-pairs.above(outer[0][-1] if outer[0] else -1) // 8)
    place_of = {unit: place for place, unit in enumerate(search.units)}
    rows: dict[int, list[int]] = {}
    for row, part in enumerate(outer):
        for number in part:
            rows.setdefault(int(pairs.places[number]), []).append(row)

    def strike(unit: int, works: Bits) -> None:
        place = place_of.get(unit)
        if place is not None:
            works &= pairs.kept[place, :width]
            works[rows.get(place, [])] = 0

    return states(search.network, search.nodes, (len(outer), width), strike)


def _smaller_pairs(pairs: Pairs, lost: Lost) -> Bits:
    """Return the bits of the pairs that hold no cut set of a function."""
    mask = np.full(pairs.kept.shape[1], 0xFF, dtype=np.uint8)
    _without(pairs, mask, lost.sets[1][:, 0])
    if PAIR in lost.sets:
        _clear(mask, pairs.rows(lost.sets[PAIR]))
    return mask


def _minimal(pairs: Pairs, lost: Lost, part: tuple[int, ...], bits: Bits) -> Bits:
    """Clear the pairs that hold, with an outer part, a smaller cut set; and those not after it."""
    last = part[-1] if part else -1
    count = pairs.above(last)
    bits = bits[: -(-count // 8)].copy()
    if count % 8:
        bits[-1] &= (1 << count % 8) - 1
    places = pairs.places[list(part)]
    for size, sets in lost.sets.items():
        within = np.any([sets == place for place in (-1, *places.tolist())], axis=0)
        left = size - within.sum(axis=1)
        if (left == 0).any():
            return np.zeros_like(bits)
        _without(pairs, bits, sets[left == 1][~within[left == 1]])
        both = sets[(left == PAIR) & within.any(axis=1)]
        if len(both):
            rest = both[~within[(left == PAIR) & within.any(axis=1)]].reshape(-1, PAIR)
            rows = pairs.rows(rest)
            _clear(bits, rows[rows < count])
    return bits


def _without(pairs: Pairs, bits: Bits, places: Row) -> None:
    """Clear the pairs that hold any of these units."""
    if len(places) <= FEW:
        for place in places.tolist():
            bits &= pairs.kept[place, : len(bits)]
    else:
        count = min(len(bits) * 8, len(pairs.first))
        out = np.zeros(len(pairs.kept), dtype=np.bool_)
        out[places] = True
        bits &= packed(~(out[pairs.first[:count]] | out[pairs.second[:count]]))


def _clear(bits: Bits, rows: Row) -> None:
    np.bitwise_and.at(bits, rows // 8, ~(1 << rows % 8).astype(np.uint8))


def _sets(pairs: Pairs, part: tuple[int, ...], bits: Bits) -> Row:
    """Return the sets of an outer part and the pairs whose bits are set, shape (n, size)."""
    rows = np.flatnonzero(unpacked(bits, min(len(bits) * 8, len(pairs.first))))
    outer = np.tile(pairs.places[list(part)], (len(rows), 1))
    sets: Row = np.column_stack([outer, pairs.first[rows], pairs.second[rows]]).astype(np.intp)
    return sets


def _named(lost: Lost, names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield the sets listed: smaller ones first, then by their last unit, the one before it, ..."""
    for size in sorted(lost.sets):
        sets = lost.sets[size]
        for row in sets[np.lexsort(sets.T)] if size else sets:
            yield tuple(names[place] for place in row)
