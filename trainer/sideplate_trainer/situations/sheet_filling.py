"""Fills a plan with values: every given fact gets one that satisfies the tests of it, and of it and others."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.condition_algebra import against_value, mirrored
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.plans import DeadEnd, Plan
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.value_drawing import Hints, draw_value

_ROUNDS = 5

Facts = dict[str, Value]
Hinter = Callable[[str], Hints]


@dataclass
class Filler:
    """Gives every fact of a plan a value. `pinned` facts have theirs already."""

    reach: RuleReach
    plan: Plan
    draws: Draws
    hints: Hinter
    pinned: MappingABC[str, Value]

    def fill(self) -> Facts:
        """A sheet with every given fact on it; what rules work out may still miss its goals. Raises DeadEnd."""
        facts: Facts = dict(self.pinned)
        names = [name for name in self.plan.given() if name not in self.pinned]
        for name in sorted(self.draws.shuffled(names), key=self._freedom):
            facts[name] = self._value(name, self.tests(name, facts))
        return facts

    def _freedom(self, name: str) -> int:
        """The facts that tests leave least choice come first; those compared with another come last."""
        tests = self.plan.tests[name]
        if any(test.test in (Test.EQUALS, Test.ONE_OF) for test in tests):
            return 0
        return 2 if self.plan.partners(name) else 1

    def tests(self, name: str, facts: MappingABC[str, Value]) -> list[FactTest]:
        """The tests of one fact, those between facts with the other's value put in where it is known."""
        vocabulary = self.reach.facts
        tests = list(self.plan.tests[name])
        for test in self.plan.partners(name):
            facing = test if test.fact == name else mirrored(test)
            put_in = against_value(facing, facts, vocabulary)
            if put_in is not None:
                tests.append(put_in)
        return tests

    def _value(self, name: str, tests: Sequence[FactTest]) -> Value:
        value = draw_value(self.reach.facts[name], tests, self.hints(name), self.draws, self.reach.facts)
        if value is None:
            raise DeadEnd(f"no value of {name} satisfies all that is asked of it")
        return value
