"""The sheets beside a situation, and the verdict of the whole base on each of them.

What the engine makes of a sheet is worked out once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sideplate_engine import Judge
from sideplate_engine.chaining import Chained
from sideplate_engine.open_facts import status_of
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations import builder_of
from sideplate_trainer.situations.consistency import contradiction, is_absurd, writable
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.near_misses import NearMissFinder
from sideplate_trainer.situations.representatives import Representatives
from sideplate_trainer.situations.single_changes import SingleChanges
from sideplate_trainer.situations.situation import NearMiss, Situation
from sideplate_trainer.situations.stories import USE
from sideplate_trainer.verdicts import NOTHING, Contested, Verdict, verdict_in

"""The use of the machine stays as it is: the story's opening may name it."""

MOST_MENDED, MOST_VALUES = 2, 24

Facts = Mapping[str, Value]


class SheetsBeside:
    """Sheets and verdicts for the situation of one rule."""

    def __init__(self, judge: Judge, situation: Situation) -> None:
        self.judge = judge
        self.knowledge = judge.knowledge
        self.situation = situation
        self.rule: Rule = judge.knowledge.rules[situation.rule]
        self.permits = self.rule.force == "may"
        self._index = rule_index(judge)
        self._builder = builder_of(judge)
        self._outcomes: dict[frozenset[tuple[str, Value]], Chained] = {}
        self._absurd_anyway = self._is_absurd(self.outcome(situation.facts))

    def draws(self, what: str, *more: str) -> Draws:
        """Draws of this situation for one purpose."""
        return Draws(what, self.rule.id, *more, self.situation.seed)

    def outcome(self, facts: Facts) -> Chained:
        """What the engine makes of a sheet."""
        key = frozenset(facts.items())
        found = self._outcomes.get(key)
        if found is None:
            found = self._outcomes[key] = self.judge.outcome(facts)
        return found

    def verdict(self, facts: Facts) -> Verdict | None:
        """The verdict on a sheet; None where rules contradict each other on it."""
        try:
            return verdict_in(self.knowledge, self.outcome(facts), self.rule.about)
        except Contested:
            return None

    def word(self, facts: Facts) -> str | None:
        """The word of the verdict on a sheet; None where there is none."""
        found = self.verdict(facts)
        return None if found is None else found.word

    def ruled_by_it(self) -> Iterator[Facts]:
        """Sheets on which the ruling of the rule asked about is the one that counts.

        The situation's own, that without what the rule does not rest on, and these with other rulings put right.
        """
        own = self.situation.facts
        touching = self._index.touching(self.rule.id)
        plain = {name: value for name, value in own.items() if name in touching or name == USE}
        sheets = [own] if len(plain) == len(own) else [own, plain]
        yield from filter(self._counts, sheets)
        for sheet in sheets:
            if self.rule.id in self.outcome(sheet).live:
                yield from filter(self._counts, self.mended(sheet))

    def _counts(self, facts: Facts) -> bool:
        found = self.verdict(facts)
        if found is None or self.rule.id not in self.outcome(facts).live:
            return False
        return found.word == NOTHING if self.permits else self.rule.id in found.rules

    def mended(self, facts: Facts) -> Iterator[Facts]:
        """The sheet with one of the other rulings that stand on it put right by a single change."""
        found = self.verdict(facts)
        others = [id_ for id_ in (() if found is None else found.rules) if id_ != self.rule.id]
        for id_ in others[:MOST_MENDED]:
            changes = SingleChanges(
                self._builder.quick_judge([id_]),
                self._builder.reach,
                self._builder.workshop,
                self.knowledge.rules[id_],
                self.outcome(facts),
                self.draws("mended", id_),
            )
            finder = NearMissFinder(self.judge, self._builder.workshop, self.knowledge.rules[id_], changes)
            for near in finder.find():
                if near.status != "open" and near.changed != USE:
                    yield near.facts

    def near_misses(self) -> list[NearMiss]:
        """The near misses in a drawn order, but for those that would make the story's opening wrong."""
        usable = [near for near in self.situation.near_misses if near.changed != USE]
        return self.draws("near miss").shuffled(usable)

    def contrasting(self, sheet: Facts) -> Iterator[tuple[Facts, str]]:
        """The near misses of a sheet on which another verdict stands, with that."""
        here = self.word(sheet)
        for near in self.near_misses():
            facts = with_change(sheet, near)
            if near.status == "open" or facts == sheet:
                continue
            word = self.word(facts)
            if word not in (None, here) and self.is_silent(facts):
                yield facts, str(word)

    def is_silent(self, facts: Facts) -> bool:
        """Whether the rule asked about does not stand on a sheet, and nothing is open about it."""
        return self.rule.id not in self.outcome(facts).live and not self.is_open(facts) and self.is_fit(facts)

    def is_open(self, facts: Facts) -> bool:
        """Whether the rule asked about waits for something."""
        return status_of(self.knowledge, self.outcome(facts), self.rule).status == "open"

    def is_fit(self, facts: Facts) -> bool:
        """Whether a sheet could come into the workshop, as far as the situation itself could."""
        chained = self.outcome(facts)
        return (
            contradiction(self.knowledge, chained) is None
            and writable(self.knowledge, facts)
            and (self._absurd_anyway or not self._is_absurd(chained))
        )

    def touching(self, rule: Rule) -> frozenset[str]:
        """Every fact on which a rule can rest."""
        return self._index.touching(rule.id)

    def given_below(self, sheet: Facts, names: list[str]) -> tuple[str, ...]:
        """The facts of a sheet on which these facts rest."""
        return self._builder.reach.given_below(self.outcome(sheet), names)

    def siblings(self) -> list[Rule]:
        """The rules that object to the same deed; where none is named, those of the topic that read the same facts."""
        read = self.touching(self.rule)
        found = [
            rule
            for rule in self._index.rules
            if rule.force != "may"
            and rule.id != self.rule.id
            and (
                rule.about == self.rule.about
                if self.rule.about is not None
                else rule.topic == self.rule.topic and not read.isdisjoint(self.touching(rule))
            )
        ]
        return self.draws("siblings").shuffled(found)

    def values(self, name: str, facts: Facts) -> list[Value]:
        """Some usual values of a fact that the rules about the deed tell apart."""
        rules = [self.rule.id, *(rule.id for rule in self.siblings())]
        representatives = Representatives(self._builder.reach, self._builder.reach.rules_below(rules))
        fact = self.knowledge.facts[name]
        usual = [value for value in representatives.of(name, facts) if not fact.is_unusual(value)]
        return self.draws("values", name).shuffled(usual)[:MOST_VALUES]

    def _is_absurd(self, chained: Chained) -> bool:
        return is_absurd(self.knowledge, self._builder.workshop, chained.facts)


def without(facts: Facts, name: str) -> dict[str, Value]:
    """A sheet without one of its facts."""
    return {other: value for other, value in facts.items() if other != name}


def with_change(sheet: Facts, near: NearMiss) -> Facts:
    """The change of a near miss made on a sheet."""
    kept = without(sheet, near.changed)
    return kept | {near.changed: near.facts[near.changed]} if near.changed in near.facts else kept
