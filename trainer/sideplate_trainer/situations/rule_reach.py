"""What a rule depends on: who derives the facts it reads, who can set it aside, and a small judge of just those."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as MappingABC
from dataclasses import replace

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.authored_conditions import BETWEEN_FACTS, FactTest
from sideplate_engine.chaining import Chained
from sideplate_engine.derivations import CopyOf, Derivation, LookUp
from sideplate_engine.quantities import convert
from sideplate_engine.rules import Rule
from sideplate_engine.strata import stratify
from sideplate_engine.vocabulary import Element, Fact


class RuleReach:
    """Looks a knowledge base's dependencies up quickly; made once a base."""

    def __init__(self, knowledge: KnowledgeBase) -> None:
        self.knowledge = knowledge
        self.facts: MappingABC[str, Fact] = knowledge.facts
        self._derivers: dict[str, list[Rule]] = {}
        for _, rule in sorted(knowledge.rules.items()):
            for fact in rule.derives():
                self._derivers.setdefault(fact, []).append(rule)
        self._overriders = knowledge.overriders
        self._judges: dict[frozenset[str], Judge] = {}
        self._words: dict[str, tuple[str, ...]] | None = None
        self._standard = _standard_values(knowledge)
        self._empty = {
            fact
            for rule in knowledge.rules.values()
            for example in rule.examples
            for fact, value in example.given.items()
            if value == frozenset()
        }

    def derivers(self, fact: str) -> list[Rule]:
        """The rules that derive a fact, by id."""
        return self._derivers.get(fact, [])

    def derivation(self, rule: Rule, fact: str) -> Derivation:
        """How a rule derives a fact that it derives."""
        return next(each for each in rule.derivations if each.fact == fact)

    def overriders(self, rule: str) -> list[Rule]:
        """The rules that set a rule aside where both fire."""
        return [self.knowledge.rules[id_] for id_ in self._overriders.get(rule, ())]

    def rules_below(self, rules: Iterable[str], facts: Iterable[str] = ()) -> frozenset[str]:
        """These rules and every rule that can decide whether they fire, or what these facts are."""
        found: set[str] = set()
        waiting = [self.knowledge.rules[id_] for id_ in rules]
        waiting += [deriver for fact in facts for deriver in self.derivers(fact)]
        while waiting:
            rule = waiting.pop()
            if rule.id in found:
                continue
            found.add(rule.id)
            waiting += self.overriders(rule.id)
            waiting += [deriver for fact in rule.reads() for deriver in self.derivers(fact)]
        return frozenset(found)

    def judge_of(self, rules: frozenset[str]) -> Judge:
        """A judge of these rules alone. It agrees with the whole base about them when nothing below is left out."""
        judge = self._judges.get(rules)
        if judge is None:
            kept = {id_: rule for id_, rule in self.knowledge.rules.items() if id_ in rules}
            judge = Judge(replace(self.knowledge, rules=kept, strata=stratify(kept.values())))
            self._judges[rules] = judge
        return judge

    def given_below(self, chained: Chained, names: Iterable[str]) -> tuple[str, ...]:
        """The given facts on which these facts of an outcome rest, in the order they are come upon."""
        found: dict[str, None] = {}
        seen: set[str] = set()
        waiting = list(reversed(list(names)))
        while waiting:
            name = waiting.pop()
            if name in seen:
                continue
            seen.add(name)
            if name in chained.given:
                found[name] = None
            for rule in self.derivers(name):
                if rule.id in chained.fired or name not in chained.facts:
                    waiting += reversed(rule.reads())
        return tuple(found)

    def words_of(self, fact: str) -> tuple[str, ...]:
        """Words that a code fact is known to take: from tests, examples and tables, of it and of what it is held to."""
        if self._words is None:
            self._words = _words_by_fact(self.knowledge)
        return self._words.get(fact, ())

    def can_be_empty(self, fact: str) -> bool:
        """Whether a set is somewhere stated to be empty: nothing wrong was seen, say."""
        return fact in self._empty

    def standard(self, fact: str) -> tuple[float, ...]:
        """The figures that tables list for a number fact which rules look up: nobody makes a chain between them."""
        return self._standard.get(fact, ())


def row_values(look_up: LookUp, target: Fact) -> dict[Element, Element]:
    """What a look-up finds for each key of its table that has a cell, in the target's stored unit."""
    unit = look_up.table.columns[look_up.take].unit
    found: dict[Element, Element] = {}
    for key, row in look_up.table.rows.items():
        cell = row.cells.get(look_up.take)
        if cell is not None:
            found[key] = convert(float(cell), unit, target.unit) if target.kind == "quantity" else cell
    return found


def _standard_values(knowledge: KnowledgeBase) -> dict[str, tuple[float, ...]]:
    values: dict[str, set[float]] = {}
    for rule in knowledge.rules.values():
        for derivation in rule.derivations:
            target = knowledge.facts[derivation.fact]
            if isinstance(derivation, LookUp) and target.kind == "quantity" and target.given:
                cells = row_values(derivation, target).values()
                values.setdefault(target.name, set()).update(float(cell) for cell in cells)
    return {fact: tuple(sorted(figures)) for fact, figures in values.items()}


def _words_by_fact(knowledge: KnowledgeBase) -> dict[str, tuple[str, ...]]:
    words: dict[str, set[str]] = {}
    linked: dict[str, set[str]] = {}

    def note(fact: str, values: Iterable[object]) -> None:
        if knowledge.facts[fact].kind == "code":
            words.setdefault(fact, set()).update(value for value in values if isinstance(value, str))

    def link(one: str, other: str) -> None:
        linked.setdefault(one, set()).add(other)
        linked.setdefault(other, set()).add(one)

    for rule in knowledge.rules.values():
        for test in _tests_of(rule):
            note(test.fact, test.values)
            if test.test in BETWEEN_FACTS and test.other is not None:
                link(test.fact, test.other)
        for example in rule.examples:
            for fact, value in example.given.items():
                note(fact, value if isinstance(value, frozenset) else (value,))
        for derivation in rule.derivations:
            if isinstance(derivation, LookUp):
                note(derivation.by, derivation.table.rows)
            elif isinstance(derivation, CopyOf):
                link(derivation.fact, derivation.source)
    return {
        fact: tuple(sorted(set().union(*(words.get(one, set()) for one in _joined(fact, linked)))))
        for fact in {*words, *linked}
        if knowledge.facts[fact].kind == "code"
    }


def _tests_of(rule: Rule) -> list[FactTest]:
    tests = list(rule.requirement.tests())
    return tests + list(rule.unless.tests()) if rule.unless is not None else tests


def _joined(fact: str, linked: MappingABC[str, set[str]]) -> set[str]:
    found = {fact}
    waiting = [fact]
    while waiting:
        for other in linked.get(waiting.pop(), ()):
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found
