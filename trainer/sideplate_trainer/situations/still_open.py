"""Which facts could still decide whether rules stand, in an outcome that leaves some unknown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from sideplate_engine.authored_conditions import FactTest
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.chaining import Chained
from sideplate_engine.derivations import Computation
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import Rule
from sideplate_trainer.situations.rule_reach import RuleReach


@dataclass(frozen=True, slots=True)
class Deciding:
    """A fact that could decide. `may_stay_unknown` where a rule stands as long as nobody states the fact."""

    fact: str
    may_stay_unknown: bool


@dataclass
class StillOpen:
    """Finds the deciding facts of one outcome.

    `open_facts` are the only ones that may be filled in; None means any that is not given. `closed` ones stay unknown.
    """

    reach: RuleReach
    chained: Chained
    open_facts: frozenset[str] | None
    closed: frozenset[str]
    found: dict[str, bool] = field(default_factory=dict)

    def deciding(self, targets: Iterable[str]) -> list[Deciding]:
        """Facts whose values could change whether one of these rules stands; none when that is settled.

        A number that only a formula gives is named itself, in place of all the facts it is worked out from.
        """
        for id_ in targets:
            self._merge(self._about_rule(self.reach.knowledge.rules[id_]))
        return [Deciding(name, may_stay) for name, may_stay in self.found.items()]

    def _merge(self, names: dict[str, bool]) -> None:
        for name, may_stay in names.items():
            self.found[name] = self.found.get(name, True) and may_stay

    def _about_rule(self, rule: Rule) -> dict[str, bool]:
        """What could change whether a rule fires and stands."""
        reading = read_conditions_of(rule.requirement, self.chained.facts, self.reach.facts)
        if reading.truth is Truth.UNKNOWN:
            return self._about_facts(reading.missing(self.chained.facts))
        if reading.truth is Truth.FALSE:
            # One refuting test settles the rule, if what refutes it can no longer change.
            loose = [self._what_may_loosen((test,)) for test in reading.refuting]
            return min(loose, key=len, default={})
        found = {**self._what_may_set_aside(rule), **self._what_may_loosen(reading.holding)}
        for test in reading.holding:
            if self.open_facts is not None and self._can_be_filled_in(test.fact):
                found.setdefault(test.fact, True)
        return found

    def _what_may_set_aside(self, rule: Rule) -> dict[str, bool]:
        """What could still make the rule's exception hold, or another rule override it."""
        found: dict[str, bool] = {}
        if rule.unless is not None:
            exception = read_conditions_of(rule.unless, self.chained.facts, self.reach.facts)
            if exception.truth is Truth.UNKNOWN:
                found.update(self._about_facts(exception.missing(self.chained.facts)))
        for other in self.reach.overriders(rule.id):
            if other.id in self.chained.fired:
                found.update(self._what_may_set_aside(other))
            else:
                found.update(self._about_rule(other))
        return dict.fromkeys(found, True)

    def _what_may_loosen(self, tests: Iterable[FactTest]) -> dict[str, bool]:
        """What could still take away the derivation of a fact that these tests rest on."""
        found: dict[str, bool] = {}
        for name in dict.fromkeys(name for test in tests for name in test.facts()):
            if name in self.chained.given:
                continue
            for rule in self.reach.derivers(name):
                if rule.id in self.chained.fired:
                    below = read_conditions_of(rule.requirement, self.chained.facts, self.reach.facts)
                    found.update(self._what_may_set_aside(rule))
                    found.update(self._what_may_loosen(below.holding))
        return found

    def _about_facts(self, names: Iterable[str]) -> dict[str, bool]:
        found: dict[str, bool] = {}
        for name in names:
            found.update(self._about_fact(name))
        return found

    def _about_fact(self, name: str) -> dict[str, bool]:
        """A fact that is not known: itself where a sheet can state it, else what its rules wait for."""
        if self._can_be_filled_in(name):
            return {name: False}
        if name in self.closed:
            return {}
        found: dict[str, bool] = {}
        for rule in self.reach.derivers(name):
            reading = read_conditions_of(rule.requirement, self.chained.facts, self.reach.facts)
            if reading.truth is not Truth.UNKNOWN:
                continue
            below = self._about_facts(reading.missing(self.chained.facts))
            if below and isinstance(self.reach.derivation(rule, name), Computation):
                return {name: False}
            found.update(below)
        return found

    def _can_be_filled_in(self, name: str) -> bool:
        return (
            self.reach.facts[name].given
            and name not in self.chained.facts
            and name not in self.closed
            and (self.open_facts is None or name in self.open_facts)
        )
