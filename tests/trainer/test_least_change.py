"""The least change that makes it right: of three changes, the only one after which a force no longer stands."""

from __future__ import annotations

from collections import Counter

import pytest

from sideplate_engine import Judge
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.least_change import pose, suits
from support.keys_by_engine import KeysByEngine
from support.small_practice import situation

SEEDS = range(1, 25)
RULES = ("bent-bolt", "codes-differ", "dry-bolt", "many-nuts", "painted-bolt", "long-bolt")


def questions(judge: Judge, rule_id: str) -> list[Question]:
    found = []
    for seed in SEEDS:
        try:
            found.append(pose(judge, build(judge, rule_id, seed)))
        except (NoQuestion, NoSituation):
            continue
    assert found, rule_id
    return found


@pytest.mark.parametrize("rule_id", RULES)
def test_after_the_key_the_force_is_gone_and_after_every_other_change_it_stands(
    bench: Judge, rule_id: str
) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, rule_id):
        assert by_engine.objections(question) == []
        assert len(question.options) == 3


def test_three_forces_stand_on_the_sheet_and_the_question_names_the_rules_own(bench: Judge) -> None:
    by_engine = KeysByEngine(bench)
    for question in questions(bench, "codes-differ"):
        forces = {by_engine.force(id_) for id_ in by_engine.asking(question.facts)}
        assert len(forces) == 3
        assert question.asks[-1] == "After which change of one fact is there no MUST NOT?"


def test_the_key_stands_in_every_place(bench: Judge) -> None:
    places = Counter(
        [option.word for option in each.options].index(each.key)
        for rule_id in RULES
        for each in questions(bench, rule_id)
    )
    assert set(places) == {0, 1, 2}


def test_each_wrong_change_is_right_where_its_own_force_is_asked_about(bench: Judge) -> None:
    by_engine = KeysByEngine(bench)
    question = questions(bench, "codes-differ")[0]
    for option in question.options:
        if option.word == question.key:
            continue
        marked = mark(question, option.word)
        assert (marked.right, marked.blames) == (False, option.rule)
        assert option.rule is not None
        assert option.facts is not None
        force = by_engine.force(option.rule)
        assert not by_engine.stands(option.facts, force)
        assert (
            marked.said[2]
            == f"Your choice would have been right if the {force.upper()} had been asked about."
        )


def test_the_story_tells_every_fact_of_the_sheet_in_its_own_sentence(bench: Judge) -> None:
    question = questions(bench, "bent-bolt")[0]
    for name, value in question.facts.items():
        assert bench.knowledge.facts[name].tell(value) in question.story


def test_what_is_permitted_leaves_nothing_to_put_right(bench: Judge) -> None:
    assert not suits(bench.knowledge.rules["tagged-bolt"])
    assert suits(bench.knowledge.rules["dry-bolt"])


def test_the_sheet_is_made_of_examples_whatever_the_situation_tells(bench: Judge) -> None:
    asked = pose(bench, situation(bench, "bent-bolt", "bolt.marks: [rust]"))
    assert "bent" in str(asked.facts["bolt.marks"])
    assert asked.rule in bench.outcome(asked.facts).live


def test_a_rule_without_others_of_other_force_is_not_asked_about(judge: Judge) -> None:
    with pytest.raises(NoQuestion, match="no two rules of other force go with grease-it"):
        pose(judge, situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes")))
