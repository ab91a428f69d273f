"""What a judgement still waits for: the facts that could settle a ruling already partly met."""

from __future__ import annotations

from dataclasses import dataclass

from sideplate_engine.authored_conditions import FactTest, Test
from sideplate_engine.authored_reading import Reading, read_conditions_of
from sideplate_engine.chaining import Chained
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.plain_reading import Truth
from sideplate_engine.rules import Rule

SAYS_LITTLE = (Test.KNOWN, Test.UNKNOWN)
WEIGHT = {"must": 3, "must not": 3, "should": 2, "should not": 2, "may": 1}


@dataclass(frozen=True, slots=True)
class OpenFact:
    """A fact to ask for, and the rulings it could settle."""

    fact: str
    ask: str
    would_settle: tuple[str, ...]


def open_facts(knowledge: KnowledgeBase, chained: Chained) -> tuple[OpenFact, ...]:
    """The facts that could settle a ruling partly met, the one that decides most first."""
    asking = _Asking(knowledge, chained)
    above = knowledge.overriders
    live = chained.live
    settles: dict[str, list[str]] = {}
    weight: dict[str, float] = {}
    for id_, rule in knowledge.rules.items():
        if rule.force is None or id_ in chained.fired or id_ in chained.excepted:
            continue
        reading = asking.read(rule)
        if reading.truth is not Truth.UNKNOWN or not asking.partly_met(reading):
            continue
        if asking.is_excepted(rule) or not live.isdisjoint(above.get(id_, ())):
            continue  # it would not stand whatever the answers
        wanted = asking.askable(reading.missing(chained.facts))
        for fact in wanted:
            settles.setdefault(fact, []).append(id_)
            # A fact that a ruling waits for alone decides more than one of several.
            weight[fact] = weight.get(fact, 0.0) + WEIGHT[rule.force] / len(wanted)
    order = sorted(settles, key=lambda fact: (-round(weight[fact], 6), fact))
    return tuple(OpenFact(fact, knowledge.facts[fact].ask, tuple(sorted(settles[fact]))) for fact in order)


def askable(knowledge: KnowledgeBase, chained: Chained, names: tuple[str, ...]) -> tuple[str, ...]:
    """The facts a person can be asked for in place of these: of a derived fact, what its rules still lack."""
    return _Asking(knowledge, chained).askable(names)


class _Asking:
    """Looks into one outcome; what it finds out about a rule or a fact it finds out once."""

    def __init__(self, knowledge: KnowledgeBase, chained: Chained) -> None:
        self.knowledge = knowledge
        self.chained = chained
        self._readings: dict[str, Reading] = {}
        self._half_derived: dict[str, bool] = {}

    def read(self, rule: Rule) -> Reading:
        """The reading of a rule's requirement."""
        reading = self._readings.get(rule.id)
        if reading is None:
            reading = read_conditions_of(rule.requirement, self.chained.facts, self.knowledge.facts)
            self._readings[rule.id] = reading
        return reading

    def is_excepted(self, rule: Rule) -> bool:
        """Whether the rule's exception holds already."""
        if rule.unless is None:
            return False
        exception = read_conditions_of(rule.unless, self.chained.facts, self.knowledge.facts)
        return exception.truth is Truth.TRUE

    def partly_met(self, reading: Reading) -> bool:
        """Whether something on the sheet already speaks for the rule.

        That a fact is known or unknown does not count, nor what rules derive, nor the background that most sheets
        give: else every sheet that names a size would be asked for everything that can be measured on a chain.
        """
        if any(test.test not in SAYS_LITTLE and self._speaks(test) for test in reading.holding):
            return True
        if any(self._speaks(test) for test in reading.waiting):
            return True
        return any(self.half_derived(name) for name in reading.missing(self.chained.facts))

    def _speaks(self, test: FactTest) -> bool:
        """Whether a fact that the sheet states, and that is no mere background, is part of the test."""
        return any(
            name in self.chained.given and not self.knowledge.facts[name].background for name in test.facts()
        )

    def half_derived(self, name: str) -> bool:
        """Whether a rule that derives the fact waits for some inputs while the sheet gives others."""
        if name not in self._half_derived:
            self._half_derived[name] = any(
                reading.truth is Truth.UNKNOWN
                and any(test.test is not Test.UNKNOWN and self._speaks(test) for test in reading.holding)
                for reading in map(self.read, self.knowledge.derivers(name))
            )
        return self._half_derived[name]

    def askable(self, names: tuple[str, ...]) -> tuple[str, ...]:
        """The facts to ask for in place of these."""
        found: dict[str, None] = {}
        for name in names:
            self._ask_for(name, found, frozenset())
        return tuple(found)

    def _ask_for(self, name: str, found: dict[str, None], above: frozenset[str]) -> None:
        if name in above:
            return
        below: dict[str, None] = {}
        for rule in self.knowledge.derivers(name):
            reading = self.read(rule)
            if reading.truth is Truth.UNKNOWN:
                for missing in reading.missing(self.chained.facts):
                    self._ask_for(missing, below, above | {name})
        if below:
            found.update(below)
        elif self.knowledge.facts[name].given:
            found[name] = None


@dataclass(frozen=True, slots=True)
class RuleStatus:
    """What became of one rule: `fires`, `quiet`, `open`, `excepted`, `overridden` or `no value`, and why."""

    status: str
    reading: Reading
    missing: tuple[str, ...] = ()
    overridden_by: tuple[str, ...] = ()
    reason: str = ""


def status_of(knowledge: KnowledgeBase, chained: Chained, rule: Rule) -> RuleStatus:
    """What became of a rule in an outcome, by the plain reading of its conditions."""
    reading = read_conditions_of(rule.requirement, chained.facts, knowledge.facts)
    if reading.truth is Truth.FALSE:
        return RuleStatus("quiet", reading)
    if reading.truth is Truth.UNKNOWN:
        return RuleStatus("open", reading, reading.missing(chained.facts))
    if rule.unless is not None:
        exception = read_conditions_of(rule.unless, chained.facts, knowledge.facts)
        if exception.truth is Truth.TRUE:
            return RuleStatus("excepted", exception)
    if rule.id in chained.no_value:
        return RuleStatus("no value", reading, reason=chained.no_value[rule.id])
    if rule.id in chained.overridden:
        return RuleStatus("overridden", reading, overridden_by=chained.overridden[rule.id])
    return RuleStatus("fires", reading)
