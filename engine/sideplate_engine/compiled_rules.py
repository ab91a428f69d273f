"""Rules made ready for the matcher: conjunctions over one wide fact a stratum, and how that fact is filled.

A set fact becomes one yes/no property for each element (or list of elements) that a condition asks about; a
comparison of two facts becomes one yes/no property. Both are worked out here, so the matcher never joins facts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field
from itertools import product

from sideplate_engine.authored_conditions import AllOf, FactTest, Test
from sideplate_engine.authored_reading import Facts, Vocabulary, truth_of
from sideplate_engine.conditions import Condition, Conjunction, Relation, Scalar
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.plain_reading import Truth

WHEN = "when"
UNLESS = "unless"

_SAME_RELATION = {
    Test.EQUALS: Relation.EQUALS,
    Test.ONE_OF: Relation.ONE_OF,
    Test.NONE_OF: Relation.NONE_OF,
    Test.ABOVE: Relation.ABOVE,
    Test.BELOW: Relation.BELOW,
    Test.AT_LEAST: Relation.AT_LEAST,
    Test.AT_MOST: Relation.AT_MOST,
}

# The opposite of each of these is not compiled: it is the same property being no.
_COMPARED = {
    Test.SAME_AS: (Test.SAME_AS, True),
    Test.DIFFERS_FROM: (Test.SAME_AS, False),
    Test.ABOVE_FACT: (Test.ABOVE_FACT, True),
    Test.AT_MOST_FACT: (Test.ABOVE_FACT, False),
    Test.BELOW_FACT: (Test.BELOW_FACT, True),
    Test.AT_LEAST_FACT: (Test.BELOW_FACT, False),
}

Fill = Callable[[Facts], Scalar | None]
"""From a job's facts to a property's value; None where it is absent."""


@dataclass(frozen=True, slots=True)
class CompiledRules:
    """Conjunctions by key, the rule each belongs to, and the properties each stratum looks at."""

    conjunctions: tuple[Conjunction, ...]
    owner: MappingABC[str, tuple[str, str]]
    fills: MappingABC[int, MappingABC[str, Fill]]

    def wide_fact(self, stratum: int, facts: Facts) -> dict[str, Scalar]:
        """The properties of one stratum that these facts give; what is unknown is absent."""
        properties: dict[str, Scalar] = {}
        for name, fill in self.fills.get(stratum, {}).items():
            value = fill(facts)
            if value is not None:
                properties[name] = value
        return properties


def compile_rules(knowledge: KnowledgeBase) -> CompiledRules:
    """The conjunctions of every rule in force."""
    return _Compiler(knowledge.facts).compile(knowledge)


@dataclass
class _Compiler:
    vocabulary: Vocabulary
    conjunctions: list[Conjunction] = field(default_factory=list)
    owner: dict[str, tuple[str, str]] = field(default_factory=dict)
    fills: dict[int, dict[str, Fill]] = field(default_factory=dict)

    def compile(self, knowledge: KnowledgeBase) -> CompiledRules:
        for id_, rule in sorted(knowledge.rules.items()):
            stratum = knowledge.strata.of_rule[id_]
            self._add(id_, WHEN, rule.requirement, stratum)
            if rule.unless is not None:
                self._add(id_, UNLESS, rule.unless, stratum)
        return CompiledRules(tuple(self.conjunctions), self.owner, self.fills)

    def _add(self, rule: str, part: str, conditions: AllOf, stratum: int) -> None:
        number = 0
        for branch in conditions.spread():
            for alternative in product(*(self._alternatives(test, stratum) for test in branch)):
                key = f"{rule} {part} {number}"
                number += 1
                flat = dict.fromkeys(condition for conditions_ in alternative for condition in conditions_)
                self.conjunctions.append(Conjunction(key, stratum, tuple(flat)))
                self.owner[key] = (rule, part)

    def _alternatives(self, test: FactTest, stratum: int) -> list[tuple[Condition, ...]]:
        """What one test asks of the wide fact: alternatives, each a list of conditions."""
        fact = self.vocabulary[test.fact]
        if test.other is not None:
            base, wanted = _COMPARED[test.test]
            name = f"{test.fact} {base.value} {test.other}"
            base_test = FactTest(test.fact, base, test.at, other=test.other)
            self._fill(stratum, name, self._truth_fill(base_test))
            return [(Condition(name, Relation.EQUALS, wanted),)]
        if fact.many and test.test not in (Test.KNOWN, Test.NEEDED, Test.UNKNOWN):
            name = f"{test.fact} {test.test.value} {test.values!r}"
            self._fill(stratum, name, self._truth_fill(test))
            return [(Condition(name, Relation.EQUALS, True),)]
        self._fill(stratum, test.fact, _value_fill(test.fact))
        values = tuple(_scalar(value) for value in test.values)
        match test.test:
            case Test.KNOWN | Test.NEEDED:
                return [(Condition(test.fact, Relation.KNOWN),)]
            case Test.UNKNOWN:
                return [(Condition(test.fact, Relation.UNKNOWN),)]
            case Test.WITHIN:
                low, high = values
                return [
                    (
                        Condition(test.fact, Relation.AT_LEAST, low),
                        Condition(test.fact, Relation.AT_MOST, high),
                    )
                ]
            case Test.OUTSIDE:
                low, high = values
                return [
                    (Condition(test.fact, Relation.BELOW, low),),
                    (Condition(test.fact, Relation.ABOVE, high),),
                ]
            case Test.ONE_OF | Test.NONE_OF:
                return [(Condition(test.fact, _SAME_RELATION[test.test], values),)]
            case _:
                return [(Condition(test.fact, _SAME_RELATION[test.test], values[0]),)]

    def _fill(self, stratum: int, name: str, fill: Fill) -> None:
        self.fills.setdefault(stratum, {}).setdefault(name, fill)

    def _truth_fill(self, test: FactTest) -> Fill:
        def fill(facts: Facts) -> Scalar | None:
            truth = truth_of(test, facts, self.vocabulary)
            return None if truth is Truth.UNKNOWN else truth is Truth.TRUE

        return fill


def _scalar(value: str | float | bool) -> Scalar:
    return value if isinstance(value, (str, bool)) else float(value)


def _value_fill(name: str) -> Fill:
    def fill(facts: Facts) -> Scalar | None:
        value = facts.get(name)
        if value is None:
            return None
        return True if isinstance(value, frozenset) else _scalar(value)

    return fill


def rules_matched(keys: Iterable[str], compiled: CompiledRules, part: str) -> set[str]:
    """The rules of which one of these matched conjunctions is a `when` (or an `unless`)."""
    return {rule for rule, of in (compiled.owner[key] for key in keys) if of == part}
