"""What is still at stake in an interview: the rulings that may yet come or go, and the facts that decide it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass
from itertools import combinations

from sideplate_engine.authored_conditions import AllOf, AnyOf
from sideplate_engine.outlook import NEVER, Outlook, prospect_of_part
from sideplate_engine.prospects import Prospects
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value

BY_WAY_OF_OTHERS = 0.5
"""How much a fact counts that only helps to derive one which could be asked for itself."""

Wanted = MappingABC[str, float]
"""Facts to ask for, each with how directly it decides: 1 where it is tested itself."""


@dataclass(frozen=True, slots=True)
class RulingAtStake:
    """A ruling that may yet come or go, or whose figures may change, and what it waits for."""

    rule: str
    wanted: Wanted


@dataclass(frozen=True, slots=True)
class DoubtAtStake:
    """A fact that rules derive and that may yet be contradicted, and what to ask to find out."""

    fact: str
    wanted: Wanted


def at_stake(prospects: Prospects) -> tuple[RulingAtStake | DoubtAtStake, ...]:
    """Everything that can still change. Empty when no answer makes a difference any more."""
    return tuple(_Stakes(prospects).all())


class _Stakes:
    def __init__(self, prospects: Prospects) -> None:
        self.prospects = prospects
        self.knowledge = prospects.knowledge
        self._of_fact: dict[str, Wanted] = {}

    def all(self) -> Iterator[RulingAtStake | DoubtAtStake]:
        for rule in self.knowledge.rules.values():
            wanted = self._by_ruling(rule) if rule.is_ruling else {}
            if wanted:
                yield RulingAtStake(rule.id, wanted)
        for name in self.knowledge.strata.fact_complete:
            wanted = self._by_doubt(self.knowledge.facts[name])
            if wanted:
                yield DoubtAtStake(name, wanted)

    def _by_ruling(self, rule: Rule) -> Wanted:
        stands = self.prospects.stands(rule.id)
        if stands.is_open:
            return self._by_rule(rule)
        if not stands.must:
            return {}
        texts = [text for text in (rule.says, rule.instead) if text is not None]
        return self._by_facts(name for text in texts for name in text.facts())

    def _by_rule(self, rule: Rule) -> Wanted:
        """What decides whether a rule stands, and with what result.

        Its exception is worth a question only once the rule applies, and what overrides it once it fires.
        """
        found = dict(self._by_conditions(rule.requirement))
        for derivation in rule.derivations:
            if not self.prospects.result(rule.id, derivation.fact).is_settled:
                _add(found, self._by_facts(derivation.reads()))
        if not found and rule.unless is not None:
            found = dict(self._by_conditions(rule.unless))
        if not found:
            for other in self.prospects.above.get(rule.id, ()):
                if self.prospects.stands(other).is_open:
                    _add(found, self._by_rule(self.knowledge.rules[other]))
        return found

    def _by_conditions(self, conditions: AllOf) -> Wanted:
        found: dict[str, float] = {}
        for part in conditions.parts:
            if not prospect_of_part(part, self.prospects.outlooks, self.knowledge.facts).is_open:
                continue
            if isinstance(part, AnyOf):
                for branch in part.branches:
                    if self.prospects.of(branch).may:
                        _add(found, self._by_conditions(branch))
            else:
                _add(found, self._by_facts(part.facts()))
        return found

    def _by_facts(self, names: Iterable[str]) -> Wanted:
        found: dict[str, float] = {}
        for name in names:
            if name not in self._of_fact:
                self._of_fact[name] = self._by_fact(name)
            _add(found, self._of_fact[name])
        return found

    def _by_fact(self, name: str) -> Wanted:
        """What to ask to learn a fact: for the fact itself, or for what rules derive it from."""
        if self.prospects.outlooks.get(name, NEVER).is_settled:
            return {}
        found: dict[str, float] = {}
        share = 1.0
        if name in self.prospects.askable:
            found[name] = 1.0
            share = BY_WAY_OF_OTHERS
        for rule, stands, result in self.prospects.deriving(name):
            if stands.is_open or not result.is_settled:
                _add(found, {fact: share * weight for fact, weight in self._by_rule(rule).items()})
        return found

    def _by_doubt(self, fact: Fact) -> Wanted:
        """What decides whether a derived fact is contradicted, by the sheet or by another rule."""
        deriving = self.prospects.deriving(fact.name)
        if fact.many or not deriving:
            return {}
        if fact.name in self.prospects.askable:
            return {fact.name: 1.0}
        found: dict[str, float] = {}
        if fact.name in self.prospects.given:
            stated = self.prospects.given[fact.name]
            for rule, stands, result in deriving:
                is_open = stands.is_open or not result.is_settled
                if is_open and _may_disagree(fact, stated, result):
                    _add(found, self._by_rule(rule))
            return found
        for (one, one_stands, its), (other, other_stands, others) in combinations(deriving, 2):
            is_decided = one_stands.must and other_stands.must and its.is_settled and others.is_settled
            if not is_decided and _may_differ(its, others) and not _overrides(one, other):
                _add(found, self._by_rule(one))
                _add(found, self._by_rule(other))
        return found


def _may_disagree(fact: Fact, stated: Value, result: Outlook) -> bool:
    """Whether a rule may derive a value that what is stated does not agree with."""
    return result.values is None or any(not fact.agrees(stated, value) for value in result.values)


def _may_differ(one: Outlook, other: Outlook) -> bool:
    """Whether two rules may derive different values."""
    return one.values is None or other.values is None or len(one.values | other.values) > 1


def _overrides(one: Rule, other: Rule) -> bool:
    return other.id in one.overrides or one.id in other.overrides


def _add(found: dict[str, float], more: Wanted) -> None:
    for fact, weight in more.items():
        found[fact] = max(found.get(fact, 0.0), weight)
