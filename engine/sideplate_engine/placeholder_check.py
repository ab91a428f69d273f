"""Holds every text to the facts that are certain to be known when its rule fires.

A fact tested on every branch is certain. So is what such a fact was derived from, where only rules can derive it.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC

from sideplate_engine.authored_conditions import Test
from sideplate_engine.findings import Finding
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact


class CertainFacts:
    """For each rule, the facts that are known whenever it fires."""

    def __init__(self, rules: MappingABC[str, Rule], vocabulary: MappingABC[str, Fact]) -> None:
        self._rules = rules
        self._vocabulary = vocabulary
        self._derivers: dict[str, list[str]] = {}
        for rule in rules.values():
            for fact in rule.derives():
                self._derivers.setdefault(fact, []).append(rule.id)
        self._found: dict[str, frozenset[str]] = {}

    def of(self, rule: Rule) -> frozenset[str]:
        """The facts certain to be known when the rule fires, those it derives included."""
        if rule.id not in self._found:
            branches = [
                {name for test in branch if test.test is not Test.UNKNOWN for name in test.facts()}
                for branch in rule.requirement.spread()
            ]
            certain = set(rule.derives())
            for name in set.intersection(*branches):
                certain |= {name} | self._behind(name)
            self._found[rule.id] = frozenset(certain)
        return self._found[rule.id]

    def _behind(self, fact: str) -> frozenset[str]:
        derivers = self._derivers.get(fact, [])
        if self._vocabulary[fact].given or not derivers:
            return frozenset()
        return frozenset.intersection(*(self.of(self._rules[id_]) for id_ in derivers))


def check_placeholders(rules: MappingABC[str, Rule], vocabulary: MappingABC[str, Fact]) -> Iterator[Finding]:
    """Every place in a text for a fact that may be unknown when the rule fires. The rules must be free of cycles."""
    certain = CertainFacts(rules, vocabulary)
    for rule in rules.values():
        for key, template in rule.texts().items():
            for fact in template.facts():
                if fact not in certain.of(rule):
                    message = f"`{key}` puts in {fact}, which may be unknown when the rule fires"
                    yield Finding("uncertain-placeholder", message, rule.place(key))
