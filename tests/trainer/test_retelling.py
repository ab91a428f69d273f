"""What is different between two sheets, in words."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_trainer.retelling import change_in_words, differing
from support.small_knowledge import given


def test_a_change_is_said_as_the_story_would_say_it(judge: Judge) -> None:
    before = given(judge, "bolt.greased: no, bolt.size: M4")
    after = given(judge, "bolt.greased: yes, bolt.size: M4")
    assert differing(before, after) == ("bolt.greased",)
    assert change_in_words(before, after, judge.knowledge.facts) == "It is greased."


def test_a_fact_taken_away_is_said_to_be_not_known(judge: Judge) -> None:
    before = given(judge, "bolt.size: M4")
    assert change_in_words(before, {}, judge.knowledge.facts) == "Not known: What size is it?"
