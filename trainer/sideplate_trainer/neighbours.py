"""The case next door: one stated number or row changed a little, and what the engine then works out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from sideplate_engine import Judge
from sideplate_engine.derivations import LookUp
from sideplate_engine.proofs import GIVEN, Proofs, Step
from sideplate_engine.vocabulary import Fact, Value
from sideplate_trainer.questions import Twin
from sideplate_trainer.retelling import change_in_words

STEP = 0.05
"""By how much of itself a stated quantity is changed."""


def neighbour_case(judge: Judge, facts: Mapping[str, Value], wanted: str) -> tuple[Twin, ...]:
    """The facts with one of those that the wanted number rests on changed, so that the number changes; at most one."""
    vocabulary = judge.knowledge.facts
    chained = judge.outcome(facts)
    shown = vocabulary[wanted].show(chained.facts[wanted])
    for name in _stated(Proofs(judge.knowledge, chained).of_fact(wanted)):
        for value in _next_to(judge, vocabulary[name], facts[name]):
            changed = {**facts, name: value}
            outcome = judge.outcome(changed)
            if wanted in outcome.derived and not outcome.conflicts:
                then = vocabulary[wanted].show(outcome.facts[wanted])
                if then != shown:
                    return (Twin(change_in_words(facts, changed, vocabulary), changed, then),)
    return ()


def _stated(step: Step) -> Iterator[str]:
    """The stated facts a proof rests on, the nearest to the number first."""
    level = [step]
    while level:
        yield from (each.fact for each in level if each.by == GIVEN)
        level = [below for each in level for below in each.because_of]


def _next_to(judge: Judge, fact: Fact, value: Value) -> Iterator[Value]:
    if isinstance(value, (bool, frozenset)):
        return
    if isinstance(value, str):
        yield from _other_rows(judge, fact.name, value)
        return
    near: tuple[float, ...]
    if fact.kind == "count":
        near = (value + 1, value - 1)
    else:
        places = 1 if fact.decimals is None else fact.decimals
        near = (round(value * (1 + STEP), places), round(value * (1 - STEP), places))
    low, high = fact.usual or fact.possible or (-float("inf"), float("inf"))
    yield from (int(other) if fact.kind == "count" else other for other in near if low <= other <= high)


def _other_rows(judge: Judge, fact: str, value: str) -> Iterator[str]:
    """The keys of the rows after this one, then of those before it, in a table that is looked up by the fact."""
    for rule in judge.knowledge.rules.values():
        for derivation in rule.derivations:
            if isinstance(derivation, LookUp) and derivation.by == fact:
                keys = [str(key) for key in derivation.table.rows]
                here = keys.index(value) if value in keys else -1
                yield from (*keys[here + 1 :], *reversed(keys[: max(here, 0)]))
                return
