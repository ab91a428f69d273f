"""Which rules decide about which: those below a rule, without which it cannot be judged, and those above it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_engine.strata import stratify


class Dependence:
    """Looks up what depends on what in one knowledge base; made once a base."""

    def __init__(self, knowledge: KnowledgeBase) -> None:
        self.knowledge = knowledge
        self._above = knowledge.overriders

    def below(self, ids: Iterable[str]) -> frozenset[str]:
        """These rules and all that can decide whether they fire, what they derive, and whether that stands."""
        found: set[str] = set()
        waiting = list(ids)
        while waiting:
            id_ = waiting.pop()
            if id_ in found:
                continue
            found.add(id_)
            rule = self.knowledge.rules[id_]
            waiting += self._above.get(id_, ())
            # What else derives the same fact can contradict this one.
            for fact in (*rule.reads(), *rule.derives()):
                waiting += (other.id for other in self.knowledge.derivers(fact))
        return frozenset(found)

    def above(self, id_: str) -> list[str]:
        """The rules that a rule can decide about, the nearest first: readers of its facts, and what it sets aside."""
        found: dict[str, None] = {}
        waiting = [id_]
        for current in waiting:
            rule = self.knowledge.rules[current]
            nearest = [*rule.overrides]
            for fact in rule.derives():
                nearest += self._readers.get(fact, ())
            for other in nearest:
                if other != id_ and other not in found:
                    found[other] = None
                    waiting.append(other)
        return list(found)

    @cached_property
    def _readers(self) -> dict[str, list[str]]:
        readers: dict[str, list[str]] = {}
        for rule in self.knowledge.rules.values():
            for fact in rule.reads():
                readers.setdefault(fact, []).append(rule.id)
        return readers

    def part(self, ids: Iterable[str], changed: Rule | None = None) -> KnowledgeBase:
        """The knowledge base with only these rules, one of them perhaps changed."""
        rules = {id_: self.knowledge.rules[id_] for id_ in sorted(ids)}
        if changed is not None:
            rules[changed.id] = changed
        return replace(self.knowledge, rules=rules, strata=stratify(rules.values()))
