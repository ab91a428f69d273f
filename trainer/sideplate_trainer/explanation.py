"""What a learner is told after an answer: the ruling, the reason, the proof, the source, and the case next door.

Pure: a question and its marking in, blocks of text out. The judgement is the engine's own, with its proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sideplate_engine import Judge, Judgement, KnowledgeBase
from sideplate_engine.condition_words import conditions_in_words, words_of_test
from sideplate_engine.findings import listed
from sideplate_engine.judgement import Ruling
from sideplate_engine.open_facts import RuleStatus, status_of
from sideplate_engine.proofs import GIVEN, Proofs, Step
from sideplate_engine.rules import Rule
from sideplate_engine.vocabulary import Fact
from sideplate_trainer.answers import Grade
from sideplate_trainer.asked_about import procedure_of
from sideplate_trainer.blocks import Block, ended
from sideplate_trainer.procedure_telling import MANUAL_FIRST, order_blocks, order_in_words
from sideplate_trainer.questions import Marked, Question, Twin
from sideplate_trainer.short_reasons import short_reason
from sideplate_trainer.verdicts import CANNOT_TELL

MOST_OTHERS = 2
"""How many other rulings of the same weight are told."""

MARKS = {
    Grade.SOUND: "Right",
    Grade.SHAKY: "Right, but not unaided and sure",
    Grade.MISSED: "Wrong",
    Grade.BLIND_SPOT: "Wrong, though you were sure",
}


def explain(judge: Judge, question: Question, marked: Marked, grade: Grade) -> tuple[Block, ...]:
    """The blocks after an answer, each with a heading; what the rule does not have is left out."""
    procedure = procedure_of(judge.knowledge, question.rule)
    if procedure is not None:
        first = Block(MARKS[grade], (order_in_words(question), *marked.said))
        told = (first, *order_blocks(judge.knowledge, question, procedure))
        return tuple(block for block in told if block.sentences)
    rule = judge.knowledge.rules[question.rule]
    judgement, chosen = judgement_to_explain(judge, question, marked.answer)
    caution = judge.knowledge.cautions.get(rule.caution or "")
    answer = f"The answer is: {ended(_in_full(question))}"
    if rule.is_ruling:
        decided = Block(f"The ruling{chosen}", tuple(_decided(judgement, question, rule)))
    else:
        decided = Block("", (rule.says.fill(judgement.facts, judge.knowledge.facts),))
    if question.number is None:
        short_proof = Block("How it follows", tuple(_short_proof(judgement, question, rule)))
    else:
        short_proof = Block("How it is worked out", tuple(_worked_out(judgement, question)))
    # Where the rule is silent, its reason is none for the answer.
    because = "Because" if not rule.is_ruling or _rules(judgement, rule.id) else "The reason for the rule"
    misapplied = "The rule on your choice" if question.options else "The rule that gives the number"
    blocks = (
        Block(MARKS[grade], (answer, *marked.said)),
        Block(misapplied, tuple(_misapplied(judge.knowledge, question, marked))),
        decided,
        Block(because, (_filled(judge, question, rule, "because"),)),
        Block("If it is ignored", tuple(filter(None, (_filled(judge, question, rule, "if_ignored"),)))),
        short_proof,
        Block("Change one fact", tuple(_twin(twin) for twin in question.twins)),
        Block(
            "Caution",
            () if caution is None else (caution.hazard, caution.do, MANUAL_FIRST),
        ),
        Block("Source", sources(judgement, question)),
    )
    return tuple(block for block in blocks if block.sentences)


def judgement_to_explain(judge: Judge, question: Question, answer: str) -> tuple[Judgement, str]:
    """The judgement to explain, and for a heading what it is of where that is not the sheet as it is told.

    Where the choices complete the sheet, the rule is explained on a choice on which it rules, where there is one: on
    the answer if it does on that, else on the first such choice.
    """
    by_choice = [option for option in question.options if option.facts is not None]
    of_sheet = judge.judge(question.facts)
    if not by_choice or _rules(of_sheet, question.rule):
        return of_sheet, ""
    by_choice.sort(key=lambda option: option.word != answer)
    judged = [(judge.judge(option.facts or {}), f" on this choice: {option.word}") for option in by_choice]
    return next((each for each in judged if _rules(each[0], question.rule)), judged[0])


def _in_full(question: Question) -> str:
    """The key, and of a line on a list all that it says."""
    for number, option in enumerate(question.options, 1):
        if option.word == question.key and option.beside(number) is not option:
            return option.text
    return question.key


def _rules(judgement: Judgement, rule: str) -> bool:
    return any(ruling.rule == rule for ruling in judgement.rulings)


def _misapplied(knowledge: KnowledgeBase, question: Question, marked: Marked) -> Iterator[str]:
    """The rule that a wrong choice is charged to, where it is another, as far as that was not told already."""
    if marked.right or marked.blames in (None, question.rule):
        return
    rule = knowledge.rules[str(marked.blames)]
    if not any(rule.title in sentence for sentence in marked.said):
        yield ended(rule.title)
    if rule.because_text.facts():
        reason = short_reason(rule, knowledge.facts)
    else:
        reason = rule.because_text.fill({}, knowledge.facts)
    if reason and not reason.startswith(marked.answer):
        yield reason
    yield f"Source: {'; '.join(knowledge.cite(rule.sources))}"


def sources(judgement: Judgement, question: Question) -> tuple[str, ...]:
    """The sources of what is asked about, and of the figures its number was found with."""
    procedure = procedure_of(judgement.knowledge, question.rule)
    if procedure is not None:
        return tuple(judgement.knowledge.cite(procedure.sources))
    rule = judgement.knowledge.rules[question.rule]
    found: list[str] = []
    if question.number is not None:
        found += judgement.derived[question.number.fact.name].sources
    if question.number is None or rule.is_ruling:
        found += judgement.knowledge.cite(rule.sources)
    return tuple(dict.fromkeys(found))


def _filled(judge: Judge, question: Question, rule: Rule, part: str) -> str:
    """One of the rule's texts, with the values of the case in which it fires."""
    template = rule.because_text if part == "because" else rule.if_ignored
    if template is None:
        return ""
    return template.fill(judge.outcome(question.fires_on).facts, judge.knowledge.facts)


