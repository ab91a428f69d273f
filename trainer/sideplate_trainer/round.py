"""A round as a state machine: a state and an event in, the next state and what is to be done out.

No screen, clock, file or chance in it. A front end feeds it lines; whoever conducts it carries the effects out in the
order given. That order is a promise: an answer is recorded before its explanation is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from sideplate_trainer.answers import Answer, Grade, grade_of
from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import AnswerRefused, Marked, Question
from sideplate_trainer.round_entries import GO_ON, KEYS, Command, command_in
from sideplate_trainer.round_events import (
    Effect,
    End,
    Entered,
    Event,
    Explain,
    ExplainAtLength,
    NameSources,
    NotPosed,
    Planned,
    Pose,
    Posed,
    Record,
    Show,
    Tell,
)
from sideplate_trainer.ways import mark


class Phase(Enum):
    """Where a round is: waiting for a question, for an answer, for its confirmation, for the next; or over."""

    POSING = "posing"
    ASKING = "asking"
    ANSWERED = "answered"
    EXPLAINED = "explained"
    FINISHED = "finished"


@dataclass(frozen=True, slots=True)
class Result:
    """A rule that was asked, and the grade of the answer."""

    rule: str
    grade: Grade


@dataclass(frozen=True, slots=True)
class Round:
    """The state. `planned` may hold more than `wanted`, in case some cannot be posed; `place` is the one at hand.

    `left` says that the learner ended it early. What `begin` takes is all that is needed to go on with it later.
    """

    planned: tuple[Planned, ...]
    wanted: int
    place: int = 0
    phase: Phase = Phase.POSING
    question: Question | None = None
    held: Marked | None = None
    hints: int = 0
    helped: bool = False
    unsure: bool = False
    results: tuple[Result, ...] = ()
    left: bool = False

    @property
    def number(self) -> int:
        """The number of the question at hand, from 1."""
        return len(self.results) + (0 if self.phase in (Phase.EXPLAINED, Phase.FINISHED) else 1)


def begin(
    planned: tuple[Planned, ...], wanted: int, results: tuple[Result, ...] = ()
) -> tuple[Round, tuple[Effect, ...]]:
    """A round, or one gone on with after the questions on these rules were answered."""
    answered = {result.rule for result in results}
    left = tuple(plan for plan in planned if plan.rule not in answered)
    return _go_on(Round(left, wanted, place=-1, results=results))


def advance(state: Round, event: Event) -> tuple[Round, tuple[Effect, ...]]:
    """The next state, and what is to be done on the way. Nothing comes of a line where none is waited for."""
    match event:
        case Posed(question):
            posed = replace(
                state, phase=Phase.ASKING, question=question, held=None, hints=0, helped=False, unsure=False
            )
            return posed, (Show(question),)
        case NotPosed():
            return _go_on(state)
        case Entered(line):
            return _entered(state, line)


def _entered(state: Round, line: str) -> tuple[Round, tuple[Effect, ...]]:
    command = command_in(line)
    if state.phase in (Phase.POSING, Phase.FINISHED):
        return state, ()
    if command is Command.LEAVE:
        return _ended(replace(state, left=True))
    if command is Command.HELP:
        return state, (Tell(Block("Keys", KEYS)),)
    match state.phase:
        case Phase.ASKING:
            return _asking(state, command, line)
        case Phase.ANSWERED:
            return _answered(state, command, line)
        case _:
            return _explained(state, command, line)


def _asking(state: Round, command: Command | None, line: str) -> tuple[Round, tuple[Effect, ...]]:
    assert state.question is not None
    match command:
        case Command.HINT:
            return _hint(state)
        case Command.UNSURE:
            said = "Noted: sure after all." if state.unsure else "Noted: you are unsure of this one."
            return replace(state, unsure=not state.unsure), _said(said)
        case Command.BACK:
            return state, _said("There is no answer to take back.")
        case Command.WHY | Command.SOURCE:
            return state, _said("That is told once you have answered. h gives a hint.")
        case _:
            return _take(state, line)


def _hint(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    assert state.question is not None
    hints = state.question.hints
    if state.hints >= len(hints):
        return state, _said("There are no more hints; the rest is the answer itself.")
    said = Block(f"Hint {state.hints + 1} of {len(hints)}", (hints[state.hints],))
    return replace(state, hints=state.hints + 1), (Tell(said),)


def _take(state: Round, line: str) -> tuple[Round, tuple[Effect, ...]]:
    """Takes a line as an answer: refused, given back, or held until it is confirmed."""
    assert state.question is not None
    refusal = refused(state, line)
    if refusal is not None:
        return state, _said(refusal)
    marked = mark(state.question, line)
    if marked.again:
        return replace(state, helped=state.helped or marked.helped), _said(*marked.said)
    return replace(state, phase=Phase.ANSWERED, held=marked), _said(f"Your answer: {marked.answer}.")


def refused(state: Round, line: str) -> str | None:
    """Why a line cannot be an answer here, as a sentence; None when it can, and where no answer is waited for."""
    if state.phase not in (Phase.ASKING, Phase.ANSWERED) or command_in(line) is not None:
        return None
    assert state.question is not None
    if line.strip() == GO_ON:
        return "Type an answer, or ? for the keys." if state.phase is Phase.ASKING else None
    try:
        mark(state.question, line)
    except AnswerRefused as problem:
        return str(problem)
    return None


def _answered(state: Round, command: Command | None, line: str) -> tuple[Round, tuple[Effect, ...]]:
    match command:
        case Command.UNSURE:
            return _confirm(replace(state, unsure=True))
        case Command.BACK:
            return replace(state, phase=Phase.ASKING, held=None), _said("Taken back. Answer again.")
        case None if line.strip() == GO_ON:
            return _confirm(state)
        case None:
            return _take(state, line)
        case _:
            return state, _said("Enter confirms your answer, u says you are unsure of it, b takes it back.")


def _confirm(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    question, marked = state.question, state.held
    assert question is not None
    assert marked is not None
    grade = grade_of(marked.right, state.helped or state.hints > 0, state.unsure)
    answer = Answer(
        question.rule,
        question.way,
        question.seed,
        marked.answer,
        question.key,
        marked.right,
        grade,
        None if marked.right else question.rule,
        state.hints,
        state.unsure,
    )
    explained = replace(
        state, phase=Phase.EXPLAINED, held=None, results=(*state.results, Result(question.rule, grade))
    )
    return explained, (Record(answer), Explain(question, marked, grade))


def _explained(state: Round, command: Command | None, line: str) -> tuple[Round, tuple[Effect, ...]]:
    assert state.question is not None
    match command:
        case Command.WHY:
            return state, (ExplainAtLength(state.question),)
        case Command.SOURCE:
            return state, (NameSources(state.question),)
        case Command.BACK:
            return state, _said("The ruling is shown, so the answer stays as it is.")
        case None if line.strip() == GO_ON:
            return _go_on(state)
        case _:
            return state, _said("Enter goes on, w tells the whole proof, s the source, q leaves.")


def _go_on(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    place = state.place + 1
    if len(state.results) >= state.wanted or place >= len(state.planned):
        return _ended(state)
    waiting = replace(state, place=place, phase=Phase.POSING, question=None)
    return waiting, (Pose(state.planned[place]),)


def _ended(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    return replace(state, phase=Phase.FINISHED, question=None, held=None), (End(),)


def _said(*sentences: str) -> tuple[Effect, ...]:
    return (Tell(Block("", sentences)),)
