"""Jobs at the limits of rules: each figure that a condition names, and one graduation to either side of it."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FACT_LIMITS, LIMITS, RANGES, FactTest
from sideplate_engine.graduations import graduation
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.quantities import canonical
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value, in_unit_of

FIRES = ("fires", "overridden", "excepted")
"""What an example expects where the rule's conditions hold."""


@dataclass(frozen=True, slots=True)
class LimitJob:
    """A rule's example with one fact set at, or one graduation beside, a figure that the rule tests it against."""

    rule: str
    fact: str
    value: float | int
    facts: MappingABC[str, Value]


def limit_jobs(knowledge: KnowledgeBase) -> Iterator[LimitJob]:
    """The jobs at the limits of every rule, on its first example in which the conditions hold.

    A fact that only rules derive is stated outright: what is stated stands.
    """
    for rule in knowledge.rules.values():
        start = next((example.given for example in rule.examples if example.expect in FIRES), None)
        if start is not None:
            yield from _of_rule(rule, start, knowledge)


def _of_rule(rule: Rule, start: MappingABC[str, Value], knowledge: KnowledgeBase) -> Iterator[LimitJob]:
    seen: set[tuple[str, float]] = set()
    tests = [*rule.conditions.tests(), *(rule.unless.tests() if rule.unless else ())]
    for test in tests:
        fact = knowledge.facts[test.fact]
        for limit in _limits(test, start, knowledge):
            for value in (limit - graduation(fact, limit), limit, limit + graduation(fact, limit)):
                at = round(value) if fact.kind == "count" else canonical(value)
                if is_possible(fact, at) and (fact.name, at) not in seen:
                    seen.add((fact.name, at))
                    yield LimitJob(rule.id, fact.name, at, {**start, fact.name: at})


def _limits(test: FactTest, start: MappingABC[str, Value], knowledge: KnowledgeBase) -> list[float]:
    """The figures that a test looks at, in its fact's unit; another fact's is the one it has in the example."""
    if test.test in LIMITS + RANGES:
        return [float(value) for value in test.values]
    other = start.get(test.other or "")
    if test.test not in FACT_LIMITS or test.other is None or not isinstance(other, (int, float)):
        return []
    return [float(in_unit_of(other, knowledge.facts[test.other], knowledge.facts[test.fact]))]


def is_possible(fact: Fact, value: float) -> bool:
    """Whether a number lies within what is possible for the fact."""
    return fact.possible is None or fact.possible[0] <= value <= fact.possible[1]
