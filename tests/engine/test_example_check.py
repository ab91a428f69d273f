"""A rule's own examples: whether each comes out in the whole base, and what is said when one does not."""

from __future__ import annotations

import pytest

from sideplate_engine.example_check import example_problem
from support.small_knowledge import JudgeWith, rule

PITCH = rule("pitch", derive="bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}")
OVER = rule("over", when="bolt.nuts: 9", overrides="[it]")


@pytest.mark.parametrize(
    ("example", "problem"),
    [
        ("given: {bolt.size: M4, bolt.turns: 5}, expect: fires", None),
        ("given: {bolt.size: M4, bolt.turns: 2}, expect: fires", "should be fires but is quiet"),
        ("given: {bolt.size: M4, bolt.turns: 2}, expect: quiet", None),
        ("given: {bolt.size: M4, bolt.turns: 5}, expect: quiet", "should be quiet but is fires"),
        ("given: {bolt.turns: 5}, expect: quiet", "should be quiet but is open for want of bolt.pitch"),
        ("given: {bolt.turns: 5}, expect: open, missing: [bolt.pitch]", None),
        ("given: {bolt.turns: 5}, expect: open, missing: [bolt.size]", None),  # what can be asked in its place
        (
            "given: {bolt.turns: 5}, expect: open, missing: [bolt.nuts]",
            "is open for want of bolt.size, not bolt.nuts",
        ),
        ("given: {bolt.size: M4, bolt.turns: 5, bolt.greased: yes}, expect: excepted", None),
        ("given: {bolt.size: M4, bolt.turns: 5, bolt.greased: no}, expect: excepted",
         "should be excepted but is fires"),
        ("given: {bolt.size: M4, bolt.turns: 5, bolt.nuts: 9}, expect: overridden", None),
        ("given: {bolt.size: M4, bolt.turns: 5, bolt.nuts: 9}, expect: fires", "should be fires but is overridden"),
        (
            "given: {bolt.size: M4, bolt.pitch: 2 mm, bolt.turns: 5}, expect: quiet",
            "contradicts itself about bolt.pitch",
        ),
    ],
)  # fmt: skip
def test_an_example_is_judged_with_the_whole_base(
    judge_of: JudgeWith, example: str, problem: str | None
) -> None:
    it = rule(
        "it",
        when="bolt.pitch: {below: 1 mm}\nbolt.turns: {above: 3}",
        unless="bolt.greased: yes",
        examples=f"[{{name: it, {example}}}]",
    )
    judge = judge_of(PITCH, OVER, it)
    found = judge.knowledge.rules["it"]
    outcome = judge.outcome(found.examples[0].given)
    assert example_problem(judge.knowledge, outcome, found, found.examples[0]) == problem


@pytest.mark.parametrize(
    ("example", "problem"),
    [
        ("given: {bolt.size: M6}, expect: fires, derives: {bolt.pitch: 1.04 mm}", None),  # within `agree`
        (
            "given: {bolt.size: M6}, expect: fires, derives: {bolt.pitch: 1.1 mm}",
            "derives 1.00 mm for bolt.pitch, not 1.10 mm",
        ),
        (
            "given: {bolt.size: M6}, expect: fires, derives: {bolt.strength: 9 kN}",
            "derives nothing for bolt.strength, not 9 kN",
        ),
        ("given: {bolt.size: M99}, expect: quiet", None),
        (
            "given: {bolt.size: M99}, expect: fires",
            "should be fires but is no value: the table threads has no row for bolt.size M99",
        ),
    ],
)
def test_an_example_may_state_what_its_rule_derives(
    judge_of: JudgeWith, example: str, problem: str | None
) -> None:
    derive = "bolt.pitch: {lookup: threads, by: bolt.size, take: pitch}"
    judge = judge_of(rule("it", derive=derive, examples=f"[{{name: it, {example}}}]"))
    found = judge.knowledge.rules["it"]
    outcome = judge.outcome(found.examples[0].given)
    assert example_problem(judge.knowledge, outcome, found, found.examples[0]) == problem
