"""What is told about a procedure: all its steps with their reasons, and after an answer why the steps stand so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from sideplate_engine import KnowledgeBase
from sideplate_engine.procedures import Procedure, Step
from sideplate_trainer.blocks import Block
from sideplate_trainer.questions import Question
from sideplate_trainer.step_orders import a_right_order, places_before, right_orders

MANUAL_FIRST = "The machine's own manual comes first."


def whole_procedure(knowledge: KnowledgeBase, procedure: Procedure, heading: str) -> tuple[Block, ...]:
    """What the work is for, its steps in an order that is right, the cautions and the sources."""
    order = a_right_order(places_before(procedure, procedure.steps))
    steps = (procedure.steps[place] for place in order)
    blocks = (
        Block(heading, (f"{procedure.title}. {procedure.purpose}",)),
        Block("Its steps", tuple(f"{number}. {_with_reason(step)}" for number, step in enumerate(steps, 1))),
        cautions_of(knowledge, procedure.steps),
        Block("Source", tuple(knowledge.cite(procedure.sources))),
    )
    return tuple(block for block in blocks if block.sentences)


def order_in_words(question: Question) -> str:
    """The right order by the numbers shown, and whether it is the only one."""
    only = right_orders([step.after for step in question.order]) == 1
    return f"The answer is: {question.key}." if only else f"A right order is: {question.key}."


def order_blocks(knowledge: KnowledgeBase, question: Question, procedure: Procedure) -> Iterator[Block]:
    """The steps of a question in a right order, which waits for which and why, the cautions and the sources."""
    order = [int(number) - 1 for number in question.key.split()]
    yield Block("In order", tuple(f"{place + 1}  {question.order[place].do}" for place in order))
    yield Block("Because", tuple(_because(question)))
    asked = question.case.split()
    yield cautions_of(knowledge, [step for step in procedure.steps if step.id in asked])
    yield Block("Source", tuple(knowledge.cite(procedure.sources)))


def cautions_of(knowledge: KnowledgeBase, steps: Iterable[Step]) -> Block:
    """The cautions of some steps, each once."""
    names = dict.fromkeys(step.caution for step in steps if step.caution is not None)
    cautions = [knowledge.cautions[name] for name in names]
    told = tuple(text for caution in cautions for text in (caution.hazard, caution.do))
    return Block("Caution", (*told, MANUAL_FIRST) if told else ())


def _with_reason(step: Step) -> str:
    return f"{step.do} {step.because}".rstrip()


def _because(question: Question) -> Iterator[str]:
    """For each step, those that it waits for at first hand."""
    after = [step.after for step in question.order]
    for place, needed in enumerate(after):
        for other in sorted(_nearest(after, needed)):
            reason = question.order[other].because
            yield f"{other + 1} comes before {place + 1}{f': {reason}' if reason else '.'}"


def _nearest(after: Sequence[frozenset[int]], needed: frozenset[int]) -> frozenset[int]:
    """Of the places that come before one, those that come before none of the others."""
    return needed.difference(*(after[other] for other in needed))
