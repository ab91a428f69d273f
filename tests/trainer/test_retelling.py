"""A story told again with some of its facts changed."""

from __future__ import annotations

import pytest

from sideplate_engine import Judge
from sideplate_trainer.retelling import Untellable, change_in_words, differing, retell
from support.small_knowledge import given
from support.small_practice import situation


def test_a_changed_fact_changes_its_sentence_and_no_other(judge: Judge) -> None:
    told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B")
    facts = given(judge, "bolt.code: A, nut.code: A")
    assert retell(told, facts, judge.knowledge.facts) == ("A bolt.", "Its code is A.", "The nut's code is A.")


def test_a_fact_left_out_takes_its_sentence_along(judge: Judge) -> None:
    told = situation(judge, "codes-differ", "bolt.code: A, nut.code: B")
    assert retell(told, given(judge, "bolt.code: A"), judge.knowledge.facts) == ("A bolt.", "Its code is A.")


def test_an_added_fact_is_told_last(judge: Judge) -> None:
    told = situation(judge, "grease-it", "bolt.greased: no")
    facts = given(judge, "bolt.greased: no, bolt.size: M4")
    assert retell(told, facts, judge.knowledge.facts) == ("A bolt.", "It is dry.", "It is size M4.")


def test_a_fact_that_the_story_does_not_tell_cannot_be_taken_out_of_it(judge: Judge) -> None:
    told = situation(judge, "grease-it", "bolt.greased: no")
    silent = type(told)(told.rule, told.seed, told.facts, ("A dry bolt.",), told.near_misses)
    with pytest.raises(Untellable, match=r"bolt\.greased"):
        retell(silent, {}, judge.knowledge.facts)


def test_a_change_is_said_as_the_story_would_say_it(judge: Judge) -> None:
    before = given(judge, "bolt.greased: no, bolt.size: M4")
    after = given(judge, "bolt.greased: yes, bolt.size: M4")
    assert differing(before, after) == ("bolt.greased",)
    assert change_in_words(before, after, judge.knowledge.facts) == "It is greased."


def test_a_fact_taken_away_is_said_to_be_not_known(judge: Judge) -> None:
    before = given(judge, "bolt.size: M4")
    assert change_in_words(before, {}, judge.knowledge.facts) == "Not known: What size is it?"
