"""Cut sets of large airplanes: the same as by the definition, however many units there are.

Published trees and small networks: test_engine_failures.py.
"""

import time
from collections.abc import Callable
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airframe_cases import unit
from laws import law
from panelworth.engine.airplane import cut_sets as module
from panelworth.engine.airplane.cut_sets import cut_sets
from panelworth.engine.airplane.failures import provided
from panelworth.engine.airplane.networks import network_of, with_failures
from panelworth.model.equipment import Unit

SECONDS = 10.0  # of one processor


def one_source(count: int) -> list[Unit]:
    """Make units that all need one of two sources, and each give a function of their own."""
    sources = [unit(name, provides=["power"]) for name in ("alternator", "battery")]
    return sources + [unit(f"u{n}", needs=["power"], provides=[f"f{n}"]) for n in range(count - 2)]


def alternatives(count: int) -> list[Unit]:
    """Make units each of which rests on either of two others, twice."""
    return [
        unit(
            f"u{n}",
            needs=[f"u{n - 1} | u{n - 2}", f"u{n // 2} | u{n // 3}"] if n > 2 else [],
            provides=[f"f{n % 40}"],
        )
        for n in range(count)
    ]


def entangled(count: int) -> list[Unit]:
    """Make units that rest on one another in circles, and on functions of many."""
    bases = [unit(f"u{n}", provides=["f0"]) for n in range(3)]
    return bases + [
        unit(
            f"u{n}",
            needs=[
                f"u{(n * 7 + 1) % count} | u{(n * 11 + 3) % count} | f{n % 5}",
                "u0 | u1 | u2",
            ],
            provides=[f"f{n % 7}"],
        )
        for n in range(3, count)
    ]


def chains(count: int) -> list[Unit]:
    """Make three chains, each unit resting on the one before; any of the ends gives the top.

    One unit of each chain must fail: (count/3)^3 sets of three.
    """
    last = count // 3 - 1
    return [
        unit(
            f"{chain}{n}",
            needs=[f"{chain}{n - 1}"] if n else [],
            provides=["top"] if n == last else [],
        )
        for chain in "abc"
        for n in range(last + 1)
    ]


