"""Situations built on the small base about bolts: one test for each way a condition can be met."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_engine.vocabulary import Value
from sideplate_trainer.situations import NoSituation, build
from support.small_knowledge import Files, JudgeWith, rule

SEEDS = range(12)
TARGET = "the-rule"


def sheets(judge: Judge, id_: str = TARGET) -> list[dict[str, Value]]:
    """The facts of a dozen situations, in each of which the rule stands."""
    situations = [build(judge, id_, seed) for seed in SEEDS]
    assert all(id_ in judge.outcome(situation.facts).live for situation in situations)
    return [dict(situation.facts) for situation in situations]


def target(**keys: str) -> Files:
    return rule(TARGET, **keys)


def values(found: list[dict[str, Value]], fact: str) -> set[Value]:
    return {facts[fact] for facts in found}


def number(value: Value) -> float:
    assert isinstance(value, (int, float))
    return float(value)


def test_a_choice_asked_for_is_taken(judge_of: JudgeWith) -> None:
    assert values(sheets(judge_of(target(when="bolt.finish: plated"))), "bolt.finish") == {"plated"}


def test_every_choice_of_a_list_is_taken_sooner_or_later(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="bolt.finish: {one of: [plated, painted]}")))
    assert values(found, "bolt.finish") == {"plated", "painted"}


def test_a_choice_barred_is_not_taken(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="bolt.finish: {none of: [plated]}")))
    assert values(found, "bolt.finish") == {"bare", "painted"}


def test_a_limit_is_passed_by_varied_lengths(judge_of: JudgeWith) -> None:
    found = values(sheets(judge_of(target(when="bolt.length: {above: 100 mm}"))), "bolt.length")
    assert len(found) > 5
    assert all(100 < number(value) <= 200 for value in found)


def test_a_length_outside_its_usual_range_is_given_where_a_rule_asks_for_it(judge_of: JudgeWith) -> None:
    found = values(sheets(judge_of(target(when="bolt.length: {below: 4 mm}"))), "bolt.length")
    assert all(1 <= number(value) < 4 for value in found)


def test_both_sides_of_a_range_are_met(judge_of: JudgeWith) -> None:
    found = values(sheets(judge_of(target(when="bolt.length: {outside: [50 mm, 60 mm]}"))), "bolt.length")
    assert any(number(value) < 50 for value in found)
    assert any(number(value) > 60 for value in found)


def test_a_set_holds_what_is_asked_for_and_not_what_is_barred(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="bolt.marks: {one of: [rust, bent], none of: [stretched]}")))
    for marks in values(found, "bolt.marks"):
        assert isinstance(marks, frozenset)
        assert marks & {"rust", "bent"}
        assert "stretched" not in marks


def test_codes_that_must_agree_agree_and_others_differ(judge_of: JudgeWith) -> None:
    same = sheets(judge_of(target(when="nut.size: {same as: bolt.size}")))
    assert all(facts["nut.size"] == facts["bolt.size"] for facts in same)
    other = sheets(judge_of(target(when="nut.code: {differs from: bolt.code}")))
    assert all(facts["nut.code"] != facts["bolt.code"] for facts in other)


def test_lengths_in_two_units_are_compared_as_lengths(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="bolt.length: {above fact: bolt.grip}")))
    assert all(number(facts["bolt.length"]) > 25.4 * number(facts["bolt.grip"]) for facts in found)


def test_what_must_be_unknown_is_left_out(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="{bolt.size: unknown, bolt.finish: known}")))
    assert all("bolt.size" not in facts and "bolt.finish" in facts for facts in found)


def test_every_branch_of_an_any_is_taken(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="any: [{bolt.finish: bare}, {bolt.greased: no}]")))
    assert any(facts.get("bolt.finish") == "bare" for facts in found)
    assert any(facts.get("bolt.greased") is False for facts in found)


def test_an_exception_never_holds(judge_of: JudgeWith) -> None:
    found = sheets(judge_of(target(when="bolt.length: {above: 20 mm}", unless="bolt.length: {above: 40 mm}")))
    assert all(20 < number(value) <= 40 for value in values(found, "bolt.length"))


def test_a_looked_up_figure_leads_to_a_size_that_has_it(judge_of: JudgeWith) -> None:
    pitch = rule("pitch-by-size", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
    found = sheets(judge_of(target(when="{bolt.size: known, bolt.pitch: {below: 0.9 mm}}"), pitch))
    assert values(found, "bolt.size") == {"M4"}


def test_a_worked_out_figure_is_brought_where_it_has_to_be(judge_of: JudgeWith) -> None:
    travel = rule("travel-of-nut", derive="bolt.travel: {formula: travel}")
    judge = judge_of(target(when="bolt.travel: {within: [61 mm, 61.5 mm]}"), travel)
    found = sheets(judge)
    for facts in found:
        assert 61 <= number(judge.outcome(facts).facts["bolt.travel"]) <= 61.5
    assert len({tuple(sorted(facts.items(), key=str)) for facts in found}) > 6


def test_two_formulas_on_top_of_each_other_are_worked_back_through(judge_of: JudgeWith) -> None:
    judge = judge_of(
        target(when="bolt.share: {within: [0.30, 0.31]}"),
        rule("travel-of-nut", derive="bolt.travel: {formula: travel}"),
        rule("share-of-length", derive="bolt.share: {formula: share}"),
        rule("pitch-by-size", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"),
    )
    for facts in sheets(judge):
        assert 0.30 <= number(judge.outcome(facts).facts["bolt.share"]) <= 0.31
        assert "bolt.travel" not in facts


def test_a_plain_conclusion_is_reached_through_its_rule(judge_of: JudgeWith) -> None:
    judge = judge_of(
        target(when="bolt.verdict: worn"),
        rule("worn-when-stretched", when="bolt.marks: stretched", derive="bolt.verdict: worn"),
        rule("done-when-bent", when="bolt.marks: bent", derive="bolt.verdict: done"),
    )
    for facts in sheets(judge):
        assert isinstance(facts["bolt.marks"], frozenset)
        assert "stretched" in facts["bolt.marks"]


def test_a_rule_that_could_be_set_aside_is_not(judge_of: JudgeWith) -> None:
    narrower = rule(
        "narrower",
        when="{bolt.finish: bare, bolt.length: {above: 30 mm}}",
        overrides=f"[{TARGET}]",
    )
    judge = judge_of(target(when="{bolt.finish: bare, bolt.length: known}"), narrower)
    assert all(number(value) <= 30 for value in values(sheets(judge), "bolt.length"))


def test_no_opposed_ruling_stands_beside_the_one_wanted(judge_of: JudgeWith) -> None:
    about = {"about": "use-the-bolt"}
    judge = judge_of(
        target(when="bolt.finish: {one of: [bare, plated]}", ruling="must", **about),
        rule("not-when-bare", when="bolt.finish: bare", ruling="must not", instead="Take another.", **about),
    )
    assert values(sheets(judge), "bolt.finish") == {"plated"}


def test_conditions_that_contradict_have_no_situation_and_the_reason_is_told(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="bolt.length: {above: 50 mm, below: 20 mm}"))
    with pytest.raises(
        NoSituation, match=r"fires: no value of bolt\.length satisfies all that is asked of it"
    ):
        build(judge, TARGET, 1)


def test_a_fact_that_nothing_derives_has_no_situation(judge_of: JudgeWith) -> None:
    with pytest.raises(NoSituation, match=r"no rule gives bolt\.verdict a value"):
        build(judge_of(target(when="bolt.verdict: worn")), TARGET, 1)


def test_an_exception_that_always_holds_leaves_no_situation(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="bolt.length: {above: 50 mm}", unless="bolt.length: {above: 40 mm}"))
    with pytest.raises(NoSituation, match="whenever its conditions hold, its own exception holds too"):
        build(judge, TARGET, 1)


def test_a_figure_out_of_reach_has_no_situation(judge_of: JudgeWith) -> None:
    travel = rule("travel-of-nut", derive="bolt.travel: {formula: travel}")
    judge = judge_of(target(when="{bolt.travel: {above: 150 mm}, bolt.turns: {below: 9}}"), travel)
    with pytest.raises(NoSituation, match=r"no value of .* brings bolt\.travel where it has to be"):
        build(judge, TARGET, 1)


def test_a_rule_that_is_not_there_is_a_key_error(judge_of: JudgeWith) -> None:
    with pytest.raises(KeyError):
        build(judge_of(), "no-such-rule", 1)
