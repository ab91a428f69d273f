"""What a sheet is asked for: only facts that could settle a ruling already partly met, the weightiest first."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_engine.open_facts import open_facts, status_of
from support.small_knowledge import VOCABULARY, JudgeWith, given, rule

PITCH = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
TRAVEL = rule("travel", derive="bolt.travel: {formula: travel}")
SHARE = rule("share", derive="bolt.share: {formula: share}")


def asked(judge: Judge, facts: str) -> dict[str, tuple[str, ...]]:
    found = open_facts(judge.knowledge, judge.outcome(given(judge, facts)))
    assert all(fact.ask == judge.knowledge.facts[fact.fact].ask for fact in found)
    return {fact.fact: fact.would_settle for fact in found}


@pytest.mark.parametrize(
    ("when", "facts", "names"),
    [
        ("bolt.size: M4\nbolt.turns: {above: 3}", "bolt.size: M4", ["bolt.turns"]),
        ("bolt.size: M4\nbolt.turns: {above: 3}", "bolt.size: M6", []),  # refuted: nothing can settle it
        ("bolt.size: M4\nbolt.turns: {above: 3}", "", []),  # not partly met: a sheet is not nagged
        ("bolt.size: M4\nbolt.turns: {above: 3}", "bolt.nuts: 1", []),
        ("bolt.size: M4\nbolt.turns: {above: 3}", "bolt.size: M4, bolt.turns: 5", []),  # settled
        ("bolt.size: known\nbolt.turns: {above: 3}", "bolt.size: M4", []),  # to be known speaks for little
        ("bolt.size: unknown\nbolt.turns: {above: 3}", "bolt.nuts: 1", []),
        ("bolt.size: {same as: nut.size}", "bolt.size: M4", ["nut.size"]),  # a comparison half known
        ("bolt.size: {same as: nut.size}", "nut.size: M4", ["bolt.size"]),
        ("bolt.size: {same as: nut.size}", "bolt.turns: 3", []),
        ("any: [{bolt.size: M4, bolt.turns: 3}, {bolt.nuts: 1}]", "bolt.size: M4", ["bolt.nuts", "bolt.turns"]),
        ("any: [{bolt.size: M4, bolt.turns: 3}, {bolt.nuts: 1}]", "bolt.size: M6", []),
        ("bolt.marks: {none of: [rust]}\nbolt.turns: 3", "bolt.marks: []", ["bolt.turns"]),
        # a branch refuted asks for nothing
        ("bolt.finish: bare\nany: [{bolt.size: M4, bolt.turns: 3}, {bolt.nuts: 1}]", "bolt.finish: bare, bolt.size: M6",
         ["bolt.nuts"]),
    ],
)  # fmt: skip
def test_only_what_could_settle_a_ruling_partly_met_is_asked(
    judge_of: JudgeWith, when: str, facts: str, names: list[str]
) -> None:
    assert list(asked(judge_of(rule("it", when=when)), facts)) == names


def test_background_alone_speaks_for_no_ruling(judge_of: JudgeWith) -> None:
    background = VOCABULARY.replace(
        "  means: The size stamped", "  background: yes\n  means: The size stamped"
    )
    judge = judge_of(
        {"vocabulary/bolt.yaml": background}, rule("it", when="bolt.size: M4\nbolt.turns: 3\nbolt.nuts: 1")
    )
    assert asked(judge, "bolt.size: M4") == {}
    assert list(asked(judge, "bolt.size: M4, bolt.turns: 3")) == ["bolt.nuts"]


def test_what_rules_derive_is_traced_to_what_can_be_asked(judge_of: JudgeWith) -> None:
    judge = judge_of(PITCH, TRAVEL, SHARE, rule("it", when="bolt.share: {above: '1'}\nbolt.finish: bare"))
    assert list(asked(judge, "bolt.finish: bare")) == ["bolt.length", "bolt.size", "bolt.turns"]
    assert list(asked(judge, "bolt.finish: bare, bolt.size: M4")) == ["bolt.length", "bolt.turns"]
    assert list(asked(judge, "bolt.finish: bare, bolt.pitch: 1 mm, bolt.length: 9 mm")) == ["bolt.turns"]


def test_a_derivation_half_given_speaks_for_the_ruling_above_it(judge_of: JudgeWith) -> None:
    judge = judge_of(TRAVEL, rule("it", when="bolt.travel: {above: 5 mm}"))
    assert list(asked(judge, "bolt.turns: 3")) == ["bolt.pitch"]
    assert asked(judge, "bolt.nuts: 1") == {}


def test_what_rules_derived_speaks_for_nothing(judge_of: JudgeWith) -> None:
    judge = judge_of(PITCH, rule("it", when="bolt.pitch: {below: 1 mm}\nbolt.turns: 3"))
    assert asked(judge, "bolt.size: M4") == {}


def test_a_fact_that_cannot_be_asked_for_is_not(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", when="bolt.ready: yes\nbolt.finish: bare"))
    assert asked(judge, "bolt.finish: bare") == {}


def test_the_fact_that_decides_most_comes_first(judge_of: JudgeWith) -> None:
    bare = "bolt.finish: bare\n"
    judge = judge_of(
        rule("a", when=f"{bare}bolt.length: {{above: 9 mm}}", ruling="may"),
        rule("b", when=f"{bare}bolt.nuts: 1", ruling="must"),
        rule("c", when=f"{bare}bolt.turns: 3"),
        rule("d", when=f"{bare}bolt.turns: 4"),
        # two that wait together share the weight of their ruling
        rule("e", when=f"{bare}bolt.greased: yes\nbolt.code: A", ruling="must not"),
    )
    assert asked(judge, "bolt.finish: bare") == {
        "bolt.turns": ("c", "d"),
        "bolt.nuts": ("b",),
        "bolt.code": ("e",),
        "bolt.greased": ("e",),
        "bolt.length": ("a",),
    }


@pytest.mark.parametrize("facts", ["bolt.size: M4, bolt.greased: yes", "bolt.size: M4, bolt.nuts: 1"])
def test_a_ruling_that_would_not_stand_anyway_is_not_asked_for(judge_of: JudgeWith, facts: str) -> None:
    judge = judge_of(
        rule("it", when="bolt.size: M4\nbolt.turns: 3", unless="bolt.greased: yes"),
        rule("over", when="bolt.nuts: 1", overrides="[it]"),
    )
    assert asked(judge, facts) == {}
    assert list(asked(judge, "bolt.size: M4, bolt.greased: no")) == ["bolt.turns"]


@pytest.mark.parametrize(
    ("facts", "status", "detail"),
    [
        ("bolt.size: M6", "quiet", ""),
        ("bolt.turns: 3", "open", "bolt.size"),
        ("bolt.size: M4, bolt.turns: 3", "fires", ""),
        ("bolt.size: M4, bolt.turns: 3, bolt.greased: yes", "excepted", ""),
        ("bolt.size: M4, bolt.turns: 3, bolt.nuts: 1", "overridden", "over"),
        (
            "bolt.size: M4, bolt.turns: 3, bolt.code: X",
            "no value",
            "the table threads has no row for bolt.code X",
        ),
    ],
)
def test_every_rule_has_a_status_and_says_why(
    judge_of: JudgeWith, facts: str, status: str, detail: str
) -> None:
    judge = judge_of(
        rule("it", when="bolt.size: M4\nbolt.turns: 3", unless="bolt.greased: yes"),
        rule("over", when="bolt.nuts: 1", overrides="[it]"),
        rule(
            "valued",
            when="bolt.size: M4\nbolt.code: known",
            derive="bolt.pitch: {lookup: threads, by: bolt.code, take: pitch}",
        ),
    )
    outcome = judge.outcome(given(judge, facts))
    found = status_of(judge.knowledge, outcome, judge.knowledge.rules["valued" if "code" in facts else "it"])
    assert found.status == status
    assert ", ".join((*found.missing, *found.overridden_by)) + found.reason == detail
