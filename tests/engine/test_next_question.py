"""Which question comes next: only what can still change the rulings is asked, and what decides most comes first."""

from __future__ import annotations

import random

import pytest

from sideplate_engine import Judge, KnowledgeBase
from sideplate_engine.interview import Interview, choose_parts, decline, state, tick
from sideplate_engine.interview_questions import (
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
    Question,
)
from sideplate_engine.next_question import next_question
from sideplate_engine.vocabulary import Value
from support.sheet_adviser import answered_from, comes_to
from support.small_knowledge import Files, JudgeWith, given, judge_with, rule

ONE_PART = {"parts.yaml": "all: {title: Everything, facts: [bolt, nut]}\n"}


def asked_one_by_one(judge: Judge, facts: str) -> list[str]:
    """The facts asked for, in order, when `facts` are the answers and everything else is not known."""
    answers = given(judge, facts)
    interview = Interview()
    asked: list[str] = []
    while (question := next_question(judge.knowledge, interview)) is not None:
        match question:
            case FactQuestion(fact=fact):
                asked.append(fact)
                interview = (
                    state(judge.knowledge, interview, {fact: answers[fact]})
                    if fact in answers
                    else decline(interview, question)
                )
            case ClaimsQuestion(claims=claims):
                asked.append("/".join(f"{claim.fact}={claim.value}" for claim in claims))
                so = [number for number, claim in enumerate(claims) if answers.get(claim.fact) == claim.value]
                interview = tick(interview, question, so)
            case DoubtsQuestion(values=values):
                asked.append(f"otherwise: {', '.join(values)}")
                interview = decline(interview, question)
            case PartsQuestion():
                raise AssertionError("there is one part only")
    return asked


def asked(judge_of: JudgeWith, facts: str, *rules: Files) -> list[str]:
    return asked_one_by_one(judge_of(ONE_PART, *rules), facts)


def test_a_rule_that_can_no_longer_fire_is_asked_nothing(judge_of: JudgeWith) -> None:
    it = rule("it", when="bolt.size: M4\nbolt.length: {above: 10 mm}\nbolt.turns: {above: 3}")
    assert asked(judge_of, "bolt.size: M6", it) == ["bolt.size"]
    assert asked(judge_of, "", it) == ["bolt.size"]
    assert asked(judge_of, "bolt.size: M4, bolt.length: 12 mm", it) == [
        "bolt.size",
        "bolt.length",
        "bolt.turns",
    ]


def test_the_fact_that_decides_most_comes_first(judge_of: JudgeWith) -> None:
    rules = (
        rule("a", when="bolt.length: {above: 10 mm}\nbolt.turns: {above: 3}", ruling="may"),
        rule("b", when="nut.size: M4\nbolt.turns: {above: 5}", ruling="must"),
        rule("c", when="bolt.code: VX\nbolt.turns: {above: 7}", ruling="should"),
    )
    # bolt.turns weighs 3, nut.size 1.5, bolt.code 1, bolt.length 0.5.
    assert asked(judge_of, "bolt.turns: 9", *rules) == ["bolt.turns", "nut.size", "bolt.code", "bolt.length"]


def test_a_ruling_weighs_by_its_force_and_by_how_few_facts_it_waits_for(judge_of: JudgeWith) -> None:
    judge = judge_of(
        ONE_PART,
        rule("a", when="bolt.length: {above: 10 mm}\nbolt.grip: {above: 0 in}", ruling="must"),
        rule("b", when="bolt.turns: {above: 5}", ruling="should"),
    )
    question = next_question(judge.knowledge, Interview())
    assert question == FactQuestion("bolt.turns", ("b",), contradicts=False, decides=2.0)


def test_ties_are_broken_by_the_order_of_the_vocabulary(judge_of: JudgeWith) -> None:
    rules = [rule(name, when=f"{fact}: known") for name, fact in (("a", "nut.code"), ("b", "bolt.code"))]
    assert asked(judge_of, "", *rules) == ["bolt.code", "nut.code"]


def test_a_derived_fact_is_traced_to_what_can_be_asked(judge_of: JudgeWith) -> None:
    rules = (
        rule("travel", derive="bolt.travel: {formula: travel}"),
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("it", when="bolt.travel: {above: 5 mm}"),
    )
    assert asked(judge_of, "bolt.turns: 10, bolt.size: M4", *rules) == [
        "bolt.turns", "bolt.pitch", "bolt.size",
    ]  # fmt: skip


def test_what_rules_worked_out_is_doubted_last_and_all_at_once(judge_of: JudgeWith) -> None:
    rules = (
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("strength", derive="bolt.strength: {lookup: threads, by: bolt.size, take: strength}"),
        rule("it", when="bolt.size: M4"),
    )
    assert asked(judge_of, "bolt.size: M4", *rules) == ["bolt.size", "otherwise: bolt.pitch, bolt.strength"]


