"""What can be done with a test before any sheet exists: turn it round, fix its other side, carry it to another fact."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import replace

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.plain_reading import Truth
from sideplate_engine.vocabulary import Element, Fact, Value, in_unit_of

OPPOSITE = {
    Test.EQUALS: Test.NONE_OF,
    Test.ONE_OF: Test.NONE_OF,
    Test.NONE_OF: Test.ONE_OF,
    Test.ABOVE: Test.AT_MOST,
    Test.AT_MOST: Test.ABOVE,
    Test.BELOW: Test.AT_LEAST,
    Test.AT_LEAST: Test.BELOW,
    Test.WITHIN: Test.OUTSIDE,
    Test.OUTSIDE: Test.WITHIN,
    Test.SAME_AS: Test.DIFFERS_FROM,
    Test.DIFFERS_FROM: Test.SAME_AS,
    Test.ABOVE_FACT: Test.AT_MOST_FACT,
    Test.AT_MOST_FACT: Test.ABOVE_FACT,
    Test.BELOW_FACT: Test.AT_LEAST_FACT,
    Test.AT_LEAST_FACT: Test.BELOW_FACT,
    Test.KNOWN: Test.UNKNOWN,
    Test.UNKNOWN: Test.KNOWN,
}
"""The test that holds of known facts exactly where this one does not."""

_MIRRORED = {
    Test.SAME_AS: Test.SAME_AS,
    Test.DIFFERS_FROM: Test.DIFFERS_FROM,
    Test.ABOVE_FACT: Test.BELOW_FACT,
    Test.BELOW_FACT: Test.ABOVE_FACT,
    Test.AT_LEAST_FACT: Test.AT_MOST_FACT,
    Test.AT_MOST_FACT: Test.AT_LEAST_FACT,
}
_AGAINST_A_VALUE = {
    Test.SAME_AS: Test.EQUALS,
    Test.DIFFERS_FROM: Test.NONE_OF,
    Test.ABOVE_FACT: Test.ABOVE,
    Test.BELOW_FACT: Test.BELOW,
    Test.AT_LEAST_FACT: Test.AT_LEAST,
    Test.AT_MOST_FACT: Test.AT_MOST,
}

Facts = MappingABC[str, Value]
Vocabulary = MappingABC[str, Fact]


def opposite(test: FactTest) -> FactTest:
    """The test that holds of known facts exactly where this one does not."""
    word = Test.KNOWN if test.test is Test.NEEDED else test.test
    return replace(test, test=OPPOSITE[word])


def mirrored(test: FactTest) -> FactTest:
    """A test between two facts, read from the other side."""
    assert test.other is not None
    return replace(test, fact=test.other, test=_MIRRORED[test.test], other=test.fact)


def against_value(test: FactTest, facts: Facts, vocabulary: Vocabulary) -> FactTest | None:
    """A test between two facts with the other's value put in; None while that is not known."""
    assert test.other is not None
    value = facts.get(test.other)
    if value is None or isinstance(value, frozenset):
        return None
    if not isinstance(value, (str, bool)):
        value = in_unit_of(value, vocabulary[test.other], vocabulary[test.fact])
    return replace(test, test=_AGAINST_A_VALUE[test.test], values=(value,), other=None)


def carried_to(test: FactTest, source: Fact, vocabulary: Vocabulary) -> FactTest:
    """A test of a fact that is a copy, as a test of the fact it copies."""
    own = vocabulary[test.fact]
    values: tuple[Element, ...] = test.values
    if own.kind == "quantity":
        values = tuple(in_unit_of(float(value), own, source) for value in values)
    return replace(test, fact=source.name, values=values)


def allows(tests: Iterable[FactTest], name: str, value: Value, vocabulary: Vocabulary) -> bool:
    """Whether a value of a fact satisfies every one of these tests of that fact alone."""
    facts = {name: value}
    return all(truth_of(test, facts, vocabulary) is Truth.TRUE for test in tests)


def refuted(test: FactTest, facts: Facts, vocabulary: Vocabulary) -> bool:
    """Whether a test fails of these facts (not merely waits for one)."""
    return truth_of(test, facts, vocabulary) is Truth.FALSE


def holds(test: FactTest, facts: Facts, vocabulary: Vocabulary) -> bool:
    """Whether a test holds of these facts."""
    return truth_of(test, facts, vocabulary) is Truth.TRUE
