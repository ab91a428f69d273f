"""What order there is among steps, held to a count of every order there is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations
from math import factorial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideplate_engine.findings import Position
from sideplate_engine.procedures import Procedure, Step
from sideplate_trainer.step_orders import (
    a_right_order,
    all_before,
    chance_of_a_right_order,
    first_too_early,
    places_before,
    right_orders,
)

After = tuple[frozenset[int], ...]


@st.composite
def orderings(draw: st.DrawFn) -> After:
    """Up to six places that wait for others, never in a ring: each waits only for places before it in a drawn row."""
    row = draw(st.permutations(range(draw(st.integers(1, 6)))))
    after = dict[int, frozenset[int]]()
    for number, place in enumerate(row):
        after[place] = frozenset(draw(st.sets(st.sampled_from(row[:number])))) if number else frozenset()
    return tuple(after[place] for place in range(len(row)))


def is_right(after: After, order: Sequence[int]) -> bool:
    """By looking at every pair, which has nothing to do with how the module goes about it."""
    return all(order.index(needed) < order.index(place) for place in order for needed in after[place])


@given(orderings())
def test_the_right_orders_are_as_many_as_trying_every_order_finds(after: After) -> None:
    counted = sum(is_right(after, order) for order in permutations(range(len(after))))
    assert right_orders(after) == counted
    assert chance_of_a_right_order(after) == counted / factorial(len(after))


@given(orderings(), st.data())
def test_an_order_passes_just_when_no_pair_of_it_is_the_wrong_way_round(
    after: After, data: st.DataObject
) -> None:
    order = data.draw(st.permutations(range(len(after))))
    assert (first_too_early(after, order) is None) is is_right(after, order)


@given(orderings(), st.data())
def test_the_first_too_early_is_too_early_and_nothing_before_it_is(after: After, data: st.DataObject) -> None:
    order = data.draw(st.permutations(range(len(after))))
    found = first_too_early(after, order)
    if found is None:
        return
    early, needed = found
    at = order.index(early)
    assert needed in after[early]
    assert order.index(needed) > at
    assert all(after[place] <= set(order[:number]) for number, place in enumerate(order[:at]))


@given(orderings())
def test_the_right_order_that_is_shown_is_right(after: After) -> None:
    assert sorted(a_right_order(after)) == list(range(len(after)))
    assert is_right(after, a_right_order(after))


@pytest.mark.parametrize("count", [1, 3, 6])
def test_without_any_waiting_every_order_is_right_and_in_a_row_only_one(count: int) -> None:
    assert chance_of_a_right_order((frozenset(),) * count) == 1
    in_a_row = tuple(frozenset({place - 1} if place else ()) for place in range(count))
    assert right_orders(in_a_row) == 1


def step(id_: str, *after: str) -> Step:
    return Step(id_, f"Do {id_}.", "", None, after)


WORK = Procedure(
    "work",
    "Work",
    "To be done.",
    (
        step("clean"),
        step("oil", "clean"),
        step("turn", "oil"),
        step("look", "clean"),
        step("note", "turn", "look"),
    ),
    (),
    Position("a test"),
)


def test_what_comes_before_a_step_that_comes_before_comes_before() -> None:
    before = all_before(WORK)
    assert before["clean"] == frozenset()
    assert before["turn"] == {"clean", "oil"}
    assert before["note"] == {"clean", "oil", "turn", "look"}


def test_a_step_that_is_left_out_still_orders_those_on_either_side_of_it() -> None:
    by_id = {each.id: each for each in WORK.steps}
    # oil, which lies between clean and turn, is not asked.
    asked = [by_id["turn"], by_id["look"], by_id["clean"]]
    assert places_before(WORK, asked) == (frozenset({2}), frozenset({2}), frozenset())
