"""Put the steps in order: a few steps of a procedure, mixed; any order that the work allows is right.

Steps that are left out still order those that are asked: what has to come before a step that has to come before
another comes before it too. Steps whose own words tell their place (again, second, before) are not asked.
"""

from __future__ import annotations

import re
from itertools import islice

from sideplate_engine import Judge
from sideplate_engine.procedures import Procedure, Step
from sideplate_engine.rules import Rule
from sideplate_trainer.asked_about import procedure_of
from sideplate_trainer.questions import AnswerRefused, Marked, NoQuestion, Option, OrderedStep, Question
from sideplate_trainer.situations.draws import Draws
from sideplate_trainer.situations.situation import Situation
from sideplate_trainer.step_orders import (
    a_right_order,
    chance_of_a_right_order,
    first_too_early,
    places_before,
)
from sideplate_trainer.way import Level, Way

FEWEST, MOST = 3, 6
CHANCE_AT_MOST = 1 / 6
"""How likely a blind guess may be right: one order of three steps in six."""

LONGER_FIRST_PASSES = 0.75
"""The share of mixtures put in which longer steps come first: the beginning of a job takes more words to tell."""

LONGEST = 150
DRAWN_AT_MOST = 60
TELLS_ITS_PLACE = re.compile(
    r"\b(again|after|afterwards|before|begin|finally|first|last|later|next|other|once|repeat|same|second|still|then"
    r"|as well|go on|start)\b",
    re.IGNORECASE,
)
LETTERS = "abcdef"


def suits(rule: Rule) -> bool:
    """No rule is asked about so; procedures are."""
    return False


def pose(judge: Judge, situation: Situation) -> Question:
    """Some steps of the procedure that the situation names, mixed. Raises NoQuestion."""
    procedure = procedure_of(judge.knowledge, situation.rule)
    if procedure is None:
        raise NoQuestion(f"{situation.rule} is no procedure")
    draws = Draws("steps in order", situation.rule, situation.seed)
    steps = _drawn(procedure, draws)
    after = places_before(procedure, steps)
    return Question(
        rule=situation.rule,
        way="steps_in_order",
        seed=situation.seed,
        case=" ".join(step.id for step in steps),
        facts={},
        fires_on={},
        # What the work is for is not told: its words come back in the steps near the end.
        story=(f"The work: {procedure.title}.",),
        asks=(
            "In what order are these steps done? Steps between them are left out.",
            "Answer with their numbers, first to last.",
        ),
        key=_written(_as_the_procedure_goes(procedure, steps)),
        options=tuple(Option(step.do) for step in steps),
        order=tuple(
            OrderedStep(step.do, step.because, needed) for step, needed in zip(steps, after, strict=True)
        ),
        hints=_hints(steps, after),
    )


def _drawn(procedure: Procedure, draws: Draws) -> list[Step]:
    """Steps in a mixed order, of which a blind guess is seldom right. Raises NoQuestion."""
    fit = [
        step for step in procedure.steps if len(step.do) <= LONGEST and not TELLS_ITS_PLACE.search(step.do)
    ]
    for _ in range(DRAWN_AT_MOST):
        count = draws.whole(FEWEST, min(MOST, len(fit))) if len(fit) >= FEWEST else 0
        steps = draws.shuffled(fit)[:count]
        after = places_before(procedure, steps)
        if not count or chance_of_a_right_order(after) > CHANCE_AT_MOST:
            continue
        if _longer_ones_first(steps, after) and not draws.chance(LONGER_FIRST_PASSES):
            continue
        return steps
    raise NoQuestion(f"the steps of {procedure.id} that can be asked have too little order among them")


def _as_the_procedure_goes(procedure: Procedure, steps: list[Step]) -> tuple[int, ...]:
    """Of the right orders that in which the whole work is told: what keeps from harm comes where its author put it."""
    whole = a_right_order(places_before(procedure, procedure.steps))
    ids = [procedure.steps[place].id for place in whole]
    return tuple(sorted(range(len(steps)), key=lambda place: ids.index(steps[place].id)))


def _longer_ones_first(steps: list[Step], after: tuple[frozenset[int], ...]) -> bool:
    """Whether, of two steps of which one waits for the other, the longer one comes first more often than not."""
    longer = [
        len(steps[early].do) > len(steps[late].do) for late, needed in enumerate(after) for early in needed
    ]
    return 2 * sum(longer) > len(longer)


def _hints(steps: list[Step], after: tuple[frozenset[int], ...]) -> tuple[str, ...]:
    """Two steps that wait for another, one hint each; never the whole order."""
    waiting = [(place, max(needed)) for place, needed in enumerate(after) if needed]
    return tuple(
        f"Step {place + 1} has to wait for step {needed + 1}: {_lowered(steps[needed].because)}"
        for place, needed in islice(waiting, max(1, len(steps) - 2))
    )


def mark(question: Question, answer: str) -> Marked:
    """Right for any order that the work allows; of a wrong one, the first step that comes too early, and why.

    Raises AnswerRefused for what is not each number once.
    """
    order = _read(answer, len(question.order))
    written = _written(order)
    problem = first_too_early([step.after for step in question.order], order)
    if problem is None:
        said = () if written == question.key else ("There is more than one right order, and this is one.",)
        return Marked(written, True, said)
    early, needed = (question.order[place] for place in problem)
    said = (
        f"You said: {written}.",
        f"Too early: {early.do}",
        f"It has to wait for this: {needed.do}",
        *((f"Why that comes before it: {needed.because}",) if needed.because else ()),
        *((f"What the early step is for: {early.because}",) if early.because else ()),
    )
    return Marked(written, False, said)


def _read(answer: str, count: int) -> tuple[int, ...]:
    """Places from 0, out of numbers or letters, apart or together. Raises AnswerRefused."""
    signs = [sign for sign in answer.lower() if sign.isalnum()]
    example = f"{count} {' '.join(str(number) for number in range(1, count))}"
    places: list[int] = []
    for sign in signs:
        place = LETTERS.find(sign) if sign.isalpha() else int(sign) - 1 if sign.isascii() else -1
        if not 0 <= place < count:
            raise AnswerRefused(
                f"There is no step {sign}; the steps are 1 to {count}. Type such as {example}."
            )
        if place in places:
            raise AnswerRefused(f"Step {place + 1} stands twice. Type each number once, such as {example}.")
        places.append(place)
    left = [str(place + 1) for place in range(count) if place not in places]
    if left:
        named = f"{'Step' if len(left) == 1 else 'Steps'} {' and '.join(left)}"
        raise AnswerRefused(
            f"{named} {'is' if len(left) == 1 else 'are'} not in it. Type all of them, such as {example}."
        )
    return tuple(places)


def _written(order: tuple[int, ...]) -> str:
    return " ".join(str(place + 1) for place in order)


def _lowered(text: str) -> str:
    return text[:1].lower() + text[1:]


WAY = Way("Put the steps in order", suits, pose, mark, Level.PICK, of_procedures=True)
