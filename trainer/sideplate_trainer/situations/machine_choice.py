"""Which machine of the workshop a sheet is drawn for, and the values it suggests for each fact."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from collections.abc import Sequence
from dataclasses import dataclass

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.condition_algebra import allows
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.value_drawing import Hints
from sideplate_trainer.situations.workshop import Machine, Workshop, defines

Facts = MappingABC[str, Value]


class MachineChoice:
    """Chooses machines, and knows what rules make of each; made once a base."""

    def __init__(self, judge: Judge, reach: RuleReach, workshop: Workshop) -> None:
        self._reach = reach
        self._workshop = workshop
        self._known = {machine.name: judge.outcome(machine.facts).facts for machine in workshop.machines}
        self._common = self._common_values()

    def fitting(self, tests: Sequence[FactTest], draws: Draws) -> Machine | None:
        """A machine that tests of what it is allow; an uncommon one only where they ask for what it is."""
        asked = [test for test in tests if defines(test.fact) and test.other is None]
        fitting = [
            machine
            for machine in self._workshop.machines
            if (asked or not machine.only_when_asked)
            and all(
                allows([test], test.fact, machine.facts[test.fact], self._reach.facts)
                for test in asked
                if test.fact in machine.facts
            )
        ]
        return draws.pick(fitting) if fitting else None

    def matching(self, facts: Facts, draws: Draws) -> Machine | None:
        """A machine that is what these facts say it is."""
        fitting = [
            machine
            for machine in self._workshop.machines
            if all(machine.facts.get(name, value) == value for name, value in facts.items() if defines(name))
            and (not machine.only_when_asked or any(defines(name) for name in facts))
        ]
        return draws.pick(fitting) if fitting else None

    def hinter(self, example: Facts, machine: Machine | None, *, close: bool = False) -> Hinter:
        """What to try first for each fact: an example's value, varied, then the machine's own.

        `close` keeps to the example wherever it has a value.
        """
        own = {} if machine is None else self._known[machine.name]
        return Hinter(self._reach, self._common, example, own, close)

    def _common_values(self) -> dict[str, frozenset[Value]]:
        """For each fact, the values it takes on machines that come in unasked, or else in examples."""
        on_machines: dict[str, set[Value]] = {}
        for machine in self._workshop.machines:
            if not machine.only_when_asked:
                for name, value in self._known[machine.name].items():
                    on_machines.setdefault(name, set()).add(value)
        in_examples: dict[str, set[Value]] = {}
        for rule in self._reach.knowledge.rules.values():
            for example in rule.examples:
                for name, value in example.given.items():
                    in_examples.setdefault(name, set()).add(value)
        return {name: frozenset(known) for name, known in {**in_examples, **on_machines}.items()}


@dataclass(frozen=True, slots=True)
class Hinter:
    """Hints by fact, for one example and one machine."""

    reach: RuleReach
    common: MappingABC[str, frozenset[Value]]
    example: Facts
    machine: Facts
    close: bool

    def __call__(self, name: str) -> Hints:
        """The hints for one fact."""
        if self.close and name in self.example:
            fixed: Value | None = self.example[name]
        else:
            fixed = self.machine.get(name) if defines(name) else None
        return Hints(
            like=None if fixed is not None else self.example.get(name),
            exact=self.machine.get(name),
            fixed=fixed,
            words=self.reach.words_of(name),
            common=self.common.get(name, frozenset()),
            standard=self.reach.standard(name),
            can_be_empty=self.reach.can_be_empty(name),
        )
