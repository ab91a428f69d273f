"""Conditions changed in one small way, as an author's slip might change them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sideplate_engine.authored_conditions import (
    LIMITS,
    LISTS,
    RANGES,
    AllOf,
    AnyOf,
    FactTest,
    Test,
    Vocabulary,
)
from sideplate_engine.condition_algebra import opposite
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.findings import Position
from sideplate_engine.graduations import graduation
from sideplate_engine.quantities import convert, unit
from sideplate_engine.units import UNITS
from sideplate_engine.vocabulary import Element, Fact

SLIP = 2
"""The figure in which a slip is made in a number that has no decimals set: a change in the third is hardly one."""

AT_THE_LIMIT = {
    Test.ABOVE: Test.AT_LEAST,
    Test.AT_LEAST: Test.ABOVE,
    Test.BELOW: Test.AT_MOST,
    Test.AT_MOST: Test.BELOW,
    Test.ABOVE_FACT: Test.AT_LEAST_FACT,
    Test.AT_LEAST_FACT: Test.ABOVE_FACT,
    Test.BELOW_FACT: Test.AT_MOST_FACT,
    Test.AT_MOST_FACT: Test.BELOW_FACT,
}
"""The test that differs only at the limit itself."""


@dataclass(frozen=True, slots=True)
class ChangedConditions:
    """Conditions after one change, what the change is, and where."""

    conditions: AllOf
    what: str
    at: Position


def changed_conditions(conditions: AllOf, vocabulary: Vocabulary) -> Iterator[ChangedConditions]:
    """Every small change of conditions: one test, one branch, or how parts are joined."""
    parts = conditions.parts
    if len(parts) > 1:
        alternatives = tuple(AllOf((part,)) for part in parts)
        joined = AnyOf(alternatives, parts[0].at)
        yield ChangedConditions(AllOf((joined,)), "one condition is enough", parts[0].at)
    for number, part in enumerate(parts):
        before, after = parts[:number], parts[number + 1 :]
        if isinstance(part, AnyOf):
            for changed in _changed_any(part, vocabulary):
                yield replace(changed, conditions=AllOf((*before, *changed.conditions.parts, *after)))
            continue
        words = words_of_test(part, vocabulary)
        yield ChangedConditions(AllOf((*before, *after)), f"without: {words}", part.at)
        for test, what in changed_tests(part, vocabulary):
            yield ChangedConditions(AllOf((*before, test, *after)), what, part.at)


def _changed_any(part: AnyOf, vocabulary: Vocabulary) -> Iterator[ChangedConditions]:
    together = tuple(inner for branch in part.branches for inner in branch.parts)
    yield ChangedConditions(AllOf(together), "every alternative must hold", part.at)
    for number, branch in enumerate(part.branches):
        before, after = part.branches[:number], part.branches[number + 1 :]
        at = branch.parts[0].at if branch.parts else part.at
        yield ChangedConditions(_any_of((*before, *after), part.at), "without this alternative", at)
        for changed in changed_conditions(branch, vocabulary):
            yield replace(changed, conditions=_any_of((*before, changed.conditions, *after), part.at))


def _any_of(branches: tuple[AllOf, ...], at: Position) -> AllOf:
    return branches[0] if len(branches) == 1 else AllOf((AnyOf(branches, at),))


def changed_tests(test: FactTest, vocabulary: Vocabulary) -> Iterator[tuple[FactTest, str]]:
    """Every small change of one test, with what it becomes."""
    fact = vocabulary[test.fact]
    for other in _other_tests(test, fact):
        yield other, f"becomes: {words_of_test(other, vocabulary)}"


def _other_tests(test: FactTest, fact: Fact) -> Iterator[FactTest]:
    yield opposite(test)
    if test.test in AT_THE_LIMIT:
        yield replace(test, test=AT_THE_LIMIT[test.test])
    if test.test in LISTS and len(test.values) > 1:
        for value in test.values:
            yield replace(test, values=tuple(other for other in test.values if other != value))
    if fact.is_number and test.other is None:
        yield from _other_numbers(test, fact)


def _other_numbers(test: FactTest, fact: Fact) -> Iterator[FactTest]:
    for number, value in enumerate(test.values):
        step = graduation(fact, float(value), SLIP)
        for moved in (float(value) + step, float(value) - step):
            values = (*test.values[:number], _as_kind(fact, moved), *test.values[number + 1 :])
            yield replace(test, values=values)
    if fact.kind == "quantity" and test.test in (*LIMITS, *RANGES):
        other = other_unit(fact.unit)
        if other is not None:
            misread = tuple(convert(float(value), other, fact.unit) for value in test.values)
            if misread != test.values:
                yield replace(test, values=misread)


def _as_kind(fact: Fact, value: float) -> Element:
    return round(value) if fact.kind == "count" else value


def other_unit(symbol: str) -> str | None:
    """Another unit of the same dimension, with which a number might be mistaken; None when there is none."""
    own = unit(symbol)
    return next(
        (other.symbol for other in UNITS.values() if other.dimension == own.dimension and other != own), None
    )
