"""After an exam: the questions missed, one after the other, each with its explanation."""

from __future__ import annotations

from collections.abc import Sequence

from sideplate_engine import Judge
from sideplate_trainer.answers import LoggedAnswer
from sideplate_trainer.blocks import Block, ended
from sideplate_trainer.explanation import explain
from sideplate_trainer.front.face import Asking, Face
from sideplate_trainer.posing import posed_again
from sideplate_trainer.questions import AnswerRefused, Marked, NoQuestion, Question
from sideplate_trainer.round_entries import Command, command_in
from sideplate_trainer.ways import mark

KEYS = "Enter next   q leave"


def review(judge: Judge, face: Face, answered: Sequence[LoggedAnswer]) -> None:
    """Goes through the questions missed. It ends early at q, and where input ends; nothing is asked or logged."""
    missed = [(number, answer) for number, answer in enumerate(answered, 1) if not answer.grade.is_right]
    for place, (number, answer) in enumerate(missed, 1):
        try:
            line = face.ask(Asking("Next", KEYS, f"Questions missed: {place} of {len(missed)}"))
        except EOFError:
            return
        if command_in(line) is Command.LEAVE:
            return
        try:
            question = posed_again(judge, answer.rule, answer.way, answer.seed)
        except NoQuestion:
            # The knowledge was changed while the exam was on; the result sheet has the answer and the key.
            continue
        face.show(question, f"Question {number}, missed")
        face.tell((Block("", (f"Your answer: {ended(answer.response)}",)),))
        face.tell(explain(judge, question, _marked(question, answer), answer.grade))


def _marked(question: Question, answer: LoggedAnswer) -> Marked:
    """What was said of the answer; of one that reads otherwise now, only that it was wrong."""
    try:
        marked = mark(question, answer.response)
    except AnswerRefused:
        return Marked(answer.response, False)
    return marked if not marked.right and not marked.again else Marked(answer.response, False)
