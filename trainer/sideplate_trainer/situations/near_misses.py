"""Near misses: for each condition that carries a rule, the smallest single change of the sheet that silences it."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.chaining import Chained
from sideplate_engine.condition_algebra import holds, mirrored, opposite
from sideplate_engine.open_facts import status_of
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.consistency import asking, contradiction, is_absurd, unusual, writable
from sideplate_trainer.situations.single_changes import Change, SingleChanges
from sideplate_trainer.situations.situation import NearMiss
from sideplate_trainer.situations.workshop import Workshop

Facts = MappingABC[str, Value]

_TRIED_AT_MOST = 12


@dataclass
class NearMissFinder:
    """Finds the near misses of one sheet, by the judgement of the whole base."""

    judge: Judge
    workshop: Workshop
    rule: Rule
    changes: SingleChanges

    def __post_init__(self) -> None:
        knowledge, chained = self.judge.knowledge, self.changes.chained
        self._facts: Facts = chained.given
        self._vocabulary = knowledge.facts
        self._odd = unusual(knowledge, chained)
        self._absurd = is_absurd(knowledge, self.workshop, chained.facts)

    def find(self) -> tuple[NearMiss, ...]:
        """The near misses: for each condition a change and a taking away, then what the exception comes to."""
        found: list[NearMiss] = []
        for test in self._branch():
            changed = self._nearest(test, list(self.changes.breaking(test)))
            taken = self._nearest(test, list(self.changes.taken_away(test)))
            found += [miss for miss in (changed, taken) if miss is not None]
        found += self._exceptions()
        kept: dict[tuple[str, object], NearMiss] = {}
        for miss in found:
            kept.setdefault((miss.changed, miss.facts.get(miss.changed)), miss)
        return tuple(kept.values())

    def _branch(self) -> tuple[FactTest, ...]:
        """The tests of a branch of the rule's conditions that holds here."""
        known = self.changes.chained.facts
        for branch in self.rule.requirement.spread():
            if all(holds(test, known, self._vocabulary) for test in branch):
                return branch
        return ()

    def _nearest(self, test: FactTest, changes: list[Change]) -> NearMiss | None:
        """The best of the changes that silence the rule by breaking this test.

        One that settles the rule comes before one that leaves it open, then the one that leaves fewest rulings
        standing, then the smallest.
        """
        knowledge = self.judge.knowledge
        best: tuple[tuple[bool, int, float], NearMiss] | None = None
        for change in sorted(changes, key=lambda each: each.size)[:_TRIED_AT_MOST]:
            facts = change.made_in(self._facts)
            chained = self.judge.outcome(facts)
            silenced = self.rule.id not in chained.live and self.rule.id not in chained.overridden
            if not silenced or holds(test, chained.facts, self._vocabulary) or not self._is_fit(chained):
                continue
            status = status_of(knowledge, chained, self.rule).status
            odder = unusual(knowledge, chained) > self._odd
            rank = (status == "open", len(asking(knowledge, chained)) + odder, change.size)
            if best is None or rank < best[0]:
                best = (rank, NearMiss(facts, change.fact, test, status))
            if rank[:2] == (False, 0):
                break
        return None if best is None else best[1]

    def _is_fit(self, chained: Chained) -> bool:
        """Whether a changed sheet could come into the workshop: as fit as the one it was changed from."""
        knowledge = self.judge.knowledge
        return (
            contradiction(knowledge, chained) is None
            and writable(knowledge, chained.given)
            and (self._absurd or not is_absurd(knowledge, self.workshop, chained.facts))
        )

    def _exceptions(self) -> Iterator[NearMiss]:
        """Changes of one fact by which the rule's own exception comes to hold."""
        known = self.changes.chained.facts
        for branch in self.rule.unless.spread() if self.rule.unless is not None else ():
            lacking = [test for test in branch if not holds(test, known, self._vocabulary)]
            if len(lacking) != 1:
                continue
            test = lacking[0]
            changes = list(self.changes.added(test))
            if test.other is not None:
                changes += self.changes.added(mirrored(test))
            if test.fact in self._facts:
                changes += self.changes.breaking(opposite(test))
            for change in changes:
                facts = change.made_in(self._facts)
                chained = self.judge.outcome(facts)
                if self.rule.id in chained.excepted and self._is_fit(chained):
                    yield NearMiss(facts, change.fact, test, "excepted")
                    break
