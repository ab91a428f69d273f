"""What questions need to know of every rule that gives a ruling, looked up once: what mends it, reason, reach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.authored_conditions import Test
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.mendings import Mending, mendings_of
from sideplate_trainer.parts_to_choose import is_a_description
from sideplate_trainer.short_reasons import short_reason
from sideplate_trainer.situations import builder_of
from sideplate_trainer.situations.representatives import Representatives
from sideplate_trainer.situations.value_drawing import options_of

BENCH, FULL_BENCH = 40, 80
"""How many rules a bench has at least, where there are so many, and how many at most, unless one topic has more."""


class RuleIndex:
    """Made once a judge by `rule_index`. Holds the rules that give a ruling and are past being drafts."""

    def __init__(self, judge: Judge) -> None:
        self.knowledge: KnowledgeBase = judge.knowledge
        self._reach = builder_of(judge).reach
        self.rules = [
            rule for rule in self.knowledge.rules.values() if rule.is_ruling and rule.status != "draft"
        ]
        by_examples = {rule.id: mendings_of(rule, self.knowledge.facts) for rule in self.rules}
        self.finding_fault = _finding_fault(by_examples, self.knowledge)
        self.mendings = {id_: self._faultless(mendings) for id_, mendings in by_examples.items()}
        self.reasons = {rule.id: short_reason(rule, self.knowledge.facts) for rule in self.rules}
        self.tied = _tied_by_overrides(self.knowledge)
        self.benches = _benches(self.rules, list(self.knowledge.topics))
        self._bench_numbers = {rule.id: number for number, bench in enumerate(self.benches) for rule in bench}
        self._touching: dict[str, frozenset[str]] = {}
        self._brought: set[tuple[str, str]] | None = None
        self._bringing: dict[tuple[str, str], tuple[list[str], Judge, Representatives]] = {}
        self._example_values = _example_values(self.knowledge)

    def _faultless(self, mendings: tuple[Mending, ...]) -> tuple[Mending, ...]:
        """The mendings that lead to no word with which some rule finds fault; where there are none, words put in."""
        found = [each for each in mendings if not self._is_faulted(each.fact, each.good)]
        for mending in mendings if not found else ():
            fact = self.knowledge.facts[mending.fact]
            found += [
                replace(mending, good=word)
                for word in self.words_for(fact, mending.bad)
                if fact.tell(word) and not self._is_faulted(fact.name, word)
            ]
        return tuple(found) or mendings

    def _is_faulted(self, fact: str, value: Value) -> bool:
        elements = value if isinstance(value, frozenset) else frozenset({value})
        return any((fact, element) in self.finding_fault for element in elements)

    def words_for(self, fact: Fact, bad: Value) -> list[Value]:
        """What a choice or a flag can be in place of a value; a set with a word more or less, all of them, or none."""
        if fact.is_number or fact.kind == "code":
            return []
        words = options_of(fact, ())
        if not isinstance(bad, frozenset):
            return [word for word in words if word != bad]
        every = [str(word) for word in words]
        found: list[Value] = [frozenset()] if self._reach.can_be_empty(fact.name) else []
        found += [bad ^ {word} for word in every]
        found += [frozenset({word}) for word in every]
        found.append(frozenset(every))
        return [value for value in dict.fromkeys(found) if value != bad]

    def bench_of(self, rule: Rule) -> int | None:
        """The number of the bench a rule belongs to: of topics that follow each other, whose work may meet."""
        return self._bench_numbers.get(rule.id)

    def touching(self, id_: str) -> frozenset[str]:
        """Every fact on which it can rest, however far down, whether a rule stands."""
        found = self._touching.get(id_)
        if found is None:
            below = self._reach.rules_below([id_])
            found = frozenset(name for other in below for name in self.knowledge.rules[other].reads())
            self._touching[id_] = found
        return found

    def can_bring_alone(self, fact: str, force: str) -> bool:
        """Whether a ruling of that force needs no more to be known than a fact."""
        if self._brought is None:
            self._brought = {
                (name, str(rule.force)) for rule in self.rules for name in self._enough_alone(rule)
            }
        return (fact, force) in self._brought

    def _enough_alone(self, rule: Rule) -> Iterator[str]:
        """The facts of which one alone, if given, may make a rule rule."""
        for branch in rule.requirement.spread():
            needed = {name for test in branch if test.test is not Test.UNKNOWN for name in test.facts()}
            given = {name for name in needed if self.knowledge.facts[name].given}
            below = {name for derived in needed - given for name in self._given_below(derived)}
            if len(given | below) == 1:
                yield from given | below

    def _given_below(self, derived: str) -> frozenset[str]:
        """The given facts that a derived one can be derived from."""
        rules = self._reach.rules_below([rule.id for rule in self._reach.derivers(derived)])
        names = {name for id_ in rules for name in self.knowledge.rules[id_].requirement.facts()}
        return frozenset(name for name in names if self.knowledge.facts[name].given)

    def can_bring(self, fact: str, force: str, sheet: Mapping[str, Value]) -> bool:
        """Whether any value of a fact that a sheet does not give brings a ruling of that force on it.

        Tried are values for all that the rules in question can tell apart, further down as well, and those of
        examples: no limit is written anywhere for what enters a formula.
        """
        if (fact, force) not in self._bringing:
            rules = [rule.id for rule in self.rules if rule.force == force and fact in self.touching(rule.id)]
            below = self._reach.rules_below(rules)
            self._bringing[fact, force] = (
                rules,
                self._reach.judge_of(below),
                Representatives(self._reach, below),
            )
        rules, quick, values = self._bringing[fact, force]
        return bool(rules) and any(
            not quick.outcome({**sheet, fact: value}).live.isdisjoint(rules)
            for value in dict.fromkeys([*values.of(fact, sheet), *self._example_values.get(fact, ())])
        )

    def agree(self, one: Mending, other: Mending, *, mended: bool) -> bool:
        """Whether two rules' examples go on one sheet: each fact is read by its own rule only, and the rest agree.

        Descriptions of machine and parts may differ: there one example may do on what the other says. With `mended`
        the other's fact is as it should be, else it is a fault as well.
        """
        if one.fact in self.touching(other.rule) or other.fact in self.touching(one.rule):
            return False
        mine = {**one.given, one.fact: one.bad}
        theirs = {**other.given, other.fact: other.good if mended else other.bad}
        return all(
            theirs.get(name, value) == value or is_a_description(self.knowledge.facts[name])
            for name, value in mine.items()
        )


@lru_cache(maxsize=4)
def rule_index(judge: Judge) -> RuleIndex:
    """The index of a judge's base, made once a judge."""
    return RuleIndex(judge)


