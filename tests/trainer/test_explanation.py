"""What is told after an answer: ruling, reason, proof, source, caution, and the case next door."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_trainer.answers import Grade
from sideplate_trainer.blocks import Block
from sideplate_trainer.explanation import explain, sources
from sideplate_trainer.questions import Question
from sideplate_trainer.ways import mark
from sideplate_trainer.ways.how_much import pose as how_much
from sideplate_trainer.ways.is_this_allowed import AS_TOLD, MORE_NEEDED, NEAR_MISS
from sideplate_trainer.ways.is_this_allowed import pose as is_this_allowed
from support.small_practice import situation


def allowed(judge: Judge, case: str) -> Question:
    for seed in range(40):
        told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B", ("nut.code", "A"), seed=seed)
        question = is_this_allowed(judge, told)
        if question.case == case:
            return question
    raise AssertionError(case)


def blocks(
    judge: Judge, question: Question, answer: str, grade: Grade = Grade.SOUND
) -> dict[str, tuple[str, ...]]:
    return {
        block.heading: block.sentences for block in explain(judge, question, mark(question, answer), grade)
    }


def test_a_ruling_is_explained_with_all_that_its_rule_holds(judge: Judge) -> None:
    assert blocks(judge, allowed(judge, AS_TOLD), "must not") == {
        "Right": ("The answer is: must not.",),
        "The ruling": (
            "MUST NOT: Do not put nut B on bolt A.",
            "Instead: Take a nut of the bolt's own code.",
        ),
        "Because": ("The threads are cut to different tolerances.",),
        "If it is ignored": ("It comes loose.",),
        "How it follows": (
            "The rule codes-differ asks whether nut.code differs from bolt.code.",
            "nut.code is B, as told.",
            "bolt.code is A, as told.",
            "So it rules.",
        ),
        "Change one fact": ("The nut's code is A. Then: nothing against it.",),
        "Caution": ("Threads cut.", "Wear gloves.", "The machine's own manual comes first."),
        "Source": ("The book of threads",),
    }


def test_a_near_miss_is_explained_by_what_is_not_so(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, NEAR_MISS), "nothing against it")
    assert told["The ruling"] == (
        "The rule is this: the nut carries the bolt's own code. It is silent here.",
    )
    assert told["How it follows"][-1] == "It is not so that nut.code differs from bolt.code."
    assert told["Change one fact"] == ("The nut's code is B. Then: must not.",)


def test_what_cannot_be_told_yet_is_explained_by_its_two_outcomes(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, MORE_NEEDED), "cannot tell yet")
    assert told["How it follows"][-1] == "Not known: What code is on the nut?"
    assert told["Change one fact"] == (
        "The nut's code is B. Then: must not.",
        "The nut's code is A. Then: nothing against it.",
    )


@pytest.mark.parametrize(
    ("grade", "heading"),
    [
        (Grade.SOUND, "Right"),
        (Grade.SHAKY, "Right, but not unaided and sure"),
        (Grade.MISSED, "Wrong"),
        (Grade.BLIND_SPOT, "Wrong, though you were sure"),
    ],
)
def test_the_first_word_says_whether_it_was_right(judge: Judge, grade: Grade, heading: str) -> None:
    question = allowed(judge, AS_TOLD)
    answer = "must not" if grade.is_right else "must"
    assert explain(judge, question, mark(question, answer), grade)[0].heading == heading


def test_a_wrong_answer_is_told_the_right_one_and_what_it_said(judge: Judge) -> None:
    told = blocks(judge, allowed(judge, AS_TOLD), "nothing against it", Grade.MISSED)
    assert told["Wrong"] == (
        "The answer is: must not.",
        "You said: nothing against it.",
        "That would be right here: The nut's code is A.",
    )


def test_a_number_is_explained_with_its_arithmetic_and_the_case_next_door(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "travel-by-turns", "bolt.size: M6, bolt.turns: 12"))
    told = blocks(judge, question, "12 mm")
    assert told["Right"] == ("The answer is: 12.0 mm.",)
    assert told[""] == ("After 12 turns it has come 12.0 mm.",)
    assert told["How it is worked out"] == (
        "bolt.turns is 12, as told.",
        "bolt.pitch is 1.00 mm, table threads, row M6, column pitch, by the rule pitch-by-table.",
        "bolt.travel is 12.0 mm = 12×(1.00 mm), by the rule travel-by-turns.",
    )
    assert told["Change one fact"] == ("It was given 13 turns. Then: 13.0 mm.",)


def test_a_numbers_sources_are_those_of_its_figures(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "pitch-by-table", "bolt.size: M4"))
    assert "The book of threads, page 4" in sources(judge.judge(question.facts), question)


def test_what_a_rule_does_not_have_leaves_no_empty_heading(judge: Judge) -> None:
    question = how_much(judge, situation(judge, "pitch-by-table", "bolt.size: M4"))
    explained = explain(judge, question, mark(question, "0.7 mm"), Grade.SOUND)
    assert all(block.sentences for block in explained)
    assert {"Caution", "If it is ignored"}.isdisjoint(block.heading for block in explained)
    assert all(isinstance(block, Block) for block in explained)


def test_an_exception_that_holds_is_named(chain_judge: Judge) -> None:
    for rule in chain_judge.knowledge.rules.values():
        excepted = [example for example in rule.examples if example.expect == "excepted"]
        if rule.is_ruling and excepted:
            break
    question = Question(
        rule.id,
        "is_this_allowed",
        1,
        NEAR_MISS,
        excepted[0].given,
        excepted[0].given,
        (),
        (),
        "nothing against it",
    )
    told = blocks_of(chain_judge, question)
    assert any(sentence.startswith("Its exception holds: ") for sentence in told["How it follows"])


def blocks_of(judge: Judge, question: Question) -> dict[str, tuple[str, ...]]:
    from sideplate_trainer.questions import Marked

    marked = Marked("nothing against it", True)
    return {block.heading: block.sentences for block in explain(judge, question, marked, Grade.SOUND)}
