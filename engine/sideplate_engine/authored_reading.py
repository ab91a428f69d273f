"""The plain reading of a rule's own conditions: true, false or unknown, and because of which tests.

This is what "why not" is told from, and what says which facts a judgement still waits for. It reads the conditions
as they are written, not as they are compiled for the matcher, so that each can be tested against the other.
"""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.authored_conditions import AllOf, AnyOf, FactTest, Test
from sideplate_engine.plain_reading import Truth
from sideplate_engine.vocabulary import Fact, Value, in_unit_of

Facts = MappingABC[str, Value]
Vocabulary = MappingABC[str, Fact]


def truth_of(test: FactTest, facts: Facts, vocabulary: Vocabulary) -> Truth:
    """Whether one test holds of the facts. KNOWN and UNKNOWN are never unknown themselves."""
    value = facts.get(test.fact)
    if test.test is Test.KNOWN:
        return _truth(value is not None)
    if test.test is Test.UNKNOWN:
        return _truth(value is None)
    if value is None:
        return Truth.UNKNOWN
    if test.test is Test.NEEDED:
        return Truth.TRUE
    if test.other is not None:
        other = facts.get(test.other)
        return Truth.UNKNOWN if other is None else _truth(_between(test, value, other, vocabulary))
    if isinstance(value, frozenset):
        elements = value.intersection(str(wanted) for wanted in test.values)
        return _truth(bool(elements) != (test.test is Test.NONE_OF))
    if test.test in (Test.EQUALS, Test.ONE_OF, Test.NONE_OF):
        return _truth((value in test.values) != (test.test is Test.NONE_OF))
    return _truth(_ordered(test, float(value), [float(limit) for limit in test.values]))


def _truth(holds: bool) -> Truth:
    return Truth.TRUE if holds else Truth.FALSE


def _ordered(test: FactTest, value: float, limits: list[float]) -> bool:
    match test.test:
        case Test.ABOVE:
            return value > limits[0]
        case Test.BELOW:
            return value < limits[0]
        case Test.AT_LEAST:
            return value >= limits[0]
        case Test.AT_MOST:
            return value <= limits[0]
        case Test.WITHIN:
            return limits[0] <= value <= limits[1]
        case _:
            return not limits[0] <= value <= limits[1]


def _between(test: FactTest, value: Value, other: Value, vocabulary: Vocabulary) -> bool:
    one, two = comparable(test, value, other, vocabulary)
    match test.test:
        case Test.SAME_AS:
            return one == two
        case Test.DIFFERS_FROM:
            return one != two
        case Test.ABOVE_FACT:
            return float(one) > float(two)
        case Test.BELOW_FACT:
            return float(one) < float(two)
        case Test.AT_LEAST_FACT:
            return float(one) >= float(two)
        case _:
            return float(one) <= float(two)


def comparable(
    test: FactTest, value: Value, other: Value, vocabulary: Vocabulary
) -> tuple[str | float, str | float]:
    """The two values of a test between facts, numbers in the first fact's unit."""
    assert test.other is not None
    assert not isinstance(value, frozenset)
    assert not isinstance(other, frozenset)
    if isinstance(value, str) or isinstance(other, str):
        return str(value), str(other)
    return float(value), float(in_unit_of(other, vocabulary[test.other], vocabulary[test.fact]))


@dataclass(frozen=True, slots=True)
class Reading:
    """What a set of conditions comes to: its truth, and the tests that make it so.

    True: `holding` are the tests that carry it. False: `refuting` are those that fail. Unknown: `waiting` are
    those that cannot be told, `holding` those that hold already.
    """

    truth: Truth
    holding: tuple[FactTest, ...] = ()
    refuting: tuple[FactTest, ...] = ()
    waiting: tuple[FactTest, ...] = ()

    def missing(self, facts: Facts) -> tuple[str, ...]:
        """The facts that the waiting tests lack."""
        names = (name for test in self.waiting for name in test.facts() if name not in facts)
        return tuple(dict.fromkeys(names))


def read_conditions_of(conditions: AllOf, facts: Facts, vocabulary: Vocabulary) -> Reading:
    """The reading of conditions that must all hold (Kleene's strong "and" and "or")."""
    holding: list[FactTest] = []
    refuting: list[FactTest] = []
    waiting: list[FactTest] = []
    for part in conditions.parts:
        if isinstance(part, FactTest):
            truth = truth_of(part, facts, vocabulary)
            (holding if truth is Truth.TRUE else refuting if truth is Truth.FALSE else waiting).append(part)
            continue
        reading = _any_of(part, facts, vocabulary)
        holding += reading.holding
        refuting += reading.refuting
        waiting += reading.waiting
    truth = Truth.FALSE if refuting else Truth.UNKNOWN if waiting else Truth.TRUE
    return Reading(truth, tuple(holding), tuple(refuting), tuple(waiting))


def _any_of(part: AnyOf, facts: Facts, vocabulary: Vocabulary) -> Reading:
    readings = [read_conditions_of(branch, facts, vocabulary) for branch in part.branches]
    for reading in readings:
        if reading.truth is Truth.TRUE:
            return Reading(Truth.TRUE, reading.holding)
    live = [reading for reading in readings if reading.truth is Truth.UNKNOWN]
    if live:
        return Reading(
            Truth.UNKNOWN,
            tuple(test for reading in live for test in reading.holding),
            (),
            tuple(test for reading in live for test in reading.waiting),
        )
    return Reading(Truth.FALSE, (), tuple(test for reading in readings for test in reading.refuting))
