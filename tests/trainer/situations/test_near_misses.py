"""Near misses: one fact changed, and the rule is silent."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.authored_conditions import Test
from sideplate_trainer.situations import NearMiss, build
from support.small_knowledge import Files, JudgeWith, rule

TARGET = "the-rule"


def target(**keys: str) -> Files:
    return rule(TARGET, **keys)


def misses(judge: Judge, seed: int = 1) -> list[NearMiss]:
    """The near misses of one situation, after a look at what holds of all of them."""
    situation = build(judge, TARGET, seed)
    for miss in situation.near_misses:
        different = {
            name
            for name in {*miss.facts, *situation.facts}
            if miss.facts.get(name) != situation.facts.get(name)
        }
        assert different == {miss.changed}
        assert TARGET not in judge.outcome(miss.facts).live
    return list(situation.near_misses)


def changed(found: list[NearMiss], status: str) -> list[NearMiss]:
    return [miss for miss in found if miss.status == status]


def test_each_condition_is_broken_by_a_change_and_by_taking_its_fact_away(judge_of: JudgeWith) -> None:
    found = misses(judge_of(target(when="{bolt.finish: bare, bolt.greased: no}")))
    assert [miss.changed for miss in changed(found, "quiet")] == ["bolt.finish", "bolt.greased"]
    assert [miss.changed for miss in changed(found, "open")] == ["bolt.finish", "bolt.greased"]
    assert changed(found, "quiet")[1].facts["bolt.greased"] is True


def test_a_limit_is_missed_by_one_graduation(judge_of: JudgeWith) -> None:
    (miss,) = changed(misses(judge_of(target(when="bolt.length: {above: 100 mm}"))), "quiet")
    assert miss.facts["bolt.length"] == 100.0


def test_a_limit_that_belongs_is_missed_by_the_graduation_before_it(judge_of: JudgeWith) -> None:
    (miss,) = changed(misses(judge_of(target(when="bolt.length: {at least: 100 mm}"))), "quiet")
    assert miss.facts["bolt.length"] == 99.5


def test_a_worked_out_limit_is_missed_by_one_graduation_of_a_given_fact(judge_of: JudgeWith) -> None:
    travel = rule("travel-of-nut", derive="bolt.travel: {formula: travel}")
    judge = judge_of(target(when="bolt.travel: {at least: 30 mm}"), travel)
    situation = build(judge, TARGET, 3)
    miss = next(miss for miss in situation.near_misses if miss.status == "quiet")
    assert miss.changed in ("bolt.turns", "bolt.pitch")
    before, after = (judge.outcome(facts).facts["bolt.travel"] for facts in (situation.facts, miss.facts))
    step = {
        "bolt.turns": situation.facts["bolt.pitch"],
        "bolt.pitch": 0.05 * float(str(miss.facts["bolt.turns"])),
    }
    assert isinstance(before, float)
    assert isinstance(after, float)
    assert 30 - float(str(step[miss.changed])) - 1e-6 <= after < 30 <= before


def test_an_element_of_a_set_is_taken_out(judge_of: JudgeWith) -> None:
    for seed in range(6):
        (miss,) = changed(misses(judge_of(target(when="bolt.marks: bent")), seed), "quiet")
        marks = miss.facts["bolt.marks"]
        assert isinstance(marks, frozenset)
        assert "bent" not in marks


def test_what_must_be_unknown_is_added(judge_of: JudgeWith) -> None:
    found = misses(judge_of(target(when="{bolt.size: unknown, bolt.finish: bare}")))
    added = next(miss for miss in found if miss.test.test is Test.UNKNOWN)
    assert added.changed == "bolt.size"
    assert "bolt.size" in added.facts


def test_the_exception_is_met_by_one_fact(judge_of: JudgeWith) -> None:
    for seed in range(6):
        found = misses(judge_of(target(when="bolt.finish: bare", unless="bolt.greased: yes")), seed)
        (miss,) = changed(found, "excepted")
        assert miss.facts["bolt.greased"] is True


def test_a_change_that_only_moves_to_another_branch_is_no_near_miss(judge_of: JudgeWith) -> None:
    judge = judge_of(target(when="any: [{bolt.length: {above: 50 mm}}, {bolt.length: {below: 40 mm}}]"))
    for seed in range(8):
        for miss in changed(misses(judge, seed), "quiet"):
            assert 40 <= float(str(miss.facts["bolt.length"])) <= 50
