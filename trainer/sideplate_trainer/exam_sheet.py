"""What an exam comes to: the result sheet, and the paper and its key as text for use on paper."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from sideplate_engine import Judge, KnowledgeBase
from sideplate_trainer.answers import Grade, LoggedAnswer
from sideplate_trainer.asked_about import PROCEDURE, is_procedure, title_of, topic_of
from sideplate_trainer.blocks import Block, ended
from sideplate_trainer.explanation import explain
from sideplate_trainer.front.page import block_lines, question_lines
from sideplate_trainer.questions import Marked, Question

PAPER_WIDTH = 80


def paper_title(seed: int, topics: str, questions: int) -> str:
    """How a paper is named: whoever has the same knowledge and this number has the same paper."""
    return f"Paper {seed}, {topics}, {questions} {'question' if questions == 1 else 'questions'}"


def result_sheet(
    title: str, day: date, wanted: int, answered: Sequence[LoggedAnswer], knowledge: KnowledgeBase
) -> tuple[Block, ...]:
    """The result, by topic, and the rules missed with what was answered and what is right."""
    right = sum(answer.grade.is_right for answer in answered)
    left_out = wanted - len(answered)
    first = [f"{title}, {day.isoformat()}.", f"{right} of {wanted} right."]
    if left_out > 0:
        first.append(f"{left_out} not answered.")
    blocks = [
        Block("Result sheet", tuple(first)),
        Block("By topic", tuple(by_topic(answered, knowledge))),
        Block("Rules missed", tuple(_missed(answered, knowledge)) or ("None.",)),
    ]
    return tuple(block for block in blocks if block.sentences)


def by_topic(answered: Sequence[LoggedAnswer], knowledge: KnowledgeBase) -> Iterator[str]:
    """How many were right of each topic that was asked about, in the order of the topics."""
    asked: dict[str | None, list[bool]] = {}
    for answer in answered:
        asked.setdefault(topic_of(knowledge, answer.rule), []).append(answer.grade.is_right)
    for topic, entry in knowledge.topics.items():
        if topic in asked:
            yield f"{entry.title}: {sum(asked[topic])} of {len(asked[topic])}."
    if None in asked:
        yield f"Other: {sum(asked[None])} of {len(asked[None])}."


def _missed(answered: Sequence[LoggedAnswer], knowledge: KnowledgeBase) -> Iterator[str]:
    for number, answer in enumerate(answered, 1):
        rule = answer.misses
        if rule is not None:
            sure = "sure, " if answer.grade is Grade.BLIND_SPOT else ""
            yield f"Question {number}: {ended(title_of(knowledge, answer.rule))}"
            yield f"You answered ({sure}wrong): {ended(answer.response)}"
            yield f"The answer is: {ended(answer.key)}"
            if rule != answer.rule:
                yield f"What was misapplied: {ended(title_of(knowledge, rule))}"


def paper_lines(title: str, questions: Sequence[Question], judge: Judge) -> Iterator[str]:
    """The paper with room for a name, then the key with its reasons on pages of its own."""
    yield from (title, "", "Name: ______________________________   Date: ______________")
    for number, question in enumerate(questions, 1):
        yield from (line for _, line in question_lines(question, f"Question {number}", PAPER_WIDTH))
        yield ""
        yield "Answer: ______________________________"
    yield "\f"
    yield f"Key to {title[0].lower()}{title[1:]}"
    for number, question in enumerate(questions, 1):
        yield from (line for _, line in block_lines(tuple(_key(number, question, judge)), PAPER_WIDTH))


def _key(number: int, question: Question, judge: Judge) -> Iterator[Block]:
    options: Mapping[str, int] = {option.word: place for place, option in enumerate(question.options, 1)}
    place = f"{options[question.key]}  " if question.key in options else ""
    yield Block(f"Question {number}: {place}{question.key}", (_about(question.rule),))
    # The mark is of nobody's answer; all that follows it is the same for everybody.
    _, *reasons = explain(judge, question, Marked(question.key, True), Grade.SOUND)
    yield from reasons


def _about(id_: str) -> str:
    return f"Procedure {id_.removeprefix(PROCEDURE)}" if is_procedure(id_) else f"Rule {id_}"
