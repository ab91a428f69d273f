"""What mends a rule's fault, read off its examples or its near misses."""

from __future__ import annotations

from pathlib import Path

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.mendings import (
    Mending,
    can_be_told,
    describes_the_machine,
    mended_facts,
    mendings_in,
    mendings_of,
)
from support.small_knowledge import judge_with, rule
from support.small_practice import situation


def found(
    folder: Path, examples: str, when: str = "{bolt.greased: no, bolt.finish: bare}"
) -> tuple[Mending, ...]:
    judge = judge_with(folder, rule("a-rule", status="checked", when=when, examples=f"[{examples}]"))
    each = judge.knowledge.rules["a-rule"]
    assert {mending.fact for mending in mendings_of(each, judge.knowledge.facts)} <= mended_facts(each)
    return mendings_of(each, judge.knowledge.facts)


FIRES = "{name: f, given: {bolt.greased: no, bolt.finish: bare}, expect: fires}"


def test_the_one_fact_in_which_a_quiet_example_differs_mends(tmp_path: Path) -> None:
    quiet = "{name: q, given: {bolt.greased: yes, bolt.finish: bare}, expect: quiet}"
    (mending,) = found(tmp_path, f"{FIRES}, {quiet}")
    assert (mending.fact, mending.bad, mending.good) == ("bolt.greased", False, True)
    assert mending.given == {"bolt.finish": "bare"}


def test_an_example_that_differs_in_two_facts_shows_nothing(tmp_path: Path) -> None:
    assert (
        found(
            tmp_path,
            f"{FIRES}, {{name: q, given: {{bolt.greased: yes, bolt.finish: plated}}, expect: quiet}}",
        )
        == ()
    )


def test_a_fact_that_is_only_left_out_does_not_mend(tmp_path: Path) -> None:
    assert (
        found(
            tmp_path,
            f"{FIRES}, {{name: o, given: {{bolt.finish: bare}}, expect: open, missing: [bolt.greased]}}",
        )
        == ()
    )


def test_every_fact_that_mends_is_found_once(tmp_path: Path) -> None:
    quiet = (
        "{name: a, given: {bolt.greased: yes, bolt.finish: bare}, expect: quiet}, "
        "{name: b, given: {bolt.greased: no, bolt.finish: plated}, expect: quiet}, "
        "{name: c, given: {bolt.greased: no, bolt.finish: plated}, expect: quiet}"
    )
    assert sorted(each.fact for each in found(tmp_path, f"{FIRES}, {quiet}")) == [
        "bolt.finish",
        "bolt.greased",
    ]


def test_near_misses_that_change_a_value_mend_and_those_that_take_it_away_do_not(judge: Judge) -> None:
    told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B", ("nut.code", "A"), ("bolt.code", ""))
    (mending,) = mendings_in(told, judge.knowledge.facts)
    assert (mending.fact, mending.bad, mending.good, mending.given) == (
        "nut.code",
        "B",
        "A",
        {"bolt.code": "A"},
    )


def test_only_what_a_story_has_sentences_for_can_be_told(judge: Judge) -> None:
    facts = judge.knowledge.facts
    assert can_be_told(Mending("r", "bolt.greased", False, True, {}), facts)
    # Travel is worked out, and no sheet gives it.
    assert not can_be_told(Mending("r", "bolt.travel", 9.0, 1.0, {}), facts)


def test_what_describes_the_machine_mends_only_where_no_work_does(knowledge: KnowledgeBase) -> None:
    facts = knowledge.facts
    for each in knowledge.rules.values():
        described = [describes_the_machine(facts[mending.fact]) for mending in mendings_of(each, facts)]
        assert all(described) or not any(described), each.id


def test_a_mended_example_of_the_base_is_silent_and_the_other_fires(chain_judge: Judge) -> None:
    knowledge = chain_judge.knowledge
    count = 0
    for each in knowledge.rules.values():
        for mending in mendings_of(each, knowledge.facts):
            bad = chain_judge.outcome({**mending.given, mending.fact: mending.bad})
            good = chain_judge.outcome({**mending.given, mending.fact: mending.good})
            assert each.id in bad.fired, each.id
            assert each.id not in good.fired, each.id
            count += 1
    assert count > len(knowledge.rules) / 2
