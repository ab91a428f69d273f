"""Proof trees: where each fact of a ruling comes from, down to what the sheet states."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.chaining import Chained
from sideplate_engine.derivations import Computation, CopyOf, LookUp
from sideplate_engine.file_models import Citation
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule
from sideplate_engine.tables import Row
from sideplate_engine.vocabulary import System, Value

GIVEN = "given"


@dataclass(frozen=True, slots=True)
class Step:
    """A fact in a proof: its value, who says so (`given` or a rule's id), how, and from which facts.

    A set may be put together by the sheet and several rules; `by` then names them all, joined by commas.
    `how` is the arithmetic with the numbers put in, or the table row; empty where the value is simply stated.
    """

    fact: str
    value: Value
    by: str
    how: str = ""
    sources: tuple[str, ...] = ()
    from_memory: bool = False
    because_of: tuple[Step, ...] = ()


class Proofs:
    """Proof trees of one outcome; each fact's tree is built once and shared."""

    def __init__(self, knowledge: KnowledgeBase, chained: Chained, system: System = "metric") -> None:
        self.knowledge = knowledge
        self.chained = chained
        self.system = system
        self._steps: dict[str, Step] = {}

    def of_rule(self, rule: Rule) -> tuple[Step, ...]:
        """The facts that make a fired rule fire."""
        reading = read_conditions_of(rule.requirement, self.chained.facts, self.knowledge.facts)
        return self.of_facts(facts_of(reading.holding))

    def of_facts(self, names: Iterable[str]) -> tuple[Step, ...]:
        """The steps of facts that are known, in the order named."""
        return tuple(self.of_fact(name) for name in dict.fromkeys(names) if name in self.chained.facts)

    def of_fact(self, name: str) -> Step:
        """The tree of one known fact."""
        step = self._steps.get(name)
        if step is None:
            step = self._steps[name] = self._build(name)
        return step

    def _build(self, name: str) -> Step:
        value = self.chained.facts[name]
        derived = self.chained.derived.get(name)
        if derived is None:
            return Step(name, value, GIVEN)
        steps = [self.of_derivation(self.knowledge.rules[id_], name, value) for id_ in derived.by]
        if not self.knowledge.facts[name].many:
            return steps[0]
        stated = (GIVEN,) if name in self.chained.given else ()
        return Step(
            name,
            value,
            ", ".join((*stated, *derived.by)),
            "; ".join(dict.fromkeys(step.how for step in steps if step.how)),
            tuple(dict.fromkeys(source for step in steps for source in step.sources)),
            any(step.from_memory for step in steps),
            tuple(dict.fromkeys(below for step in steps for below in step.because_of)),
        )

    def of_derivation(self, rule: Rule, name: str, value: Value) -> Step:
        """The step in which a rule derives a fact, whether or not that value stands in the end."""
        sources = list(rule.sources)
        from_memory = False
        how = ""
        for derivation in rule.derivations:
            if derivation.fact != name:
                continue
            match derivation:
                case LookUp():
                    row = derivation.row(self.chained.facts)
                    if row is not None:
                        sources = self._sources_of_cell(row, derivation.take) + sources
                        from_memory = derivation.take in row.from_memory or row.basis == "memory"
                        by = self.knowledge.facts[derivation.by]
                        key = by.show(self.chained.facts[derivation.by], self.system)
                        how = f"table {derivation.table.id}, row {key}, column {derivation.take}"
                case Computation():
                    how = derivation.formula.arithmetic(self.chained.facts, self.knowledge.facts, self.system)
                    sources = list(derivation.formula.sources) + sources
                case CopyOf():
                    how = f"the same as {derivation.source}"
                case _:
                    how = ""
        return Step(
            name,
            value,
            rule.id,
            how,
            tuple(dict.fromkeys(self.knowledge.cite(sources))),
            from_memory,
            self.of_rule(rule),
        )

    def _sources_of_cell(self, row: Row, column: str) -> list[Citation]:
        """The row's sources; a recalled cell is not laid at the door of the works that the rest was read in."""
        if column not in row.from_memory:
            return list(row.sources)
        works = self.knowledge.sources
        return [one for one in row.sources if one.work in works and works[one.work].kind == "memory"]


def facts_of(tests: Iterable[FactTest]) -> tuple[str, ...]:
    """The facts that tests look at, but for those that ask for a fact to be unknown."""
    return tuple(
        dict.fromkeys(name for test in tests if test.test is not Test.UNKNOWN for name in test.facts())
    )
