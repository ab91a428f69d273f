"""The verdict on a deed and on a job: the gravest ruling that stands, and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from sideplate_engine import Judge
from sideplate_trainer.verdicts import (
    MUST_CHANGE,
    NOTHING,
    ON_A_DEED,
    ON_A_JOB,
    SHOULD_CHANGE,
    Contested,
    options_for,
    verdict,
)
from support.small_knowledge import given, rule
from support.small_practice import practice_judge


def word(judge: Judge, facts: str, subject: str | None = None) -> str:
    return verdict(judge, given(judge, facts), subject).word


def test_a_deed_has_the_verdict_of_the_ruling_about_it(judge: Judge) -> None:
    assert word(judge, "bolt.code: A, nut.code: B", "use-the-bolt") == "must not"


def test_rulings_about_something_else_leave_a_deed_alone(judge: Judge) -> None:
    assert word(judge, "bolt.greased: no, bolt.marks: bent", "use-the-bolt") == NOTHING


def test_a_may_leaves_nothing_against_the_deed(judge: Judge) -> None:
    found = verdict(judge, given(judge, "bolt.finish: painted"), "use-the-bolt")
    assert (found.word, found.rules) == (NOTHING, ("paint-is-allowed",))


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ("bolt.code: A, nut.code: B, bolt.greased: no", MUST_CHANGE),
        ("bolt.marks: bent", MUST_CHANGE),
        ("bolt.greased: no", SHOULD_CHANGE),
        ("bolt.nuts: 5", SHOULD_CHANGE),
        ("bolt.finish: painted", NOTHING),
        ("bolt.greased: yes", NOTHING),
    ],
)
def test_a_job_has_the_verdict_of_its_gravest_ruling(judge: Judge, facts: str, expected: str) -> None:
    assert word(judge, facts) == expected


def test_the_verdict_names_every_rule_that_amounts_to_it(judge: Judge) -> None:
    facts = given(judge, "bolt.code: A, nut.code: B, bolt.marks: bent, bolt.greased: no")
    assert verdict(judge, facts, None).rules == ("bent-bolt", "codes-differ")


def test_opposed_rulings_about_one_deed_leave_no_verdict(tmp_path: Path) -> None:
    judge = practice_judge(
        tmp_path,
        rule("use-it", when="bolt.size: M4", ruling="must", about="use-the-bolt"),
        rule("leave-it", when="bolt.size: M4", ruling="must not", about="use-the-bolt"),
    )
    for subject in ("use-the-bolt", None):
        with pytest.raises(Contested, match="use-the-bolt"):
            verdict(judge, given(judge, "bolt.size: M4"), subject)


def test_a_stated_value_that_the_rules_contradict_leaves_no_verdict(judge: Judge) -> None:
    with pytest.raises(Contested, match=r"bolt\.pitch"):
        verdict(judge, given(judge, "bolt.size: M4, bolt.pitch: 2 mm"), None)


def test_a_job_is_asked_about_in_four_words_and_a_deed_in_six() -> None:
    assert options_for(None) == ON_A_JOB
    assert [option.word for option in options_for("ride")] == [
        "must",
        "must not",
        "should",
        "should not",
        "nothing against it",
        "cannot tell yet",
    ]
    assert options_for("ride") == ON_A_DEED
