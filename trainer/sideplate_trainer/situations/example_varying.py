"""Varies a rule's own example: the author's figures go together, which figures drawn apart seldom do."""

from __future__ import annotations

from collections.abc import Mapping as MappingABC
from dataclasses import dataclass

from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations.candidates import Candidate, Scrutiny
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.machine_choice import MachineChoice
from sideplate_trainer.situations.plans import DeadEnd
from sideplate_trainer.situations.rule_reach import RuleReach
from sideplate_trainer.situations.value_drawing import Hints, near, options_of, written

_ANOTHER_WORD_SHARE = 0.3
_STEPS_A_NUMBER = 2
_DEEPEST = 5

Facts = MappingABC[str, Value]


@dataclass(frozen=True, slots=True)
class ExampleVarying:
    """Moves the values of an example one by one, and keeps every move that leaves the rule standing."""

    reach: RuleReach
    scrutiny: Scrutiny
    machines: MachineChoice

    def given_by(self, rule: Rule, draws: Draws) -> Facts:
        """The facts of a firing example; in place of one that no sheet states, those from which examples derive it."""
        facts: dict[str, Value] = {}
        waiting = [rule]
        for _ in range(_DEEPEST):
            fires = [
                each.given for each in waiting.pop().examples if each.expect == "fires" and not each.todo
            ]
            facts = {**(draws.pick(fires) if fires else {}), **facts}
            unstated = [name for name in facts if not self.reach.facts[name].given]
            if not unstated:
                break
            del facts[unstated[0]]
            derivers = self.reach.derivers(unstated[0])
            if not derivers:
                break
            waiting.append(draws.pick(derivers))
        return {name: value for name, value in facts.items() if self.reach.facts[name].given}

    def stands_on(self, rule: Rule, example: Facts, draws: Draws) -> Candidate | None:
        """The candidate that an example makes as it stands, its figures written as the workshop does; or None."""
        written_down = {name: written(self.reach.facts[name], value) for name, value in example.items()}
        machine = self.machines.matching(written_down, draws)
        for facts in (written_down, dict(example)):
            try:
                return self.scrutiny.candidate(rule, facts, machine)
            except DeadEnd:
                continue
        return None

    def moved(self, rule: Rule, candidate: Candidate, draws: Draws) -> Candidate:
        """The candidate with its values moved one by one, as far as the rule stands on and nothing gets odder."""
        hints = self.machines.hinter({}, candidate.machine)
        for name in draws.shuffled([*candidate.facts] * _STEPS_A_NUMBER):
            value = self._another(name, candidate.facts[name], hints(name), draws)
            if value == candidate.facts[name]:
                continue
            try:
                moved = self.scrutiny.candidate(rule, {**candidate.facts, name: value}, candidate.machine)
            except DeadEnd:
                continue
            if moved.oddness <= candidate.oddness:
                candidate = moved
        return candidate

    def _another(self, name: str, value: Value, hints: Hints, draws: Draws) -> Value:
        """A value near a number; now and then another word that is common for a code or a choice."""
        fact = self.reach.facts[name]
        if fact.is_number and not hints.standard:
            return near(fact, value, draws)
        if isinstance(value, frozenset) or not draws.chance(_ANOTHER_WORD_SHARE):
            return value
        options = [*hints.standard] or options_of(fact, hints.words)
        common = [option for option in options if option in hints.common]
        return draws.pick(common or options)
