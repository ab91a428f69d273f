"""What a rule needs of the sheet itself: its tests, and those of the rules that derive the facts it tests.

A fact that only rules can derive has a value only where one of its derivers fires. So every alternative of a rule's
conditions is joined with each way in which the derived facts it tests can come about. What a formula gives is left
open: only that its inputs are known is joined.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from sideplate_engine.authored_conditions import AllOf, FactTest, Test
from sideplate_engine.authored_reading import truth_of
from sideplate_engine.condition_algebra import carried_to
from sideplate_engine.derivations import Computation, CopyOf, Derivation, LookUp, PlainValue
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.plain_reading import Truth
from sideplate_engine.quantities import convert
from sideplate_engine.vocabulary import Element, Value

Tests: TypeAlias = tuple[FactTest, ...]
"""Tests that must all hold."""

MOST_STEPS = 500
"""Steps taken to bring one alternative about; where they do not suffice its derived facts are left open."""


class TooManyWays(Exception):
    """Derived facts can come about in too many ways to look at each."""


def grounded(knowledge: KnowledgeBase, conditions: AllOf) -> list[Tests]:
    """The ways in which conditions can come to hold, as tests. Empty where a derived fact can never be as tested."""
    return [way for tests in conditions.spread() for way in ways_of(knowledge, tests)]


def ways_of(knowledge: KnowledgeBase, tests: Sequence[FactTest]) -> list[Tests]:
    """The ways in which one conjunction can come to hold."""
    try:
        return _Grounding(knowledge).ways(tuple(tests), frozenset())
    except TooManyWays:
        return [tuple(tests)]


@dataclass
class _Grounding:
    knowledge: KnowledgeBase
    steps: int = 0

    def ways(self, tests: Tests, done: frozenset[tuple[FactTest, ...]]) -> list[Tests]:
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise TooManyWays
        wanted = next((group for group in self._derived(tests) if group not in done), None)
        if wanted is None:
            return [tests]
        found: list[Tests] = []
        for more in self._brought_about(wanted):
            found += self.ways((*tests, *(test for test in more if test not in tests)), done | {wanted})
        return found

    def _derived(self, tests: Tests) -> Iterable[Tests]:
        """The tests of each fact that only rules derive; of a set fact each by itself, for many rules fill a set."""
        groups: dict[object, list[FactTest]] = {}
        for test in tests:
            for name in test.facts():
                fact = self.knowledge.facts[name]
                if not fact.given and test.test is not Test.UNKNOWN:
                    groups.setdefault((name, test) if fact.many else name, []).append(test)
        for key, group in groups.items():
            name = key[0] if isinstance(key, tuple) else str(key)
            # A comparison counts for both its facts; as a test of the second it only needs it known.
            yield tuple(
                test if test.fact == name else FactTest(str(name), Test.NEEDED, test.at) for test in group
            )

    def _brought_about(self, wanted: Tests) -> Iterable[Tests]:
        name = wanted[0].fact
        own = [test for test in wanted if test.other is None and test.test is not Test.NEEDED]
        for rule in self.knowledge.derivers(name):
            derivation = next(each for each in rule.derivations if each.fact == name)
            needed = self.needed(derivation, own)
            if needed is not None:
                for branch in rule.requirement.spread():
                    yield (*branch, *needed)

    def needed(self, derivation: Derivation, tests: Sequence[FactTest]) -> Tests | None:
        """What a derivation needs for its result to meet tests; None where it never does."""
        match derivation:
            case PlainValue():
                return () if self._meets(derivation.fact, derivation.value, tests) else None
            case CopyOf():
                source = self.knowledge.facts[derivation.source]
                return tuple(carried_to(test, source, self.knowledge.facts) for test in tests)
            case LookUp():
                keys = tuple(
                    key
                    for key, row in derivation.table.rows.items()
                    if derivation.take in row.cells
                    and self._meets(
                        derivation.fact, self._cell(derivation, row.cells[derivation.take]), tests
                    )
                )
                return (FactTest(derivation.by, Test.ONE_OF, derivation.at, keys),) if keys else None
            case Computation():
                return ()

    def _meets(self, name: str, value: Value, tests: Sequence[FactTest]) -> bool:
        if self.knowledge.facts[name].many:
            # Other rules may add elements, so only what must be in the set can fail here.
            tests = [test for test in tests if test.test is not Test.NONE_OF]
        facts = {name: value}
        return all(truth_of(test, facts, self.knowledge.facts) is Truth.TRUE for test in tests)

    def _cell(self, look_up: LookUp, cell: Element) -> Value:
        target = self.knowledge.facts[look_up.fact]
        if target.kind != "quantity":
            return cell
        return convert(float(cell), look_up.table.columns[look_up.take].unit, target.unit)
