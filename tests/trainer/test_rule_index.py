"""What questions look up of every rule: what mends it, how far it reaches, what can bring a ruling."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_engine.vocabulary import Value
from sideplate_trainer.mendings import Mending
from sideplate_trainer.rule_index import BENCH, FULL_BENCH, RuleIndex, rule_index
from support.bench_practice import bench_judge
from support.small_knowledge import rule
from support.small_practice import practice_judge

STRETCHED_OUT = rule(
    "screwed-too-far",
    status="checked",
    when="bolt.travel: {above: 79 mm, below: 81 mm}",
    ruling="should not",
    examples="[{name: far, given: {bolt.pitch: 2 mm, bolt.turns: 40}, expect: fires}]",
)
TRAVEL = rule("travel-by-turns", status="checked", derive="bolt.travel: {formula: travel}")
PITCH = rule(
    "pitch-by-table", status="checked", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"
)
COARSE = rule("coarse-thread", status="checked", when="bolt.pitch: {above: 1.1 mm}", ruling="must not")


def mending(bench: Judge, rule_id: str) -> Mending:
    (found,) = rule_index(bench).mendings[rule_id]
    return found


def test_drafts_and_rules_that_only_derive_are_left_out(judge: Judge) -> None:
    ids = {each.id for each in rule_index(judge).rules}
    assert "codes-differ" in ids
    assert ids.isdisjoint({"draft-rule", "pitch-by-table"})


def test_it_is_made_once_a_judge(bench: Judge) -> None:
    assert rule_index(bench) is rule_index(bench)


def test_what_mends_is_read_off_the_examples(bench: Judge) -> None:
    found = mending(bench, "codes-differ")
    assert (found.fact, found.bad, found.good, found.given) == ("nut.code", "B", "A", {"bolt.code": "A"})


def test_a_word_with_which_another_rule_finds_fault_mends_nothing(tmp_path: Path) -> None:
    judge = bench_judge(
        tmp_path,
        rule(
            "plated-bolt",
            status="checked",
            when="bolt.finish: plated",
            ruling="must not",
            examples="[{name: p, given: {bolt.finish: plated}, expect: fires},"
            " {name: b, given: {bolt.finish: bare}, expect: quiet}]",
        ),
    )
    index = rule_index(judge)
    assert index.finding_fault["bolt.finish", "plated"] == ("plated-bolt",)
    # The example of painted-bolt names plated, which is a fault now; bare is what is left.
    assert [each.good for each in index.mendings["painted-bolt"]] == ["bare"]


def test_of_a_set_a_word_more_or_less_all_and_none_are_tried_and_never_the_fault(bench: Judge) -> None:
    marks = bench.knowledge.facts["bolt.marks"]
    words = rule_index(bench).words_for(marks, frozenset({"bent"}))
    assert frozenset({"bent", "rust"}) in words
    assert frozenset({"rust"}) in words
    assert frozenset({"bent", "rust", "stretched"}) in words
    assert frozenset({"bent"}) not in words
    assert len(words) == len(set(words))


@pytest.mark.parametrize(("fact", "bad"), [("bolt.turns", 3), ("bolt.code", "A")])
def test_numbers_and_codes_have_no_words_of_their_own(bench: Judge, fact: str, bad: Value) -> None:
    assert rule_index(bench).words_for(bench.knowledge.facts[fact], bad) == []


def test_a_rule_reaches_through_what_is_derived(tmp_path: Path) -> None:
    index = rule_index(practice_judge(tmp_path, STRETCHED_OUT))
    assert index.touching("screwed-too-far") >= {"bolt.travel", "bolt.turns", "bolt.pitch", "bolt.size"}


def test_a_fact_can_bring_a_ruling_when_some_value_of_it_does(bench: Judge) -> None:
    index = rule_index(bench)
    assert index.can_bring("bolt.turns", "must", {})
    assert not index.can_bring("bolt.turns", "should", {})
    assert index.can_bring("nut.code", "must not", {"bolt.code": "A"})
    assert not index.can_bring("nut.code", "must not", {})


def test_a_value_brings_a_ruling_through_a_table_row(tmp_path: Path) -> None:
    index = rule_index(bench_judge(tmp_path, PITCH, COARSE))
    # Of the three sizes only M8 has more than 1.1 mm.
    assert index.can_bring("bolt.size", "must not", {})
    assert not index.can_bring("bolt.size", "must", {})


def test_a_value_brings_a_ruling_through_a_formula_whose_limit_stands_nowhere(tmp_path: Path) -> None:
    index = rule_index(bench_judge(tmp_path, TRAVEL, STRETCHED_OUT))
    # 40 turns of 2 mm come to 80 mm. The example says so, and no limit of a condition does.
    assert index.can_bring("bolt.turns", "should not", {"bolt.pitch": 2.0})
    assert not index.can_bring("bolt.turns", "must not", {"bolt.pitch": 2.0})


def test_a_fact_alone_is_enough_where_a_rule_needs_no_other(bench: Judge) -> None:
    index = rule_index(bench)
    assert index.can_bring_alone("bolt.greased", "should")
    assert not index.can_bring_alone("nut.code", "must not")
    assert not index.can_bring_alone("bolt.greased", "must")


def test_two_examples_agree_when_neither_says_otherwise_than_the_other(bench: Judge) -> None:
    index = rule_index(bench)
    codes, grease = mending(bench, "codes-differ"), mending(bench, "dry-bolt")
    assert index.agree(codes, grease, mended=True)
    contrary = replace(grease, given={"bolt.code": "Z"})
    assert not index.agree(codes, contrary, mended=True)


def test_two_rules_on_one_fact_never_agree(bench: Judge) -> None:
    index = rule_index(bench)
    codes = mending(bench, "codes-differ")
    assert not index.agree(codes, codes, mended=True)
    assert not index.agree(replace(mending(bench, "dry-bolt"), fact="nut.code"), codes, mended=False)


def test_rules_that_set_each_other_aside_are_tied_however_long_the_chain(tmp_path: Path) -> None:
    judge = bench_judge(
        tmp_path,
        rule("wet-bolt", when="bolt.greased: no", ruling="should", overrides="[dry-bolt]"),
        rule("oiled-bolt", when="bolt.greased: no", ruling="should", overrides="[wet-bolt]"),
    )
    tied = rule_index(judge).tied
    assert tied["dry-bolt"] == {"dry-bolt", "wet-bolt", "oiled-bolt"}
    assert tied["bent-bolt"] == {"bent-bolt"}


def test_every_rule_has_one_bench_and_topics_stay_whole(chain_judge: Judge) -> None:
    index = rule_index(chain_judge)
    benches = index.benches
    assert sorted(each.id for bench in benches for each in bench) == sorted(each.id for each in index.rules)
    by_topic: dict[str, set[int | None]] = {}
    for each in index.rules:
        by_topic.setdefault(each.topic, set()).add(index.bench_of(each))
    assert all(len(numbers) == 1 for numbers in by_topic.values())
    largest = max(sum(each.topic == topic for each in index.rules) for topic in by_topic)
    assert all(BENCH <= len(bench) <= max(FULL_BENCH, largest) + BENCH for bench in benches)


def test_a_draft_has_no_bench(judge: Judge) -> None:
    assert RuleIndex(judge).bench_of(judge.knowledge.rules["draft-rule"]) is None