def _decided(judgement: Judgement, question: Question, rule: Rule) -> Iterator[str]:
    live = {ruling.rule: ruling for ruling in judgement.rulings}
    own = live.pop(rule.id, None)
    status = status_of(judgement.knowledge, judgement.chained, rule)
    if own is not None:
        yield from _ruling(own, judgement)
    elif status.status == "open":
        yield f"The rule is this: {_lowered(rule.title)}. Whether it rules here cannot be told yet."
    else:
        yield f"The rule is this: {_lowered(rule.title)}. It is silent here."
    about = [ruling for ruling in live.values() if question.subject in (None, ruling.about)]
    for ruling in about[:MOST_OTHERS]:
        yield f"Also: {ruling.force.upper()}: {ruling.says}"


def _ruling(ruling: Ruling, judgement: Judgement) -> Iterator[str]:
    yield f"{ruling.force.upper()}: {ruling.says}"
    if ruling.instead:
        yield f"Instead: {ruling.instead}"
    for name in ruling.lifted_by:
        yield f"This could lift it: {judgement.knowledge.facts[name].ask}"


def _short_proof(judgement: Judgement, question: Question, rule: Rule) -> Iterator[str]:
    vocabulary = judgement.knowledge.facts
    proofs = Proofs(judgement.knowledge, judgement.chained)
    asks = listed(conditions_in_words(rule.conditions, vocabulary), "and", 20)
    yield f"The rule {rule.id} asks whether {asks}."
    yield from _steps(proofs.of_facts(rule.requirement.facts()), vocabulary)
    yield from _why_silent(judgement, rule, status_of(judgement.knowledge, judgement.chained, rule))
    if question.key == CANNOT_TELL and any(
        ruling.rule == rule.id and ruling.lifted_by for ruling in judgement.rulings
    ):
        yield "Yet what is told as not known could lift it."


def _why_silent(judgement: Judgement, rule: Rule, status: RuleStatus) -> Iterator[str]:
    vocabulary = judgement.knowledge.facts
    match status.status:
        case "quiet":
            failing = [words_of_test(test, vocabulary) for test in status.reading.refuting]
            yield f"It is not so that {listed(failing, 'or')}."
        case "open":
            asks = [vocabulary[name].ask or vocabulary[name].means for name in status.missing]
            yield f"Not known: {' '.join(asks)}"
        case "excepted":
            lifting = [words_of_test(test, vocabulary) for test in status.reading.holding]
            yield f"Its exception holds: {listed(lifting, 'and')}."
        case "overridden":
            titles = [_lowered(judgement.knowledge.rules[id_].title) for id_ in status.overridden_by]
            yield f"It is set aside by another rule: {listed(titles, 'and')}."
        case "no value":
            yield f"It has nothing to give here: {status.reason}."
        case _:
            yield "So it rules."


def _worked_out(judgement: Judgement, question: Question) -> Iterator[str]:
    assert question.number is not None
    step = judgement.derived[question.number.fact.name]
    yield from _steps((*step.because_of, step), judgement.knowledge.facts)


def _steps(steps: Iterable[Step], vocabulary: Mapping[str, Fact]) -> Iterator[str]:
    """A line for each fact, one level deep, with its arithmetic or its row."""
    for step in steps:
        value = vocabulary[step.fact].show(step.value)
        if step.by == GIVEN:
            yield f"{step.fact} is {value}, as told."
            continue
        recalled = " (a recalled figure, not verified)" if step.from_memory else ""
        how = f" = {step.how}" if step.how and not step.how.startswith(("table", "the same")) else ""
        where = f", {step.how}" if step.how and not how else ""
        yield f"{step.fact} is {value}{recalled}{how}{where}, by the rule {step.by}."


def _twin(twin: Twin) -> str:
    return f"{twin.change} Then: {twin.outcome}."


def _lowered(title: str) -> str:
    """A title inside a sentence; words that are all capitals or have a figure keep their case, but for the word A."""
    first, _, rest = title.partition(" ")
    lowered = first.lower() if first == "A" or (first.isalpha() and first[1:].islower()) else first
    return f"{lowered} {rest}".rstrip(". ")