def pairs_of_chains(count: int) -> list[Unit]:
    """Make two chains; each pair of links gives a function, lost with one link of either chain."""
    return [
        unit(f"{chain}{n}", needs=[f"{chain}{n - 1}"] if n else [], provides=[f"t{n}"])
        for chain in "ab"
        for n in range(count // 2)
    ]


def ring(count: int) -> list[Unit]:
    """Make a ring in which each rests on one of three further on; every fortieth on none."""
    return [
        unit(
            f"u{n}",
            needs=[" | ".join(f"u{(n + step) % count}" for step in (1, 7, 31))] if n % 40 else [],
            provides=[f"f{n}"],
        )
        for n in range(count)
    ]


SHAPES = (one_source, alternatives, entangled, chains, pairs_of_chains, ring)


def by_definition(units: list[Unit], most: int) -> dict[str, list[tuple[str, ...]]]:
    """Fail every set of units and keep those that lose a function and hold no smaller one.

    Sets stand by their size, then by their last unit, the one before it, and so on.
    """
    names = [each.name for each in units]
    network = network_of(units)
    found: dict[str, list[tuple[str, ...]]] = {each: [] for each in network.functions}
    for size in range(most + 1):
        sets = sorted(combinations(range(len(names)), size), key=lambda each: each[::-1])
        failed = np.zeros((len(sets), len(names)), dtype=np.bool_)
        for row, each in enumerate(sets):
            failed[row, list(each)] = True
        _, there = with_failures(network, failed)
        for row, column in zip(*np.nonzero(~there), strict=True):
            cut = tuple(names[number] for number in sets[row])
            known = found[network.functions[column]]
            if not any(set(smaller) <= set(cut) for smaller in known):
                known.append(cut)
    return found


@pytest.mark.parametrize("shape", SHAPES)
def test_sets_are_those_of_the_definition_in_their_order(
    shape: Callable[[int], list[Unit]],
) -> None:
    units = shape(24)
    found = cut_sets(network_of(units), most=3)
    expected = by_definition(units, 3)
    assert {name: list(sets) for name, sets in found.sets.items()} == expected
    assert set(found.more.values()) == {0}
    assert set(found.order.values()) == {3}


def test_sets_of_four_are_those_of_the_definition() -> None:
    units = alternatives(15)
    found = cut_sets(network_of(units), most=4)
    assert {name: list(sets) for name, sets in found.sets.items()} == by_definition(units, 4)


@pytest.mark.parametrize("count", [80, 300, 400])
@pytest.mark.parametrize("shape", SHAPES)
def test_so_many_units_take_seconds(shape: Callable[[int], list[Unit]], count: int) -> None:
    started = time.process_time()
    found = cut_sets(network_of(shape(count)), most=3)
    assert time.process_time() - started < SECONDS
    assert max(map(len, found.sets.values())) <= module.MOST_LISTED


def test_sets_beyond_a_full_list_are_counted() -> None:
    found = cut_sets(network_of(chains(60)), most=3)
    assert len(found.sets["top"]) == 1000
    assert len(found.sets["top"]) + found.more["top"] == 20**3
    assert found.order["top"] == 3


def test_larger_sets_are_not_looked_for_once_a_list_is_full(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(module, "MOST_LISTED", 9)
    found = cut_sets(network_of([*pairs_of_chains(8), unit("c", provides=["t3"])]), most=3)
    assert (len(found.sets["t2"]), found.more["t2"], found.order["t2"]) == (9, 0, 2)
    # lost with c and a link of each chain: 16 sets of three, of which nine are listed
    assert (len(found.sets["t3"]), found.more["t3"], found.order["t3"]) == (9, 7, 3)
    assert found.order["t1"] == 3


def test_of_too_many_units_no_three_are_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_UNITS_FOR_TRIPLES", 5)
    found = cut_sets(network_of(chains(6)), most=3)
    assert (found.sets["top"], found.order["top"]) == ((), 2)
    found = cut_sets(network_of(pairs_of_chains(4)), most=3)
    assert (len(found.sets["t1"]), found.order["t1"]) == (4, 3)


UNITS = st.lists(
    st.tuples(
        st.lists(st.lists(st.integers(0, 11), min_size=1, max_size=3), max_size=2),
        st.lists(st.sampled_from(["f1", "f2", "f3"]), max_size=2),
    ),
    min_size=1,
    max_size=12,
)


@law(150)
@given(rows=UNITS)
def test_states_are_those_of_the_definition(
    rows: list[tuple[list[list[int]], list[str]]],
) -> None:
    """Start from nothing and add what is supported until no more comes: in plain sets."""
    units = [
        unit(f"u{n}", needs=[" | ".join(f"u{e}" for e in need) for need in needs], provides=gives)
        for n, (needs, gives) in enumerate(rows)
    ]
    names = [each.name for each in units]
    failed = np.eye(len(units), dtype=np.bool_)
    works, there = with_failures(network_of(units), failed)
    for row in range(len(units)):
        up: set[str] = set()
        while (
            more := {
                each.name
                for number, each in enumerate(units)
                if number != row
                and all(any(part in up for part in need.split(" | ")) for need in each.needs)
            }
            - up
        ):
            up |= more
        assert {name for name, on in zip(names, works[row], strict=True) if on} == up
        gives = {name for each in units if each.name in up for name in each.provides}
        functions = network_of(units).functions
        assert {name for name, on in zip(functions, there[row], strict=True) if on} == gives


def test_no_units_give_nothing() -> None:
    assert provided([]) == frozenset()
    assert cut_sets(network_of([]), most=3).sets == {}
