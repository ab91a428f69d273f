"""A base with more alternatives than the matcher takes is refused when it is read, so that no command fails later."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_engine.wide_rules import RULES_IN_ALL
from support.small_knowledge import Files, LoadWith, rule

TURNS = ", ".join(f"{{bolt.turns: {number}}}" for number in range(1, 65))
"""Sixty-four alternatives, as many as one rule may have."""


def rules(count: int) -> Files:
    """Rules of 64 alternatives each, the first of which holds at one turn."""
    files: Files = {}
    for number in range(count):
        files |= rule(f"wide-{number}", when=f"{{any: [{TURNS}]}}", title=f"Wide {number}")
    return files


def test_a_base_beyond_the_matcher_is_one_finding_at_the_rule_with_most_alternatives(
    loaded_of: LoadWith,
) -> None:
    assert RULES_IN_ALL < 65 * 64
    (finding,) = loaded_of(rules(65)).findings
    assert finding.code == "too-many-alternatives"
    assert finding.at.path.endswith("rules/fitting/wide-0.yaml")
    assert "come to 4160 alternatives or more, and at most 4096 (in 500 groups) can be" in finding.message
    assert "this rule alone comes to 64" in finding.message


def test_what_the_finding_says_is_what_the_judge_does(loaded_of: LoadWith) -> None:
    judge = Judge(loaded_of(rules(65)).knowledge)
    with pytest.raises(ValueError, match="4096"):
        judge.judge({})


def test_lists_that_multiply_out_in_one_rule_are_told_of_that_rule(loaded_of: LoadWith) -> None:
    names = [f"stand.x{number}" for number in range(19)]
    entry = "{kind: choice, choices: {a: A., b: B., c: C., d: D.}, means: M., ask: A?, says: 'S {value}.'}"
    vocabulary = "".join(f"{name}: {entry}\n" for name in names)
    when = ", ".join(f"{name}: {{one of: [a, b, c, d]}}" for name in names)
    found = loaded_of({"vocabulary/stand.yaml": vocabulary}, rule("listed", when=f"{{{when}}}")).findings
    assert [(finding.code, finding.at.path.rsplit("/", 1)[1]) for finding in found] == [
        ("too-many-alternatives", "listed.yaml")
    ]
    assert "multiply out" in found[0].message
