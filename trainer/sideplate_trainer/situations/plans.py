"""Plans: what a sheet must give so that tests hold, and by which rules the rest is derived."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from sideplate_engine.authored_conditions import AllOf, FactTest
from sideplate_engine.rules import Rule


class DeadEnd(Exception):
    """This way of making the tests true leads nowhere; another draw may."""


@dataclass(frozen=True, slots=True)
class Avoid:
    """Conditions that must not come to hold, or failing that tests that make it harmless if they do.

    `what` completes the message when neither can be had. `settled` ones are to fail for certain, not merely to wait
    for a fact that the sheet leaves out; where that cannot be had, waiting will do.
    """

    conditions: AllOf
    what: str
    unless: tuple[FactTest, ...] = ()
    settled: bool = False


@dataclass
class Plan:
    """What a sheet must give. `via` names the rule that is to derive a fact; every other fact in `tests` is given."""

    tests: dict[str, list[FactTest]] = field(default_factory=dict)
    between: list[FactTest] = field(default_factory=list)
    absent: set[str] = field(default_factory=set)
    via: dict[str, Rule] = field(default_factory=dict)
    goals: list[FactTest] = field(default_factory=list)

    def given(self) -> list[str]:
        """The facts that the sheet itself states."""
        return [name for name in self.tests if name not in self.via]

    def partners(self, name: str) -> list[FactTest]:
        """The tests between this fact and others."""
        return [test for test in self.between if name in test.facts()]

    def below(self, names: Sequence[str]) -> list[str]:
        """The given facts on which these facts rest."""
        return [name for name in self._reached(names) if name not in self.via]

    def derived_below(self, names: Sequence[str]) -> list[str]:
        """The facts that rules derive on the way to these, and these themselves where rules derive them."""
        return [name for name in self._reached(names) if name in self.via]

    def _reached(self, names: Sequence[str]) -> list[str]:
        found: dict[str, None] = {}
        waiting = list(names)
        while waiting:
            name = waiting.pop()
            if name in found:
                continue
            found[name] = None
            rule = self.via.get(name)
            if rule is not None:
                waiting += [read for read in rule.requirement.facts() if read in self.tests]
        return list(found)
