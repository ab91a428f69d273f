"""Rules that no situation can be built for, told at their place."""

from __future__ import annotations

from sideplate_engine import Judge, Severity
from sideplate_trainer.situations import unbuildable
from support.small_knowledge import JudgeWith, rule


def test_a_rule_without_a_situation_is_told_with_its_place_and_why(judge_of: JudgeWith) -> None:
    judge = judge_of(
        rule("fine", when="bolt.finish: bare"),
        rule("never-met", when="bolt.length: {above: 50 mm, below: 20 mm}"),
    )
    (finding,) = unbuildable(judge)
    assert (finding.code, finding.severity) == ("no-situation", Severity.WARNING)
    assert finding.at.path.endswith("never-met.yaml")
    assert finding.message == (
        "no job sheet was found in which never-met fires: no value of bolt.length satisfies all that is asked of it"
    )


def test_every_rule_that_comes_with_sideplate_has_a_situation(chain_judge: Judge) -> None:
    assert unbuildable(chain_judge) == []
