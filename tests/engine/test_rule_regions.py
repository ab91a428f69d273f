"""Rules held against each other: which lies within which, which meet, taking derivations and exceptions in."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_engine.grounding import grounded
from sideplate_engine.rule_regions import is_within, meeting
from support.small_knowledge import Files, JudgeWith, rule

GOOD = rule("good", when="bolt.marks: {none of: [rust, bent]}", derive="bolt.verdict: good")
WORN = rule("worn", when="bolt.marks: rust", derive="bolt.verdict: worn")
PITCH = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")


def within(judge: Judge, inner: str, outer: str) -> bool:
    return is_within(judge.knowledge, judge.knowledge.rules[inner], judge.knowledge.rules[outer])


def meet(judge: Judge, one: str, other: str, *set_aside_by: str) -> bool:
    rules = judge.knowledge.rules
    firm = [rules[id_] for id_ in set_aside_by]
    return next(meeting(judge.knowledge, rules[one], rules[other], firm), None) is not None


@pytest.mark.parametrize(
    ("inner", "outer", "expected"),
    [
        (rule("a", when="bolt.length: {above: 50 mm}"), rule("b", when="bolt.length: {above: 40 mm}"), True),
        (rule("a", when="bolt.length: {above: 40 mm}"), rule("b", when="bolt.length: {above: 50 mm}"), False),
        (
            rule("a", when="bolt.length: {above: 50 mm}\nbolt.marks: rust"),
            rule("b", when="bolt.length: {above: 40 mm}"),
            True,
        ),
        (
            rule("a", when="bolt.length: {above: 50 mm}"),
            rule("b", when="bolt.length: {above: 40 mm}", unless="bolt.greased: yes"),
            False,
        ),
        (
            rule("a", when="bolt.length: {above: 50 mm}", unless="bolt.greased: yes"),
            rule("b", when="bolt.length: {above: 40 mm}", unless="bolt.greased: yes"),
            True,
        ),
        (
            rule("a", when="bolt.length: {above: 50 mm}\nbolt.greased: no"),
            rule("b", when="bolt.length: {above: 40 mm}", unless="bolt.greased: yes"),
            True,
        ),
        (
            rule("a", when="bolt.finish: {one of: [bare, plated]}"),
            rule("b", when="any:\n  - bolt.finish: bare\n  - bolt.finish: plated"),
            True,
        ),
    ],
)
def test_a_rule_lies_within_another_that_fires_wherever_it_does(
    judge_of: JudgeWith, inner: Files, outer: Files, expected: bool
) -> None:
    assert within(judge_of(inner, outer), "a", "b") is expected


def test_a_look_up_without_a_row_is_no_firing(judge_of: JudgeWith) -> None:
    sizes = rule("sizes", when="bolt.size: {one of: [M4, M6, M8]}")
    every = rule("every", when="bolt.size: known")
    judge = judge_of(PITCH, sizes, every)
    assert within(judge, "pitch", "sizes")
    assert within(judge, "sizes", "pitch")
    assert not within(judge, "every", "pitch")


def test_a_formula_may_have_no_result_so_nothing_is_said_of_it(judge_of: JudgeWith) -> None:
    travel = rule("travel", derive="bolt.travel: {formula: travel}")
    given = rule("given", when="bolt.turns: known\nbolt.pitch: known")
    judge = judge_of(travel, given)
    assert within(judge, "travel", "given")
    assert not within(judge, "given", "travel")


def test_rules_meet_only_where_what_they_need_can_be_derived_together(judge_of: JudgeWith) -> None:
    use = rule("use", when="bolt.verdict: good")
    rusty = rule("rusty", when="bolt.marks: rust")
    stretched = rule("stretched", when="bolt.marks: stretched")
    judge = judge_of(GOOD, WORN, use, rusty, stretched)
    assert not meet(judge, "use", "rusty")
    assert meet(judge, "use", "stretched")


def test_an_exception_keeps_two_rules_apart(judge_of: JudgeWith) -> None:
    one = rule("one", when="bolt.length: {above: 50 mm}", unless="bolt.marks: rust")
    other = rule("other", when="bolt.marks: rust")
    assert not meet(judge_of(one, other), "one", "other")


def test_a_third_rule_that_sets_one_aside_keeps_two_apart(judge_of: JudgeWith) -> None:
    one, other = rule("one", when="bolt.length: {above: 50 mm}"), rule("other", when="bolt.marks: rust")
    third = rule("third", when="bolt.length: {above: 40 mm}\nbolt.marks: {one of: [rust, bent]}")
    judge = judge_of(one, other, third)
    assert meet(judge, "one", "other")
    assert not meet(judge, "one", "other", "third")


def test_numbers_that_cannot_be_in_that_order_keep_rules_apart(judge_of: JudgeWith) -> None:
    longer = rule("longer", when="bolt.length: {above fact: bolt.grip}")
    short = rule("short", when="bolt.length: {at most: 20 mm}\nbolt.grip: {at least: 1 in}")
    assert not meet(judge_of(longer, short), "longer", "short")


def test_a_derived_fact_is_traced_to_what_the_sheet_gives(judge_of: JudgeWith) -> None:
    judge = judge_of(GOOD, WORN, rule("use", when="bolt.verdict: {one of: [good, worn]}"))
    ways = grounded(judge.knowledge, judge.knowledge.rules["use"].requirement)
    assert [sorted({name for test in way for name in test.facts()}) for way in ways] == [
        ["bolt.marks", "bolt.verdict"],
        ["bolt.marks", "bolt.verdict"],
    ]
    assert grounded(judge.knowledge, judge.knowledge.rules["worn"].requirement) != []


def test_a_value_that_no_rule_derives_has_no_way(judge_of: JudgeWith) -> None:
    judge = judge_of(GOOD, WORN, rule("renew", when="bolt.verdict: done"))
    assert grounded(judge.knowledge, judge.knowledge.rules["renew"].requirement) == []


def test_a_copied_fact_is_traced_with_its_values(judge_of: JudgeWith) -> None:
    copy = rule("copy", when="bolt.length: known", derive="bolt.travel: {fact: bolt.grip}")
    judge = judge_of(copy, rule("far", when="bolt.travel: {above: 25.4 mm}"))
    (way,) = grounded(judge.knowledge, judge.knowledge.rules["far"].requirement)
    carried = [test for test in way if test.fact == "bolt.grip" and test.values]
    assert [test.values for test in carried] == [(1.0,)]
