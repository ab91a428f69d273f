"""Certainty: proved for every completion, disproved by two of them, or said to be neither."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_trainer.situations import TooMany, completions, verdict_certainty
from support.small_knowledge import Files, JudgeWith, given, rule

TARGET = "the-rule"


def target(**keys: str) -> Files:
    return rule(TARGET, **keys)


def certain(judge: Judge, facts: str, about: str = TARGET, open_facts: list[str] | None = None) -> str:
    return verdict_certainty(judge, given(judge, facts), about, open_facts).verdict


def test_a_rule_whose_conditions_are_met_fires_for_certain(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="bolt.finish: bare"))
    assert certain(judge, "bolt.finish: bare") == "fires"
    assert certain(judge, "bolt.finish: plated") == "never"


def test_a_fact_left_out_that_decides_makes_two_completions_disagree(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="{bolt.finish: bare, bolt.length: {above: 30 mm}}"))
    found = verdict_certainty(judge, given(judge, "bolt.finish: bare"), TARGET)
    assert found.verdict == "cannot tell"
    assert TARGET in judge.outcome(found.completions["fires"]).live
    assert TARGET not in judge.outcome(found.completions["never"]).live
    assert certain(judge, "bolt.finish: plated") == "never"


def test_a_fact_left_out_that_cannot_change_anything_decides_nothing(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="{bolt.finish: bare, any: [{bolt.greased: yes}, {bolt.greased: no}]}"))
    assert certain(judge, "bolt.finish: bare") == "fires"


def test_an_exception_left_open_could_still_lift_the_ruling(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="bolt.finish: bare", unless="bolt.greased: yes"))
    assert certain(judge, "bolt.finish: bare") == "cannot tell"
    assert certain(judge, "bolt.finish: bare, bolt.greased: no") == "fires"
    assert certain(judge, "bolt.finish: bare, bolt.greased: yes") == "never"


def test_only_the_facts_named_are_open(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="bolt.finish: bare", unless="bolt.greased: yes"))
    assert certain(judge, "bolt.finish: bare", open_facts=["bolt.length"]) == "fires"
    assert certain(judge, "bolt.finish: bare", open_facts=["bolt.greased"]) == "cannot tell"


def test_another_rule_could_still_set_the_ruling_aside(judge_of: JudgeWith) -> None:
    other = rule("other", when="{bolt.finish: bare, bolt.greased: yes}", overrides=f"[{TARGET}]")
    judge = judge_of(target(when="bolt.finish: bare"), other)
    assert certain(judge, "bolt.finish: bare") == "cannot tell"
    assert certain(judge, "bolt.finish: bare, bolt.greased: no") == "fires"


def test_not_knowing_is_what_a_rule_on_the_unknown_goes_by_unless_the_fact_is_named(
    judge_of: JudgeWith,
) -> None:
    judge = judge_of(target(when="{bolt.size: unknown, bolt.finish: bare}"))
    assert certain(judge, "bolt.finish: bare") == "fires"
    assert certain(judge, "bolt.finish: bare", open_facts=["bolt.size"]) == "cannot tell"


def test_a_looked_up_fact_is_decided_by_the_size(judge_of: JudgeWith) -> None:
    pitch = rule("pitch-by-size", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
    judge = judge_of(target(when="bolt.pitch: {above: 0.9 mm}"), pitch)
    assert certain(judge, "bolt.size: M6") == "fires"
    assert certain(judge, "bolt.size: M4") == "never"
    assert certain(judge, "bolt.finish: bare") == "cannot tell"


def test_a_worked_out_fact_is_disproved_by_real_completions(judge_of: JudgeWith) -> None:
    travel = rule("travel-of-nut", derive="bolt.travel: {formula: travel}")
    judge = judge_of(target(when="bolt.travel: {above: 40 mm}"), travel)
    found = verdict_certainty(judge, given(judge, "bolt.turns: 10"), TARGET)
    assert found.verdict == "cannot tell"
    for word, completion in found.completions.items():
        assert set(completion) == {"bolt.turns", "bolt.pitch"}
        assert (TARGET in judge.outcome(completion).live) == (word == "fires")


def test_what_no_completion_reaches_through_a_formula_is_not_called_settled(judge_of: JudgeWith) -> None:
    travel = rule("travel-of-nut", derive="bolt.travel: {formula: travel}")
    judge = judge_of(target(when="bolt.travel: {above: 40 mm}"), travel)
    # Three turns of at most 10 mm cannot come to 40 mm; no proof of that is claimed.
    assert certain(judge, "bolt.turns: 3") == "not settled"


def test_rulings_on_a_subject_count_together(judge_of: JudgeWith) -> None:
    about = {"about": "use-the-bolt", "ruling": "must not", "instead": "Take another."}
    judge = judge_of(
        target(when="{bolt.finish: bare, bolt.greased: yes}", **about),
        rule("other", when="{bolt.finish: bare, bolt.greased: no}", **about),
    )
    assert certain(judge, "bolt.finish: bare") == "cannot tell"
    assert certain(judge, "bolt.finish: bare", "use-the-bolt") == "fires"
    assert certain(judge, "bolt.finish: plated", "use-the-bolt") == "never"


def test_a_name_that_is_neither_rule_nor_subject_is_a_key_error(judge_of: JudgeWith) -> None:
    with pytest.raises(KeyError):
        certain(judge_of(target(when="bolt.finish: bare")), "bolt.finish: bare", "no-such-thing")


def test_too_many_completions_are_not_called_settled(judge_of: JudgeWith) -> None:
    conditions = "{bolt.finish: bare, bolt.greased: no, bolt.marks: bent, bolt.length: {above: 9 mm}}"
    judge = judge_of(target(when=conditions))
    found = verdict_certainty(judge, given(judge, "bolt.size: M4"), TARGET, most=1)
    assert found.verdict == "not settled"


def test_completions_stand_for_every_way_rules_tell_values_apart(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="{bolt.length: {above: 30 mm}, bolt.finish: bare}"))
    found = list(completions(judge, given(judge, "bolt.size: M4"), ["bolt.length", "bolt.finish"]))
    verdicts = {TARGET in judge.outcome(facts).live for facts in found}
    lengths = {facts["bolt.length"] for facts in found}
    assert verdicts == {True, False}
    assert {29.9, 30.0, 30.1} <= lengths
    with pytest.raises(TooMany, match="more than the 3"):
        list(completions(judge, {}, ["bolt.length", "bolt.finish"], most=3))


def test_completions_that_contradict_themselves_are_left_out(judge_of: JudgeWith) -> None:
    pitch = rule("pitch-by-size", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
    judge = judge_of(target(when="bolt.pitch: {above: 0.9 mm}"), pitch)
    found = list(completions(judge, given(judge, "bolt.size: M4"), ["bolt.pitch"]))
    assert all(not judge.outcome(facts).conflicts for facts in found)
