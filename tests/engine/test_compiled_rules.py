"""Rules made ready for the matcher: what each test asks of the wide fact, and how that fact is filled."""

from __future__ import annotations

from sideplate_engine.compiled_rules import UNLESS, WHEN, compile_rules, rules_matched
from sideplate_engine.conditions import Condition, Relation
from support.small_knowledge import JudgeWith, given, rule


def test_alternatives_become_conjunctions_of_their_rule(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule(
            "it",
            when="bolt.size: M4\nany: [{bolt.turns: 3}, {bolt.length: {outside: [1 mm, 2 mm]}}]",
            unless="bolt.greased: yes",
        )
    )
    compiled = compile_rules(judge.knowledge)
    size = Condition("bolt.size", Relation.EQUALS, "M4")
    assert {conjunction.key: conjunction.conditions for conjunction in compiled.conjunctions} == {
        "it when 0": (size, Condition("bolt.turns", Relation.EQUALS, 3.0)),
        "it when 1": (size, Condition("bolt.length", Relation.BELOW, 1.0)),
        "it when 2": (size, Condition("bolt.length", Relation.ABOVE, 2.0)),
        "it unless 0": (Condition("bolt.greased", Relation.EQUALS, True),),
    }
    keys = ["it when 1", "it unless 0"]
    assert rules_matched(keys, compiled, WHEN) == rules_matched(keys, compiled, UNLESS) == {"it"}
    assert rules_matched(["it when 1"], compiled, UNLESS) == set()


def test_sets_and_comparisons_become_yes_or_no_and_what_is_unknown_is_absent(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("a", when="bolt.marks: {none of: [rust]}\nbolt.size: {differs from: nut.size}"),
        rule("b", when="bolt.turns: {at most fact: bolt.nuts}\nbolt.marks: known"),
    )
    compiled = compile_rules(judge.knowledge)
    assert compiled.wide_fact(1, given(judge, "")) == {}
    filled = compiled.wide_fact(1, given(judge, "bolt.marks: [bent], bolt.size: M4, bolt.turns: 3"))
    assert filled == {"bolt.marks none of ('rust',)": True, "bolt.marks": True}
    filled = compiled.wide_fact(1, given(judge, "bolt.size: M4, nut.size: m4, bolt.turns: 3, bolt.nuts: 4"))
    assert filled == {"bolt.size same as nut.size": True, "bolt.turns above fact bolt.nuts": False}
    assert compiled.wide_fact(2, given(judge, "bolt.size: M4")) == {}


def test_lists_of_tags_that_read_alike_are_not_confused(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("pair", when="bolt.tags: {one of: [A, B]}"), rule("one", when="bolt.tags: {one of: ['A | B']}")
    )
    assert judge.outcome(given(judge, "bolt.tags: [A]")).fired == {"pair"}
    assert judge.outcome(given(judge, "bolt.tags: ['a | b']")).fired == {"one"}
