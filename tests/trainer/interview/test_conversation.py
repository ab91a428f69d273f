"""An interview from end to end over plain lines: what is asked, told and taken back."""

from __future__ import annotations

import io

import pytest

from sideplate_engine import Judge
from sideplate_engine.interview import Interview
from sideplate_trainer.front.plain import PlainFace
from sideplate_trainer.interview.conversation import Conversation, units_of
from support.small_knowledge import JudgeWith, rule

PARTS = {
    "parts.yaml": "bolt: {title: The bolt, facts: [bolt]}\nnut: {title: The nut, facts: [nut], tasks: [tighten]}\n"
}
RULES = (
    rule(
        "size",
        when="bolt.size: M4\nbolt.length: {above: 30 mm}",
        ruling="must not",
        says="Do not use {bolt.size}.",
    ),
    rule("nuts", when="nut.size: {differs from: bolt.size}", ruling="must", says="Change the nut."),
    rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
    rule("grease", when="bolt.greased: no"),
    rule("coat", when="bolt.finish: bare"),
)


def converse(judge: Judge, *lines: str) -> tuple[Conversation, bool, str]:
    sink = io.StringIO()
    face = PlainFace(io.StringIO("".join(f"{line}\n" for line in lines)), sink)
    conversation = Conversation(judge, face, Interview())
    return conversation, conversation.run(), sink.getvalue()


@pytest.fixture
def judge(judge_of: JudgeWith) -> Judge:
    return judge_of(PARTS, *RULES)


def test_it_asks_until_nothing_can_change(judge: Judge) -> None:
    conversation, wanted, text = converse(judge, "1", "", "m4", "35 mm", "")
    assert wanted
    assert conversation.interview.facts == {"bolt.size": "M4", "bolt.length": 35.0}
    assert "Which of these are so? Enter: none that I know of.\n1  It is bare.\n2  It is dry.\n" in text
    assert "Nothing more that is asked could change the rulings." in text


def test_the_end_of_the_input_ends_the_questions_and_wants_a_judgement(judge: Judge) -> None:
    conversation, wanted, _ = converse(judge, "1", "", "m4")
    assert wanted
    assert conversation.interview.facts == {"bolt.size": "M4"}


def test_leaving_wants_no_judgement(judge: Judge) -> None:
    assert converse(judge, "1", "", "m4", "q")[1] is False


def test_going_back_puts_the_question_before_again(judge: Judge) -> None:
    conversation, _, text = converse(judge, "1", "", "m4", "b", "m6", "e")
    assert conversation.interview.facts == {"bolt.size": "M6"}
    assert text.count("Question 3\nWhat size is it?") == 2


def test_nobody_knowing_is_an_answer(judge: Judge) -> None:
    conversation, _, _ = converse(judge, "1", "", "d", "e")
    assert conversation.interview.declined == {"bolt.size"}


def test_why_tells_the_rulings_that_wait_and_what_they_would_say(judge: Judge) -> None:
    _, _, text = converse(judge, "1 2", "", "w", "e")
    assert "MUST NOT: Do not use [bolt.size]. If bolt.size is M4." in text
    assert "MUST: Change the nut. If nut.size differs from bolt.size." in text


def test_a_fact_volunteered_is_taken_and_opens_its_part(judge: Judge) -> None:
    conversation, _, text = converse(judge, "1", "nut.size m6", "e")
    assert conversation.interview.parts == ("bolt", "nut")
    assert "Stated: nut.size M6.\nThat opens the part: The nut.\n" in text


def test_what_was_said_so_far_is_told_with_the_rulings_that_stand(judge: Judge) -> None:
    _, _, text = converse(judge, "1", "s", "", "m4", "35 mm", "s", "e")
    assert "So far\nNothing was stated yet.\n" in text
    assert "bolt.size: M4\nbolt.length: 35.0 mm\nMUST NOT: Do not use M4.\n" in text


def test_an_unusual_value_is_taken_and_remarked_on(judge: Judge) -> None:
    conversation, _, text = converse(judge, "1", "", "m4", "300 mm", "e")
    assert conversation.interview.facts["bolt.length"] == 300.0
    assert "bolt.length is 300.0 mm; 5.0 mm to 200.0 mm is usual. Measure again if in doubt." in text


def test_a_difference_from_what_was_worked_out_is_asked_for(judge: Judge) -> None:
    conversation, _, text = converse(judge, "1", "", "m4", "d", "1", "w", "0.8 mm")
    assert "1  One turn's travel: 0.70 mm (bolt.pitch)" in text
    assert conversation.interview.facts == {"bolt.size": "M4", "bolt.pitch": 0.8}
    assert "Rules can work it out too." in text


def test_help_tells_every_key(judge: Judge) -> None:
    _, _, text = converse(judge, "?", "q")
    assert all(f"{letter}: " in text for letter in "dwbseq")


def test_a_quantity_is_offered_every_unit_of_its_dimension(judge: Judge) -> None:
    facts = judge.knowledge.facts
    assert units_of(facts["bolt.length"])[0] == "mm"
    assert {"in", "ft", "m"} <= set(units_of(facts["bolt.length"]))
    assert units_of(facts["bolt.size"]) == units_of(facts["bolt.share"]) == units_of(None) == ()
