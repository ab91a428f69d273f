"""What mends a rule's fault: one stated fact at another value. Read off the rule's own examples, or off near misses.

The instructor writes a quiet example as close to a firing one as can be; where the two differ in one fact that both
give, that fact at its quiet value is what mends.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.retelling import differing
from sideplate_trainer.situations.situation import NearMiss, Situation

MACHINE = "bike"
SILENT = ("quiet", "excepted")


@dataclass(frozen=True, slots=True)
class Mending:
    """A fact that fires a rule at `bad` and silences it at `good`, and the other facts (`given`) that go with it."""

    rule: str
    fact: str
    bad: Value
    good: Value
    given: Mapping[str, Value]


def mendings_of(rule: Rule, vocabulary: Mapping[str, Fact]) -> tuple[Mending, ...]:
    """What the rule's examples show to mend it: what somebody does or finds, rather than what describes the machine."""
    firing = [example.given for example in rule.examples if example.expect == "fires" and not example.todo]
    silent = [example.given for example in rule.examples if example.expect in SILENT and not example.todo]
    found: dict[tuple[str, str, str], Mending] = {}
    for one in firing:
        for other in silent:
            names = differing(one, other)
            if len(names) != 1 or names[0] not in one or names[0] not in other:
                continue
            name = names[0]
            mending = Mending(
                rule.id,
                name,
                one[name],
                other[name],
                {fact: value for fact, value in one.items() if fact != name},
            )
            if can_be_told(mending, vocabulary):
                found.setdefault((name, str(mending.bad), str(mending.good)), mending)
    return _best(list(found.values()), vocabulary)


def mended_facts(rule: Rule) -> frozenset[str]:
    """The facts whose change the rule's examples show to mend it."""
    firing = [example.given for example in rule.examples if example.expect == "fires" and not example.todo]
    silent = [example.given for example in rule.examples if example.expect in SILENT and not example.todo]
    changed = (differing(one, other) for one in firing for other in silent)
    return frozenset(names[0] for names in changed if len(names) == 1)


def mendings_in(situation: Situation, vocabulary: Mapping[str, Fact]) -> tuple[Mending, ...]:
    """What mends the rule in a situation, by its near misses; descriptions of the machine only where nothing else."""
    found = [
        Mending(
            situation.rule,
            near.changed,
            situation.facts[near.changed],
            near.facts[near.changed],
            {name: value for name, value in situation.facts.items() if name != near.changed},
        )
        for near in situation.near_misses
        if _changes_a_value(situation, near)
    ]
    return _best([each for each in found if can_be_told(each, vocabulary)], vocabulary)


def can_be_told(mending: Mending, vocabulary: Mapping[str, Fact]) -> bool:
    """Whether a story has a sentence for either value."""
    fact = vocabulary[mending.fact]
    return fact.given and bool(fact.tell(mending.bad)) and bool(fact.tell(mending.good))


def describes_the_machine(fact: Fact) -> bool:
    """Whether a fact describes the machine, which nobody puts right, rather than the work."""
    return fact.background or fact.subject == MACHINE


def _changes_a_value(situation: Situation, near: NearMiss) -> bool:
    return near.status in SILENT and near.changed in situation.facts and near.changed in near.facts


def _best(mendings: list[Mending], vocabulary: Mapping[str, Fact]) -> tuple[Mending, ...]:
    """Those that change no description of the machine; all of them where there are no others."""
    work = [each for each in mendings if not describes_the_machine(vocabulary[each.fact])]
    return tuple(work or mendings)
