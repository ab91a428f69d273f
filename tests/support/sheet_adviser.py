"""An adviser who answers an interview from a full job sheet, and what such an interview could have asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sideplate_engine import KnowledgeBase
from sideplate_engine.chaining import Chained
from sideplate_engine.interview import Interview, choose_parts, decline, doubt, state, tick
from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.next_question import next_question
from sideplate_engine.vocabulary import Value

Sheet = Mapping[str, Value]


@dataclass(frozen=True)
class Answered:
    """An interview answered from a sheet: what was stated in the end, the questions put, the parts chosen."""

    facts: Sheet
    questions: tuple[Question, ...]
    parts: frozenset[str]


def answered_from(knowledge: KnowledgeBase, sheet: Sheet) -> Answered:
    """The interview, with "don't know" for what the sheet leaves out.

    The adviser chooses the parts that the sheet's facts are at home in, and volunteers at the start what nobody can be
    asked for.
    """
    parts = parts_touched(knowledge, sheet)
    unasked = {name: value for name, value in sheet.items() if not knowledge.facts[name].given}
    interview = Interview()
    if unasked:
        interview = state(knowledge, interview, unasked)
    questions: list[Question] = []
    while (question := next_question(knowledge, interview)) is not None:
        questions.append(question)
        interview = _after(knowledge, interview, question, sheet, parts)
    return Answered(interview.facts, tuple(questions), parts)


def parts_touched(knowledge: KnowledgeBase, sheet: Sheet) -> frozenset[str]:
    """The parts at home in which a sheet states facts, without those that are always meant."""
    always = knowledge.job_parts.facts_of(())
    return frozenset(
        knowledge.job_parts.of(name)[0]
        for name in sheet
        if name not in always and knowledge.facts[name].given
    )


def _after(
    knowledge: KnowledgeBase, interview: Interview, question: Question, sheet: Sheet, parts: frozenset[str]
) -> Interview:
    match question:
        case PartsQuestion():
            return choose_parts(interview, sorted(parts))
        case FactQuestion(fact=fact):
            if fact in sheet:
                return state(knowledge, interview, {fact: sheet[fact]})
            return decline(interview, question)
        case ClaimsQuestion(claims=claims):
            ticked = [number for number, claim in enumerate(claims) if sheet.get(claim.fact) == claim.value]
            return tick(interview, question, ticked)
        case DoubtsQuestion(values=values):
            otherwise = [name for name, value in values.items() if sheet.get(name, value) != value]
            return doubt(interview, question, otherwise)


def relevant_facts(knowledge: KnowledgeBase, parts: frozenset[str]) -> frozenset[str]:
    """The facts of these parts that can be asked for and that some ruling rests on, directly or by derivations."""
    found: set[str] = set()
    for rule in knowledge.rules.values():
        if rule.is_ruling:
            for name in rule.reads():
                found |= _rests_on(knowledge, name)
    return frozenset(found & knowledge.job_parts.facts_of(parts))


def _rests_on(knowledge: KnowledgeBase, name: str) -> set[str]:
    found = {name} if knowledge.facts[name].given else set()
    for rule in knowledge.derivers(name):
        for read in rule.reads():
            found |= _rests_on(knowledge, read)
    return found


def comes_to(knowledge: KnowledgeBase, outcome: Chained) -> tuple[object, ...]:
    """What a judgement says in the end: each ruling with its words, and what is contradicted."""
    rulings = sorted(
        (id_, knowledge.rules[id_].says.fill(outcome.facts, knowledge.facts))
        for id_ in outcome.live
        if knowledge.rules[id_].is_ruling
    )
    return (rulings, sorted(conflict.fact for conflict in outcome.conflicts))
