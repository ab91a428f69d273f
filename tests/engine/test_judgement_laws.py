"""Laws that every judgement keeps, on generated knowledge bases and sheets of every form.

The outside check is CLIPS 6.4 (through clipspy), an engine that shares neither code nor design with the matcher.
A failing case prints its seed; the same seed draws the same base and sheets.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sideplate_engine import Judge, KnowledgeBase, judgement_as_data
from sideplate_engine.chaining import Chained
from sideplate_engine.compiled_rules import compile_rules
from sideplate_engine.matcher import Matcher
from sideplate_engine.open_facts import open_facts, status_of
from sideplate_engine.proofs import GIVEN, Proofs, Step
from sideplate_engine.strata import overriders
from sideplate_engine.vocabulary import Value
from support import generated_knowledge
from support.clips_reading import ClipsReading

pytestmark = pytest.mark.slow

SEEDS = st.integers(0, 2**32)


def drawn(seed: int, rules: int, sheets: int) -> tuple[KnowledgeBase, list[dict[str, Value]]]:
    chance = Random(seed)
    knowledge, names = generated_knowledge.knowledge_base(chance, rules)
    return knowledge, [generated_knowledge.sheet(chance, names) for _ in range(sheets)]


def agree(seed: int, rules: int, sheets: int) -> int:
    """Judge every sheet by the matcher, by the plain reading and by CLIPS; return how many rules fired in all."""
    knowledge, facts = drawn(seed, rules, sheets)
    judge = Judge(knowledge)
    conjunctions = compile_rules(knowledge).conjunctions
    by_clips = ClipsReading(conjunctions)
    fired = 0
    with closing(Matcher(conjunctions)) as matcher:
        for stated in facts:
            plainly = judge.outcome(stated)
            assert judge.chain(stated, matcher.matches) == plainly, stated
            assert judge.chain(stated, by_clips.matches) == plainly, stated
            fired += len(plainly.fired)
    return fired


@settings(max_examples=50, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 20))
def test_matcher_plain_reading_and_clips_come_to_one_outcome(seed: int, rules: int) -> None:
    agree(seed, rules, sheets=30)


@pytest.mark.parametrize("seed", range(6))
def test_they_do_on_large_bases_too(seed: int) -> None:
    assert agree(seed, rules=90, sheets=150) > 150, "the generated sheets met hardly any rule"


@settings(max_examples=100, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 30))
def test_the_conditions_as_written_say_of_every_rule_what_became_of_it(seed: int, rules: int) -> None:
    knowledge, facts = drawn(seed, rules, sheets=30)
    judge = Judge(knowledge)
    for stated in facts:
        outcome = judge.outcome(stated)
        by_status: dict[str, set[str]] = {}
        for id_, rule in knowledge.rules.items():
            by_status.setdefault(status_of(knowledge, outcome, rule).status, set()).add(id_)
        assert by_status.get("fires", set()) == outcome.live
        assert by_status.get("overridden", set()) == outcome.overridden.keys()
        assert by_status.get("excepted", set()) == outcome.excepted
        assert by_status.get("no value", set()) == outcome.no_value.keys()


def shuffled(knowledge: KnowledgeBase, chance: Random) -> KnowledgeBase:
    """The same knowledge with its rules, facts, tables and formulas in another order."""

    def other(mapping: Any) -> Any:
        entries = list(mapping.items())
        chance.shuffle(entries)
        return dict(entries)

    return replace(
        knowledge,
        rules=other(knowledge.rules),
        facts=other(knowledge.facts),
        tables=other(knowledge.tables),
        formulas=other(knowledge.formulas),
        subjects=other(knowledge.subjects),
    )


@settings(max_examples=25, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 25))
def test_a_judgement_is_the_same_for_any_order_of_rules_and_facts(seed: int, rules: int) -> None:
    knowledge, facts = drawn(seed, rules, sheets=12)
    chance = Random(seed)
    one, other = Judge(knowledge), Judge(shuffled(knowledge, chance))
    for stated in facts:
        turned = list(stated.items())
        chance.shuffle(turned)
        by_one, by_other = (judge.explain(judge.outcome(dict(turned))) for judge in (one, other))
        assert judgement_as_data(by_one) == judgement_as_data(one.explain(one.outcome(stated)))
        assert judgement_as_data(by_one) == judgement_as_data(by_other)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(SEEDS)
def test_a_judgement_is_the_same_for_any_order_of_files(tmp_path_factory: Any, seed: int) -> None:
    chance = Random(seed)
    names = generated_knowledge.names(chance)
    written = generated_knowledge.files(chance, names, 20)
    vocabulary = {path: text for path, text in written.items() if path.startswith("vocabulary/")}
    lines = [line for text in vocabulary.values() for line in text.splitlines()]
    chance.shuffle(lines)
    rest = {path: text for path, text in written.items() if path not in vocabulary}
    moved = {**rest, **{f"vocabulary/f{number}.yaml": line + "\n" for number, line in enumerate(lines)}}
    one, other = (Judge(generated_knowledge.loaded(each)) for each in (written, moved))
    for _ in range(12):
        stated = generated_knowledge.sheet(chance, names)
        assert told(one, stated) == told(other, stated)


def told(judge: Judge, stated: dict[str, Value]) -> dict[str, Any]:
    """A judgement as data, without the places of files and folders."""
    data: dict[str, Any] = without_places(judgement_as_data(judge.explain(judge.outcome(stated))))
    return data


def without_places(data: Any) -> Any:
    if isinstance(data, dict):
        return {key: without_places(value) for key, value in data.items() if key not in ("at", "whose")}
    return [without_places(item) for item in data] if isinstance(data, list) else data


def contested(outcome: Chained) -> set[str]:
    return {conflict.fact for conflict in outcome.conflicts}


def steps(step: Step) -> Iterator[Step]:
    yield step
    for below in step.because_of:
        yield from steps(below)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 30))
def test_what_stands_is_accounted_for(seed: int, rules: int) -> None:
    knowledge, facts = drawn(seed, rules, sheets=20)
    judge = Judge(knowledge)
    above = overriders(knowledge.rules.values())
    for stated in facts:
        outcome = judge.outcome(stated)
        for id_, by in outcome.overridden.items():
            assert by == tuple(other for other in above[id_] if other in outcome.live)
        assert all(outcome.live.isdisjoint(above.get(id_, ())) for id_ in outcome.live)
        assert not (outcome.fired & outcome.excepted)
        assert not (outcome.fired & outcome.no_value.keys())
        assert outcome.facts.keys() == stated.keys() | outcome.derived.keys()
        assert not contested(outcome) & outcome.derived.keys()
        assert all(
            outcome.facts[name] == value for name, value in stated.items() if name not in outcome.derived
        )
        for name, derived in outcome.derived.items():
            assert set(derived.by) <= outcome.live
            assert derived.value == outcome.facts[name]
            assert name not in stated or knowledge.facts[name].many
        for conflict in outcome.conflicts:
            assert {id_ for _, by in conflict.values for id_ in by} - {GIVEN} <= outcome.live
            assert conflict.has_given == (conflict.fact in stated)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 30))
def test_every_proof_goes_down_to_the_sheet(seed: int, rules: int) -> None:
    knowledge, facts = drawn(seed, rules, sheets=15)
    judge = Judge(knowledge)
    for stated in facts:
        outcome = judge.outcome(stated)
        proofs = Proofs(knowledge, outcome)
        for id_ in outcome.live:
            for step in (below for top in proofs.of_rule(knowledge.rules[id_]) for below in steps(top)):
                assert step.value == outcome.facts[step.fact]
                assert (step.by == GIVEN) == (step.fact not in outcome.derived)
                assert step.by != GIVEN or step.value == stated[step.fact]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(SEEDS, st.integers(1, 30))
def test_only_unknown_facts_of_rulings_still_open_are_asked_for(seed: int, rules: int) -> None:
    knowledge, facts = drawn(seed, rules, sheets=15)
    judge = Judge(knowledge)
    for stated in facts:
        outcome = judge.outcome(stated)
        found = open_facts(knowledge, outcome)
        assert len({fact.fact for fact in found}) == len(found)
        for fact in found:
            assert fact.fact not in outcome.facts
            for id_ in fact.would_settle:
                rule = knowledge.rules[id_]
                assert rule.is_ruling
                assert status_of(knowledge, outcome, rule).status == "open"
