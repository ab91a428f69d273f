"""The first meeting of a rule: two cases that differ in one fact, solved, and the rule after them.

Worked examples help whoever is new to something (Barbieri and others, 2023), and comparing cases helps most when the
principle comes after the comparison (Alfieri and others, 2013). So the rule is told last. The learner's own question on
it follows at once, the way to its answer told with it.
"""

from __future__ import annotations

from collections.abc import Iterator

from sideplate_engine import Judge
from sideplate_engine.condition_words import conditions_in_words
from sideplate_engine.findings import listed
from sideplate_engine.proofs import Proofs, Step
from sideplate_engine.rules import Rule
from sideplate_trainer.asked_about import procedure_of
from sideplate_trainer.blocks import Block, ended
from sideplate_trainer.neighbours import neighbour_case
from sideplate_trainer.procedure_telling import MANUAL_FIRST, whole_procedure
from sideplate_trainer.questions import Question
from sideplate_trainer.retelling import change_in_words
from sideplate_trainer.situations import NoSituation, Situation, build
from sideplate_trainer.verdicts import NOTHING, Contested, verdict

FURTHER_ON = 1000
"""How far from the question's own seed the seeds of its example begin."""

TRIES = 4
"""How many situations are tried for one that is not the question's own and has a twin."""

BECOMES = {
    "quiet": "Then the rule is silent",
    "open": "Then it cannot be told yet whether the rule holds",
    "excepted": "Then the rule's exception holds, and it is silent",
    "overridden": "Then another rule sets this one aside",
    "no value": "Then the rule has nothing to give",
}


def solved_pair(judge: Judge, question: Question) -> tuple[Block, ...] | None:
    """The pair for the rule of a question, on other facts than the question's; None where none is found.

    A procedure is introduced by all of its steps instead.
    """
    procedure = procedure_of(judge.knowledge, question.rule)
    if procedure is not None:
        return whole_procedure(judge.knowledge, procedure, "New to you: a piece of work, step by step")
    rule = judge.knowledge.rules.get(question.rule)
    if rule is None:
        return None
    for seed in range(question.seed + FURTHER_ON, question.seed + FURTHER_ON + TRIES):
        try:
            situation = build(judge, rule.id, seed)
        except NoSituation:
            return None
        if situation.facts in (question.facts, question.fires_on):
            continue
        cases = _ruled(judge, rule, situation) if rule.is_ruling else _derived(judge, rule, situation)
        if cases is not None:
            return (*cases, *_told_last(judge, rule, situation))
    return None


def _ruled(judge: Judge, rule: Rule, situation: Situation) -> tuple[Block, ...] | None:
    judgement = judge.judge(situation.facts)
    ruling = next((ruling for ruling in judgement.rulings if ruling.rule == rule.id), None)
    # A case in which the rule is plainly silent teaches more than one that is merely open.
    near = next(iter(sorted(situation.near_misses, key=lambda each: each.status == "open")), None)
    if ruling is None or near is None:
        return None
    try:
        then = verdict(judge, near.facts, rule.about)
    except Contested:
        return None
    proofs = Proofs(judge.knowledge, judgement.chained)
    worked_out = tuple(_worked_out(step, judge) for step in proofs.of_rule(rule) if step.how)
    decided = (
        *worked_out,
        f"{ruling.force.upper()}: {ruling.says}",
        *((f"Instead: {ruling.instead}",) if ruling.instead else ()),
    )
    stands = f"; {then.word}" if then.word == NOTHING else f", but other rules stand: {then.word}"
    outcome = BECOMES[near.status] + ("" if near.status == "open" else stands) + "."
    change = change_in_words(situation.facts, near.facts, judge.knowledge.facts)
    return _two(situation, decided, (change, outcome))


def _derived(judge: Judge, rule: Rule, situation: Situation) -> tuple[Block, ...] | None:
    fact = judge.knowledge.facts[rule.derives()[0]]
    outcome = judge.outcome(situation.facts)
    twins = neighbour_case(judge, situation.facts, fact.name)
    if fact.name not in outcome.derived or not twins:
        return None
    step = Proofs(judge.knowledge, outcome).of_fact(fact.name)
    says = rule.says.fill(outcome.facts, judge.knowledge.facts)
    then = f"Then {fact.name} is {twins[0].outcome}."
    return _two(situation, (_worked_out(step, judge), says), (twins[0].change, then))


def _worked_out(step: Step, judge: Judge) -> str:
    value = judge.knowledge.facts[step.fact].show(step.value)
    return f"{step.fact} is {value}: {step.how}." if step.how else f"{step.fact} is {value}."


def _two(situation: Situation, decided: tuple[str, ...], other: tuple[str, ...]) -> tuple[Block, ...]:
    return (
        Block(
            "New to you: two cases, solved", ("They differ in one fact. Compare them; the rule comes after.",)
        ),
        Block("The first case", situation.story),
        Block("", decided),
        Block("The second case: the same, but", other),
    )


def _told_last(judge: Judge, rule: Rule, situation: Situation) -> Iterator[Block]:
    knowledge = judge.knowledge
    asks = listed(conditions_in_words(rule.conditions, knowledge.facts), "and", 20)
    because = rule.because_text.fill(judge.outcome(situation.facts).facts, knowledge.facts)
    whether = (f"It asks whether {asks}.",) if asks else ()
    yield Block("The rule", (ended(rule.title), *whether, because))
    caution = knowledge.cautions.get(rule.caution or "")
    if caution is not None:
        yield Block("Caution", (caution.hazard, caution.do, MANUAL_FIRST))
    yield Block("Source", tuple(knowledge.cite(rule.sources)))