def test_an_exception_is_asked_for_once_its_rule_may_fire(judge_of: JudgeWith) -> None:
    it = rule("it", when="bolt.length: {above: 10 mm}", unless="bolt.code: VX")
    assert asked(judge_of, "bolt.length: 12 mm", it) == ["bolt.length", "bolt.code"]
    assert asked(judge_of, "bolt.length: 9 mm", it) == ["bolt.length"]


def test_what_could_override_a_ruling_is_asked_for(judge_of: JudgeWith) -> None:
    rules = (
        rule("custom", when="bolt.turns: {above: 3}"),
        rule("manual", when="bolt.code: VX", overrides="[custom]", ruling="may"),
    )
    assert asked(judge_of, "bolt.turns: 4", *rules) == ["bolt.turns", "bolt.code"]
    overriding = rule("manual", when="bolt.code: VX", overrides="[custom]", derive="bolt.ready: no")
    assert asked(judge_of, "bolt.turns: 4", rules[0], overriding) == ["bolt.turns", "bolt.code"]
    assert asked(judge_of, "bolt.turns: 2", rules[0], overriding) == ["bolt.turns"]


def test_a_limit_that_the_manual_could_override_is_asked_for(judge_of: JudgeWith) -> None:
    rules = (
        rule("custom", when="bolt.size: known", derive="bolt.travel: 10 mm"),
        rule("manual", when="bolt.grip: known", derive="bolt.travel: 20 mm", overrides="[custom]"),
        rule("it", when="bolt.length: {above fact: bolt.travel}"),
    )
    everything = ["bolt.length", "bolt.size", "bolt.grip"]
    assert sorted(asked(judge_of, "bolt.size: M4, bolt.length: 15 mm", *rules)) == sorted(everything)


def test_a_fact_declined_counts_as_unknown_for_good(judge_of: JudgeWith) -> None:
    it = rule("it", when="bolt.code: unknown\nbolt.turns: {above: 3}")
    assert asked(judge_of, "", it) == ["bolt.code", "bolt.turns"]
    assert asked(judge_of, "bolt.code: VX", it) == ["bolt.code"]


def test_facts_that_matter_in_few_values_are_put_together_as_a_list(judge_of: JudgeWith) -> None:
    rules = (
        rule("a", when="bolt.greased: no"),
        rule("b", when="bolt.finish: bare"),
        rule("c", when="bolt.code: VX"),
    )
    assert asked(judge_of, "", *rules) == ["bolt.code", "bolt.finish=bare/bolt.greased=False"]


def test_a_fact_that_matters_in_other_ways_is_asked_by_itself(judge_of: JudgeWith) -> None:
    rules = (
        rule("a", when="bolt.greased: no"),
        rule("b", when="bolt.finish: {none of: [bare]}"),
    )
    assert asked(judge_of, "", *rules) == ["bolt.finish", "bolt.greased"]


def test_the_figures_in_a_ruling_that_stands_are_worth_a_question(judge_of: JudgeWith) -> None:
    rules = (
        rule("custom", when="bolt.size: M4", derive="bolt.travel: 10 mm"),
        rule("manual", when="bolt.code: VX", derive="bolt.travel: 20 mm", overrides="[custom]"),
        rule("it", when="bolt.travel: known\nbolt.size: M4", says="Let it travel {bolt.travel}."),
    )
    assert asked(judge_of, "bolt.size: M4", *rules) == ["bolt.size", "bolt.code"]


def test_a_stated_fact_that_rules_may_contradict_is_followed_up(judge_of: JudgeWith) -> None:
    judge = judge_of(
        ONE_PART,
        rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
        rule("it", when="bolt.pitch: {above: 0.9 mm}"),
    )
    stated = state(judge.knowledge, Interview(), given(judge, "bolt.pitch: 0.7 mm"))
    question = next_question(judge.knowledge, stated)
    assert isinstance(question, FactQuestion)
    assert (question.fact, question.rulings) == ("bolt.size", ())


TWO_PARTS = {
    "parts.yaml": "head: {title: The head, facts: [bolt], tasks: [tighten]}\nnut: {title: The nut, facts: [nut]}\n"
}
WORK = {
    "vocabulary/work.yaml": """\
work.task:
  kind: choice
  many: yes
  choices: {tighten: Turn it home., paint: Coat it.}
  means: What is planned.
  ask: What is planned?
  says: Planned is {value}.
"""
}


