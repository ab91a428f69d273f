"""Draws: fixed by their seed, on any Python."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from sideplate_trainer.situations.draws import Draws


def test_a_seed_gives_the_row_it_has_always_given() -> None:
    # Written down from one run: a change here changes every situation that anyone has on record.
    draws = Draws("situation", "a-rule", 7)
    assert [draws.whole(0, 99) for _ in range(6)] == [39, 29, 97, 27, 9, 65]


def test_words_of_a_seed_are_kept_apart() -> None:
    assert Draws("ab", "c").whole(0, 10**9) != Draws("a", "bc").whole(0, 10**9)


@given(st.integers(), st.lists(st.integers(), max_size=30))
def test_shuffling_keeps_every_item(seed: int, items: list[int]) -> None:
    assert sorted(Draws(seed).shuffled(items)) == sorted(items)


@given(st.integers(), st.integers(-50, 50), st.integers(0, 100))
def test_a_whole_number_lies_between_the_ends(seed: int, first: int, width: int) -> None:
    assert first <= Draws(seed).whole(first, first + width) <= first + width


def test_every_item_is_picked_sooner_or_later() -> None:
    draws = Draws("all of them")
    assert {draws.pick("abcd") for _ in range(200)} == set("abcd")


def test_ranking_keeps_every_item_once() -> None:
    assert sorted(Draws("ranked").ranked({"a": 3.0, "b": 1.0, "c": 0.5})) == ["a", "b", "c"]


def test_what_weighs_more_comes_first_as_often_as_it_weighs_more() -> None:
    firsts = [Draws("ranked", seed).ranked({"a": 3.0, "b": 1.0})[0] for seed in range(2000)]
    # 1,500 of 2,000 with a standard deviation of 19.
    assert abs(firsts.count("a") - 1500) < 100
