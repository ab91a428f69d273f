"""Facts that decide nothing on a sheet: what a story can leave out, and what it can say is not known yet.

Without them a story that leaves something open would always be one whose verdict cannot be told yet, and such stories
would be a sentence shorter than the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache

from sideplate_engine import Judge
from sideplate_engine.chaining import Chained
from sideplate_engine.open_facts import SAYS_LITTLE
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations import builder_of
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.still_open import StillOpen

MOST_VALUES = 8


class IdleFacts:
    """Knows which facts decide nothing about the rulings on a deed, or on any for None. Made by `idle_facts`."""

    def __init__(self, judge: Judge, subject: str | None) -> None:
        self.judge = judge
        self._reach = builder_of(judge).reach
        index = rule_index(judge)
        rulings = [
            rule
            for rule in judge.knowledge.rules.values()
            if rule.is_ruling and subject in (None, rule.about)
        ]
        below = self._reach.rules_below([rule.id for rule in rulings])
        self._enough_to_know = _enough_to_know(judge, below)
        self._rulings_on: dict[str, list[str]] = {}
        for rule in rulings:
            for name in index.touching(rule.id):
                self._rulings_on.setdefault(name, []).append(rule.id)

    def is_idle(self, name: str, without: Chained) -> bool:
        """Whether no ruling can come or go by any value of a fact that an outcome lacks.

        Never of a fact that counts by being known, whatever its value; nor where a value could contradict what rules
        derive, or rules could derive from it what contradicts the sheet.
        """
        if self._reach.derivers(name) or name in self._enough_to_know:
            return False
        if not _derived_from(self.judge).get(name, frozenset()).isdisjoint(without.given):
            return False
        rulings = self._rulings_on.get(name, ())
        return not StillOpen(self._reach, without, frozenset({name}), frozenset()).deciding(rulings)

    def not_told(self, topic: str, chained: Chained, draws: Draws) -> Iterator[str]:
        """Facts that an outcome lacks and that might be idle, such as decide elsewhere in the topic; then any others.

        Each in a drawn order.
        """
        by_topic = _deciding_in_topics(self.judge)
        names = draws.ranked(by_topic[topic])
        others = {name for weights in by_topic.values() for name in weights} - set(names)
        for name in (*names, *draws.shuffled(sorted(others))):
            if name not in chained.facts and not self._reach.derivers(name):
                yield name


def all_values(fact: Fact) -> tuple[Value, ...]:
    """Every value of a flag or a short choice; none of facts whose values cannot be gone through."""
    if fact.kind == "flag":
        return (True, False)
    choices = tuple(fact.choices or ())
    return choices if fact.kind == "choice" and not fact.many and len(choices) <= MOST_VALUES else ()


def _enough_to_know(judge: Judge, rules: Iterable[str]) -> frozenset[str]:
    """The facts of which some of these rules ask only whether they are known, and what those can be derived from."""
    reach, index = builder_of(judge).reach, rule_index(judge)
    asked: set[str] = set()
    for id_ in rules:
        rule = judge.knowledge.rules[id_]
        exception = () if rule.unless is None else rule.unless.tests()
        asked |= {test.fact for test in (*rule.requirement.tests(), *exception) if test.test in SAYS_LITTLE}
    return frozenset(asked).union(
        *(index.touching(rule.id) for name in asked for rule in reach.derivers(name))
    )


@lru_cache(maxsize=64)
def idle_facts(judge: Judge, subject: str | None) -> IdleFacts:
    """What knows the idle facts for a deed, made once a judge and deed."""
    return IdleFacts(judge, subject)


@lru_cache(maxsize=4)
def _derived_from(judge: Judge) -> Mapping[str, frozenset[str]]:
    """For each fact, those that rules can derive from it, however far on."""
    index = rule_index(judge)
    found: dict[str, set[str]] = {}
    for rule in judge.knowledge.rules.values():
        for name in index.touching(rule.id) if rule.derivations else ():
            found.setdefault(name, set()).update(rule.derives())
    return {name: frozenset(derived) for name, derived in found.items()}


@lru_cache(maxsize=4)
def _deciding_in_topics(judge: Judge) -> Mapping[str, Mapping[str, float]]:
    """The facts that can be asked for on which rulings of each topic rest, and about how often each of them decides.

    Each ruling counts as one, shared out among the facts it rests on, so that what is idle is drawn as often from among
    them as what decides.
    """
    index = rule_index(judge)
    found: dict[str, dict[str, float]] = {topic: {} for topic in judge.knowledge.topics}
    for rule in judge.knowledge.rules.values():
        if not rule.is_ruling:
            continue
        facts = [judge.knowledge.facts[name] for name in sorted(index.touching(rule.id))]
        asked_for = [fact.name for fact in facts if fact.given and fact.ask]
        weights = found[rule.topic]
        for name in asked_for:
            weights[name] = weights.get(name, 0.0) + 1 / len(asked_for)
    return found
