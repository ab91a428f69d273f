"""The case next door, in which one stated figure is another and the number changes."""

from __future__ import annotations

from sideplate_engine import Judge
from sideplate_trainer.neighbours import neighbour_case
from support.small_knowledge import given


def test_a_count_next_door_is_one_more(judge: Judge) -> None:
    facts = given(judge, "bolt.size: M6, bolt.turns: 12")
    (twin,) = neighbour_case(judge, facts, "bolt.travel")
    assert (twin.change, twin.outcome) == ("It was given 13 turns.", "13.0 mm")
    assert judge.outcome(twin.facts).facts["bolt.travel"] == 13.0


def test_a_row_next_door_is_the_next_of_the_table(judge: Judge) -> None:
    (twin,) = neighbour_case(judge, given(judge, "bolt.size: M4"), "bolt.pitch")
    assert (twin.change, twin.outcome) == ("It is size M6.", "1.00 mm")


def test_a_neighbour_that_changes_nothing_is_no_neighbour(judge: Judge) -> None:
    facts = given(judge, "bolt.size: M6, bolt.turns: 100")
    (twin,) = neighbour_case(judge, facts, "bolt.travel")
    assert twin.change == "It was given 99 turns."
