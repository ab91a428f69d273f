"""What the examples of a rule are counted as showing."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_engine.coverage import RuleCoverage, coverage_of_all
from support.small_knowledge import JudgeWith, rule

OVER = rule("over", when="bolt.nuts: 9", overrides="[it]")


def covered(judge: Judge, id_: str) -> RuleCoverage:
    outcomes = {
        rule.id: [(example, judge.outcome(example.given)) for example in rule.examples]
        for rule in judge.knowledge.rules.values()
    }
    return {each.rule.id: each for each in coverage_of_all(judge.knowledge, outcomes)}[id_]


def it(*examples: str) -> dict[str, str]:
    written = ", ".join(f"{{name: e{number}, {text}}}" for number, text in enumerate(examples))
    return rule("it", when="bolt.size: M4", unless="bolt.greased: yes", examples=f"[{written}]")


def test_each_outcome_is_counted_once_an_example_shows_it(judge_of: JudgeWith) -> None:
    found = covered(
        judge_of(it("given: {bolt.size: M4}, expect: fires", "given: {bolt.size: M6}, expect: quiet")), "it"
    )
    assert (found.fires, found.quiet, found.open, found.excepted) == (True, True, False, False)
    assert [(seen.words, seen.holding, seen.failing) for seen in found.tests] == [
        ("bolt.size is M4", True, True),
        ("bolt.greased is yes", False, False),
    ]
    line = found.tests[1].test.at.line
    assert found.lacking() == [
        f"no example shows the condition on bolt.greased (line {line}) holding",
        f"no example shows the condition on bolt.greased (line {line}) failing",
    ]


def test_an_excepted_case_counts_as_a_quiet_one(judge_of: JudgeWith) -> None:
    found = covered(judge_of(it("given: {bolt.size: M4, bolt.greased: yes}, expect: excepted")), "it")
    assert found.excepted
    assert "no example is quiet" not in found.lacking()
    assert "no example fires" in found.lacking()


def test_an_example_still_to_be_met_shows_nothing(judge_of: JudgeWith) -> None:
    found = covered(judge_of(it("given: {bolt.size: M4}, expect: fires, todo: yes")), "it")
    assert not found.fires
    assert not any(seen.holding for seen in found.tests)


def test_a_rule_that_only_derives_is_never_quiet_but_waits(judge_of: JudgeWith) -> None:
    derives = rule(
        "it",
        derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}",
        examples="[{name: a, given: {bolt.size: M4}, expect: fires}, "
        "{name: b, given: {bolt.turns: 3}, expect: open, missing: [bolt.size]}]",
    )
    assert covered(judge_of(derives), "it").lacking() == []


def test_an_override_is_shown_by_any_example_of_the_base(judge_of: JudgeWith) -> None:
    unseen = it("given: {bolt.size: M4}, expect: fires")
    assert covered(judge_of(OVER, unseen), "over").unexercised() == ["it"]
    seen = it("given: {bolt.size: M4, bolt.nuts: 9}, expect: overridden")
    assert covered(judge_of(OVER, seen), "over").unexercised() == []
