"""How strong the examples are: of rules changed in one small way, the share that some example catches.

A changed rule is caught when an example of the base no longer comes out, or when the force of a ruling that an
example makes fire is another. The method is mutation analysis: R. A. DeMillo, R. J. Lipton and F. G. Sayward,
Hints on test data selection, Computer 11 (1978), 34-41.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from sideplate_engine.dependence import Dependence
from sideplate_engine.example_check import example_problem
from sideplate_engine.findings import Position
from sideplate_engine.judging import Judge
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rule_mutants import Mutant, mutants_of
from sideplate_engine.rules import Example, Rule


@dataclass(frozen=True, slots=True)
class Survivor:
    """A changed rule that no example catches: which rule, what the change was, and where it was made."""

    rule: str
    what: str
    at: Position


@dataclass(frozen=True, slots=True)
class Strength:
    """How many mutants were made and how many were caught, and those that were not."""

    made: int = 0
    caught: int = 0
    survivors: tuple[Survivor, ...] = ()

    @property
    def score(self) -> float:
        """The share caught; 1 where there was nothing to catch."""
        return self.caught / self.made if self.made else 1.0

    def __add__(self, other: Strength) -> Strength:
        """The strength of both taken together, survivors in the order of their places."""
        survivors = sorted((*self.survivors, *other.survivors), key=lambda each: (each.at, each.what))
        return Strength(self.made + other.made, self.caught + other.caught, tuple(survivors))


def strength_of(knowledge: KnowledgeBase, ids: Iterable[str] | None = None) -> Iterator[tuple[str, Strength]]:
    """The strength of the examples for each of these rules (of all when none are named), one rule after another."""
    mutation = _Mutation(knowledge)
    for id_ in knowledge.rules if ids is None else ids:
        yield id_, mutation.of(knowledge.rules[id_])


@dataclass
class _Mutation:
    """Runs mutants; what comes out without any change it works out once."""

    knowledge: KnowledgeBase
    dependence: Dependence = field(init=False)
    _sound: dict[str, list[Example]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.dependence = Dependence(self.knowledge)

    def of(self, rule: Rule) -> Strength:
        made = caught = 0
        survivors: list[Survivor] = []
        readers = self.dependence.above(rule.id)
        for mutant in mutants_of(self.knowledge, rule):
            made += 1
            if any(self._catches(mutant, rule, other) for other in (rule.id, *readers)):
                caught += 1
            else:
                survivors.append(Survivor(rule.id, mutant.what, mutant.at))
        return Strength(made, caught, tuple(survivors))

    def _catches(self, mutant: Mutant, rule: Rule, tested: str) -> bool:
        """Whether an example of the tested rule comes out otherwise with the mutant in the rule's place."""
        examples = self._sound_examples(tested)
        if not examples:
            return False
        ids = self.dependence.below((rule.id, tested))
        judge = Judge(self.dependence.part(ids, mutant.rule))
        subject = judge.knowledge.rules[tested]
        for example in examples:
            if example_problem(judge.knowledge, judge.outcome(example.given), subject, example) is not None:
                return True
            if tested == rule.id and example.expect == "fires" and subject.force != rule.force:
                return True
        return False

    def _sound_examples(self, id_: str) -> list[Example]:
        """The examples of a rule that come out with nothing changed."""
        if id_ not in self._sound:
            judge = Judge(self.dependence.part(self.dependence.below([id_])))
            rule = self.knowledge.rules[id_]
            self._sound[id_] = [
                example
                for example in rule.examples
                if not example.todo
                and example_problem(judge.knowledge, judge.outcome(example.given), rule, example) is None
            ]
        return self._sound[id_]
