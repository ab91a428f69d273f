"""Which part fits: one of two, both, or neither; of codes one of three."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.which_part import BOTH, NEITHER, pose, suits
from support.bench_practice import CUTS, bench_judge
from support.keys_by_engine import KeysByEngine
from support.small_practice import situation

SEEDS = range(1, 60)
RULES = ("sawn-bolt", "burnt-bolt")


@pytest.fixture(scope="module")
def cuts(tmp_path_factory: pytest.TempPathFactory) -> Judge:
    return bench_judge(tmp_path_factory.mktemp("cuts"), *CUTS)


def questions(judge: Judge, rule_id: str, seeds: range = SEEDS) -> list[Question]:
    found = []
    for seed in seeds:
        try:
            found.append(pose(judge, build(judge, rule_id, seed)))
        except (NoQuestion, NoSituation):
            continue
    assert found, rule_id
    return found


@pytest.mark.parametrize("rule_id", RULES)
def test_the_engine_objects_to_just_what_the_key_says(cuts: Judge, rule_id: str) -> None:
    by_engine = KeysByEngine(cuts)
    for question in questions(cuts, rule_id):
        assert by_engine.objections(question) == []


@pytest.mark.parametrize(
    "rule_id", ["connector-size-differs", "used-engine-oil", "odd-loop", "pressure-washer-on-rings"]
)
def test_so_it_does_of_real_codes_supplies_counts_and_tools(chain_judge: Judge, rule_id: str) -> None:
    by_engine = KeysByEngine(chain_judge)
    for question in questions(chain_judge, rule_id, range(1, 6)):
        assert by_engine.objections(question) == []


def test_half_the_questions_ask_for_what_fits_and_half_for_what_is_objected_to(cuts: Judge) -> None:
    asked = Counter(each.asks[-1] for rule_id in RULES for each in questions(cuts, rule_id))
    assert set(asked) == {
        "Which tool for the cut fits, with nothing to object to?",
        "Which tool for the cut is objected to?",
    }
    assert all(count > 0.35 * asked.total() for count in asked.values())


def test_in_half_the_questions_it_is_one_of_the_two_else_both_or_neither(cuts: Judge) -> None:
    keys = Counter(each.key for rule_id in RULES for each in questions(cuts, rule_id))
    one = keys.total() - keys[BOTH] - keys[NEITHER]
    assert one == pytest.approx(0.5 * keys.total(), rel=0.3)
    assert keys[BOTH] == pytest.approx(0.25 * keys.total(), rel=0.6)
    assert keys[NEITHER] == pytest.approx(0.25 * keys.total(), rel=0.6)


def test_a_part_is_right_in_some_questions_and_wrong_in_others(cuts: Judge) -> None:
    # Were the saw always wrong, a learner could do without the rule.
    right = {each.key == "saw" for each in questions(cuts, "sawn-bolt") if "saw" in str(each.options[:2])}
    assert right == {True, False}


def test_the_two_parts_are_told_in_the_story_in_no_order_of_being_right(cuts: Judge) -> None:
    for question in questions(cuts, "sawn-bolt"):
        parts = sorted(each.word for each in question.options if each.facts is not None)
        assert question.story[-1] == f"To choose from: {parts[0]} and {parts[1]}."
        assert [each.word for each in question.options[-2:]] == [BOTH, NEITHER]


def test_the_part_itself_is_left_out_of_the_facts_and_the_story(cuts: Judge) -> None:
    for question in questions(cuts, "sawn-bolt"):
        assert "cut.tool" not in question.facts
        assert not any("It was cut with" in sentence for sentence in question.story)


def test_a_wrong_choice_is_charged_to_a_rule_on_that_part_and_told_what_stands(cuts: Judge) -> None:
    for question in questions(cuts, "sawn-bolt"):
        for option in question.options:
            if option.word == question.key:
                continue
            marked = mark(question, option.word)
            assert not marked.right
            assert marked.blames in RULES
            assert marked.said


def test_who_takes_what_is_objected_to_for_fitting_hears_the_ruling(cuts: Judge) -> None:
    told = [
        mark(question, "saw").said[0]
        for question in questions(cuts, "sawn-bolt")
        if "fits" in question.asks[-1]
        and question.key != "saw"
        and any(each.word == "saw" for each in question.options)
    ]
    assert told
    assert set(told) == {"MUST NOT: Look at it."}


def test_who_takes_one_of_two_alike_hears_what_stands_on_either(cuts: Judge) -> None:
    heard = set()
    for question in questions(cuts, "sawn-bolt"):
        if question.key in (BOTH, NEITHER):
            for option in question.options[:2]:
                alike = (question.key == BOTH) is any(
                    "It is the same with the other one." in said for said in mark(question, option.word).said
                )
                assert alike, question.story
                heard.add(question.key)
    assert heard == {BOTH, NEITHER}


def test_what_would_turn_a_choice_speaks_of_that_part_alone(chain_judge: Judge) -> None:
    # Whatever else is objected to on the sheet makes no part of it wrong, and no part that fits right.
    told = [
        said
        for rule_id in ("acetone-on-rings", "wire-brush-on-rings", "pressure-washer-on-rings")
        for question in questions(chain_judge, rule_id, range(1, 12))
        for option in question.options
        for said in option.told
    ]
    assert any(said.startswith("It would fit if this were told instead: ") for said in told)
    assert not any("The lubricant" in said for said in told if "told instead" in said)


def test_of_codes_there_are_three_and_the_key_is_in_every_place(chain_judge: Judge) -> None:
    places: Counter[int] = Counter()
    for question in questions(chain_judge, "connector-size-differs", range(1, 30)):
        words = [each.word for each in question.options]
        assert len(words) == 3
        places[words.index(question.key)] += 1
    assert set(places) == {0, 1, 2}


def test_it_suits_rules_whose_examples_change_a_part(cuts: Judge) -> None:
    rules = cuts.knowledge.rules
    assert [id_ for id_ in sorted(rules) if suits(rules[id_])] == ["burnt-bolt", "sawn-bolt", "wire-at-a-nut"]


def test_a_rule_beside_which_no_other_objects_is_not_asked_about(tmp_path: Path) -> None:
    judge = bench_judge(tmp_path, *CUTS[:2])
    with pytest.raises(NoQuestion, match="sawn-bolt"):
        pose(judge, situation(judge, "sawn-bolt", "cut.tool: saw", ("cut.tool", "knife")))
