"""A sitting: one round, one front end, one log. Carries out what the round asks for, in the order it asks for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from time import monotonic

from sideplate_engine import Judge
from sideplate_engine.units import UNITS, unit
from sideplate_trainer.answer_log import AnswerLog
from sideplate_trainer.answers import Answer
from sideplate_trainer.blocks import Block
from sideplate_trainer.explanation import explain, sources
from sideplate_trainer.front.face import Asking, Face
from sideplate_trainer.posing import posed
from sideplate_trainer.questions import NoQuestion, Question
from sideplate_trainer.round import Phase, Round, advance, refused
from sideplate_trainer.round_entries import AFTER, BEFORE, BEFORE_NUMBER, HELD
from sideplate_trainer.round_events import (
    Effect,
    End,
    Entered,
    Event,
    Explain,
    ExplainAtLength,
    NameSources,
    NotPosed,
    Pose,
    Posed,
    Record,
    Show,
    Tell,
)
from sideplate_trainer.round_summary import summary
from sideplate_trainer.schedule import replay
from sideplate_trainer.telling import why_lines

Clock = Callable[[], datetime]


@dataclass
class Sitting:
    """`fingerprints` are of all rules that can be asked, `due` those to be asked today. `day` stays past midnight."""

    judge: Judge
    face: Face
    log: AnswerLog
    round_id: str
    fingerprints: Mapping[str, str]
    topic: str
    day: date
    clock: Clock
    due: frozenset[str]
    _shown_at: float = field(default=0.0, init=False)

    def run(self, state: Round, effects: tuple[Effect, ...]) -> Round:
        """Goes through the round to its end. EOFError and KeyboardInterrupt pass through; the log is then complete."""
        while True:
            event = self._carry_out(state, effects)
            if event is None:
                if state.phase is Phase.FINISHED:
                    return state
                event = Entered(self.face.ask(self._asking(state)))
            state, effects = advance(state, event)

    def _carry_out(self, state: Round, effects: tuple[Effect, ...]) -> Event | None:
        """Does what was asked, one after the other. What a question that was built comes back as is the next event."""
        event: Event | None = None
        for effect in effects:
            match effect:
                case Pose(planned):
                    try:
                        event = Posed(posed(self.judge, planned))
                    except NoQuestion as problem:
                        event = NotPosed(str(problem))
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
                self.face.show(question, f"Question {state.number} of {self._count(state)}")
                self._shown_at = monotonic()
            case Tell(block):
                self.face.tell((block,))
            case Explain(question, marked, grade):
                self.face.tell(explain(self.judge, question, marked, grade))
            case ExplainAtLength(question):
                rule = self.judge.knowledge.rules[question.rule]
                judgement = self.judge.judge(question.facts)
                self.face.tell_lines(("", *why_lines(judgement, rule, self.face.width)))
            case NameSources(question):
                self.face.tell((Block("Source", sources(self.judge.judge(question.facts), question)),))
            case End():
                self._end(state)

    def _end(self, state: Round) -> None:
        self.log.end_round(self.round_id, self.clock())
        standings = replay(self.log.answers())
        self.face.tell(summary(state, self.judge.knowledge, standings, self.fingerprints, self.day))

    def _asking(self, state: Round) -> Asking:
        question = state.question
        assert question is not None
        stands = f"{self.topic}: question {state.number} of {self._count(state)}, {self._left_due(state)} due"
        words = tuple(option.word for option in question.options)
        units = units_for(question)

        def why_refused(line: str) -> str | None:
            return refused(state, line)

        match state.phase:
            case Phase.ASKING:
                keys = BEFORE if question.options else BEFORE_NUMBER
                return Asking("Answer", keys, stands, words, units, why_refused)
            case Phase.ANSWERED:
                return Asking("Sure?", HELD, stands, (), (), why_refused)
            case _:
                return Asking("Next", AFTER, stands)

    def _count(self, state: Round) -> int:
        """How many questions there will be at most."""
        return min(state.wanted, len(state.results) + len(state.planned) - state.place)

    def _left_due(self, state: Round) -> int:
        return len(self.due - {result.rule for result in state.results})


def units_for(question: Question) -> tuple[str, ...]:
    """The units an answer may be in, the stored one first; none where a bare number is asked for."""
    if question.number is None or question.number.fact.kind == "count" or question.number.fact.unit == "1":
        return ()
    stored = unit(question.number.fact.unit)
    others = [
        each.symbol for each in UNITS.values() if each.dimension == stored.dimension and each is not stored
    ]
    return (stored.symbol, *(symbol for symbol in others if symbol != "1"))
