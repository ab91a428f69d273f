"""What is wrong on this sheet: one line that can be put right, or nothing at all."""

from __future__ import annotations

from collections import Counter

import pytest

from sideplate_engine import Judge
from sideplate_trainer.questions import NoQuestion, Option, Question
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.what_is_wrong import NOTHING_WRONG, pose, suits
from support.keys_by_engine import KeysByEngine
from support.small_practice import situation

SEEDS = range(1, 40)
RULES = ("dry-bolt", "bent-bolt", "painted-bolt", "few-turns", "many-nuts", "codes-differ", "tagged-bolt")


def questions(judge: Judge, rule_id: str) -> list[Question]:
    return [pose(judge, build(judge, rule_id, seed)) for seed in SEEDS]


def faulty(judge: Judge, rule_id: str = "codes-differ") -> Question:
    return next(each for each in questions(judge, rule_id) if each.key != NOTHING_WRONG.word)


def faultless(judge: Judge, rule_id: str = "codes-differ") -> Question:
    return next(each for each in questions(judge, rule_id) if each.key == NOTHING_WRONG.word)


def option(question: Question, word: str) -> Option:
    return next(each for each in question.options if each.word == word)


def test_the_faulty_line_is_the_key_and_tells_the_fact_that_mends_it(bench: Judge) -> None:
    question = faulty(bench)
    assert question.case == "nut.code"
    told = bench.knowledge.facts["nut.code"].tell(question.facts["nut.code"])
    assert option(question, question.key).means == told


@pytest.mark.parametrize("rule_id", RULES)
def test_the_engine_agrees_with_every_key(bench: Judge, rule_id: str) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, rule_id):
        assert by_engine.objections(question) == [], question


def test_what_the_fault_rests_on_beside_the_line_is_told_as_certain(bench: Judge) -> None:
    question = faulty(bench)
    assert bench.knowledge.facts["bolt.code"].tell(question.facts["bolt.code"]) in question.story
    lines = {each.means for each in question.options}
    assert lines.isdisjoint(question.story)


def test_there_are_two_or_three_other_lines_and_that_nothing_is_wrong_stands_last(bench: Judge) -> None:
    for question in questions(bench, "codes-differ"):
        assert 4 <= len(question.options) <= 5
        assert question.options[-1].word == NOTHING_WRONG.word
        assert [each.word for each in question.options[:-1]] == [
            f"line {number}" for number in range(1, len(question.options))
        ]


def test_the_faulty_line_stands_in_every_place(bench: Judge) -> None:
    keys = Counter(each.key for each in questions(bench, "codes-differ"))
    assert {"line 1", "line 2", "line 3"} <= keys.keys()


def test_now_and_then_nothing_is_wrong_with_a_rule_that_asks_for_something(bench: Judge) -> None:
    question = faultless(bench)
    assert question.case == "faultless"
    by_engine = KeysByEngine(bench)
    assert by_engine.asking(question.facts) == frozenset()
    assert by_engine.asking(question.twins[0].facts) == {"codes-differ"}


def test_what_a_rule_permits_is_never_wrong_and_tempts_all_the_same(bench: Judge) -> None:
    for question in questions(bench, "tagged-bolt"):
        assert question.key == NOTHING_WRONG.word
        assert any(each.means.startswith("It carries SPARE") for each in question.options)
        assert question.twins == ()


def test_a_wrong_line_is_charged_to_the_rule_that_looks_at_it(bench: Judge) -> None:
    question = faulty(bench)
    wrong = next(each for each in question.options[:-1] if each.word != question.key)
    marked = mark(question, wrong.word)
    assert not marked.right
    assert marked.blames == wrong.rule
    assert marked.blames not in (None, "codes-differ")
    assert marked.said[0] == f"You said that this is wrong: {wrong.means}"


def test_who_sees_nothing_wrong_is_told_the_fault_and_charged_with_the_rule(bench: Judge) -> None:
    question = faulty(bench)
    marked = mark(question, NOTHING_WRONG.word)
    assert marked.blames == "codes-differ"
    assert marked.said[0].startswith("You said that nothing is wrong, and this is: The nut's code is ")
    assert marked.said[1].startswith("Your choice would have been right if the line read: The nut's code is ")


def test_who_takes_a_permitted_line_for_wrong_is_told_that_it_is_permitted(bench: Judge) -> None:
    question = questions(bench, "tagged-bolt")[0]
    tempting = next(each for each in question.options if each.means.startswith("It carries SPARE"))
    assert mark(question, tempting.word).said[1] == "A rule permits it: What is tagged may be used."


def test_a_rule_that_no_line_can_be_put_beside_is_not_asked_about(judge: Judge) -> None:
    # The rules of the small practice have no examples that show what mends them.
    with pytest.raises(NoQuestion, match="grease-it"):
        pose(judge, situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes")))


def test_it_suits_rules_that_rule_and_no_others(judge: Judge) -> None:
    assert suits(judge.knowledge.rules["codes-differ"])
    assert not suits(judge.knowledge.rules["pitch-by-table"])


def test_a_line_beside_the_fault_brings_no_other_fault_once_that_is_mended(chain_judge: Judge) -> None:
    # A worn length beside a length taken wrongly: with that put right, the chain would have to be renewed.
    by_engine = KeysByEngine(chain_judge)
    for seed in range(1, 7):
        try:
            question = pose(chain_judge, build(chain_judge, "measured-between-wrong-edges", seed))
        except (NoQuestion, NoSituation):
            continue
        assert by_engine.objections(question) == [], seed
