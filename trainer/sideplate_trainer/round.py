"""A round as a state machine: a state and an event in, the next state and what is to be done out.

No screen, clock, file or chance in it. A front end feeds it lines; whoever conducts it carries the effects out in the
order given. That order is a promise: an answer is recorded before its explanation is asked for.
"""

from __future__ import annotations

from dataclasses import replace

from sideplate_trainer.answers import Answer, Draft, Grade, grade_of
from sideplate_trainer.blocks import Block, ended
from sideplate_trainer.questions import AnswerRefused
from sideplate_trainer.round_entries import GO_ON, Command, command_in, keys_for
from sideplate_trainer.round_events import (
    Effect,
    End,
    Entered,
    Event,
    Explain,
    ExplainAtLength,
    Introduce,
    Keep,
    NameSources,
    NoPair,
    NotPosed,
    Planned,
    Pose,
    Posed,
    Record,
    Show,
    Tell,
    TimeUp,
)
from sideplate_trainer.round_state import Phase, Result, Round, Terms
from sideplate_trainer.ways import mark

TO_CLOSE_A_TOPIC = 2
"""In a placement round nothing more is asked about a topic after so many answers that were not sound."""


def begin(
    planned: tuple[Planned, ...],
    wanted: int,
    results: tuple[Result, ...] = (),
    terms: Terms | None = None,
) -> tuple[Round, tuple[Effect, ...]]:
    """A round, or one gone on with after the questions on these rules were answered."""
    answered = {result.rule for result in results}
    left = tuple(plan for plan in planned if plan.rule not in answered)
    return _go_on(Round(left, wanted, place=-1, results=results, terms=terms or Terms()))


def advance(state: Round, event: Event) -> tuple[Round, tuple[Effect, ...]]:
    """The next state, and what is to be done on the way. Nothing comes of a line where none is waited for."""
    match event:
        case Posed(question):
            posed = replace(
                state,
                question=question,
                held=None,
                hints=0,
                told=0,
                helped=False,
                unsure=False,
                leaving=False,
            )
            if posed.is_guided:
                return replace(posed, phase=Phase.MEETING), (Introduce(question),)
            return _show(posed)
        case NoPair():
            return _show(state)
        case NotPosed():
            return _go_on(state)
        case TimeUp():
            return _time_is_up(state)
        case Entered(line):
            return _entered(state, line)


def _show(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    """Shows the question at hand: with the way to its answer to whoever meets the rule, with the hints had before."""
    question, draft = state.question, state.terms.draft
    assert question is not None
    told = len(question.hints) if state.is_guided else 0
    effects: list[Effect] = [Show(question)]
    if told:
        effects.append(Tell(Block("The way to the answer", question.hints)))
    shown = replace(state, phase=Phase.ASKING, hints=told, told=told)
    if draft is None or draft.rule != question.rule:
        return shown, tuple(effects)
    had = min(max(draft.hints, told), len(question.hints))
    if had > told:
        effects.append(Tell(Block("The hints you had", question.hints[told:had])))
    shown = replace(shown, hints=had, helped=draft.helped, unsure=draft.unsure)
    return replace(shown, terms=replace(state.terms, draft=None)), tuple(effects)


def _time_is_up(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    if state.time_up or state.phase is Phase.FINISHED:
        return state, ()
    last = state.phase in (Phase.MEETING, Phase.ASKING, Phase.ANSWERED)
    return replace(state, time_up=True), _said("The time is up: this question is the last.") if last else ()


def _entered(state: Round, line: str) -> tuple[Round, tuple[Effect, ...]]:
    command = command_in(line)
    if state.phase in (Phase.POSING, Phase.FINISHED):
        return state, ()
    if command is Command.LEAVE:
        if state.is_exam and not state.leaving:
            return replace(state, leaving=True), _said("Type q again to hand the paper in as it is.")
        return _ended(replace(state, left=True))
    state = replace(state, leaving=False)
    if command is Command.HELP:
        return state, (Tell(Block("Keys", keys_for(exam=state.is_exam))),)
    match state.phase:
        case Phase.MEETING if line.strip() == GO_ON:
            return _show(state)
        case Phase.MEETING:
            return state, _said("Read it through. Enter goes on to your question.")
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
            return _kept(replace(state, unsure=not state.unsure), *_said(said))
        case Command.BACK:
            return state, _said("There is no answer to take back.")
        case Command.WHY | Command.SOURCE if state.is_exam:
            return state, _said("That is told at the end of the exam.")
        case Command.WHY | Command.SOURCE:
            return state, _said("That is told once you have answered. h gives a hint.")
        case _:
            return _take(state, line)


def _hint(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    assert state.question is not None
    hints = state.question.hints
    if state.is_exam:
        return state, _said("There are no hints in an exam.")
    if state.hints >= len(hints):
        return state, _said("There are no more hints; the rest is the answer itself.")
    said = Block(f"Hint {state.hints + 1} of {len(hints)}", (hints[state.hints],))
    return _kept(replace(state, hints=state.hints + 1), Tell(said))


def _kept(state: Round, *effects: Effect) -> tuple[Round, tuple[Effect, ...]]:
    """What counts against an answer is written down before it shows, so that no restart makes it undone."""
    assert state.question is not None
    draft = Draft(state.question.rule, state.hints, state.helped, state.unsure)
    return state, (Keep(draft), *effects)


def _take(state: Round, line: str) -> tuple[Round, tuple[Effect, ...]]:
    """Takes a line as an answer: refused, given back, or held until it is confirmed."""
    assert state.question is not None
    refusal = refused(state, line)
    if refusal is not None:
        return state, _said(refusal)
    marked = mark(state.question, line)
    if marked.again:
        return _kept(replace(state, helped=state.helped or marked.helped), *_said(*marked.said))
    return replace(state, phase=Phase.ANSWERED, held=marked), _said(f"Your answer: {ended(marked.answer)}")


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
    grade = grade_of(marked.right, state.helped or state.hints > state.told, state.unsure)
    answer = Answer(
        question.rule,
        question.way,
        question.seed,
        marked.answer,
        question.key,
        marked.right,
        grade,
        None if marked.right else marked.blames or question.rule,
        state.hints - state.told,
        state.unsure,
        state.is_guided,
        state.terms.purpose,
    )
    answered = replace(
        state, phase=Phase.EXPLAINED, held=None, results=(*state.results, Result(question.rule, grade))
    )
    if state.is_exam:
        next_, effects = _go_on(answered)
        return next_, (Record(answer), *effects)
    return answered, (Record(answer), Explain(question, marked, grade))


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
    if state.time_up or len(state.results) >= state.wanted:
        return _ended(state)
    for place in range(state.place + 1, len(state.planned)):
        if not _is_closed(state, state.planned[place].rule):
            waiting = replace(state, place=place, phase=Phase.POSING, question=None)
            return waiting, (Pose(state.planned[place]),)
    return _ended(state)


def _is_closed(state: Round, rule: str) -> bool:
    """Whether a placement round has seen enough of the rule's topic."""
    topics = state.terms.topics
    if rule not in topics:
        return False
    unsound = [result for result in state.results if result.grade is not Grade.SOUND]
    return sum(topics.get(result.rule) == topics[rule] for result in unsound) >= TO_CLOSE_A_TOPIC


def _ended(state: Round) -> tuple[Round, tuple[Effect, ...]]:
    return replace(state, phase=Phase.FINISHED, question=None, held=None), (End(),)


def _said(*sentences: str) -> tuple[Effect, ...]:
    return (Tell(Block("", sentences)),)
