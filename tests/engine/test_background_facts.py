"""A background fact lets a rule be judged, but asks for nothing by itself."""

from __future__ import annotations

from support.small_knowledge import VOCABULARY, JudgeWith, given, rule

SIZE_IS_BACKGROUND = VOCABULARY.replace(
    "bolt.size:\n  kind: code", "bolt.size:\n  kind: code\n  background: yes"
)
BASE = {"vocabulary/bolt.yaml": SIZE_IS_BACKGROUND}
NUT_DIFFERS = rule("nut-differs", when="nut.size: {differs from: bolt.size}")
LONG_M4 = rule("long-m4", when="bolt.size: M4\nbolt.length: {above: 40 mm}")


def asked(judge_of: JudgeWith, facts: str, *files: dict[str, str]) -> set[str]:
    judge = judge_of(*files)
    return {fact.fact for fact in judge.judge(given(judge, facts)).open}


def test_a_comparison_with_a_stated_fact_asks_for_the_other(judge_of: JudgeWith) -> None:
    assert asked(judge_of, "bolt.size: M4", NUT_DIFFERS) == {"nut.size"}


def test_a_comparison_with_background_alone_asks_for_nothing(judge_of: JudgeWith) -> None:
    assert asked(judge_of, "bolt.size: M4", BASE, NUT_DIFFERS) == set()


def test_a_condition_that_background_meets_asks_for_nothing(judge_of: JudgeWith) -> None:
    assert asked(judge_of, "bolt.size: M4", LONG_M4) == {"bolt.length"}
    assert asked(judge_of, "bolt.size: M4", BASE, LONG_M4) == set()


def test_background_is_asked_for_once_a_fact_of_the_matter_is_stated(judge_of: JudgeWith) -> None:
    assert asked(judge_of, "bolt.length: 50 mm", BASE, LONG_M4) == {"bolt.size"}


def test_an_input_that_is_background_does_not_ask_for_the_others(judge_of: JudgeWith) -> None:
    pitch = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
    travel = rule("travel", derive="bolt.travel: {formula: travel}")
    far = rule("far", when="bolt.travel: {above: 10 mm}")
    assert asked(judge_of, "bolt.size: M4", BASE, pitch, travel, far) == set()
    assert asked(judge_of, "bolt.turns: 10", BASE, pitch, travel, far) == {"bolt.size"}


def test_a_rule_on_background_and_its_own_matter_fires_as_ever(judge_of: JudgeWith) -> None:
    judge = judge_of(BASE, NUT_DIFFERS)
    judgement = judge.judge(given(judge, "bolt.size: M4, nut.size: M6"))
    assert [ruling.rule for ruling in judgement.rulings] == ["nut-differs"]
