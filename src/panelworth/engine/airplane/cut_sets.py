"""Minimal cut sets: which units must fail together before a function is lost.

A cut set is a set of units whose common failure loses the function; it is minimal if no unit can be
left out (NUREG-0492, Fault Tree Handbook, from memory). Every set of units that can lose the
function is tested, small sets first. Sets are tested as bits, tens of thousands in one operation.

Why not an algorithm on the fault tree, such as MOCUS: it expands the tree, which becomes very large
where units share supplies, and it needs a tree without circular needs. A test of every set has no
such limit: 400 connected units have more than ten million sets of three, and take about two
seconds.
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
# With more units no sets of three are tested: their number grows with the third power. The
# equipment list of a light airplane is far shorter. The limit keeps the time of a build short.
MOST_UNITS_FOR_TRIPLES = 500
MOST_LISTED = 1000  # sets listed for a function, more than a reader needs; the others are counted
BLOCK_BYTES = 2**16  # of one node's bits that are tested together: they fit the processor's cache
PAIR = 2
# Up to this many units it is quicker to clear the pairs of each one than to build a common mask.
FEW_UNITS = 16


@dataclass(frozen=True, kw_only=True)
class CutSets:
    """Minimal cut sets by function, smallest first.

    `more` counts the sets that are not listed. `order` is the size up to which the sets are
    complete. A function that is missing although nothing has failed has the one set (). A function
    that no set up to that size loses has no set.
    """

    sets: Mapping[str, tuple[tuple[str, ...], ...]]
    more: Mapping[str, int]
    order: Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Pairs:
    """All pairs of the relevant units, numbered; pairs of later units have lower numbers.

    `places` are these units, ascending, as positions in the list of units that may fail. `kept`
    has one row of bits for each unit that may fail: 1 for each pair that the unit is not in.

    Why later units come first: a set of three is one unit and a pair of later units. The pairs of
    units after `places[n]` are then exactly the first `above(n)`, so that one slice selects them.
    """

    places: Row
    first: Row
    second: Row
    kept: Bits

    def above(self, number: int) -> int:
        """Return how many pairs have both units after `places[number]`."""
        return comb(len(self.places) - 1 - number, 2)

    def rows(self, pairs: Row) -> Row:
        """Return the numbers of these pairs; `pairs` has shape (n, 2), each row ascending."""
        low, high = np.searchsorted(self.places, pairs).T
        after = len(self.places) - 1 - low
        rows: Row = after * (after - 1) // 2 + high - low - 1
        return rows


@dataclass(kw_only=True)
class FunctionCuts:
    """The minimal cut sets of one function so far, by size: shape (n, size), ascending positions.

    `count` counts all of them; of the largest size no more are stored than are listed. `order` is
    the size up to which all sets are known.
    """

    node: int
    sets: dict[int, Row]
    count: int
    order: int


@dataclass(frozen=True, kw_only=True)
class Search:
    """What all steps share: the network, the units that may fail, the nodes to evaluate."""

    network: Network
    units: tuple[int, ...]
    nodes: tuple[int, ...]
    pairs: Pairs


def cut_sets(network: Network, *, most: int, may_fail: Sequence[str] | None = None) -> CutSets:
    """Return every function's minimal cut sets of at most `most` units.

    `may_fail` names the units that may fail, by default all.

    The network is coherent: a further failure never restores a function. Therefore a cut set is
    minimal exactly if it contains no smaller cut set, and no other test is needed. A unit is
    relevant to a function that depends on it, unless the unit is a cut set alone: then no larger
    set with this unit is minimal. The search for a function stops at the size at which its list is
    full. Sets of three are not tested with more than MOST_UNITS_FOR_TRIPLES relevant units.
    """
    names = network.units if may_fail is None else tuple(may_fail)
    units = tuple(network.units.index(name) for name in names)
    lost_functions = _single(network, units, most)
    relevant = [_relevant(network, units, lost) for lost in lost_functions]
    places = sorted(set[int]().union(*relevant))
    unfinished = [
        lost for lost, candidates in zip(lost_functions, relevant, strict=True) if candidates
    ]
    search = _search(network, units, places, unfinished)
    largest = most if len(places) <= MOST_UNITS_FOR_TRIPLES else min(most, PAIR)
    for lost in unfinished:
        lost.order = 1
    for size in range(PAIR, largest + 1):
        unfinished = [lost for lost in unfinished if lost.count < MOST_LISTED]
        _find_cut_sets(search, unfinished, size, keep_all=size < largest)
    sets = [tuple(islice(_named(lost, names), MOST_LISTED)) for lost in lost_functions]
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
    network: Network,
    units: tuple[int, ...],
    places: Sequence[int],
    unfinished: Sequence[FunctionCuts],
) -> Search:
    """Collect the nodes and pairs of units that the search for these functions needs."""
    reached = set[int]().union(*(network.reached(lost.node) for lost in unfinished))
    nodes = tuple(node for node in network.order if node in reached)
    return Search(network=network, units=units, nodes=nodes, pairs=_pairs(places, len(units)))


def _single(network: Network, units: Sequence[int], most: int) -> list[FunctionCuts]:
    """Return each function with the units that lose it alone; () if it is always missing."""
    failed = np.zeros((len(units) + 1, len(network.units)), dtype=np.bool_)
    failed[np.arange(len(units)), list(units)] = True
    # The last row has no failure: a function that is missing there is always missing.
    gone = ~with_failures(network, failed)[1]
    lost_functions = []
    for function in range(len(network.functions)):
        none = bool(gone[-1, function])
        alone = np.flatnonzero(gone[:-1, function])[:, np.newaxis]
        sets = {0: np.zeros((1, 0), dtype=np.intp)} if none else {1: alone}
        count = 1 if none else len(alone)
        node = network.node_of(function)
        lost_functions.append(FunctionCuts(node=node, sets=sets, count=count, order=most))
    return lost_functions


def _relevant(network: Network, units: Sequence[int], lost: FunctionCuts) -> set[int]:
    """Return the positions of units that may lose a function together, but not alone."""
    if 0 in lost.sets:
        return set()
    reached, alone = network.reached(lost.node), set(lost.sets[1][:, 0].tolist())
    candidates = {place for place, unit in enumerate(units) if unit in reached} - alone
    return candidates if len(candidates) > 1 else set()


def _pairs(places: Sequence[int], count: int) -> Pairs:
    """Return the pairs of the units at these positions; `count` units may fail in all."""
    number = len(places)
    rows = [np.arange(low + 1, number) for low in reversed(range(number))]
    second = np.concatenate([np.zeros(0, dtype=np.intp), *rows])
    first = np.repeat(np.arange(number)[::-1], [len(row) for row in rows])
    chosen = np.array(places, dtype=np.intp)
    # A unit that is not relevant is in no pair, so its row keeps all bits.
    kept = np.full((count, -(-len(first) // 8)), 0xFF, dtype=np.uint8)
    for unit in range(number):
        kept[places[unit]] = packed((first != unit) & (second != unit))
    return Pairs(places=chosen, first=chosen[first], second=chosen[second], kept=kept)


def _find_cut_sets(
    search: Search, unfinished: Sequence[FunctionCuts], size: int, *, keep_all: bool
) -> None:
    """Find the minimal cut sets of a size. All smaller ones must be known.

    A set consists of an outer part of size-2 units and a pair of units after it. The pairs of one
    outer part are the bits of one row, and many rows are tested together. With `keep_all` every set
    is stored, since the next size needs all of them to find out which sets are minimal.
    """
    if not unfinished:
        return
    none = np.zeros((0, size), dtype=np.intp)
    sets_of = {lost.node: [none] for lost in unfinished}
    masks = {lost.node: _smaller_pairs(search.pairs, lost) for lost in unfinished}
    for outer in _blocks(search.pairs, size - PAIR):
        states_of = _with_pairs(search, outer)
        for lost in unfinished:
            gone = ~states_of[lost.node]
            gone &= masks[lost.node][: gone.shape[1]]
            for row in np.flatnonzero(gone.any(axis=1)).tolist():
                bits = _minimal(search.pairs, lost, outer[row], gone[row])
                lost.count += int(np.bitwise_count(bits).sum())
                if bits.any() and (
                    keep_all or sum(len(rows) for rows in sets_of[lost.node]) < MOST_LISTED
                ):
                    sets_of[lost.node].append(_sets(search.pairs, outer[row], bits))
    for lost in unfinished:
        lost.sets[size], lost.order = np.concatenate(sets_of[lost.node]), size


def _blocks(pairs: Pairs, outer: int) -> Iterator[list[tuple[int, ...]]]:
    """Yield outer parts, as indices into `pairs.places`, that are tested together.

    They are sorted by their last unit, so that those of a block have about the same number of pairs
    after it, and little of the block's width is unused.
    """
    number = len(pairs.places)
    # The last two units can only be the pair.
    parts = sorted(combinations(range(number - 2), outer), key=lambda part: part[-1:])
    while parts:
        width = -(-pairs.above(parts[0][-1] if outer else -1) // 8)
        rows = max(BLOCK_BYTES // width, 1)
        yield parts[:rows]
        parts = parts[rows:]


def _with_pairs(search: Search, outer: Sequence[tuple[int, ...]]) -> dict[int, Bits]:
    """Return the nodes' states with each outer part and each later pair failed: (parts, bytes)."""
    pairs = search.pairs
    width = -(-pairs.above(outer[0][-1] if outer[0] else -1) // 8)
    place_of = {unit: place for place, unit in enumerate(search.units)}
    rows: dict[int, list[int]] = {}
    for row, part in enumerate(outer):
        for number in part:
            rows.setdefault(int(pairs.places[number]), []).append(row)

    def fail(unit: int, works: Bits) -> None:
        place = place_of.get(unit)
        if place is not None:
            works &= pairs.kept[place, :width]
            works[rows.get(place, [])] = 0

    return states(search.network, search.nodes, (len(outer), width), fail)


def _smaller_pairs(pairs: Pairs, lost: FunctionCuts) -> Bits:
    """Return the bits of the pairs that contain no smaller cut set of a function."""
    mask = np.full(pairs.kept.shape[1], 0xFF, dtype=np.uint8)
    _without(pairs, mask, lost.sets[1][:, 0])
    if PAIR in lost.sets:
        _clear(mask, pairs.rows(lost.sets[PAIR]))
    return mask


def _minimal(pairs: Pairs, lost: FunctionCuts, part: tuple[int, ...], bits: Bits) -> Bits:
    """Clear the pairs that make, with an outer part, a set that is not minimal or no set at all.

    Not minimal: the outer part contains a smaller cut set; or one unit of such a set is missing in
    it, and the pair has this unit; or two are missing, and the pair is these two. No set: pairs
    with a unit that does not come after the outer part, and the unused bits of the last byte.
    """
    last = part[-1] if part else -1
    count = pairs.above(last)
    bits = bits[: -(-count // 8)].copy()
    if count % 8:
        bits[-1] &= (1 << count % 8) - 1
    places = pairs.places[list(part)]
    for size, sets in lost.sets.items():
        # -1 is no position: it keeps the list from being empty where there is no outer part.
        within = np.any([sets == place for place in (-1, *places.tolist())], axis=0)
        left = size - within.sum(axis=1)
        if (left == 0).any():
            return np.zeros_like(bits)
        _without(pairs, bits, sets[left == 1][~within[left == 1]])
        both = sets[(left == PAIR) & within.any(axis=1)]
        if len(both):
            rest = both[~within[(left == PAIR) & within.any(axis=1)]].reshape(-1, PAIR)
            # Pairs from `count` on do not come after the outer part, and have no bit here.
            rows = pairs.rows(rest)
            _clear(bits, rows[rows < count])
    return bits


def _without(pairs: Pairs, bits: Bits, places: Row) -> None:
    """Clear the pairs that contain any of these units."""
    if len(places) <= FEW_UNITS:
        for place in places.tolist():
            bits &= pairs.kept[place, : len(bits)]
    else:
        count = min(len(bits) * 8, len(pairs.first))
        out = np.zeros(len(pairs.kept), dtype=np.bool_)
        out[places] = True
        bits &= packed(~(out[pairs.first[:count]] | out[pairs.second[:count]]))


def _clear(bits: Bits, rows: Row) -> None:
    """Clear the bits with these numbers; `.at` because several may be in one byte."""
    np.bitwise_and.at(bits, rows // 8, ~(1 << rows % 8).astype(np.uint8))


def _sets(pairs: Pairs, part: tuple[int, ...], bits: Bits) -> Row:
    """Return the sets of an outer part and the pairs whose bits are set, shape (n, size)."""
    rows = np.flatnonzero(unpacked(bits, min(len(bits) * 8, len(pairs.first))))
    outer = np.tile(pairs.places[list(part)], (len(rows), 1))
    sets: Row = np.column_stack([outer, pairs.first[rows], pairs.second[rows]]).astype(np.intp)
    return sets


def _named(lost: FunctionCuts, names: Sequence[str]) -> Iterator[tuple[str, ...]]:
    """Yield the sets, small ones first, then by their last unit, the unit before it, and so on."""
    for size in sorted(lost.sets):
        sets = lost.sets[size]
        for row in sets[np.lexsort(sets.T)] if size else sets:
            yield tuple(names[place] for place in row)
