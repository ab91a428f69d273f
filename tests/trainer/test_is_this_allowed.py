"""Is this allowed: answerable from the story, with a key that the engine works out."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.posing import askable
from sideplate_trainer.questions import AnswerRefused, NoQuestion, Question
from sideplate_trainer.retelling import differing
from sideplate_trainer.schedule import teaching_order
from sideplate_trainer.situations import NoSituation, build
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.verdicts import CANNOT_TELL, NOTHING, verdict
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.is_this_allowed import AS_TOLD, MORE_NEEDED, NEAR_MISS, pose, suits
from support.small_knowledge import rule
from support.small_practice import practice_judge, situation

SEEDS = range(1, 40)


def codes_differ(judge: Judge, seed: int = 1) -> Situation:
    return situation(
        judge, "codes-differ", "bolt.code: A, nut.code: B, bolt.length: 20 mm", ("nut.code", "A"), seed=seed
    )


def in_case(judge: Judge, case: str, *, rule_id: str = "codes-differ") -> Question:
    """The question of the first seed that draws the case."""
    for seed in SEEDS:
        told = (
            codes_differ(judge, seed)
            if rule_id == "codes-differ"
            else situation(judge, rule_id, "bolt.greased: no", ("bolt.greased", "yes"), seed=seed)
        )
        question = pose(judge, told)
        if question.case == case:
            return question
    raise AssertionError(f"no seed draws {case}")


def test_the_key_is_the_ruling_that_the_engine_gives_on_the_story(judge: Judge) -> None:
    question = in_case(judge, AS_TOLD)
    assert question.key == "must not"
    assert question.facts.items() <= codes_differ(judge).facts.items()
    assert question.story[:3] == ("A bolt.", "Its code is A.", "The nut's code is B.")


def test_a_rule_about_a_deed_asks_about_that_deed_by_name(judge: Judge) -> None:
    question = in_case(judge, AS_TOLD)
    assert question.asks[1:] == (
        "In question: Using the bolt that is at hand.",
        "Which ruling stands on it? The gravest counts.",
    )
    assert len(question.options) == 6


def test_a_rule_about_no_deed_asks_about_the_job(judge: Judge) -> None:
    question = in_case(judge, AS_TOLD, rule_id="grease-it")
    assert (question.key, len(question.options)) == ("should change", 4)
    assert question.asks[1] == "Can the job go ahead as told? The gravest ruling counts."


def test_a_near_miss_has_nothing_against_it(judge: Judge) -> None:
    question = in_case(judge, NEAR_MISS)
    assert question.key == NOTHING
    assert "The nut's code is A." in question.story
    assert verdict(judge, question.facts, "use-the-bolt").word == NOTHING


def test_it_cannot_be_told_yet_when_the_fact_left_out_decides(judge: Judge) -> None:
    question = in_case(judge, MORE_NEEDED)
    assert question.key == CANNOT_TELL
    assert "nut.code" not in question.facts
    assert question.story[-1] == "Not known yet: What code is on the nut?"
    assert {twin.outcome for twin in question.twins} == {"must not", NOTHING}


def test_over_many_seeds_the_three_cases_come_about_forty_forty_twenty(judge: Judge) -> None:
    cases = [pose(judge, codes_differ(judge, seed)).case for seed in range(500)]
    assert cases.count(AS_TOLD) == pytest.approx(200, abs=40)
    assert cases.count(NEAR_MISS) == pytest.approx(200, abs=40)
    assert cases.count(MORE_NEEDED) == pytest.approx(100, abs=35)


def test_the_same_situation_always_gives_the_same_question(judge: Judge) -> None:
    assert pose(judge, codes_differ(judge, 7)) == pose(judge, codes_differ(judge, 7))


def test_what_nobody_knows_is_told_even_where_it_decides_nothing(judge: Judge) -> None:
    question = in_case(judge, AS_TOLD)
    assert question.story[-1].startswith("Not known yet: ")
    assert question.story[-1] != "Not known yet: What code is on the nut?"


def test_a_story_that_leaves_out_what_decides_is_as_long_as_the_others(judge: Judge) -> None:
    questions = [pose(judge, codes_differ(judge, seed)) for seed in SEEDS]
    for case in (AS_TOLD, NEAR_MISS, MORE_NEEDED):
        assert {len(question.story) for question in questions if question.case == case} == {4}


def test_what_is_not_known_yet_is_now_a_fact_of_the_story_and_now_another(judge: Judge) -> None:
    questions = [pose(judge, codes_differ(judge, seed)) for seed in SEEDS]
    unknown = {question.story[-1] for question in questions if question.case != MORE_NEEDED}
    assert "Not known yet: How long is it?" in unknown
    assert len(unknown) > 2


def test_the_cases_beside_a_question_differ_from_it_in_one_fact(judge: Judge) -> None:
    for seed in SEEDS:
        question = pose(judge, codes_differ(judge, seed))
        assert question.twins
        assert all(len(differing(question.facts, twin.facts)) == 1 for twin in question.twins)


def test_a_fact_whose_absence_the_rule_reads_is_told_as_not_to_be_had(judge: Judge) -> None:
    told = situation(judge, "no-manual-pitch", "bolt.nuts: 5")
    question = pose(judge, told)
    assert "Not to be found out: How thick is what it holds?" in question.story


def test_the_options_stand_in_the_same_order_whatever_the_key(judge: Judge) -> None:
    orders = {
        tuple(option.word for option in in_case(judge, case).options)
        for case in (AS_TOLD, NEAR_MISS, MORE_NEEDED)
    }
    assert len(orders) == 1


def test_a_permission_is_asked_about_too_and_has_nothing_against_it(judge: Judge) -> None:
    told = situation(judge, "paint-is-allowed", "bolt.finish: painted", ("bolt.finish", "bare"))
    assert pose(judge, told).key == NOTHING


def test_a_rule_that_a_graver_one_covers_up_is_not_asked_about_there(tmp_path: Path) -> None:
    judge = practice_judge(tmp_path, rule("graver", when="bolt.greased: no", ruling="must"))
    told = situation(judge, "grease-it", "bolt.greased: no", ("bolt.greased", "yes"))
    with pytest.raises(NoQuestion, match="grease-it"):
        pose(judge, told)


def test_a_fact_whose_absence_is_itself_ruled_on_is_not_left_out(tmp_path: Path) -> None:
    judge = practice_judge(
        tmp_path,
        rule("look-first", when="{nut.code: unknown, bolt.code: known}", ruling="must", about="use-the-bolt"),
    )
    for seed in SEEDS:
        question = pose(judge, codes_differ(judge, seed))
        assert "nut.code" in question.facts
        assert "Not known yet: What code is on the nut?" not in question.story


def test_it_suits_rules_that_rule_and_no_others(judge: Judge) -> None:
    assert suits(judge.knowledge.rules["codes-differ"])
    assert not suits(judge.knowledge.rules["pitch-by-table"])


@pytest.mark.parametrize("answer", ["2", " 2 ", "must not", "MUST  NOT", "must n"])
def test_a_choice_is_made_by_its_digit_its_words_or_their_start(judge: Judge, answer: str) -> None:
    marked = mark(in_case(judge, AS_TOLD), answer)
    assert (marked.right, marked.answer) == (True, "must not")


def test_a_word_that_is_the_start_of_a_longer_one_means_itself(judge: Judge) -> None:
    assert mark(in_case(judge, AS_TOLD), "must").answer == "must"


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        ("7", "There is no choice 7; the choices are 1 to 6."),
        ("0", "There is no choice 0; the choices are 1 to 6."),
        ("sho", "sho could be should or should not; type more of it."),
        ("perhaps", "Type the number of a choice, 1 to 6."),
        ("", "Type the number of a choice, 1 to 6."),
    ],
)
def test_what_is_no_choice_is_refused_and_not_marked(judge: Judge, answer: str, says: str) -> None:
    with pytest.raises(AnswerRefused) as refused:
        mark(in_case(judge, AS_TOLD), answer)
    assert str(refused.value) == says


def test_a_wrong_choice_is_told_the_case_in_which_it_would_be_right(judge: Judge) -> None:
    marked = mark(in_case(judge, NEAR_MISS), "must not")
    assert not marked.right
    assert marked.said == (
        "You said: must not.",
        "That would be right if this were told instead: The nut's code is B.",
    )


def test_a_choice_that_is_right_in_no_neighbouring_case_gets_no_such_promise(judge: Judge) -> None:
    assert mark(in_case(judge, NEAR_MISS), "should").said == ("You said: should.",)


def first_posed(judge: Judge, id_: str) -> Question | None:
    """The question of the first seeds that gives one."""
    for seed in SEEDS[:6]:
        try:
            return pose(judge, build(judge, id_, seed))
        except (NoSituation, NoQuestion):
            continue
    return None


@pytest.mark.slow
def test_on_every_rule_that_rules_the_key_is_what_the_engine_says(
    chain_judge: Judge, knowledge: KnowledgeBase
) -> None:
    asked = 0
    for id_ in askable(knowledge, teaching_order(knowledge), None):
        rule_ = knowledge.rules[id_]
        if not rule_.is_ruling:
            continue
        question = first_posed(chain_judge, id_)
        if question is None:
            continue
        asked += 1
        here = verdict(chain_judge, question.facts, question.subject).word
        if question.key == CANNOT_TELL:
            completions = {verdict(chain_judge, twin.facts, question.subject).word for twin in question.twins}
            assert (here, len(completions)) == (NOTHING, 2), id_
        else:
            assert question.key == here, id_
            # Whatever nobody knows yet, none of its values changes the verdict.
            for fact in knowledge.facts.values():
                if f"Not known yet: {fact.ask}" in question.story and fact.name not in question.facts:
                    values = (True, False) if fact.kind == "flag" else tuple(fact.choices or ())
                    for value in values:
                        completed = {**question.facts, fact.name: value}
                        assert verdict(chain_judge, completed, question.subject).word == here, (
                            id_,
                            fact.name,
                        )
        says = rule_.says.fill(chain_judge.outcome(question.fires_on).facts, knowledge.facts)
        assert says not in " ".join(question.text), id_
    rulings = sum(rule_.is_ruling for rule_ in knowledge.rules.values())
    assert asked >= 0.95 * rulings
