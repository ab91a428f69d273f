"""Jobs at the limits of rules: on the figure, and one graduation to either side."""

from __future__ import annotations

import pytest

from sideplate_engine.limit_jobs import limit_jobs
from support.small_knowledge import JudgeWith, rule


def jobs(
    judge_of: JudgeWith, when: str, given: str, expect: str = "fires", **keys: str
) -> list[tuple[str, object]]:
    example = f"[{{name: one, given: {{{given}}}, expect: {expect}}}]"
    knowledge = judge_of(rule("it", when=when, examples=example, **keys)).knowledge
    return [(job.fact, job.value) for job in limit_jobs(knowledge)]


@pytest.mark.parametrize(
    ("when", "given", "expected"),
    [
        ("bolt.length: {above: 20 mm}", "bolt.length: 25 mm", [19.9, 20.0, 20.1]),  # a tenth is its last decimal
        ("bolt.length: {within: [20 mm, 2.01 cm]}", "bolt.length: 20 mm", [19.9, 20.0, 20.1, 20.2]),
        ("bolt.turns: {at least: 5}", "bolt.turns: 6", [4, 5, 6]),
        ("bolt.turns: {at most: 1}", "bolt.turns: 1", [1, 2]),  # none lower is possible
        ("bolt.grip: {below: 2 in}", "bolt.grip: 1 in", [1.99, 2.0, 2.01]),  # no decimals: the third figure
        ("bolt.grip: {above: 0 in}", "bolt.grip: 1 in", [0.0, 0.01]),
        ("bolt.length: {above fact: bolt.grip}", "bolt.length: 60 mm, bolt.grip: 2 in", [50.7, 50.8, 50.9]),
        ("bolt.length: {above fact: bolt.grip}", "bolt.length: 60 mm", []),
        ("any: [{bolt.turns: {above: 3}}, {bolt.nuts: {above: 3}}]", "bolt.turns: 4", [2, 3, 4, 2, 3, 4]),
        ("bolt.size: M4", "bolt.size: M4", []),
    ],
)  # fmt: skip
def test_a_figure_is_tried_with_its_neighbours(
    judge_of: JudgeWith, when: str, given: str, expected: list[float]
) -> None:
    assert [value for _, value in jobs(judge_of, when, given)] == expected


def test_the_figures_of_an_exception_are_tried_too(judge_of: JudgeWith) -> None:
    found = jobs(judge_of, "bolt.size: M4", "bolt.size: M4", unless="bolt.turns: {above: 3}")
    assert found == [("bolt.turns", 2), ("bolt.turns", 3), ("bolt.turns", 4)]


def test_the_rest_of_the_job_is_the_first_example_that_fires(judge_of: JudgeWith) -> None:
    examples = (
        "[{name: no, given: {bolt.turns: 1}, expect: quiet}, {name: yes, given: {bolt.turns: 9, bolt.nuts: 2}, "
        "expect: fires}]"
    )
    knowledge = judge_of(rule("it", when="bolt.turns: {above: 3}", examples=examples)).knowledge
    assert [job.facts for job in limit_jobs(knowledge)] == [
        {"bolt.turns": n, "bolt.nuts": 2} for n in (2, 3, 4)
    ]


def test_a_rule_that_no_example_makes_fire_has_no_jobs(judge_of: JudgeWith) -> None:
    assert jobs(judge_of, "bolt.turns: {above: 3}", "bolt.turns: 2", expect="quiet") == []
