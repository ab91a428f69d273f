"""Which reason is the right one: of the ruling on one line, among the reasons of rulings on other lines."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from sideplate_engine import Judge
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.rule_index import rule_index
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.which_reason import pose, suits
from support.keys_by_engine import KeysByEngine
from support.small_practice import situation

SEEDS = range(1, 25)
RULES = ("bent-bolt", "codes-differ", "few-turns", "many-nuts", "painted-bolt", "long-bolt", "tagged-bolt")


def questions(judge: Judge, rule_id: str) -> list[Question]:
    found = []
    for seed in SEEDS:
        try:
            found.append(pose(judge, build(judge, rule_id, seed)))
        except (NoQuestion, NoSituation):
            continue
    assert found, rule_id
    return found


def line_asked_about(question: Question) -> str:
    told = re.match(r"Look at line (\d+)\.", question.asks[0])
    assert told is not None
    return question.story[int(told.group(1))]


@pytest.mark.parametrize("rule_id", RULES)
def test_the_ruling_hangs_on_the_line_and_the_other_reasons_belong_to_other_lines(
    bench: Judge, rule_id: str
) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, rule_id):
        assert by_engine.objections(question) == []


def test_the_line_asked_about_is_the_one_that_the_rule_looks_at(bench: Judge) -> None:
    for question in questions(bench, "codes-differ"):
        told = bench.knowledge.facts["nut.code"].tell(question.facts["nut.code"])
        assert line_asked_about(question).endswith(told)
        assert question.asks[0].endswith("On it stands a MUST NOT.")


def test_the_options_are_three_rules_reasons_in_their_own_words(bench: Judge) -> None:
    reasons = rule_index(bench).reasons
    for question in questions(bench, "bent-bolt"):
        assert question.key == reasons["bent-bolt"]
        others = [each for each in question.options if each.word != question.key]
        assert [each.word for each in others] == [reasons[str(each.rule)] for each in others]
        assert len({each.word for each in question.options}) == 3


def test_every_reason_is_the_reason_for_something_on_the_sheet(bench: Judge) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, "bent-bolt"):
        others = {str(each.rule) for each in question.options if each.word != question.key}
        assert by_engine.ruling(question.facts) >= {"bent-bolt", *others}


def test_the_key_stands_in_every_place(bench: Judge) -> None:
    places = Counter(
        [option.word for option in each.options].index(each.key) for each in questions(bench, "bent-bolt")
    )
    assert set(places) == {0, 1, 2}


def test_a_wrong_reason_is_charged_to_its_rule_and_told_the_line_it_belongs_to(bench: Judge) -> None:
    question = questions(bench, "bent-bolt")[0]
    for option in question.options:
        if option.word == question.key:
            continue
        marked = mark(question, option.word)
        assert (marked.right, marked.blames) == (False, option.rule)
        rule = bench.knowledge.rules[str(option.rule)]
        assert marked.said[0] == f"That is the reason of another rule: {rule.title}."
        told = re.search(r"right of line (\d+)", marked.said[1])
        assert told is not None
        assert question.story[int(told.group(1))] != line_asked_about(question)


def test_a_permission_has_a_reason_too(bench: Judge) -> None:
    assert suits(bench.knowledge.rules["tagged-bolt"])
    assert questions(bench, "tagged-bolt")[0].asks[0].endswith("On it stands a MAY.")


def test_a_rule_beside_which_no_other_reason_can_stand_is_not_asked_about(bench: Judge, judge: Judge) -> None:
    # Both rules of the small practice give the same few words, which may be right for either.
    for seed in range(8):
        with pytest.raises(NoQuestion, match=r"go with( that of)? grease-it"):
            pose(judge, situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes"), seed=seed))
    assert not suits(judge.knowledge.rules["pitch-by-table"])


def test_where_the_situation_does_not_do_an_example_of_the_rule_goes_on_the_sheet(bench: Judge) -> None:
    asked = pose(bench, situation(bench, "bent-bolt", "bolt.marks: [rust]"))
    assert "bent" in str(asked.facts["bolt.marks"])
    assert asked.rule in bench.outcome(asked.facts).live