def _benches(rules: list[Rule], topics: list[str]) -> list[list[Rule]]:
    benches: list[list[Rule]] = [[]]
    for topic in topics:
        more = [rule for rule in rules if rule.topic == topic]
        if len(benches[-1]) >= BENCH and len(benches[-1]) + len(more) > FULL_BENCH:
            benches.append([])
        benches[-1] += more
    if len(benches) > 1 and len(benches[-1]) < BENCH:
        last = benches.pop()
        benches[-1] += last
    return benches


def _finding_fault(
    mendings: Mapping[str, tuple[Mending, ...]], knowledge: KnowledgeBase
) -> dict[tuple[str, object], tuple[str, ...]]:
    """For each word that a rule finds fault with in a fact, by its examples, those rules. Numbers are left out."""
    found: dict[tuple[str, object], tuple[str, ...]] = {}
    for id_, several in mendings.items():
        for mending in several:
            if knowledge.rules[id_].force == "may" or knowledge.facts[mending.fact].is_number:
                continue
            values = mending.bad if isinstance(mending.bad, frozenset) else frozenset({mending.bad})
            for value in values:
                found[mending.fact, value] = (*found.get((mending.fact, value), ()), id_)
    return found


def _example_values(knowledge: KnowledgeBase) -> dict[str, list[Value]]:
    """The values of each fact in the examples of all rules."""
    found: dict[str, dict[Value, None]] = {}
    for rule in knowledge.rules.values():
        for example in rule.examples:
            for name, value in example.given.items():
                found.setdefault(name, {})[value] = None
    return {name: list(values) for name, values in found.items()}


def _tied_by_overrides(knowledge: KnowledgeBase) -> dict[str, frozenset[str]]:
    """For each rule, those that it sets aside or that set it aside, and those tied to them: often for one reason."""
    tied: dict[str, set[str]] = {id_: {id_} for id_ in knowledge.rules}
    for rule in knowledge.rules.values():
        for other in rule.overrides:
            if other in tied and tied[other] is not tied[rule.id]:
                tied[rule.id] |= tied[other]
                for id_ in tied[other]:
                    tied[id_] = tied[rule.id]
    return {id_: frozenset(others) for id_, others in tied.items()}