def test_it_begins_with_the_work_and_then_the_parts_that_usually_go_with_it(judge_of: JudgeWith) -> None:
    judge = judge_of(TWO_PARTS, WORK, rule("a", when="nut.size: M4"), rule("b", when="work.task: paint"))
    first = next_question(judge.knowledge, Interview())
    assert first == FactQuestion("work.task", ("b",), contradicts=False, decides=0.0)
    planned = state(judge.knowledge, Interview(), given(judge, "work.task: tighten"))
    parts = next_question(judge.knowledge, planned)
    assert isinstance(parts, PartsQuestion)
    assert [part.id for part in parts.offered] == ["head", "nut", "work"]
    assert parts.suggested == ("head", "work")
    assert next_question(judge.knowledge, choose_parts(planned, ["head"])) is None
    nut = next_question(judge.knowledge, choose_parts(planned, ["nut"]))
    assert nut == FactQuestion("nut.size", ("a",), contradicts=False, decides=2.0)


MIXED: tuple[Files, ...] = (
    rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
    rule("strength", derive="bolt.strength: {lookup: threads, by: bolt.size, take: strength}"),
    rule("travel", derive="bolt.travel: {formula: travel}"),
    rule("share", derive="bolt.share: {formula: share}"),
    rule("worn", when="bolt.share: {above: '0.2'}", derive="bolt.verdict: worn"),
    rule("done", when="bolt.marks: bent", derive="bolt.verdict: done", overrides="[worn]"),
    rule("good", when="bolt.marks: {none of: [bent, rust]}", unless="bolt.share: {above: '0.2'}",
         derive="bolt.verdict: good"),
    rule("renew", when="bolt.verdict: {one of: [worn, done]}", ruling="must", says="Renew it: {bolt.verdict}."),
    rule("keep", when="bolt.verdict: good\nbolt.greased: yes", ruling="may"),
    rule("grease", when="bolt.greased: no", unless="bolt.finish: painted", ruling="must"),
    rule("same", when="nut.size: {differs from: bolt.size}", ruling="must not", about="use-the-bolt"),
    rule("use", when="bolt.finish: plated", ruling="must", about="use-the-bolt"),
    rule("count", when="bolt.nuts: {outside: [1, 2]}\nbolt.code: unknown", overrides="[use]"),
    rule("grip", when="any: [{bolt.grip: {above: 1 in}}, {bolt.length: {below: 20 mm}, bolt.tags: A}]",
         ruling="should not"),
    rule("weak", when="bolt.strength: {below: 5 kN}\nbolt.turns: {at least: 8}", ruling="must not"),
)  # fmt: skip

CHOICES: dict[str, tuple[Value, ...]] = {
    "bolt.size": ("M4", "M6", "M8", "M10"),
    "nut.size": ("M4", "M6"),
    "bolt.code": ("VX",),
    "bolt.length": (10.0, 20.0, 90.0),
    "bolt.grip": (0.5, 2.0),
    "bolt.turns": (2, 8, 30),
    "bolt.nuts": (1, 2, 3),
    "bolt.finish": ("bare", "plated", "painted"),
    "bolt.marks": (frozenset(), frozenset({"bent"}), frozenset({"rust"}), frozenset({"rust", "bent"})),
    "bolt.tags": (frozenset({"A"}), frozenset({"B"})),
    "bolt.greased": (True, False),
    "bolt.pitch": (0.7, 0.71, 1.0),
    "bolt.strength": (4.0, 9.0),
    "bolt.travel": (5.6, 21.0),
}


@pytest.fixture(scope="module")
def mixed(tmp_path_factory: pytest.TempPathFactory) -> KnowledgeBase:
    return judge_with(tmp_path_factory.mktemp("mixed"), *MIXED).knowledge


@pytest.mark.parametrize("seed", range(60))
def test_whatever_the_sheet_the_interview_comes_to_the_judgement_of_the_full_sheet(
    mixed: KnowledgeBase, seed: int
) -> None:
    draw = random.Random(seed)
    judge = Judge(mixed)
    for _ in range(5):
        sheet = {name: draw.choice(values) for name, values in CHOICES.items() if draw.random() < 0.6}
        answered = answered_from(mixed, sheet)
        assert comes_to(mixed, judge.outcome(answered.facts)) == comes_to(mixed, judge.outcome(sheet)), sheet
        assert answered.facts.keys() <= sheet.keys()


def test_no_question_is_put_twice(mixed: KnowledgeBase) -> None:
    draw = random.Random(7)
    for _ in range(40):
        sheet = {name: draw.choice(values) for name, values in CHOICES.items() if draw.random() < 0.5}
        put: list[Question] = []
        for question in answered_from(mixed, sheet).questions:
            assert question not in put
            put.append(question)
