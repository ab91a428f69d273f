"""Reasons within a line, and as lines of their own."""

from __future__ import annotations

import pytest

from sideplate_engine.sentences import as_clause, as_sentence
from support.small_knowledge import JudgeWith, given, rule


@pytest.mark.parametrize(
    ("clause", "sentence"),
    [
        ("it divides by zero", "It divides by zero."),
        ("the table sizes has no row for chain.size 999", "The table sizes has no row for chain.size 999."),
        ("bolt.grip, copied, gives nothing", "bolt.grip, copied, gives nothing."),
    ],
)
def test_a_clause_becomes_a_sentence_and_a_fact_keeps_its_name(clause: str, sentence: str) -> None:
    assert as_sentence(clause) == sentence
    assert as_clause(sentence) == clause


def test_a_formula_without_a_result_is_told_in_one_sentence(judge_of: JudgeWith) -> None:
    judge = judge_of(rule("it", derive="bolt.share: {formula: share}"))
    (warning,) = judge.judge(given(judge, "bolt.travel: 20 mm, bolt.length: 20 mm")).warnings
    assert warning == "Travel as a part of the length cannot be computed here: it divides by zero."
