"""Forward chaining, stratum by stratum: which rules fire, what they derive, what is set aside, what conflicts.

How conjunctions are matched is handed in, so the same chaining serves the matcher and the plain reading.
"""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass, field

from sideplate_engine.compiled_rules import UNLESS, WHEN, CompiledRules, rules_matched
from sideplate_engine.conditions import Scalar
from sideplate_engine.derivations import Derived, NoValue, derive
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.vocabulary import Value

Match = Callable[[int, MappingABC[str, Scalar]], frozenset[str]]
"""From a stratum and its wide fact to the keys of the conjunctions that hold."""


@dataclass(frozen=True, slots=True)
class FactConflict:
    """Live rules that give one fact different values, or a given value that rules contradict.

    `values` pairs each value with who says so: rule ids, or "given".
    """

    fact: str
    values: tuple[tuple[Value, tuple[str, ...]], ...]

    @property
    def has_given(self) -> bool:
        """Whether one of the values stands on the sheet."""
        return any("given" in by for _, by in self.values)


@dataclass(frozen=True, slots=True)
class DerivedFact:
    """A fact that rules set, the live rules that set it, and what each of them drew on."""

    fact: str
    value: Value
    by: tuple[str, ...]
    from_rules: tuple[Derived, ...]


@dataclass(frozen=True, slots=True)
class Chained:
    """The whole outcome. `facts` holds the given and the derived; a contested derived fact is in neither.

    `no_value` says why a rule that applies derived nothing; `doubts` are the reasons that speak against the facts.
    """

    given: MappingABC[str, Value]
    facts: MappingABC[str, Value]
    derived: MappingABC[str, DerivedFact]
    fired: frozenset[str]
    excepted: frozenset[str]
    no_value: MappingABC[str, str]
    doubts: tuple[str, ...]
    overridden: MappingABC[str, tuple[str, ...]]
    conflicts: tuple[FactConflict, ...]
    results: MappingABC[str, tuple[Derived, ...]]

    @property
    def live(self) -> frozenset[str]:
        """The rules that fired and were not set aside."""
        return self.fired - self.overridden.keys()


def chain(
    knowledge: KnowledgeBase, compiled: CompiledRules, match: Match, given: MappingABC[str, Value]
) -> Chained:
    """The outcome of all rules on the given facts: the same for any order of rules and facts."""
    return _Chaining(knowledge, compiled, match, dict(given)).run()


@dataclass
class _Chaining:
    knowledge: KnowledgeBase
    compiled: CompiledRules
    match: Match
    facts: dict[str, Value]
    given: dict[str, Value] = field(init=False)
    fired: set[str] = field(default_factory=set)
    excepted: set[str] = field(default_factory=set)
    no_value: dict[str, str] = field(default_factory=dict)
    doubts: set[str] = field(default_factory=set)
    results: dict[str, tuple[Derived, ...]] = field(default_factory=dict)
    derived_by: dict[str, list[tuple[str, Derived]]] = field(default_factory=dict)
    derived: dict[str, DerivedFact] = field(default_factory=dict)
    conflicts: list[FactConflict] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.given = dict(self.facts)

    def run(self) -> Chained:
        above = self.knowledge.overriders
        for stratum in range(1, self.knowledge.strata.count + 1):
            self._judge(stratum)
            for fact in self.knowledge.facts_complete_after.get(stratum, ()):
                self._complete(fact, above)
        return Chained(
            self.given,
            self.facts,
            self.derived,
            frozenset(self.fired),
            frozenset(self.excepted),
            self.no_value,
            tuple(sorted(self.doubts)),
            {id_: by for id_ in sorted(self.fired) if (by := self._set_aside_by(id_, above))},
            tuple(self.conflicts),
            self.results,
        )

    def _judge(self, stratum: int) -> None:
        keys = self.match(stratum, self.compiled.wide_fact(stratum, self.facts))
        matched = rules_matched(keys, self.compiled, WHEN)
        excepted = matched & rules_matched(keys, self.compiled, UNLESS)
        self.excepted |= excepted
        for id_ in sorted(matched - excepted):
            rule = self.knowledge.rules[id_]
            try:
                self.results[id_] = tuple(
                    derive(derivation, self.facts, self.knowledge.facts) for derivation in rule.derivations
                )
            except NoValue as problem:
                self.no_value[id_] = str(problem)
                if not problem.is_gap:
                    self.doubts.add(str(problem))
            else:
                self.fired.add(id_)
                for result in self.results[id_]:
                    self.derived_by.setdefault(result.fact, []).append((id_, result))

    def _set_aside_by(self, rule: str, above: MappingABC[str, tuple[str, ...]]) -> tuple[str, ...]:
        """The rules that fired, are not set aside themselves, and override this one."""
        return tuple(
            other
            for other in above.get(rule, ())
            if other in self.fired and not self._set_aside_by(other, above)
        )

    def _complete(self, fact_name: str, above: MappingABC[str, tuple[str, ...]]) -> None:
        results = [
            (id_, result)
            for id_, result in sorted(self.derived_by.get(fact_name, ()), key=lambda pair: pair[0])
            if not self._set_aside_by(id_, above)
        ]
        if not results:
            return
        fact = self.knowledge.facts[fact_name]
        by = tuple(id_ for id_, _ in results)
        from_rules = tuple(result for _, result in results)
        if fact.many:
            elements = frozenset[str]().union(*(_as_set(result.value) for result in from_rules))
            given = self.given.get(fact_name)
            value: Value = elements | _as_set(given) if given is not None else elements
            self.derived[fact_name] = DerivedFact(fact_name, value, by, from_rules)
            self.facts[fact_name] = value
            return
        said: dict[Value, list[str]] = {}
        for id_, result in results:
            said.setdefault(result.value, []).append(id_)
        given = self.given.get(fact_name)
        values: list[tuple[Value, tuple[str, ...]]] = [(value, tuple(ids)) for value, ids in said.items()]
        values.sort(key=lambda pair: pair[1])
        if given is not None:
            if not all(fact.agrees(given, value) for value, _ in values):
                self.conflicts.append(FactConflict(fact_name, ((given, ("given",)), *values)))
            return
        if len(values) > 1:
            self.conflicts.append(FactConflict(fact_name, tuple(values)))
            return
        self.facts[fact_name] = values[0][0]
        self.derived[fact_name] = DerivedFact(fact_name, values[0][0], by, from_rules)


def _as_set(value: Value) -> frozenset[str]:
    return value if isinstance(value, frozenset) else frozenset({str(value)})
