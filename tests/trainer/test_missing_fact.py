"""Which fact is still missing: of three, the only one on which a ruling of the force named hangs."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.missing_fact import pose, suits
from support.keys_by_engine import KeysByEngine
from support.small_practice import situation

SEEDS = range(1, 25)
RULES = ("bent-bolt", "codes-differ", "many-nuts", "painted-bolt", "long-bolt", "tagged-bolt")


def questions(judge: Judge, rule_id: str) -> list[Question]:
    found = []
    for seed in SEEDS:
        try:
            found.append(pose(judge, build(judge, rule_id, seed)))
        except (NoQuestion, NoSituation):
            continue
    return found


@pytest.mark.parametrize("rule_id", RULES)
def test_the_key_decides_about_the_force_and_no_value_of_another_does(bench: Judge, rule_id: str) -> None:
    by_engine = KeysByEngine(bench)
    posed = questions(bench, rule_id)
    assert posed
    for question in posed:
        assert by_engine.objections(question) == []


@pytest.mark.parametrize("rule_id", RULES)
def test_whatever_the_other_answers_together_the_key_still_decides(bench: Judge, rule_id: str) -> None:
    by_engine = KeysByEngine(bench)
    question = questions(bench, rule_id)[0]
    force = by_engine.force(rule_id)
    others = [by_engine.asked_by(each.word)[0] for each in question.options if each.word != question.key]
    for one in by_engine.values.of(others[0]):
        for other in by_engine.values.of(others[1]):
            answered = {others[0]: one, others[1]: other}
            stands = [by_engine.stands({**twin.facts, **answered}, force) for twin in question.twins]
            assert stands == [True, False], answered


def test_the_options_are_what_a_mechanic_would_ask_and_none_is_on_the_sheet(bench: Judge) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, "codes-differ"):
        assert question.key == "What code is on the nut?"
        assert len(question.options) == 3
        for option in question.options:
            (name,) = by_engine.asked_by(option.word)
            assert name not in question.facts


def test_the_story_tells_nothing_of_what_is_not_known(bench: Judge) -> None:
    question = questions(bench, "codes-differ")[0]
    assert question.story[1:] == tuple(
        bench.knowledge.facts[name].tell(value) for name, value in question.facts.items()
    )


def test_both_completions_are_shown_with_what_comes_of_them(bench: Judge) -> None:
    question = questions(bench, "codes-differ")[0]
    assert [twin.outcome for twin in question.twins] == ["a MUST NOT stands", "no MUST NOT stands"]
    for twin in question.twins:
        assert twin.facts.keys() - question.facts.keys() == {"nut.code"}


def test_a_wrong_choice_is_charged_to_the_rule_whose_force_it_decides(bench: Judge) -> None:
    by_engine = KeysByEngine(bench)
    question = questions(bench, "codes-differ")[0]
    for option in question.options:
        if option.word == question.key:
            continue
        marked = mark(question, option.word)
        assert (marked.right, marked.blames) == (False, option.rule)
        force = by_engine.force(str(option.rule)).upper()
        assert marked.said[0].startswith(f"Its answer decides about a {force}: ")
        assert marked.said[1] == "Whatever the answer, it brings no MUST NOT here."


def test_a_rule_whose_fact_brings_two_forces_is_not_asked_about(bench: Judge, judge: Judge) -> None:
    with pytest.raises(NoQuestion, match="grease-it"):
        pose(judge, situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes")))
    assert suits(bench.knowledge.rules["tagged-bolt"])
    assert not suits(judge.knowledge.rules["pitch-by-table"])


@pytest.mark.parametrize(
    "rule_id", ["hot-air-on-rings", "sparks-on-what-burns", "limit-said-to-be-in-a-standard"]
)
def test_no_answer_decides_otherwise_through_a_table_a_formula_or_two_words_at_once(
    chain_judge: Judge, rule_id: str
) -> None:
    by_engine = KeysByEngine(chain_judge)
    for seed in range(6):
        try:
            question = pose(chain_judge, build(chain_judge, rule_id, seed))
        except (NoQuestion, NoSituation):
            continue
        assert by_engine.objections(question) == [], seed
