"""Rules changed in one small way each: conditions, exception, force, derived values, overrides."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from sideplate_engine.authored_conditions import AllOf, FactTest
from sideplate_engine.authored_reading import read_conditions_of
from sideplate_engine.condition_mutants import SLIP, changed_conditions
from sideplate_engine.condition_regions import regions_of
from sideplate_engine.derivations import Derivation, LookUp, PlainValue
from sideplate_engine.file_models import Force
from sideplate_engine.findings import Position
from sideplate_engine.graduations import graduation
from sideplate_engine.knowledge_base import KnowledgeBase
from sideplate_engine.rules import Rule, requirement_of
from sideplate_engine.tables import Column
from sideplate_engine.value_states import TooManyStates
from sideplate_engine.vocabulary import Fact, Value

CONTRARY: dict[Force, Force] = {
    "must": "must not",
    "must not": "must",
    "should": "should not",
    "should not": "should",
    "may": "must not",
}

MOST_COMPARED = 400
"""Combinations of states that are tried to find a change that changes nothing; beyond, it counts as a change."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """A rule after one change, what the change is, and where it was made."""

    rule: Rule
    what: str
    at: Position


def mutants_of(knowledge: KnowledgeBase, rule: Rule) -> Iterator[Mutant]:
    """Every small change of a rule that makes a difference to some facts."""
    for changed in changed_conditions(rule.conditions, knowledge.facts):
        if not _means_the_same(knowledge, rule.conditions, changed.conditions):
            yield Mutant(_with_conditions(rule, changed.conditions), changed.what, changed.at)
    if rule.unless is not None:
        yield Mutant(replace(rule, unless=None), "without its exception", rule.place("unless"))
        for changed in changed_conditions(rule.unless, knowledge.facts):
            if changed.conditions.parts and not _means_the_same(knowledge, rule.unless, changed.conditions):
                what = f"in the exception, {changed.what}"
                yield Mutant(replace(rule, unless=changed.conditions), what, changed.at)
    if rule.force is not None:
        contrary = CONTRARY[rule.force]
        yield Mutant(replace(rule, force=contrary), f"becomes: {contrary}", rule.place("ruling"))
    for number, derivation in enumerate(rule.derivations):
        for other, what in _other_derivations(knowledge, derivation):
            derivations = (*rule.derivations[:number], other, *rule.derivations[number + 1 :])
            yield Mutant(replace(rule, derivations=derivations), what, derivation.at)
    for id_ in rule.overrides:
        kept = tuple(other for other in rule.overrides if other != id_)
        yield Mutant(replace(rule, overrides=kept), f"does not override {id_}", rule.place("overrides"))


def _with_conditions(rule: Rule, conditions: AllOf) -> Rule:
    requirement = requirement_of(conditions, rule.derivations, rule.place("derive"))
    return replace(rule, conditions=conditions, requirement=requirement)


def _other_derivations(knowledge: KnowledgeBase, derivation: Derivation) -> Iterator[tuple[Derivation, str]]:
    fact = knowledge.facts[derivation.fact]
    if isinstance(derivation, PlainValue):
        value = _other_value(fact, derivation.value)
        if value is not None:
            yield replace(derivation, value=value), f"derives {fact.show(value)}"
    elif isinstance(derivation, LookUp):
        columns = derivation.table.columns
        own = columns[derivation.take]
        for name, column in columns.items():
            if name not in (derivation.take, derivation.table.key) and _alike(column, own):
                yield replace(derivation, take=name), f"takes the column {name}"
                break


def _alike(column: Column, other: Column) -> bool:
    """Whether a column could be taken for another."""
    if column.reads is None or other.reads is None:
        return False
    return column.reads.kind == other.reads.kind and column.unit == other.unit


def _other_value(fact: Fact, value: Value) -> Value | None:
    """Another value of the fact, far enough off to count as another."""
    if isinstance(value, frozenset):
        known = sorted(fact.choices or value)
        return next((frozenset({other}) for other in known if frozenset({other}) != value), None)
    if isinstance(value, bool):
        return not value
    if isinstance(value, str):
        if fact.kind == "choice":
            return next((other for other in fact.choices or () if other != value), None)
        return f"{value}X"
    if fact.kind == "count":
        return int(value) + 1
    step = graduation(fact, value, SLIP)
    moved = value + step
    while fact.agrees(value, moved):
        step *= 2
        moved = value + step
    return moved


def _means_the_same(knowledge: KnowledgeBase, one: AllOf, other: AllOf) -> bool:
    """Whether two sets of conditions are true, false and unknown of the same facts, where that can be tried out."""
    tests = [*one.tests(), *other.tests()]
    if any(test.other is not None for test in tests):
        return _sides(one) == _sides(other)
    try:
        states = regions_of(knowledge.facts, one, other).states
    except TooManyStates:
        return False
    combinations = 1
    for found in states.values():
        combinations *= len(found)
    if combinations > MOST_COMPARED:
        return False
    for values in product(*states.values()):
        facts = {name: value for name, value in zip(states, values, strict=True) if value is not None}
        before, after = (read_conditions_of(each, facts, knowledge.facts).truth for each in (one, other))
        if before is not after:
            return False
    return True


def _sides(conditions: AllOf) -> list[frozenset[FactTest]]:
    return [frozenset(tests) for tests in conditions.spread()]
