"""The interview as a state: each step gives a new one, and the step before is never lost."""

from __future__ import annotations

import pytest

from sideplate_engine import KnowledgeBase
from sideplate_engine.interview import Interview, back, choose_parts, decline, doubt, state, tick
from sideplate_engine.interview_questions import (
    Claim,
    ClaimsQuestion,
    DoubtsQuestion,
    FactQuestion,
    PartsQuestion,
)

SIZE = FactQuestion("bolt.size", (), contradicts=False, decides=1.0)
LIST = ClaimsQuestion(
    (
        Claim("bolt.greased", True, ("a",)),
        Claim("bolt.finish", "bare", ("b",)),
        Claim("bolt.finish", "plated", ("b",)),
    ),
    decides=1.0,
)


def test_what_is_stated_stands_and_is_no_longer_declined_or_denied(bolts: KnowledgeBase) -> None:
    interview = tick(decline(Interview(), SIZE), LIST, [])
    assert interview.declined == {"bolt.size"}
    assert interview.denied == {"bolt.greased": {True}, "bolt.finish": {"bare", "plated"}}
    stated = state(bolts, interview, {"bolt.size": "M4", "bolt.greased": True})
    assert stated.facts == {"bolt.size": "M4", "bolt.greased": True}
    assert stated.declined == frozenset()
    assert stated.denied == {"bolt.finish": {"bare", "plated"}}


def test_a_fact_stated_again_takes_the_new_value(bolts: KnowledgeBase) -> None:
    once = state(bolts, Interview(), {"bolt.size": "M4"})
    assert state(bolts, once, {"bolt.size": "M6"}).facts == {"bolt.size": "M6"}


def test_going_back_undoes_one_step_at_a_time_and_stops_at_the_start(bolts: KnowledgeBase) -> None:
    start = Interview()
    one = state(bolts, start, {"bolt.size": "M4"})
    two = decline(one, FactQuestion("nut.size", (), contradicts=False, decides=1.0))
    assert back(two) == one
    assert back(back(two)) == start
    assert back(back(back(two))) == start


def test_claims_that_are_ticked_are_stated_and_the_others_denied() -> None:
    interview = tick(Interview(), LIST, [0, 2])
    assert interview.facts == {"bolt.greased": True, "bolt.finish": "plated"}
    assert interview.denied == {}
    assert tick(Interview(), LIST, [1]).denied == {"bolt.greased": {True}}


def test_two_claims_about_one_fact_cannot_both_be_so() -> None:
    with pytest.raises(ValueError, match=r"bolt\.finish cannot have two values"):
        tick(Interview(), LIST, [1, 2])


def test_a_list_that_nobody_can_speak_to_leaves_its_facts_unknown() -> None:
    assert decline(Interview(), LIST).declined == {"bolt.greased", "bolt.finish"}


def test_facts_doubted_are_asked_for_and_the_others_let_be() -> None:
    question = DoubtsQuestion({"bolt.pitch": 0.7, "bolt.strength": 4.0})
    interview = doubt(Interview(), question, ["bolt.pitch"])
    assert interview.doubted == {"bolt.pitch"}
    assert interview.declined == {"bolt.strength"}
    assert decline(Interview(), question).declined == {"bolt.pitch", "bolt.strength"}


def test_who_cannot_name_the_parts_has_them_all(bolts: KnowledgeBase) -> None:
    offered = bolts.job_parts.offered
    assert decline(Interview(), PartsQuestion(offered, ())).parts == ("bolt", "nut")


def test_a_fact_volunteered_opens_its_part(bolts: KnowledgeBase) -> None:
    interview = choose_parts(Interview(), ["nut"])
    assert state(bolts, interview, {"nut.size": "M4"}).parts == ("nut",)
    assert state(bolts, interview, {"bolt.size": "M4"}).parts == ("nut", "bolt")
