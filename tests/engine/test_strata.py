"""Which rules are judged before which, and cycles told by the rules in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine.strata import CyclicRules, overriders, stratify
from support.small_knowledge import Files, JudgeWith, LoadWith, judge_with, rule

PITCH = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
TRAVEL = rule("travel", derive="bolt.travel: {formula: travel}")
SHARE = rule("share", derive="bolt.share: {formula: share}")


def test_a_rule_sits_above_the_rules_that_derive_what_it_reads(judge_of: JudgeWith) -> None:
    judge = judge_of(SHARE, TRAVEL, PITCH, rule("ruling", when="bolt.share: {above: '1'}\nbolt.size: M4"))
    strata = judge.knowledge.strata
    assert strata.of_rule == {"pitch": 1, "travel": 2, "share": 3, "ruling": 4}
    assert strata.fact_complete["bolt.pitch"] == 1
    assert strata.fact_complete["bolt.share"] == 3
    assert strata.fact_complete["bolt.size"] == 0
    assert strata.count == 4


@pytest.mark.parametrize("key", ["unless", "when"])
def test_an_exception_and_unknown_look_at_completed_strata(judge_of: JudgeWith, key: str) -> None:
    looks = {"unless": "bolt.pitch: known"} if key == "unless" else {"when": "bolt.pitch: unknown"}
    judge = judge_of(PITCH, rule("a", **{"when": "bolt.turns: 3"} | looks))
    assert judge.knowledge.strata.of_rule["a"] == 2
    if key == "when":
        assert judge.outcome({"bolt.size": "M6"}).fired == {"pitch"}
        assert judge.outcome({"bolt.size": "M99"}).fired == {"a"}
    else:
        assert judge.outcome({"bolt.size": "M6", "bolt.turns": 3}).excepted == {"a"}
        assert judge.outcome({"bolt.turns": 3}).fired == {"a"}


def test_a_fact_is_complete_once_its_rules_overriders_are_judged(judge_of: JudgeWith) -> None:
    judge = judge_of(
        PITCH,
        TRAVEL,
        rule("verdict", derive="bolt.verdict: good"),
        rule("worse", when="bolt.travel: {above: 5 mm}", derive="bolt.verdict: worn", overrides="[verdict]"),
        rule("reader", when="bolt.verdict: worn"),
    )
    strata = judge.knowledge.strata
    assert (strata.of_rule["verdict"], strata.of_rule["worse"], strata.of_rule["reader"]) == (1, 3, 4)
    assert strata.fact_complete["bolt.verdict"] == 3


def test_a_base_without_rules_has_no_strata() -> None:
    assert stratify([]).count == 0


def test_overriders_are_named_in_order(judge_of: JudgeWith) -> None:
    when = "bolt.size: M6"
    judge = judge_of(
        rule("low", when=when),
        rule("b", when=when, overrides="[low]"),
        rule("a", when=when, overrides="[low]"),
    )
    assert overriders(judge.knowledge.rules.values()) == {"low": ("a", "b")}


READS_ITSELF = rule("self", when="bolt.verdict: good", derive="bolt.verdict: worn")
ONE = rule("one", when="bolt.ready: yes", derive="bolt.verdict: good")
TWO = rule("two", when="bolt.verdict: good", derive="bolt.ready: yes")
BY_UNLESS = rule("two", when="bolt.size: M4", unless="bolt.verdict: good", derive="bolt.ready: yes")
BY_UNKNOWN = rule("two", when="bolt.verdict: unknown", derive="bolt.ready: yes")
BY_OVERRIDE = rule(
    "two", when="bolt.verdict: good", derive="bolt.verdict: worn", overrides="[three]"
), rule("three", when="bolt.size: M4", derive="bolt.verdict: good")  # fmt: skip
EACH_OTHER = (
    rule("one", when="bolt.size: M4", overrides="[two]"),
    rule("two", when="bolt.size: M4", overrides="[one]"),
)


@pytest.mark.parametrize(
    ("files", "rules", "message"),
    [
        ([READS_ITSELF], {"self"}, "this rule needs its own conclusion: self -> self"),
        ([ONE, TWO], {"one", "two"}, "these rules need each other's conclusions: "),
        ([ONE, BY_UNLESS], {"one", "two"}, "these rules need each other's conclusions: "),
        ([ONE, BY_UNKNOWN], {"one", "two"}, "these rules need each other's conclusions: "),
        (BY_OVERRIDE, {"two", "three"}, "these rules need each other's conclusions: "),
        (EACH_OTHER, {"one", "two"}, "these rules need each other's conclusions: "),
    ],
)
def test_a_cycle_is_one_finding_that_names_the_rules_in_it(
    loaded_of: LoadWith, files: list[Files], rules: set[str], message: str
) -> None:
    bystander = rule("bystander", when="bolt.turns: 3")
    loaded = loaded_of(bystander, *files)
    (finding,) = loaded.findings
    assert finding.code == "cycle"
    assert finding.message.startswith(message)
    named = finding.message.split(": ", 1)[1].split(" -> ")
    assert set(named) == rules
    assert named[0] == named[-1]
    assert finding.at.path.endswith(f"{named[0]}.yaml")
    assert "bystander" in loaded.knowledge.rules
    assert not rules & loaded.knowledge.rules.keys()


def test_two_cycles_are_two_findings(loaded_of: LoadWith) -> None:
    loaded = loaded_of(ONE, TWO, rule("other", when="bolt.share: {above: '1'}", derive="bolt.share: '2'"))
    assert [finding.code for finding in loaded.findings] == ["cycle", "cycle"]


def test_rules_in_a_cycle_cannot_be_stratified(tmp_path: Path) -> None:
    apart = [judge_with(tmp_path / name, files).knowledge for name, files in (("a", ONE), ("b", TWO))]
    with pytest.raises(CyclicRules) as caught:
        stratify(rule for knowledge in apart for rule in knowledge.rules.values())
    assert set(caught.value.rules) == {"one", "two"}
