"""Candidates for a situation: sheets on which a rule stands, and how odd each is."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.consistency import (
    asking,
    contradiction,
    is_absurd,
    rulings,
    unusual,
    writable,
)
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.plans import DeadEnd
from sideplate_trainer.situations.workshop import Machine, Workshop

_ANOTHER_ASKING, _ABSURD = 3, 20
_MOST_COLOURS = 4

Facts = MappingABC[str, Value]


@dataclass(frozen=True, slots=True)
class Candidate:
    """A sheet on which the rule stands, the machine it was drawn for, and how odd it is: 0 is not odd at all."""

    facts: Facts
    machine: Machine | None
    oddness: int


@dataclass(frozen=True, slots=True)
class Scrutiny:
    """Looks sheets over by the judgement of the whole base."""

    judge: Judge
    workshop: Workshop

    def candidate(self, rule: Rule, facts: Facts, machine: Machine | None) -> Candidate:
        """The candidate that a sheet makes. Raises DeadEnd where the rule does not stand on it."""
        knowledge = self.judge.knowledge
        untold = [name for name in facts if not knowledge.facts[name].given]
        if untold:
            raise DeadEnd(f"no sheet states {' and '.join(untold)}, and no story can tell it")
        if not writable(knowledge, facts):
            raise DeadEnd("only values that cannot be written down exactly would do")
        chained = self.judge.outcome(facts)
        if rule.id in chained.overridden:
            raise DeadEnd(f"{' and '.join(chained.overridden[rule.id])} sets it aside")
        if rule.id not in chained.live:
            raise DeadEnd(chained.no_value.get(rule.id, "its conditions do not come to hold together"))
        problem = contradiction(knowledge, chained)
        if problem is not None:
            raise DeadEnd(problem)
        others = rulings(knowledge, chained) - {rule.id}
        others_asking = others & asking(knowledge, chained)
        oddness = len(others) + _ANOTHER_ASKING * len(others_asking) + unusual(knowledge, chained)
        if is_absurd(knowledge, self.workshop, chained.facts):
            oddness += _ABSURD
        return Candidate(facts, machine, oddness)

    def coloured(self, rule: Rule, candidate: Candidate, draws: Draws) -> Facts:
        """The sheet with two to four more facts of the machine that change no ruling and contradict nothing."""
        facts = dict(candidate.facts)
        if candidate.machine is None:
            return facts
        before = self.judge.outcome(facts)
        standing = rulings(self.judge.knowledge, before)
        wanted = draws.whole(2, _MOST_COLOURS)
        for name in self._colours(candidate, candidate.machine, draws):
            if wanted == 0:
                break
            if name in before.facts:
                continue
            tried = {**facts, name: candidate.machine.facts[name]}
            try:
                with_it = self.candidate(rule, tried, candidate.machine)
            except DeadEnd:
                continue
            if (
                with_it.oddness <= candidate.oddness
                and rulings(self.judge.knowledge, self.judge.outcome(tried)) == standing
            ):
                facts = tried
                wanted -= 1
        return facts

    def _colours(self, candidate: Candidate, machine: Machine, draws: Draws) -> list[str]:
        """Facts that a story might mention beside these: of the machine itself, or of the parts it tells of."""
        vocabulary = self.judge.knowledge.facts
        subjects = {"bike", "chain", *(vocabulary[name].subject for name in candidate.facts)}
        names = draws.shuffled([name for name in machine.facts if vocabulary[name].subject in subjects])
        return sorted(names, key=lambda name: name != "bike.use") if draws.chance(0.5) else names
