"""A sitting: one round, one front end, one log. Carries out what the round asks for, in the order it asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from time import monotonic

from sideplate_engine import Judge
from sideplate_engine.units import UNITS, unit
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer, LoggedAnswer, Purpose
from sideplate_trainer.asked_about import procedure_of
from sideplate_trainer.blocks import Block
from sideplate_trainer.exam_sheet import by_topic, result_sheet
from sideplate_trainer.explanation import explain, judgement_to_explain, sources
from sideplate_trainer.front.face import Asking, Face
from sideplate_trainer.posing import posed
from sideplate_trainer.procedure_telling import whole_procedure
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round import advance, refused
from sideplate_trainer.round_entries import (
    AFTER,
    BEFORE,
    BEFORE_NUMBER,
    BEFORE_ORDER,
    HELD,
    MEETING,
    WITHOUT_HINTS,
)
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
    Pose,
    Posed,
    Record,
    Show,
    Tell,
    TimeUp,
)
from sideplate_trainer.round_state import Phase, Round
from sideplate_trainer.round_summary import summary
from sideplate_trainer.schedule import Standing
from sideplate_trainer.solved_pair import solved_pair
from sideplate_trainer.telling import why_lines

Clock = Callable[[], datetime]


@dataclass
class Sitting:
    """`fingerprints` are of all rules that can be asked, `due` those to be asked today. `day` stays past midnight.

    `standings` derives from a log where every rule stands. `ends_at` is when the minutes of the round are over. `seen`
    are the looks of the questions asked, so that none is asked twice.
    """

    judge: Judge
    face: Face
    log: AnswerLog
    round_id: str
    fingerprints: Mapping[str, str]
    topic: str
    day: date
    clock: Clock
    due: frozenset[str]
    standings: Callable[[Sequence[LoggedAnswer]], Mapping[str, Standing]]
    title: str = ""
    ends_at: datetime | None = None
    seen: set[tuple[str, ...]] = field(default_factory=set)
    _shown_at: float = field(default=0.0, init=False)

    def run(self, state: Round, effects: tuple[Effect, ...]) -> Round:
        """Goes through the round to its end. EOFError and KeyboardInterrupt pass through; the log is then complete."""
        while True:
            event = self._carry_out(state, effects)
            if event is None:
                if state.phase is Phase.FINISHED:
                    return state
                line = self.face.ask(self._asking(state))
                if self._minutes_left() == 0 and not state.time_up:
                    state, effects = advance(state, TimeUp())
                    self._carry_out(state, effects)
                event = Entered(line)
            state, effects = advance(state, event)

    def _carry_out(self, state: Round, effects: tuple[Effect, ...]) -> Event | None:
        """Does what was asked, one after the other. What a question that was built comes back as is the next event."""
        event: Event | None = None
        for effect in effects:
            match effect:
                case Pose(planned):
                    try:
                        question = posed(self.judge, planned, self.seen)
                    except NoQuestion as problem:
                        event = NotPosed(str(problem))
                    else:
                        self.seen.add(question.look)
                        event = Posed(question)
                case Introduce(question):
                    pair = solved_pair(self.judge, question)
                    if pair is None:
                        event = NoPair()
                    else:
                        self.face.tell(pair)
                case Keep(draft):
                    self.log.keep_draft(self.round_id, draft)
                case Record(answer):
                    self._record(answer)
                case _:
                    self._show(state, effect)
        return event

    def _record(self, answer: Answer) -> None:
        ms = round((monotonic() - self._shown_at) * 1000)
        self.log.add(self.round_id, answer, self.fingerprints[answer.rule], ms, self.day, self.clock())

    def _show(self, state: Round, effect: Effect) -> None:
        match effect:
            case Show(question):
                self.face.show(question, self._heading(state))
                self._shown_at = monotonic()
            case Tell(block):
                self.face.tell((block,))
            case Explain(question, marked, grade):
                self.face.tell(explain(self.judge, question, marked, grade))
            case ExplainAtLength(question):
                self._explain_at_length(question)
            case NameSources(question):
                self.face.tell((Block("Source", sources(self.judge.judge(question.facts), question)),))
            case End():
                self._end(state)

    def _explain_at_length(self, question: Question) -> None:
        knowledge = self.judge.knowledge
        procedure = procedure_of(knowledge, question.rule)
        if procedure is not None:
            self.face.tell(whole_procedure(knowledge, procedure, "The whole work"))
            return
        judgement, _ = judgement_to_explain(self.judge, question, question.key)
        self.face.tell_lines(("", *why_lines(judgement, knowledge.rules[question.rule], self.face.width)))

    def _end(self, state: Round) -> None:
        self.log.end_round(self.round_id, self.clock())
        knowledge = self.judge.knowledge
        answered = self.log.answers_in_round(self.round_id)
        if state.is_exam:
            self.face.tell(result_sheet(self.title, self.day, self._count(state), answered, knowledge))
            return
        standings = self.standings(self.log.answers())
        self.face.tell(summary(state, knowledge, standings, self.fingerprints, self.day))
        if state.terms.purpose is Purpose.PLACEMENT and answered:
            self.face.tell((Block("By topic", tuple(by_topic(answered, knowledge))),))

    def _asking(self, state: Round) -> Asking:
        question = state.question
        assert question is not None
        stands = self._stands(state)
        words = () if question.order else tuple(option.word for option in question.options)
        units = units_for(question)

        def why_refused(line: str) -> str | None:
            return refused(state, line)

        match state.phase:
            case Phase.MEETING:
                return Asking("Next", MEETING, stands)
            case Phase.ASKING:
                keys = keys_before(question)
                if state.is_exam:
                    keys = keys.replace(WITHOUT_HINTS, "")
                return Asking("Answer", keys, stands, words, units, why_refused)
            case Phase.ANSWERED:
                return Asking("Sure?", HELD, stands, (), (), why_refused)
            case _:
                return Asking("Next", AFTER, stands)

    def _heading(self, state: Round) -> str:
        number = f"Question {state.number}"
        if self.ends_at is not None:
            return number
        at_most = "at most " if state.terms.topics else ""
        return f"{number} of {at_most}{self._count(state)}"

    def _stands(self, state: Round) -> str:
        number = self._heading(state).lower()
        left = self._minutes_left()
        minutes = "" if left is None else f", {left} min left"
        due = "" if state.is_exam else f", {self._left_due(state)} due"
        return f"{self.topic}: {number}{minutes}{due}"

    def _minutes_left(self) -> int | None:
        """The minutes left, those begun counted whole; None where the round has no end in time."""
        if self.ends_at is None:
            return None
        seconds = (self.ends_at - self.clock()).total_seconds()
        return max(0, -int(-seconds // 60))

    def _count(self, state: Round) -> int:
        """How many questions there will be at most."""
        answered = {result.rule for result in state.results}
        to_come = [plan for plan in state.planned[state.place :] if plan.rule not in answered]
        return min(state.wanted, len(state.results) + len(to_come))

    def _left_due(self, state: Round) -> int:
        return len(self.due - {result.rule for result in state.results})


def keys_before(question: Question) -> str:
    """The keys that matter while a question waits for its answer."""
    if question.order:
        return BEFORE_ORDER
    return BEFORE if question.options else BEFORE_NUMBER


def units_for(question: Question) -> tuple[str, ...]:
    """The units an answer may be in, the stored one first; none where a bare number is asked for."""
    if question.number is None or question.number.fact.kind == "count" or question.number.fact.unit == "1":
        return ()
    stored = unit(question.number.fact.unit)
    others = [
        each.symbol for each in UNITS.values() if each.dimension == stored.dimension and each is not stored
    ]
    return (stored.symbol, *(symbol for symbol in others if symbol != "1"))
