"""The states of a fact that tests can tell apart: not known, and one value for each stretch of like values.

A test only looks at where a value lies among the numbers, words and elements written in tests. So a handful of
values decides exactly what tests admit: each number written and one in each gap between; each word written and
one that is not; each choice of elements that the tests do not treat alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import TypeAlias

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.vocabulary import Fact, Value

State: TypeAlias = Value | None
"""A value, or None for a fact that is not known."""

MOST_GROUPS = 12
"""Groups of elements of one set fact that are told apart; their choices are 2 to that power."""


MOST_STATES = 5000
"""States of one fact that are told apart."""


class TooManyStates(Exception):
    """The tests of a fact tell too much apart for every state to be looked at."""


def states_of(fact: Fact, tests: Sequence[FactTest]) -> tuple[State, ...]:
    """The states of a fact that these tests of it can tell apart, "not known" first. Raises TooManyStates."""
    states = (None, *_values(fact, tests))
    if len(states) > MOST_STATES:
        raise TooManyStates
    return states


def _values(fact: Fact, tests: Sequence[FactTest]) -> Sequence[Value]:
    written = [value for test in tests if test.other is None for value in test.values]
    if fact.many:
        return _sets(tests)
    if fact.kind == "count":
        return _counts(fact, [int(float(value)) for value in written])
    if fact.is_number:
        return _numbers(fact, [float(value) for value in written])
    if fact.kind == "flag":
        return (True, False)
    if fact.kind == "choice":
        return tuple(fact.choices or ())
    words = sorted({str(value) for value in written})
    longer_than_any = "".join(words) + "X"
    return (*words, longer_than_any)


def _numbers(fact: Fact, written: Sequence[float]) -> list[float]:
    low, high = fact.possible or (-math.inf, math.inf)
    points = sorted({value for value in written if low <= value <= high})
    ends = [low, *points, high]
    values = list(points)
    values += [value for one, two in pairwise(ends) for value in _between(one, two)]
    # An end of what is possible that no test names is like the gap beside it.
    return sorted(set(values)) or [low]


def _between(low: float, high: float) -> list[float]:
    """A number strictly between two, if there is one."""
    if low == -math.inf and high == math.inf:
        return [0.0]
    if low == -math.inf:
        return [high - max(1.0, abs(high))]
    if high == math.inf:
        return [low + max(1.0, abs(low))]
    middle = low + (high - low) / 2
    return [middle] if low < middle < high else []


def _counts(fact: Fact, written: Sequence[int]) -> list[int]:
    low, high = fact.possible or (0.0, math.inf)
    least = max(0, math.ceil(low))
    points = sorted({value for value in written if least <= value <= high})
    most = math.floor(high) if high < math.inf else max([least, *points]) + 1
    values = set(points)
    before = least - 1
    for point in [*points, most + 1]:
        if before + 1 < point:
            values.add(before + 1)
        before = point
    return sorted(values)


def _sets(tests: Sequence[FactTest]) -> list[Value]:
    groups: dict[frozenset[int], str] = {}
    for element in sorted({str(value) for test in tests for value in test.values}):
        treated = frozenset(number for number, test in enumerate(tests) if element in test.values)
        groups.setdefault(treated, element)
    if len(groups) > MOST_GROUPS:
        raise TooManyStates
    stand_for = list(groups.values())
    return [
        frozenset(chosen) for size in range(len(stand_for) + 1) for chosen in combinations(stand_for, size)
    ]
