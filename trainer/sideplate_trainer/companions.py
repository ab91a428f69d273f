"""Rules that are easily taken for one another, and putting one that is known beside one that is new.

Two rules look alike when their author put them in one family, or when they read nearly the same facts and come to
different things. Mixing what looks alike teaches to tell it apart better than keeping it apart does (Brunmair and
Richter, 2019, a meta-analysis of interleaving: the more alike the kinds, the larger the effect).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from sideplate_engine import KnowledgeBase
from sideplate_engine.rules import Rule

ALIKE = 0.5
"""The share of the facts that two rules read between them and both read, from which on they look alike."""

ONE_IN = 5
"""In a round of so many questions one may be asked before it is due, to stand beside a new rule."""


class LookAlikes(Protocol):
    """What knows the look-alikes of a rule."""

    def of(self, id_: str) -> tuple[str, ...]:
        """The look-alikes of a rule, the likeliest first."""


@dataclass(frozen=True, slots=True)
class Companions:
    """Finds the look-alikes of rules, comparing only those that share a fact or a family."""

    knowledge: KnowledgeBase
    rules_by_fact: Mapping[str, tuple[str, ...]]
    rules_by_family: Mapping[str, tuple[str, ...]]

    def of(self, id_: str) -> tuple[str, ...]:
        """The look-alikes of a rule, those of its family first, then the most alike; none for what is no rule."""
        rule = self.knowledge.rules.get(id_)
        if rule is None:
            return ()
        family = self.rules_by_family.get(rule.family or "", ())
        likely = {other for fact in rule.reads() for other in self.rules_by_fact[fact]} | set(family)
        found: list[tuple[bool, float, str]] = []
        for other_id in likely - {id_}:
            other = self.knowledge.rules[other_id]
            alike = _alikeness(rule, other)
            if other_id in family or (alike >= ALIKE and _outcome(rule) != _outcome(other)):
                found.append((other_id not in family, -alike, other_id))
        return tuple(other_id for _, _, other_id in sorted(found))


def companions_in(knowledge: KnowledgeBase) -> Companions:
    """What finds look-alikes in a base."""
    by_fact: dict[str, list[str]] = {}
    by_family: dict[str, list[str]] = {}
    for rule in knowledge.rules.values():
        for fact in rule.reads():
            by_fact.setdefault(fact, []).append(rule.id)
        if rule.family is not None:
            by_family.setdefault(rule.family, []).append(rule.id)
    return Companions(
        knowledge,
        {fact: tuple(ids) for fact, ids in by_fact.items()},
        {family: tuple(ids) for family, ids in by_family.items()},
    )


def beside_new(
    order: Sequence[str], new: frozenset[str], met: frozenset[str], companions: LookAlikes, wanted: int
) -> tuple[str, ...]:
    """The order of asking with a look-alike that was met brought up behind each new rule among the first `wanted`.

    One that comes in the round anyway is only moved. Of those that would not, at most one in five questions is brought
    forward, so that what is due and what is new still come first.
    """
    left = list(order)
    arranged: list[str] = []
    spare = wanted // ONE_IN
    while left and len(arranged) < wanted:
        id_ = left.pop(0)
        arranged.append(id_)
        if id_ not in new or len(arranged) == wanted:
            continue
        in_round = frozenset(left[: wanted - len(arranged)]) & met
        candidates = [other for other in companions.of(id_) if other in met and other in left]
        soon = [other for other in candidates if other in in_round]
        if soon:
            other = soon[0]
        elif candidates and spare > 0:
            other, spare = candidates[0], spare - 1
        else:
            continue
        left.remove(other)
        arranged.append(other)
    return (*arranged, *left)


def _alikeness(one: Rule, other: Rule) -> float:
    read, other_read = set(one.reads()), set(other.reads())
    return len(read & other_read) / len(read | other_read) if read | other_read else 0.0


def _outcome(rule: Rule) -> object:
    """What a rule comes to: its ruling in its words, or what it derives and how."""
    if rule.is_ruling:
        return (rule.force, rule.about, rule.says.source)
    return rule.derivations
