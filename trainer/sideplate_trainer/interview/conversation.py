"""One interview with one person: puts the questions, reads the lines, and ends when nothing more can change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sideplate_engine import JobSheet, Judge
from sideplate_engine.interview import Interview, back, choose_parts, decline, doubt, state, tick
from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.next_question import next_question
from sideplate_engine.units import UNITS, unit
from sideplate_engine.vocabulary import Fact, System, Value
from sideplate_trainer.blocks import Block
from sideplate_trainer.front.face import Asking, Face
from sideplate_trainer.interview.entries import (
    HELP,
    KEYS,
    Command,
    EntryRefused,
    Picked,
    Stated,
    entry_in,
)
from sideplate_trainer.interview.showing import label_of, question_block, why_block


@dataclass
class Conversation:
    """The interview so far is in `interview`, whatever ends it."""

    judge: Judge
    face: Face
    interview: Interview
    system: System = "metric"

    def run(self) -> bool:
        """Asks until nothing can change or it is ended. False when it was left without wanting a judgement.

        KeyboardInterrupt passes through. The end of the input ends the questions, and what was said is judged.
        """
        while (question := next_question(self.judge.knowledge, self.interview)) is not None:
            self._put(question)
            answered = False
            while not answered:
                try:
                    line = self.face.ask(self._asking(question))
                except EOFError:
                    return True
                entry = entry_in(line, question, self.judge.knowledge)
                match entry:
                    case Command.FINISH:
                        return True
                    case Command.LEAVE:
                        return False
                    case Command.HELP | Command.WHY | Command.SO_FAR:
                        self.face.tell((self._told(entry, question),))
                    case _:
                        self.interview = self._after(entry, question)
                        answered = True
        self.face.tell((Block("", ("Nothing more that is asked could change the rulings.",)),))
        return True

    def _put(self, question: Question) -> None:
        self.face.tell((question_block(question, self._number(), self.judge.knowledge, self.system),))

    def _number(self) -> int:
        number, step = 1, self.interview
        while step.before is not None:
            number, step = number + 1, step.before
        return number

    def _asking(self, question: Question) -> Asking:
        def refused(line: str) -> str | None:
            try:
                entry_in(line, question, self.judge.knowledge)
            except EntryRefused as problem:
                return str(problem)
            return None

        rulings = sum(
            self.judge.knowledge.rules[id_].is_ruling for id_ in self.judge.outcome(self.interview.facts).live
        )
        stands = f"{len(self.interview.facts)} facts stated, {rulings} rulings stand"
        fact = self.judge.knowledge.facts[question.fact] if isinstance(question, FactQuestion) else None
        words = () if fact is None else tuple(fact.choices or ())
        return Asking(label_of(question), KEYS, stands, words, units_of(fact), refused)

    def _told(self, command: Command, question: Question) -> Block:
        match command:
            case Command.HELP:
                return Block("What can be typed", HELP)
            case Command.WHY:
                return why_block(question, self.judge.knowledge, self.interview.facts, self.system)
            case _:
                return Block("So far", tuple(self._so_far()))

    def _so_far(self) -> Iterator[str]:
        vocabulary = self.judge.knowledge.facts
        for name, value in self.interview.facts.items():
            yield f"{name}: {vocabulary[name].show(value, self.system)}"
        outcome = self.judge.outcome(self.interview.facts)
        for id_ in sorted(outcome.live):
            rule = self.judge.knowledge.rules[id_]
            if rule.force is not None:
                yield f"{rule.force.upper()}: {rule.says.fill(outcome.facts, vocabulary, self.system)}"
        if not self.interview.facts:
            yield "Nothing was stated yet."

    def _after(self, entry: Command | Stated | Picked, question: Question) -> Interview:
        match entry, question:
            case Command.BACK, _:
                return back(self.interview)
            case Command.UNKNOWN, _:
                return decline(self.interview, question)
            case Stated(facts=facts, volunteered=volunteered), _:
                return self._stated(facts, volunteered)
            case Picked(numbers=numbers), PartsQuestion(offered=offered):
                return choose_parts(self.interview, (offered[number].id for number in numbers))
            case Picked(numbers=numbers), ClaimsQuestion():
                return tick(self.interview, question, numbers)
            case Picked(numbers=numbers), DoubtsQuestion(values=values):
                names = list(values)
                return doubt(self.interview, question, (names[number] for number in numbers))
            case _:
                raise AssertionError(f"{entry} answers no such question: {question}")

    def _stated(self, facts: Mapping[str, Value], volunteered: bool) -> Interview:
        vocabulary = self.judge.knowledge.facts
        unusual = tuple(name for name, value in facts.items() if vocabulary[name].is_unusual(value))
        for sentence in JobSheet("", "", facts, unusual).warnings(vocabulary, self.system):
            self.face.tell((Block("", (sentence,)),))
        after = state(self.judge.knowledge, self.interview, facts)
        if volunteered:
            said = [f"Stated: {name} {vocabulary[name].show(facts[name], self.system)}." for name in facts]
            titles = {part.id: part.title for part in self.judge.knowledge.job_parts.offered}
            opened = set(after.parts or ()) - set(self.interview.parts or ())
            said += [f"That opens the part: {titles[part]}." for part in sorted(opened & titles.keys())]
            self.face.tell((Block("", tuple(said)),))
        return after


def units_of(fact: Fact | None) -> tuple[str, ...]:
    """The units a fact's value may be written in, the stored one first; none where a bare number is wanted."""
    if fact is None or fact.kind != "quantity" or fact.unit == "1":
        return ()
    stored = unit(fact.unit)
    others = (each.symbol for each in UNITS.values() if each.dimension == stored.dimension)
    return tuple(dict.fromkeys((stored.symbol, *others)))
