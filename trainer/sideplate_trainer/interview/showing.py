"""Questions of an interview as blocks of text, and what is said when somebody asks why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sideplate_engine import KnowledgeBase
from sideplate_engine.condition_words import words_of_test
from sideplate_engine.findings import listed
from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.next_question import FIRST
from sideplate_engine.rules import Rule
from sideplate_engine.units import unit
from sideplate_engine.vocabulary import Fact, System, Value
from sideplate_trainer.blocks import Block

MOST_TOLD = 6
"""How many rulings "why?" tells; the rest are counted."""


def question_block(
    question: Question, number: int, knowledge: KnowledgeBase, system: System = "metric"
) -> Block:
    """The question with its choices, each on a line of its own."""
    return Block(f"Question {number}", tuple(_sentences(question, knowledge, system)))


def _sentences(question: Question, knowledge: KnowledgeBase, system: System) -> Iterator[str]:
    match question:
        case PartsQuestion(offered=offered, suggested=suggested):
            yield "Which parts does the job touch?"
            for number, part in enumerate(offered, 1):
                yield f"{number}  {part.title}"
            usual = [str(number) for number, part in enumerate(offered, 1) if part.id in suggested]
            if usual:
                yield f"Enter takes {', '.join(usual)}, as usual for this work and what was said."
            else:
                yield "Enter takes them all."
        case FactQuestion(fact=name):
            yield from _asked(knowledge.facts[name])
        case ClaimsQuestion(claims=claims):
            yield "Which of these are so? Enter: none that I know of."
            for number, claim in enumerate(claims, 1):
                yield f"{number}  {claim_in_words(knowledge.facts[claim.fact], claim.value, system)}"
        case DoubtsQuestion(values=values):
            yield "This was worked out. Was any of it measured, and came out differently? Enter: no."
            for number, (name, value) in enumerate(values.items(), 1):
                fact = knowledge.facts[name]
                yield f"{number}  {fact.means.rstrip('.')}: {fact.show(value, system)} ({name})"


def _asked(fact: Fact) -> Iterator[str]:
    yield fact.ask
    for number, (choice, gloss) in enumerate((fact.choices or {}).items(), 1):
        yield f"{number}  {choice}: {gloss}"
    if fact.many:
        yield "Several may be so: 1, 2. Type none when none is."
    match fact.kind:
        case "flag":
            yield "yes or no"
        case "count":
            yield "A whole number."
        case "quantity" if fact.unit == "1":
            yield "A bare number."
        case "quantity":
            yield f"With its unit: {fact.unit}, or any other unit of {unit(fact.unit).dimension}."
    if fact.observe:
        yield f"To find out: {fact.observe}"


def claim_in_words(fact: Fact, value: Value, system: System) -> str:
    """A claim as a sentence: what the vocabulary says of the value."""
    return fact.tell(value, system)


def label_of(question: Question) -> str:
    """What stands before the cursor."""
    return question.fact if isinstance(question, FactQuestion) else "Numbers"


def why_block(
    question: Question, knowledge: KnowledgeBase, facts: Mapping[str, Value], system: System
) -> Block:
    """Why a question is asked: the rulings that wait for it, and what they would say."""
    return Block("Why this is asked", tuple(_why(question, knowledge, facts, system)))


def _why(
    question: Question, knowledge: KnowledgeBase, facts: Mapping[str, Value], system: System
) -> Iterator[str]:
    match question:
        case PartsQuestion():
            yield "Only facts of the parts you choose are asked for, and of the machine itself."
        case DoubtsQuestion():
            yield "What is measured stands before what is worked out, and a difference has to be looked into."
        case ClaimsQuestion(claims=claims):
            waiting = {claim.fact: claim.rulings for claim in claims}
            for name, rulings in waiting.items():
                yield from _rulings(rulings, name, knowledge, facts, system)
        case FactQuestion(fact=name, rulings=rulings, contradicts=contradicts):
            if name == FIRST:
                yield "The work planned settles which parts of the job usually come up."
            if contradicts and name in knowledge.facts:
                yield "Rules can work it out too. What is measured stands, and a difference is looked into."
            yield from _rulings(rulings, name, knowledge, facts, system)
            if not rulings and not contradicts and name != FIRST:
                yield "What was stated may contradict what rules work out from this."


def _rulings(
    rulings: Iterable[str], name: str, knowledge: KnowledgeBase, facts: Mapping[str, Value], system: System
) -> Iterator[str]:
    rules = [knowledge.rules[id_] for id_ in rulings]
    for rule in rules[:MOST_TOLD]:
        yield f"{str(rule.force).upper()}: {rule.says.fill(facts, knowledge.facts, system)}" + _if(
            rule, name, knowledge, system
        )
    if len(rules) > MOST_TOLD:
        yield f"And {len(rules) - MOST_TOLD} more."


def _if(rule: Rule, name: str, knowledge: KnowledgeBase, system: System) -> str:
    """On what, as far as the rule tests this fact itself."""
    tests = [test for test in rule.conditions.tests() if name in test.facts()]
    lifting = [] if rule.unless is None else [test for test in rule.unless.tests() if name in test.facts()]
    words = listed([words_of_test(test, knowledge.facts, system) for test in tests], "or")
    lifted = listed([words_of_test(test, knowledge.facts, system) for test in lifting], "or")
    return (f" If {words}." if words else "") + (f" Not if {lifted}." if lifted else "")
