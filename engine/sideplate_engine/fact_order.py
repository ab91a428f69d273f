"""Whether comparisons and limits of several numbers can hold together: the difference constraints of a conjunction.

Each test says that one number is less than another, or than a limit, by so much. A set of such differences can be
met exactly when no way round comes back to where it began with less than nothing (R. Bellman, On a routing problem,
Quarterly of Applied Mathematics 16 (1958), 87-90, gives the shortest ways; common practice draws the conclusion).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import product
from typing import TypeAlias

from sideplate_engine.authored_conditions import FactTest, Test, Vocabulary
from sideplate_engine.quantities import unit
from sideplate_engine.vocabulary import Fact

Bound: TypeAlias = tuple[float, bool, float]
"""The most that a difference may be, whether it must stay below that, and the size of the numbers it came from."""

MOST_COMPARED = 30
"""Facts compared with each other in one conjunction, beyond which nothing is said."""

_ZERO = ""
"""Stands for the number nought, to which limits are differences."""

_NO_BOUND: Bound = (math.inf, False, 0.0)


def can_be_ordered(tests: Iterable[FactTest], vocabulary: Vocabulary) -> bool:
    """Whether numbers exist that meet the comparisons and limits among these tests.

    Tests that say no more than where a number is not (`none of`, `outside`, `differs from`) are left aside, and so are
    limits of numbers that nothing is compared with: those are a matter of single facts.
    """
    tests = list(tests)
    compared = {name for test in tests if test.other is not None for name in test.facts()}
    if not compared or len(compared) > MOST_COMPARED:
        return True
    most: dict[tuple[str, str], Bound] = {}
    for test in tests:
        if test.fact in compared:
            for one, other, bound in _differences(test, vocabulary):
                most[one, other] = _tighter(most.get((one, other), _NO_BOUND), bound)
    names = sorted({name for pair in most for name in pair} - {_ZERO})
    for name in names:
        for one, other, bound in _possible(name, vocabulary):
            most[one, other] = _tighter(most.get((one, other), _NO_BOUND), bound)
    nodes = [_ZERO, *names]
    for middle, one, other in product(nodes, nodes, nodes):
        first, second = most.get((one, middle), _NO_BOUND), most.get((middle, other), _NO_BOUND)
        through = (first[0] + second[0], first[1] or second[1], first[2] + second[2])
        most[one, other] = _tighter(most.get((one, other), _NO_BOUND), through)
    return not any(_is_short(most.get((node, node), _NO_BOUND)) for node in nodes)


def _bound(most: float, *, strict: bool = False) -> Bound:
    return (most, strict, abs(most))


def _tighter(one: Bound, other: Bound) -> Bound:
    if one[0] == other[0]:
        return one if one[1] else other
    return min(one, other)


def _is_short(round_trip: Bound) -> bool:
    """Whether a way round is less than nothing; a hair's breadth is put down to the conversion of units."""
    length, must_stay_below, size = round_trip
    return length < -1e-9 * size or (must_stay_below and length <= 1e-9 * size)


def _in_si(value: float, fact: Fact) -> float:
    """A value as it compares with every other of its dimension."""
    if fact.kind == "count":
        return value
    stored = unit(fact.unit)
    return value * stored.factor + stored.offset


def _differences(test: FactTest, vocabulary: Vocabulary) -> list[tuple[str, str, Bound]]:
    """What a number test says: (x, y, most) means that x less y is at most that."""
    fact = vocabulary[test.fact]
    if not fact.is_number:
        return []
    if test.other is not None:
        return _compared(test, test.other)
    limits = [_in_si(float(value), fact) for value in test.values]
    match test.test:
        case Test.ABOVE:
            return [(_ZERO, test.fact, _bound(-limits[0], strict=True))]
        case Test.AT_LEAST:
            return [(_ZERO, test.fact, _bound(-limits[0]))]
        case Test.BELOW:
            return [(test.fact, _ZERO, _bound(limits[0], strict=True))]
        case Test.AT_MOST:
            return [(test.fact, _ZERO, _bound(limits[0]))]
        case Test.EQUALS | Test.ONE_OF | Test.WITHIN:
            return [
                (test.fact, _ZERO, _bound(max(limits))),
                (_ZERO, test.fact, _bound(-min(limits))),
            ]
        case _:
            return []


def _compared(test: FactTest, other: str) -> list[tuple[str, str, Bound]]:
    match test.test:
        case Test.BELOW_FACT:
            return [(test.fact, other, _bound(0.0, strict=True))]
        case Test.AT_MOST_FACT:
            return [(test.fact, other, _bound(0.0))]
        case Test.ABOVE_FACT:
            return [(other, test.fact, _bound(0.0, strict=True))]
        case Test.AT_LEAST_FACT:
            return [(other, test.fact, _bound(0.0))]
        case Test.SAME_AS:
            return [(test.fact, other, _bound(0.0)), (other, test.fact, _bound(0.0))]
        case _:
            return []


def _possible(name: str, vocabulary: Vocabulary) -> list[tuple[str, str, Bound]]:
    fact = vocabulary[name]
    if fact.possible is None:
        return []
    low, high = (_in_si(end, fact) for end in fact.possible)
    return [(name, _ZERO, _bound(high)), (_ZERO, name, _bound(-low))]
